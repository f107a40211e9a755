"""Every entry of the journal as a sentence, and one plant's story of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from tunneltui.cells import (
    Day,
    Quantity,
    Sayable,
    Sentence,
    Unit,
    as_typed,
    bed_words,
    cm,
    degc,
    joined,
    m,
    many,
    say,
    words,
)
from tunneltui.journal import kinds_care as care
from tunneltui.journal import kinds_crop as crop
from tunneltui.journal import kinds_holding_up as up
from tunneltui.journal import kinds_journal as own
from tunneltui.journal import kinds_standing as stand
from tunneltui.journal.body import BodyFault, defaults_of, typed
from tunneltui.journal.entry import Entry
from tunneltui.pages.page import NOTHING, Column, Item, Page, Section
from tunneltui.review.grading import colour_word
from tunneltui.season.state import Leader, Reading, Season

HOW = {
    "popped_open": "popped open",
    "broke": "broke",
    "slid": "slid",
    "stem_pulled_out": "let the stem go",
    "knot": "its knot gave way",
    "twine": "its twine gave way",
    "knocked": "was knocked off",
}
FINISH = {"well_under": "the tip hung well under", "as_said": "the tip hung as said", "over": "the tip stood over"}


def story_page(season: Season, entries: Iterable[Entry], about: str) -> Page:
    """The entries as dated sentences, oldest first; "Nothing was noted" where there is none."""
    items = tuple(
        Item(entry.id, (say("{}", Day(entry.day, year=True)),), (sentence(season, entry),)) for entry in entries
    )
    nothing = Item("nothing", lengths=(say("Nothing was noted about {} yet.", about),))
    return Page(NOTHING, (Section("story", columns=(Column(),), items=items or (nothing,)),))


def mentions(entry: Entry, ids: Sequence[str]) -> bool:
    """Whether a body names one of these stems, plants or fixings (a row pass lists those it took)."""
    return any(f'"{id_}"' in entry.body for id_ in ids)


def ids_at(season: Season, place: str) -> list[str]:
    """Ids of all stems of a place, standing or ended, and of what holds or held them."""
    stems = [leader for leader in _all(season) if leader.place == place]
    return [id_ for leader in stems for id_ in _ids_of(leader)]


def _all(season: Season) -> list[Leader]:
    return [*season.leaders.values(), *season.gone.values()]


def _ids_of(leader: Leader) -> Iterator[str]:
    yield leader.id
    yield from (fixing.id for fixing in leader.fixings)
    yield from (ending.fixing.id for ending in leader.endings)


def sentence(season: Season, entry: Entry) -> Sentence:
    """What one entry says. A kind of a newer version is named and left at that."""
    try:
        body = typed(entry)
    except BodyFault:
        return say("{}: cannot be read", entry.kind)
    if body is None:
        return say("{}: of a newer version", entry.kind)
    describe = _WORDS.get(type(body))
    return describe(body, season) if describe else _figures(entry.kind, body)


_UNITS: dict[str, Unit] = {"c": "degC", "m": "m", "mm": "mm", "kg": "kg", "g": "g", "n": "N"}
"""The unit that the end of a field's name stands for."""
_IN_SI = {"mm": 0.001, "g": 0.001}


def _figures(kind: str, body: Any) -> Sentence:
    """A kind without words of its own: its name, then each figure and text it holds; long lists are left out."""
    figures = []
    for key, default in defaults_of(body.__class__).items():
        value = getattr(body, key)
        if value is None or value == default or isinstance(value, tuple):
            continue
        name, _, unit = key.rpartition("_")
        if name and unit in _UNITS:
            called = words(name.replace("_", " "))
            figures.append(say("{} {}", called, as_typed(value * _IN_SI.get(unit, 1.0), _UNITS[unit])))
        else:
            figures.append(say("{} {}", words(key.replace("_", " ")), f"{value}".replace("_", " ")))
    called = words(kind.replace("_", " "))
    return say("{}: {}", called, joined(", ", figures)) if figures else called


def _parts(*parts: str) -> Sentence:
    return joined(", ", (part for part in parts if part))


def _of(template: str, value: Sayable | None) -> str:
    """The template with what was noted; '' where nothing was."""
    return say(template, value) if value is not None else ""


def _long(metres: float | None) -> Quantity | None:
    return cm(metres) if metres is not None else None


def _count(value: float | None) -> str | None:
    return f"{value:g}" if value is not None else None


def _planted(body: stand.Planted, _season: Season) -> Sentence:
    leaders = f" with {body.leaders} leaders" if body.leaders > 1 else ""
    buried = say(", {} of stem buried", cm(body.buried_m)) if body.buried_m else ""
    return say("planted {}{}{}", body.cultivar, leaders, buried)


def measured_words(body: stand.Measured | Reading) -> Sentence:
    """All that was read of a stem at one time."""
    under_m = body.tip_under_wire_m
    side = "over" if under_m is not None and under_m < 0 else "under"
    readings = _parts(
        _of("{} long", m(body.length_m, 2) if body.length_m is not None else None),
        _of("grew {}", _long(body.growth_m)),
        _of(f"tip {{}} {side} the wire", _long(abs(under_m) if under_m is not None else None)),
        _of("stem {}", as_typed(body.diameter_mm / 1000, "mm") if body.diameter_mm is not None else None),
        _of("truss {} flowers", _count(body.flowering_truss)),
        _of("{} more trusses flower", _count(body.flowering_since)),
        _of("truss {} is the lowest unpicked", _count(body.lowest_truss)),
        _of("{} trusses hang", _count(body.trusses_hanging)),
        _of("{} leaves", _count(body.leaves)),
    )
    return say("{}: {}", words("measured" if body.by == "rule" else "seen in passing"), readings)


def _fixed(verb: str) -> Callable[[Any, Season], Sentence]:
    def describe(body: up.Clipped | up.Tied, season: Season) -> Sentence:
        on = {"head": "the head", "wire": "the wire"}.get(body.on, season.string_name(body.string))
        assumed = ", as proposed" if body.assumed else ""
        return say("{} to {} {} up the stem{}", words(verb), on, cm(body.s_m), assumed)

    return describe


def _lowered(body: up.Lowered, _season: Season) -> Sentence:
    out = _of("let out {}", _long(body.let_out_m))
    if not out and body.turns is not None:
        out = words(f"let out {body.turns:g} {'turn' if body.turns == 1 else 'turns'}")
    tip = _of("tip {} under the wire", _long(body.tip_under_wire_m))
    return words("lowered: ") + (_parts(out, tip, words(FINISH.get(body.finish or "", ""))) or "no figures noted")


def _failed(body: up.ClipFailed, season: Season) -> Sentence:
    ending = next((e for leader in _all(season) for e in leader.endings if e.fixing.id == body.fixing), None)
    on = ""
    if ending is not None:
        on = " on the head" if ending.fixing.on == "head" else f" on {season.string_name(ending.fixing.string)}"
    return words(f"its clip{on} failed: {HOW[body.how]}{', and the stem dropped' if body.dropped else ''}")


def _picked(body: crop.Picked, _season: Season) -> Sentence:
    amount = _parts(
        _of("{}", as_typed(body.kg, "kg") if body.kg is not None else None),
        _of("{} fruits", body.count),
        body.grade,
        colour_word(body.colour_percent) if body.colour_percent is not None else "",
    )
    clean = "" if body.clean else "ripe ones left"
    return _parts(say("picked {}", body.cultivar), amount or words("not weighed"), words(clean))


def _scouted(body: care.Scouted, _season: Season) -> Sentence:
    scouted = say(": {}", body.found) if body.found else ""
    return say("looked for sickness{}{}", scouted, ", over" if body.over else "")


def _switched(what: str, on: str, off: str) -> Callable[[Any, Season], Sentence]:
    return lambda body, _season: words(
        f"{what} {on if getattr(body, 'on', getattr(body, 'open', False)) else off}"
    )


def _plain(text: str) -> Callable[[Any, Season], Sentence]:
    return lambda _body, _season: words(text)


def _lost(what: str) -> Callable[[Any, Season], Sentence]:
    return lambda body, _season: say("{}{}", words(what), say(": {}", body.why) if body.why else "")


def _amount(body: Any) -> Sentence:
    """What was given, weighed, measured, counted or timed; empty where no amount was noted."""
    weighed, volume, cans, minutes = (getattr(body, key, None) for key in ("kg", "litres", "cans", "minutes"))
    amounts = [
        _of("{}", as_typed(weighed, "kg") if weighed is not None else None),
        _of("{}", as_typed(volume, "L") if volume is not None else None),
        _of("{} cans", _count(cans)),
        _of("{} min", _count(minutes)),
    ]
    return joined(" and ", filter(None, amounts))


def _with_amount(event: Sentence, body: Any) -> Sentence:
    amount = _amount(body)
    return say("{}, {}", event, amount) if amount else event


def _fed(body: care.Fed, _season: Season) -> Sentence:
    what = say(" {}", body.what) if body.what else ""
    return _with_amount(say("fed{}{}", what, " (home-made)" if body.home_made else ""), body)


def _watered(body: care.Watered, _season: Season) -> Sentence:
    return say("timer set to {} a day", _amount(body)) if body.timer else _with_amount(words("watered"), body)


def _air(body: care.Air, _season: Season) -> Sentence:
    read = (("least", body.min_c), ("mean", body.mean_c), ("most", body.max_c))
    ends = [say("{} {}", words(called), degc(value, 1)) for called, value in read if value is not None]
    by = {"sensor": "a logger", "hand": "hand", "estimate": "estimate"}[body.source]
    return say("air by {}: {}", words(by), joined(", ", ends) or words("no figure"))


def _forecast(body: care.Forecast, _season: Season) -> Sentence:
    def listed(figures: tuple[float | None, ...]) -> Sentence:
        return joined(" ", ("-" if figure is None else say("{}", degc(figure)) for figure in figures)) or words(
            "-"
        )

    return say("weather issued {}: nights {}, days {}", f"{body.issued}", listed(body.min_c), listed(body.max_c))


def _dressed(body: care.BedDressed, _season: Season) -> Sentence:
    return _with_amount(say("{} dressed with {}", bed_words(body.bed), body.what), body)


def _bucket(body: care.BucketTested, _season: Season) -> Sentence:
    return say(
        "bucket test, {}, {}: {} given, {} drained",
        many(body.days, "day"),
        many(body.plants, "plant"),
        as_typed(body.given_l, "L"),
        as_typed(body.drained_l, "L"),
    )


ROOM_WAYS = {
    "coil": "stems are coiled on the ground under their hooks",
    "tier_down": "the bare lowest tier is let down",
    "turn_back": "heads are hung back along the wire",
    "fewer_tips": "every third tip comes out",
}

_WORDS: dict[type, Callable[[Any, Season], Sentence]] = {
    stand.Planted: _planted,
    stand.Measured: lambda body, _season: measured_words(body),
    stand.TrussCounted: lambda b, _: say("truss {} bears {} fruits", b.truss, b.fruits),
    stand.MarkedPlant: lambda b, _: words("marked for measuring" if b.marked else "no longer marked"),
    stand.PlantedAbout: lambda b, _: say("stood before: planted about {}", f"{b.on}"),
    stand.TrainingChanged: lambda b, _: words(f"trained {b.training.replace('_', ' ')} from now on"),
    up.Hung: lambda b, _: (
        words("hook hung")
        + (say(", {} of twine to spare", as_typed(b.spare_m, "m")) if b.spare_m is not None else "")
    ),
    up.Clipped: _fixed("clipped"),
    up.Tied: _fixed("tied"),
    up.Unclipped: _plain("a clip taken off"),
    up.TwistedIn: _plain("head twisted in"),
    up.Lowered: _lowered,
    up.RoomDecided: lambda b, _: words(f"no room along the wire: {ROOM_WAYS[b.way]}"),
    up.Propped: lambda b, _: say("propped {} up the stem", cm(b.s_m)),
    up.ClipFailed: _failed,
    up.TipSnapped: _plain("tip snapped"),
    up.StemKinked: _plain("stem kinked"),
    up.PlantDropped: _plain("dropped"),
    stand.PlanAdopted: lambda b, _: say(
        "plan {} taken for next season: sow {}, plant {}", b.name, f"{b.sow}", f"{b.plant}"
    ),
    crop.SideShooted: _plain("side shoots out"),
    crop.LeaderKept: lambda b, _: say("a side shoot kept as leader {}", b.letter),
    crop.Deleafed: lambda b, _: words(f"{b.leaves} leaves taken" if b.leaves is not None else "leaves taken"),
    crop.TrussPruned: lambda b, _: say("truss {} pruned to {}", b.truss, b.fruits),
    crop.Pollinated: _plain("flowers shaken"),
    crop.Picked: _picked,
    crop.CropOver: lambda b, _: words("the crop is over" if b.over else "the crop goes on"),
    crop.TrussLost: lambda b, _: say("truss {} lost{}", b.truss, say(": {}", b.why) if b.why else ""),
    crop.FruitLost: _lost("fruit lost"),
    crop.PlantLost: _lost("plant lost"),
    crop.TipTakenOut: _plain("tip taken out"),
    crop.LetItRun: _plain("tip left to run"),
    crop.Removed: _plain("cleared"),
    crop.GreenStripped: lambda b, _: (
        words("stripped green") + (say(", {}", as_typed(b.kg, "kg")) if b.kg is not None else "")
    ),
    care.Fed: _fed,
    care.Watered: _watered,
    care.Air: _air,
    care.Forecast: _forecast,
    care.BedDressed: _dressed,
    care.BucketTested: _bucket,
    care.Scouted: _scouted,
    care.Treated: lambda b, _: say("treated with {}", b.what),
    care.Fleece: _switched("fleece", "on", "off"),
    care.Frosted: lambda b, _: words("frost took the crop" if b.took_crop else "the crop stands after the frost"),
    care.Doors: _switched("doors", "open", "shut"),
    care.Shade: _switched("shade", "on", "off"),
    own.Looked: lambda b, _: words(
        "its clips there were seen holding" if b.fixings else "looked over, nothing hung loose"
    ),
    own.PutOff: lambda b, _: say("a chore put off until {}", Day(b.until, year=True)),
    own.CrossedOut: _plain("crossed out what was noted before"),
    own.Restored: _plain("restored what was crossed out"),
    stand.HoldingSet: lambda b, _: words(f"the holding as it stands, {len(b.toml.splitlines())} lines"),
    own.Note: lambda b, _: say("note: {}", b.text),
}
