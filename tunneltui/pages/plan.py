"""Next season: plans side by side, one of them in words, the records and days they rest on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TypeVar

from tunneltui.cells import (
    Day,
    Range,
    Sentence,
    capital,
    cm,
    degc,
    inked,
    joined,
    kg,
    load,
    m,
    many,
    say,
    words,
)
from tunneltui.draw.canvas import CanvasRow
from tunneltui.draw.standing_rows import EMPTY_PLACE, standing_rows
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Holding
from tunneltui.holding.setting_out import set_out
from tunneltui.journal.kinds_standing import PlanAdopted
from tunneltui.loads.result import LineLoad, WireLoad
from tunneltui.pages import text
from tunneltui.pages.page import NOTHING, Column, Item, Page, Section
from tunneltui.review.plan import SeasonPlans
from tunneltui.review.plan_values import (
    Conflict,
    CultivarRecord,
    Dates,
    EndTooLate,
    LoopFit,
    NothingRipe,
    Peak,
    Plan,
    PlantedTooLate,
    SoilTooCold,
    SowingGoneBy,
    ToBuy,
    TradeOffs,
    Wishes,
)
from tunneltui.review.season_learned import Taught

_OfARow = TypeVar("_OfARow", LineLoad, WireLoad)


def plans_page(planned: SeasonPlans) -> Page:
    """Records, days, what cannot be kept, then each plan in full."""
    sections = (
        Section("records", words("Cultivars"), items=_items("record", all_records_words(planned))),
        Section(
            "dates", items=_items("date", [dates_words(planned.dates), *_unkept(planned), *short_words(planned)])
        ),
        *(_plan_section(plan, planned.plans) for plan in planned.plans),
    )
    adopt = "Adopt one with `tunneltui plan --adopt by-vigour`. Loads are forecasts, not a promise that they hold."
    return Page(say("Next season, from the records to {}", f"{planned.day}"), sections, (words(adopt),))


def _plan_section(plan: Plan, plans: Sequence[Plan]) -> Section:
    """In full, but for one that sets out what another before it does."""
    key = f"plan {plan.name}"
    same = next(other for other in plans if other.setting == plan.setting)
    if same is not plan:
        return Section(key, say("{}: sets out the same as {}", plan.name, same.name))
    title = say("{}: stems of one loop unequal by {} in all", plan.name, m(plan.cost_m, 0))
    return Section(key, title, items=_items(key, plan_words(plan)))


def _items(key: str, sentences: Iterable[str]) -> tuple[Item, ...]:
    return tuple(Item(f"{key} {n}", lengths=(line,)) for n, line in enumerate(sentences))


def _unkept(planned: SeasonPlans) -> list[Sentence]:
    return [inked("near", say("! {}", conflict_words(date_conflict))) for date_conflict in planned.date_conflicts]


def short_words(planned: SeasonPlans) -> list[Sentence]:
    """What of a loop stays short amid the others, where it goes, and how to keep it all the same."""
    sentences = [
        say(
            "{} stays short, {} where its loop grows {}: not at {} again but at {}, no longer stem behind it",
            short.cultivar,
            m(short.length_m),
            m(short.longest_m),
            ", ".join(short.stands),
            ", ".join(short.goes_to),
        )
        for short in planned.short
    ]
    if sentences and planned.standing.peak is not None:
        held = m(planned.standing.peak.held_back_m)
        sentences.append(
            say(
                "To plant it all the same, heads held back by {}: `tunneltui plan --adopt {}`",
                held,
                planned.standing.name,
            )
        )
    return [inked("near", say("! {}", sentence)) for sentence in sentences]


def progress_words(done: int, of: int) -> Sentence:
    """How far the working out is."""
    return say("{} of {} plans worked out", done, of)


def adopts_words(taken: PlanAdopted, heads: int) -> str:
    return f"yes: sow {taken.sow}, plant {taken.plant}, {heads} heads"


def already_adopted(name: str) -> str:
    """The answer to adopting a plan that is adopted already."""
    return f"{name} is adopted already, just so; nothing is written."


def adopted_says(name: str, set_out: bool, sow: str) -> list[str]:
    """What follows from adopting, a line each."""
    later = "A chore sets your tunnels out by it when the old crop is cleared."
    return [
        f"Adopted {name}.",
        "Your tunnels are set out by it now." if set_out else later,
        f"Its days come as chores, sowing on {sow} first; `tunneltui loads --planned` says what it would bear.",
    ]


def expected_words(name: str, adopted_on: date, fullest: date) -> str:
    """What stands over the loads of a plan that is adopted and not yet planted."""
    return (
        f"Nothing of it stands yet: what plan {name}, adopted on {text.day_words(adopted_on)}, is expected to "
        f"bear on {text.day_words(fullest)}, when its fullest string bears most. A forecast, not a promise."
    )


COLUMNS = (
    Column("plan", room=11),
    Column("fruit", unit="kg", right=True),
    Column("string", unit="N", right=True, rank=2),
    Column("hook", unit="N", right=True, rank=1),
    Column("hangs", unit="kg", right=True, rank=3),
)


def next_page(planned: SeasonPlans, taken: tuple[date, PlanAdopted] | None) -> Page:
    """Plans as a table, what cannot be kept, days, records."""
    rows = tuple(_plan_item(plan, taken) for plan in planned.plans)
    notes = [*_unkept(planned), *short_words(planned)]
    if taken is not None:
        on, body = taken
        sown = say("sow {}, plant {}", _day(body.sow), _day(body.plant))
        notes.append(say("adopted on {}: {}, {}", _day(on), body.name, sown))
    return Page(
        words("Next season"),
        (
            Section("plans", NOTHING, COLUMNS, (*rows, *_items("kept", notes))),
            Section("days", words("Days"), items=_items("day", day_words(planned.dates))),
            Section(
                "records",
                words("Your records"),
                items=_items("record", all_records_words(planned)),
            ),
        ),
    )


def _plan_item(plan: Plan, taken: tuple[date, PlanAdopted] | None) -> Item:
    low, mid, high = (sum(getattr(crop.kg, end) for crop in plan.crops) for end in ("low", "mid", "high"))
    peak = plan.peak
    figures: list[str] = ["-"] * 3
    if peak is not None:
        figures = [
            say("{}", load(peak.string_n.high)) if peak.string else "-",
            say("{}", load(peak.hook_n.high)) if peak.hook else "-",
            say("{}", kg(sum(peak.hanging_kg.values()), 0)),
        ]
    signs = []
    if not all(fit.fits for fit in plan.fits):
        signs.append(inked("must", words("! too long")))
    if taken is not None and taken[1].name == plan.name and _same(plan, taken[1]):
        signs.append(inked("done", words("adopted")))
    fruit = say("{} ({})", kg(mid, 0), Range(low, high, "kg", 0, between="-"))
    cells = (inked("chosen", plan.name), fruit, *figures)
    return Item(f"plan {plan.name}", cells, (joined(" ", signs),) if signs else ())


def _same(plan: Plan, body: PlanAdopted) -> bool:
    return (plan.setting.places, plan.setting.cultivars, plan.setting.leaders, plan.setting.partners) == (
        body.places,
        body.cultivars,
        body.leaders,
        body.partners,
    )


def side_words(plan: Plan) -> list[Sentence]:
    """Beside the list: what it gives up, gives and bears before where everything stands; what to buy last."""
    return [
        say("gives up: {}", trade_off_words(plan.trade_offs)),
        gives_words(plan),
        *bears_words(plan),
        *(purchase_words(purchase) for purchase in plan.buy if purchase.buy),
        *raising_words(plan),
        *where_words(plan),
    ]


def whole_plan(planned: SeasonPlans, plan: Plan) -> list[str]:
    """All of one plan for a page of its own, with what it was worked out from."""
    return [
        *side_words(plan),
        "",
        "In store already or enough of it:",
        *("  " + purchase_words(purchase) for purchase in plan.buy if not purchase.buy),
        "",
        dates_words(planned.dates),
        *map(conflict_words, planned.date_conflicts),
        *short_words(planned),
        "",
        *all_records_words(planned),
    ]


def all_records_words(planned: SeasonPlans) -> list[Sentence]:
    """Every cultivar's, then the rows and row ends that give more or less than the others."""
    rows = [
        _place_words(f"row {row}", taught, "week")
        for row, taught in planned.rows.items()
        if taught.n and _matters(taught)
    ]
    ends = planned.row_ends
    rows += [_place_words("row ends", ends, "stem")] if ends.n and _matters(ends) else []
    return [*map(record_words, planned.records.values()), *rows]


def _matters(taught: Taught) -> bool:
    return abs(taught.mid - 1) >= LEAST_SHARE


def _place_words(name: str, taught: Taught, unit: str) -> Sentence:
    return say(
        "{}: {}% {} a truss than the same cultivar elsewhere, from {} weighed",
        name,
        round(100 * abs(taught.mid - 1)),
        "more" if taught.mid > 1 else "less",
        many(taught.n, unit),
    )


LEAST_SHARE = 0.02
"""Rows nearer to the others than this are not spoken of."""


def record_words(record: CultivarRecord) -> Sentence:
    """One cultivar's records, and what stands in for those that are not there."""
    band = record.vigour_band
    between = say(" ({})", Range(band.low, band.high, "cm")) if band else ""
    stems = many(record.stems, "stem")
    vigour = say("{}{} a week at {}, from {}", cm(record.vigour_m_per_week), between, degc(20), stems)
    if not record.stems:
        vigour = say("{} a week, a default: no stem was measured", cm(record.vigour_m_per_week))
    picked = words("no weighed pick, defaults")
    if record.yield_kg == 0:
        picked = say("nothing picked so far, {}", many(record.plants, "plant"))
    elif record.yield_kg is not None:
        rows = record.yield_band
        spread: str = say(", rows {}", Range(rows.low, rows.high, "kg")) if rows else ", no interval from one row"
        picked = say("{} a plant so far{}, {}", kg(record.yield_kg), spread, many(record.plants, "plant"))
    return say("{}: {}; {}", record.cultivar, vigour, picked)


def dates_words(dates: Dates) -> Sentence:
    """Every day of the coming season in one sentence."""
    return capital(joined(", ", day_words(dates)))


def day_words(dates: Dates) -> list[Sentence]:
    """The days of the coming season, each in a few words."""
    tip = [say("tips out about {}", _day(dates.tip_out))] if dates.tip_out else []
    last_pick = words("no last pick: the typical year here has no cold that ends a crop, so choose an end")
    if dates.last_pick is not None:
        frost = " or when frost takes it" if dates.assumed_end else ""
        last_pick = say("last pick {}{}", _day(dates.last_pick), frost)
    return [
        say("sow {}", _day(dates.sow)),
        say("pot on {}", _day(dates.pot_on)),
        say("harden from {}", _day(dates.harden)),
        say("plant {} if the soil is warm and a truss shows", _day(dates.plant)),
        *tip,
        last_pick,
    ]


def _day(day: date) -> Day:
    return Day(day, year=True)


def plan_words(plan: Plan) -> list[Sentence]:
    """Everything of one plan: what stands where, what it bears and gives, what to buy, what it gives up."""
    return [
        *where_words(plan),
        *bears_words(plan),
        gives_words(plan),
        *raising_words(plan),
        words("to buy"),
        *(purchase_words(purchase) for purchase in plan.buy if purchase.needed or purchase.in_store),
        say("gives up: {}", trade_off_words(plan.trade_offs)),
    ]


def where_words(plan: Plan) -> list[Sentence]:
    """A line for each row: cultivars by place, spacing, leaders, training and partner."""
    training_words = {"tiered": "tiered", "laid_down": "laid down", "pinched_at_wire": "tip out at the wire"}
    rows = zip(plan.setting.rows, plan.setting.trainings, plan.setting.partners, strict=True)
    kinds = {
        row: f"{'double row' if partner else 'single row'}, {training_words[training]}"
        for row, training, partner in rows
    }
    sentences = []
    for row, blocks in _blocks(plan.cultivar_of).items():
        spacing = say(", {} apart", cm(plan.spacing_m[row])) if row in plan.spacing_m else ""
        sentences.append(say("{}: {}{}; {}", row, ", ".join(blocks), spacing, kinds.get(row, "")))
    twos = [place for place, n in zip(plan.setting.places, plan.setting.leaders, strict=True) if n > 1]
    twos = [place for place in twos if plan.cultivar_of[place]]
    if len(twos) == sum(map(bool, plan.cultivar_of.values())) > 1:
        sentences.append(words("two leaders on every plant"))
    elif twos:
        sentences.append(say("two leaders on each of {}: {}", many(len(twos), "plant"), ", ".join(twos)))
    return sentences


def _blocks(cultivar_of: Mapping[str, str]) -> dict[str, list[str]]:
    """Runs of one cultivar along each row, such as ``01-05 cherry 1``."""
    runs: dict[str, list[tuple[str, str, str]]] = {}
    for place, cultivar in cultivar_of.items():
        row, _, number = place.rpartition("-")
        mine = runs.setdefault(row, [])
        if mine and mine[-1][2] == cultivar:
            mine[-1] = (mine[-1][0], number, cultivar)
        else:
            mine.append((number, number, cultivar))
    return {
        row: [
            f"{first if first == last else f'{first}-{last}'} {cultivar or 'empty'}"
            for first, last, cultivar in mine
        ]
        for row, mine in runs.items()
    }


def bears_words(plan: Plan) -> list[Sentence]:
    """Whether stems can be housed, and the greatest loads."""
    sentences = [_fit(fit) for fit in plan.fits]
    if plan.peak is not None:
        sentences += _peak(plan.peak)
    return sentences


def _fit(fit: LoopFit) -> Sentence:
    band = fit.longest_m
    return say(
        "loop {}: longest stem {} ({}), room for {}; first clip {}, rise {} a metre, tiers {} "
        "apart, "
        "{} of them, last head {}: {}",
        fit.loop,
        m(band.mid),
        Range(band.low, band.high, "m"),
        m(fit.holds_m),
        cm(fit.first_clip_m),
        cm(fit.slope),
        cm(fit.tier_gap_m),
        f"{fit.tiers:.0f}",
        cm(fit.head_m),
        _fits(fit),
    )


def fit_why(fit: LoopFit) -> str:
    """Why the stems of a loop cannot be housed, or may not be."""
    if fit.needed_way_m is not None:
        return say(
            "the row is too short: {} of way, the longest stem wants {}; take tips out sooner, a shorter "
            "cultivar, or lay stems down",
            m(fit.way_m),
            m(fit.needed_way_m),
        )
    if not fit.fits:
        over = "the longest stem is {} too long: take tips out sooner or a shorter cultivar"
        return say(over, m(fit.longest_m.mid - fit.holds_m))
    if fit.longest_m.high > fit.holds_m + 0.05:
        return say("a vigorous stem may be {} too long", m(fit.longest_m.high - fit.holds_m))
    return ""


def conflict_words(conflict: Conflict) -> str:
    """A planned day that cannot be kept, in a sentence."""
    match conflict:
        case SowingGoneBy(day):
            return f"Sowing on {day} has gone by: buy plants, or plant later."
        case SoilTooCold(day, soil_c, needed_c, warm):
            sentence = "On {} the soil is about {} in the typical year, {} is wanted: not before {}."
            return say(sentence, day, degc(soil_c), f"{needed_c:.0f}", warm)
        case PlantedTooLate(day):
            return f"On {day} the typical year has grown too cold to plant."
        case NothingRipe(day, last_pick):
            return f"Nothing planted on {day} is ripe by {last_pick}: choose a later end."
        case EndTooLate(last_pick, cold, limit_c):
            return say(
                "Look for an earlier last pick than {}: from {} on the typical year is under {}, and frost is "
                "likely before it.",
                last_pick,
                cold,
                degc(limit_c, 0),
            )


def trade_off_words(given: TradeOffs) -> str:
    """What a plan gives up against what stands now."""
    if given.as_planted:
        return "nothing; this year's order and its loads stay"
    parts = list(_trade_offs(given))
    if not parts and not given.moves:
        return "nothing: what is planted stands by vigour already"
    return joined("; ", parts) or "cultivars stand in blocks and are compared less fairly"


def _trade_offs(given: TradeOffs) -> Iterator[str]:
    if given.less_kg:
        yield say("{} of fruit", kg(given.less_kg, 0))
    if given.more_hours:
        yield f"{many(given.more_hours, 'more hour')} of work"
    if given.heavier_row:
        yield say("row {} hangs {} more at its peak", given.heavier_row, kg(given.heavier_kg, 0))
    if given.held_back_m:
        yield say("heads hold stems back by {} more", m(given.held_back_m))
    if given.string_n:
        yield say("its fullest string bears {} more", load(given.string_n))
    if given.on_soil_kg:
        yield say("{} more fruit hangs on the soil in low bends", kg(given.on_soil_kg, 0))
    if given.more_leaders:
        # Common practice, no source; the forecast takes each of two leaders as one of a plant of its own.
        yield "a lost plant loses two heads, and two leaders start about a week later than reckoned here"
    if given.one_leader:
        # Common practice, no source.
        yield f"one leader on each plant of {_and(given.one_leader)}: two heads of a weak plant are weaker still"
    if given.parted:
        yield f"heads of {_and(given.parted)} have only their own row to travel"
    if given.paired:
        yield f"heads turn the corner between {_and(given.paired)}"
    if given.laid_down:
        yield f"lower stems of {_and(given.laid_down)} lie on rests along the wire, more bending for the hands"


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _fits(fit: LoopFit) -> Sentence:
    if not fit.fits:
        return say("does not fit: {}", fit_why(fit))
    why = fit_why(fit)
    return say("fits, but {}", why) if why else words("fits")


def _peak(peak: Peak) -> list[Sentence]:
    rows = joined(", ", (say("{} {}", row, kg(hangs, 0)) for row, hangs in peak.hanging_kg.items()))
    parts = [say("at the peak hang: {}", rows)]
    if peak.string:
        lines = _fullest_by_row(peak.strings, lambda line: line.mid_n)
        full = joined(", ", (say("{} {}", line.id, load(line.mid_n)) for line in lines))
        fullest = Range(peak.string_n.low, peak.string_n.high, "N")
        parts.append(say("fullest string {} {} on {}; by row: {}", peak.string, fullest, f"{peak.day}", full))
    wires = _fullest_by_row(peak.wires, lambda wire: wire.tension_n)
    pulls = joined(", ", (say("{} {}", wire.row, load(wire.tension_n, 0)) for wire in wires))
    parts.append(say("wires pull {}", pulls))
    worst = [
        max((h for _, h in peak.hoops if h.tunnel == t), key=lambda h: h.load_n)
        for t in dict.fromkeys(hoop.tunnel for _, hoop in peak.hoops)
    ]
    for hoop in worst:
        allowed = words("its maker's figure is unknown")
        if hoop.allowed_n is not None:
            allowed = say("of {} allowed", load(hoop.allowed_n, 0))
        parts.append(
            say("fullest hoop of {}, at {}: {}, {}", hoop.tunnel, m(hoop.x_m), load(hoop.load_n, 0), allowed)
        )
    if peak.hook:
        parts.append(say("fullest hook {} {}", peak.hook, Range(peak.hook_n.low, peak.hook_n.high, "N")))
    if peak.on_soil_kg > 0.05:
        low = kg(peak.on_soil_kg)
        parts.append(say("{} of fruit would hang on the soil in low bends, not taken off below", low))
    if peak.held_back_m > 0.05:
        parts.append(say("heads ahead hold stems back by {} in all", m(peak.held_back_m)))
    if peak.faults:
        things = many(peak.faults, "thing")
        parts.append(say("{} behind these loads could not be reckoned: a stem's path or a wire", things))
    return parts


def _fullest_by_row(dated: Iterable[tuple[date, _OfARow]], newton: Callable[[_OfARow], float]) -> list[_OfARow]:
    by_row: dict[str, list[_OfARow]] = {}
    for _, bears in dated:
        by_row.setdefault(bears.row, []).append(bears)
    return [max(of_row, key=newton) for of_row in by_row.values()]


def gives_words(plan: Plan) -> Sentence:
    """Kilograms and hours with their bands."""
    low, mid, high = (sum(getattr(crop.kg, end) for crop in plan.crops) for end in ("low", "mid", "high"))
    band, published = plan.hours.band, plan.hours.published
    whose = "your timed and the usual minutes" if plan.hours.timed else "the usual minutes"
    return say(
        "{} expected, {}; hours {}, likely {} by {} of each piece of work, {} by published figures",
        kg(mid, 0),
        Range(low, high, "kg", 0),
        Range(band.low, band.high, ""),
        f"{band.mid:.0f}",
        whose,
        f"{published.mid:.0f}",
    )


def raising_words(plan: Plan) -> list[Sentence]:
    """Batches, where there are several, and the fullest week of the bench."""
    sentences = []
    if len({batch.sow for batch in plan.batches}) > 1:
        sentences.append("the bench has no room for all at once:")
        sentences += [
            f"tray {b.tray}: sow {b.seeds} on {b.sow}, pot on {b.pot_on}, plant {b.plant}" for b in plan.batches
        ]
    if plan.bench:
        weeks = ", ".join(f"{week.monday:%d %b} {week.pots}" for week in plan.bench)
        room = plan.bench[0].room
        of = f" of {room} there is room for" if room is not None else "; how many there is room for was never said"
        sentences.append(f"pots on the bench by week: {weeks}{of}")
    return [words(text) for text in sentences]


SHORTEST_SPARE_M = 0.05


def _note(purchase: ToBuy) -> str:
    if purchase.spare_m is not None and purchase.turns is not None:
        return say("load each with {} turns, {}", purchase.turns, m(purchase.spare_m))
    if purchase.spare_m is not None:
        return say("load each with {}", m(purchase.spare_m)) if purchase.spare_m >= SHORTEST_SPARE_M else ""
    if purchase.item == "twine":
        uncounted = "; what is in store is not counted, the holding does not say how long a spool is (spool_m)"
        return f"for hooks and {purchase.strings} strings{uncounted if purchase.spool_unknown else ''}"
    if purchase.item == "end bars":
        return "to carry heads round the corner"
    return f"{purchase.spare_share:.0%} spare" if purchase.spare_share else ""


def purchase_words(purchase: ToBuy) -> Sentence:
    """One thing to buy."""
    kind = say(" {}", purchase.kind) if purchase.kind else ""
    note = say(" ({})", noted) if (noted := _note(purchase)) else ""
    in_store = say(", {} there", _amount(purchase, purchase.in_store)) if purchase.in_store else ""
    amounts = _amount(purchase, purchase.needed), _amount(purchase, purchase.buy)
    return say("{}{}: {} wanted{}, buy {}{}", purchase.item, kind, amounts[0], in_store, amounts[1], note)


def _amount(purchase: ToBuy, amount: float) -> Sentence:
    """With its unit, which is either one of measure or a thing that is counted."""
    if purchase.unit == "m":
        return say("{}", m(amount, 0))
    return words(f"{amount:.0f} {purchase.unit}".rstrip())


ROWS_SAID = {"as_they_are": "rows as they are", "single": "single rows", "double": "double rows"}
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def title(wishes: Wishes, dates: Dates | None = None) -> str:
    """What was chosen, with the end that follows where the days are worked out."""
    last = dates.last_pick if dates is not None and not dates.assumed_end else wishes.end
    has_end = dates is not None or wishes.until_frost
    end = f"until {last}, " if last is not None else "until frost, " if has_end else ""
    leaders = {None: "leaders as they are", 1: "one leader a plant", 2: "two leaders a plant"}[wishes.leaders]
    return f"Next season: {end}{leaders}, {ROWS_SAID[wishes.rows]}"


def legend(plan: Plan) -> str:
    """Letters of the picture."""
    letters = _letters(plan)
    meanings = ", ".join(f"{letter} {cultivar}" for cultivar, letter in letters.items())
    empty = f", {EMPTY_PLACE.glyph} empty" if "" in plan.setting.cultivars else ""
    two = "; a capital has two leaders" if max(plan.setting.leaders, default=1) > 1 else ""
    return f"{meanings}{empty}{two}"


def _letters(plan: Plan) -> dict[str, str]:
    cultivars = dict.fromkeys(cultivar for cultivar in plan.setting.cultivars if cultivar)
    return {cultivar: LETTERS[n % len(LETTERS)] for n, cultivar in enumerate(cultivars)}


def seen_from_above(holding: Holding, plan: Plan, columns: int) -> list[CanvasRow]:
    """Every row of the holding as the plan would have it; a letter at each place says what stands there."""
    letters = _letters(plan)
    leaders = dict(zip(plan.setting.places, plan.setting.leaders, strict=True))
    shown = {
        place: letters[cultivar].upper() if leaders[place] > 1 else letters[cultivar]
        for place, cultivar in plan.cultivar_of.items()
        if cultivar
    }
    return standing_rows(layout(set_out(holding, plan.setting)), shown, columns)
