"""One plant's story in plain words: every entry about its place, or that names one of its stems, as a sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import fields
from typing import Any

from tunneltui.journal import kinds_care as care
from tunneltui.journal import kinds_crop as crop
from tunneltui.journal import kinds_holding_up as up
from tunneltui.journal import kinds_journal as own
from tunneltui.journal import kinds_standing as stand
from tunneltui.journal.body import BodyFault, typed
from tunneltui.journal.entry import Entry
from tunneltui.report import care_story
from tunneltui.report.plain import day_words, joined, wrapped
from tunneltui.review.grading import colour_word
from tunneltui.season.state import Leader, Season

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


def story_text(season: Season, entries: Iterable[Entry], about: str) -> str:
    """The entries as dated sentences, oldest first; "Nothing was noted" where there is none."""
    lines: list[str] = []
    for entry in entries:
        words = f"{day_words(entry.day):<16} {sentence(season, entry)}"
        lines += wrapped(words, "", " " * 17, as_typed=entry.kind == "note")
    return joined(lines) if lines else f"Nothing was noted about {about} yet.\n"


def mentions(entry: Entry, ids: Sequence[str]) -> bool:
    """Whether a body names one of these stems, plants or fixings (a row pass lists those it took)."""
    return any(f'"{id_}"' in entry.body for id_ in ids)


def ids_at(season: Season, place: str) -> list[str]:
    """Ids of all stems of a place, standing or ended, and of what holds or held them."""
    there = [leader for leader in _all(season) if leader.place == place]
    return [id_ for leader in there for id_ in _ids_of(leader)]


def _all(season: Season) -> list[Leader]:
    return [*season.leaders.values(), *season.gone.values()]


def _ids_of(leader: Leader) -> Iterator[str]:
    yield leader.id
    yield from (fixing.id for fixing in leader.fixings)
    yield from (ending.fixing.id for ending in leader.endings)


def sentence(season: Season, entry: Entry) -> str:
    """What one entry says. A kind of a newer version is named and left at that."""
    try:
        body = typed(entry)
    except BodyFault:
        return f"{entry.kind}: cannot be read"
    if body is None:
        return f"{entry.kind}: of a newer version"
    words = _WORDS.get(type(body))
    return words(body, season) if words else _figures(entry.kind, body)


_UNITS = {"c": "degrees", "m": "m", "mm": "mm", "kg": "kg", "g": "g", "n": "N", "s": "s"}
"""How the end of a field's name is said."""


def _figures(kind: str, body: Any) -> str:
    """A kind without words of its own: its name, then each figure and text it holds; long lists are left out."""
    told = []
    for field in fields(body):
        value = getattr(body, field.name)
        if value is None or value == field.default or isinstance(value, tuple):
            continue
        name, _, unit = field.name.rpartition("_")
        said = f"{name} {value:g} {_UNITS[unit]}" if name and unit in _UNITS else f"{field.name} {value}"
        told.append(said.replace("_", " "))
    return f"{kind.replace('_', ' ')}{': ' if told else ''}{', '.join(told)}"


def _cm(metres: float) -> str:
    return f"{metres * 100:.0f} cm"


def _parts(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _planted(body: stand.Planted, _season: Season) -> str:
    leaders = f" with {body.leaders} leaders" if body.leaders > 1 else ""
    buried = f", {_cm(body.buried_m)} of stem buried" if body.buried_m else ""
    return f"planted {body.cultivar}{leaders}{buried}"


def _measured(body: stand.Measured, _season: Season) -> str:
    said = _parts(
        f"{body.length_m:.2f} m long" if body.length_m is not None else "",
        f"grew {_cm(body.growth_m)}" if body.growth_m is not None else "",
        f"tip {_cm(body.tip_under_wire_m)} under the wire" if body.tip_under_wire_m is not None else "",
        f"stem {body.diameter_mm:g} mm" if body.diameter_mm is not None else "",
        f"truss {body.flowering_truss:g} flowers" if body.flowering_truss is not None else "",
        f"{body.flowering_since:g} more trusses flower" if body.flowering_since is not None else "",
        f"truss {body.lowest_truss:g} is the lowest unpicked" if body.lowest_truss is not None else "",
        f"{body.leaves:g} leaves" if body.leaves is not None else "",
    )
    return f"{'measured' if body.by == 'rule' else 'seen in passing'}: {said}"


def _fixed(verb: str) -> Callable[[Any, Season], str]:
    def words(body: up.Clipped | up.Tied, season: Season) -> str:
        on = {"head": "the head", "wire": "the wire"}.get(body.on, _string(season, body.string))
        assumed = ", as proposed" if body.assumed else ""
        return f"{verb} to {on} {_cm(body.s_m)} up the stem{assumed}"

    return words


def _string(season: Season, string: str) -> str:
    return season.string_name(string)


def _lowered(body: up.Lowered, _season: Season) -> str:
    out = (
        f"let out {_cm(body.let_out_m)}"
        if body.let_out_m is not None
        else f"let out {body.turns:g} {'turn' if body.turns == 1 else 'turns'}"
        if body.turns is not None
        else ""
    )
    tip = f"tip {_cm(body.tip_under_wire_m)} under the wire" if body.tip_under_wire_m is not None else ""
    return "lowered: " + (_parts(out, tip, FINISH.get(body.finish or "", "")) or "no figures noted")


def _failed(body: up.ClipFailed, season: Season) -> str:
    ending = next((e for leader in _all(season) for e in leader.endings if e.fixing.id == body.fixing), None)
    on = ""
    if ending is not None:
        on = " on the head" if ending.fixing.on == "head" else f" on {_string(season, ending.fixing.string)}"
    return f"its clip{on} failed: {HOW[body.how]}{', and the stem dropped' if body.dropped else ''}"


def _picked(body: crop.Picked, _season: Season) -> str:
    amount = _parts(
        f"{body.kg:g} kg" if body.kg is not None else "",
        f"{body.count} fruits" if body.count is not None else "",
        body.grade,
        colour_word(body.colour_percent) if body.colour_percent is not None else "",
    )
    clean = "" if body.clean else "ripe ones left"
    return _parts(f"picked {body.cultivar}", amount or "not weighed", clean)


def _scouted(body: care.Scouted, _season: Season) -> str:
    return f"looked for sickness{f': {body.found}' if body.found else ''}{', over' if body.over else ''}"


def _switched(what: str, on: str, off: str) -> Callable[[Any, Season], str]:
    return lambda body, _season: f"{what} {on if getattr(body, 'on', getattr(body, 'open', False)) else off}"


def _plain(words: str) -> Callable[[Any, Season], str]:
    return lambda _body, _season: words


def _lost(what: str) -> Callable[[Any, Season], str]:
    return lambda body, _season: f"{what}{f': {body.why}' if body.why else ''}"


ROOM_WAYS = {
    "coil": "stems are coiled on the ground under their hooks",
    "tier_down": "the bare lowest tier is let down",
    "turn_back": "heads are hung back along the wire",
    "fewer_tips": "every third tip comes out",
}

_WORDS: dict[type, Callable[[Any, Season], str]] = {
    stand.Planted: _planted,
    stand.Measured: _measured,
    stand.TrussCounted: lambda b, _: f"truss {b.truss} bears {b.fruits} fruits",
    stand.MarkedPlant: lambda b, _: "marked for measuring" if b.marked else "no longer marked",
    stand.TrainingChanged: lambda b, _: f"trained {b.training.replace('_', ' ')} from now on",
    up.Hung: lambda b, _: f"hook hung{f', {b.spare_m:g} m of twine to spare' if b.spare_m is not None else ''}",
    up.Clipped: _fixed("clipped"),
    up.Tied: _fixed("tied"),
    up.Unclipped: _plain("a clip taken off"),
    up.TwistedIn: _plain("head twisted in"),
    up.Lowered: _lowered,
    up.RoomDecided: lambda b, _: f"no room along the wire: {ROOM_WAYS[b.way]}",
    up.Propped: lambda b, _: f"propped {_cm(b.s_m)} up the stem",
    up.ClipFailed: _failed,
    up.TipSnapped: _plain("tip snapped"),
    up.StemKinked: _plain("stem kinked"),
    up.PlantDropped: _plain("dropped"),
    stand.PlanAdopted: lambda b, _: f"plan {b.name} taken for next season: sow {b.sow}, plant {b.plant}",
    crop.SideShooted: _plain("side shoots out"),
    crop.LeaderKept: lambda b, _: f"a side shoot kept as leader {b.letter}",
    crop.Deleafed: lambda b, _: f"{b.leaves} leaves taken" if b.leaves is not None else "leaves taken",
    crop.TrussPruned: lambda b, _: f"truss {b.truss} pruned to {b.fruits}",
    crop.Pollinated: _plain("flowers shaken"),
    crop.Picked: _picked,
    crop.TrussLost: lambda b, _: f"truss {b.truss} lost{f': {b.why}' if b.why else ''}",
    crop.FruitLost: _lost("fruit lost"),
    crop.PlantLost: _lost("plant lost"),
    crop.TipTakenOut: _plain("tip taken out"),
    crop.LetItRun: _plain("tip left to run"),
    crop.Removed: _plain("cleared"),
    crop.GreenStripped: lambda b, _: f"stripped green{f', {b.kg:g} kg' if b.kg is not None else ''}",
    **care_story.WORDS,
    care.Scouted: _scouted,
    care.Treated: lambda b, _: f"treated with {b.what}",
    care.Fleece: _switched("fleece", "on", "off"),
    care.Frosted: lambda b, _: "frost took the crop" if b.took_crop else "the crop stands after the frost",
    care.Doors: _switched("doors", "open", "shut"),
    care.Shade: _switched("shade", "on", "off"),
    own.Looked: lambda body, _: (
        "its clips there were seen holding" if body.fixings else "looked over, nothing hung loose"
    ),
    own.PutOff: lambda b, _: f"a chore put off until {day_words(b.until)}",
    own.CrossedOut: _plain("crossed out what was noted before"),
    own.Restored: _plain("restored what was crossed out"),
    stand.HoldingSet: lambda b, _: f"the holding as it stands, {len(b.toml.splitlines())} lines",
    own.Note: lambda b, _: f"note: {b.text}",
}
