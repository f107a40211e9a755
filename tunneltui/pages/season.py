"""The look back: what came off, fair comparisons, stems, clips, hours, beds, notes and the clearing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

from tunneltui.cells import (
    Quantity,
    Range,
    Sentence,
    Unit,
    Units,
    bed_words,
    day_and_month,
    degc,
    inked,
    joined,
    kg,
    listed,
    litres,
    load,
    m,
    many,
    one_line,
    say,
    words,
)
from tunneltui.growth.backtest import Score
from tunneltui.loads.calibration import warnings_words
from tunneltui.pages.page import NOTHING, Column, Item, Page, Section
from tunneltui.pages.picks import pick_doubt
from tunneltui.pages.text import plain_text, wrapped
from tunneltui.review.beds import BedRecord
from tunneltui.review.clearing import Back, BedClearing, RowClearing
from tunneltui.review.clip_survival import ClipRecord
from tunneltui.review.compare import LEVEL
from tunneltui.review.fair import Fair, Pair
from tunneltui.review.grading import size_word
from tunneltui.review.look_back import LookBack
from tunneltui.review.season_weeks import COLD_C, HOT_C, AirCost
from tunneltui.review.seasons import so_far
from tunneltui.review.yields import Doubted, TooEarly, TooHeavy, TwoOfOneName, Yield
from tunneltui.season.growing_year import GrowingYear
from tunneltui.season.stage import STAGE_WORDS

LONGEST_NOTE = 2_000
MOST_STEMS = 12
YEARS = 4
"""Seasons side by side in one table."""


def span_words(since: date | None, until: date | None) -> str:
    if since is None and until is None:
        return "everything noted"
    if since and until and since.day == 1 and (until + timedelta(days=1)).replace(year=since.year) == since:
        growing = GrowingYear(since.month)
        first, last = growing.name(growing.of(since)), growing.name(growing.of(until))
        return f"season {first}" if first == last else f"seasons {first} to {last}"
    return f"{since or 'the beginning'} to {until or 'now'}"


def weeks_title(cultivar: str) -> Sentence:
    """Above the picture of a cultivar's weeks."""
    return say("{}: kilograms a week, as weighed and as foreseen", cultivar)


def air_title(tunnel: str) -> Sentence:
    return say("air of tunnel {}: lowest, mean and highest of each week", tunnel)


def season_page(back: LookBack) -> Page:
    """Everything of the look back, in the order in which it is read."""
    doubts = [
        _item(f"doubt {n}", one_line(doubt, LONGEST_NOTE)) for n, doubt in enumerate(map(doubt_words, back.doubts))
    ]
    return Page(
        say("{}, by {}", words(span_words(back.since, back.until)), back.by),
        (
            _yields(back),
            *([_section("doubts", "Put right first", doubts)] if doubts else []),
            _compared(back),
            *_this_week(back),
            weeks_table(back),
            _stems(back),
            _clips(back),
            _labour(back),
            _beds(back),
            _held(back),
            _notes(back),
            _clearing(back),
        ),
    )


def _section(key: str, title: str, items: Iterable[Item], nothing: str = "") -> Section:
    """``nothing`` stands where there is no item."""
    return Section(key, words(title), items=tuple(items) or (_item(f"{key} none", words(nothing)),))


def _item(key: str, sentence: str) -> Item:
    return Item(key, lengths=(sentence,))


def _named(name: str, sentence: str) -> Sentence:
    """The name, then the sentence about it."""
    return inked("place", say("{}:", name)) + " " + sentence


def _yields(back: LookBack) -> Section:
    """A row a group that was picked; a column that would stand empty is left out."""
    lines = back.yields
    if back.by == "place":
        # Only those that were picked or lost from: most growers weigh by the row.
        lines = [line for line in lines if line.first_pick or line.lost_kg]
    picked = [line for line in lines if line.first_pick]
    kept = [column for column in YIELD_COLUMNS if any(column.of(line) for line in picked)]
    bed = "share of bed" if back.by == "row" else "bed"
    heads = (column.head._replace(head=bed) if column.head.head == "bed" else column.head for column in kept)
    items = [
        Item(
            f"yield {line.group}",
            (one_line(line.group, 200) or "not said", *(column.of(line) or words("-") for column in kept)),
            more=tuple(_more_of(line, back.currency)),
        )
        for line in picked
    ]
    if not picked:
        items.append(_item("yields none", words("No pick was noted in that span.")))
    elif unpicked := [one_line(line.group, 200) or "not said" for line in lines if not line.first_pick]:
        items.append(_item("yields unpicked", say("Not picked: {}", listed(unpicked, len(unpicked)))))
    if back.value is not None:
        without = say("; {} have no price", kg(back.kg_without_price, 1)) if back.kg_without_price else ""
        items.append(_item("value", say("Value at your prices: {}{}", money(back.value, back.currency), without)))
    elif any(line.kg for line in back.yields):
        items.append(_item("value", words("For its value, give a cultivar its price_per_kg: `holding edit`.")))
    title = words(f"What came off, by {back.by}, {span_words(back.since, back.until)}")
    return Section("yields", title, (Column(back.by), *heads) if picked else (), tuple(items))


def money(value: float, currency: str) -> str:
    return f"{value:,.2f} {one_line(currency, 20)}".rstrip()


class _YieldColumn(NamedTuple):
    """A column of the yields, and what stands in it of a group; None where that is not known."""

    head: Column
    of: Callable[[Yield], Sentence | None]


def _figure(value: float | None, unit: Unit) -> Sentence | None:
    return say("{}", Quantity(value, unit)) if value else None


def _weighed(line: Yield, value: float | None, unit: Unit) -> Sentence | None:
    return _figure(value, unit) if line.kg else None


YIELD_COLUMNS = (
    _YieldColumn(Column(unit="kg", right=True), lambda line: _figure(line.kg, "kg") or words("not weighed")),
    _YieldColumn(Column("lost", unit="kg", right=True, rank=3), lambda line: _figure(line.lost_kg, "kg")),
    _YieldColumn(
        Column("plants", right=True, rank=4), lambda line: say("{}", line.plants) if line.plants else None
    ),
    _YieldColumn(
        Column("a plant", unit="kg", right=True, rank=6), lambda line: _weighed(line, line.kg_per_plant, "kg")
    ),
    _YieldColumn(
        Column("bed", unit="kg/m2", right=True, rank=5), lambda line: _weighed(line, line.kg_per_m2, "kg/m2")
    ),
    _YieldColumn(
        Column("floor", unit="kg/m2", right=True, rank=5),
        lambda line: _weighed(line, line.kg_per_floor_m2, "kg/m2"),
    ),
    _YieldColumn(Column("picked", rank=2), lambda line: _from_to(line.first_pick, line.last_pick)),
)
"""Each ground is named: kilograms of bed, of floor and of a row's share of its bed are not one figure."""


def _from_to(first: date | None, last: date | None) -> Sentence | None:
    """Without the days of the week; the years only where they are two."""
    if first is None or last is None:
        return None
    years = (f" {first.year}", f" {last.year}") if first.year != last.year else ("", "")
    since, until = (f"{day_and_month(day)}{year}" for day, year in zip((first, last), years, strict=True))
    return words(since if first == last else f"{since} to {until}")


def _more_of(line: Yield, currency: str) -> Iterator[Sentence]:
    """What has no column: why it was lost, how large the fruit were, the grades and the money."""
    if line.lost_kg:
        lost = (say("{} {}", one_line(why, 40), kg(of)) for why, of in line.lost_by_why.items() if of)
        yield say("lost: {}", joined(", ", lost))
    facts = [words(f"{line.count} fruits")] if line.count is not None else []
    if line.fruit_g is not None:
        facts.append(say("{} each ({})", Quantity(line.fruit_g / 1000, "g"), size_word(line.fruit_g)))
    facts += [
        say("{} {}", one_line(grade, 40), kg(of)) for grade, of in sorted(line.by_grade.items()) if grade and of
    ]
    facts += [words(money(line.value, currency))] if line.value is not None else []
    if facts:
        yield joined(", ", facts)


def doubt_words(doubt: Doubted) -> str:
    """What in the records cannot be right or may be two things."""
    match doubt:
        case TooEarly(pick):
            return (
                f"{pick.cultivar} was picked on {pick.day}, before it was planted; that pick is left out. "
                "Put its day right: cross it out and write it again."
            )
        case TooHeavy(pick, plants):
            return say("{}, {}: {}", pick.cultivar, f"{pick.day}", pick_doubt(pick.kg or 0.0, plants))
        case TwoOfOneName(first, second):
            return f"{first} and {second} differ in capitals only and are counted apart: two of one name?"


def fair_words(fair: Fair) -> list[str]:
    """What each group gave, the verdict of every pair, and what cannot be told from it."""
    gave = joined(", ", (say("{} of {}", kg(mean), one_line(name, 60)) for name, mean in fair.means.items()))
    where = " in the rows where it was weighed" if fair.unit == "row" else ""
    return [
        say(
            "By {}, a plant{}: {}. The unit is the {}.",
            fair.what,
            where,
            gave or "nothing was weighed",
            fair.unit,
        ),
        *(pair_words(pair) for pair in fair.pairs if pair.looked_at),
        *_undecided(fair),
        *caution_words(fair),
    ]


def pair_words(pair: Pair) -> Sentence:
    """One plain sentence: a difference, or what so many a side could not have shown."""
    (a, b), (n_a, n_b), unit = pair.names, pair.n, pair.unit
    if pair.comparison is None or pair.strict_p is None:
        one_alone = f"one {unit} each" if n_a == n_b else f"{n_a} against {n_b} {unit}s, one alone"
        why = {
            "not weighed": "no weighed picks on one side.",
            "one alone": f"{one_alone} (n = 1), and what else differed cannot be told apart from it.",
            "all equal": "all units are equal, so there is no spread to judge by.",
        }[pair.why_not]
        return say("{} and {}: {} Nothing can be inferred.", a, b, words(why))
    if not pair.looked_at:
        few = "{} and {}: {} and {} {}s are too few to show any difference, however large."
        return say(few, a, b, n_a, n_b, unit)
    comparison = pair.comparison
    looked = f", {pair.looked_at} comparisons looked at" if pair.looked_at > 1 else ""
    span = say("{} a plant", Range(comparison.low, comparison.high, "kg", signed=True))
    if pair.strict_p < LEVEL:
        more = "more" if comparison.difference > 0 else "less"
        by = say("{} a plant", Quantity(comparison.difference, "kg", signed=True))
        return say("{} gave {} than {}: {}, likely {}{}.", a, more, b, by, span, looked)
    return say(
        "No difference shown between {} and {} ({}{}); {} and {} could have shown {} a plant.",
        a,
        b,
        span,
        looked,
        comparison.n_a,
        comparison.n_b,
        kg(comparison.detectable),
    )


def caution_words(fair: Fair) -> list[str]:
    day = fair.counted_to
    runs = f"{day.year} is not over: every season is counted up to {day.day} {day:%B} only." if day else ""
    return [*([runs] if runs else []), *fair.cautions]


def _undecided(fair: Fair) -> list[Sentence]:
    """Once for all pairs that cannot be told apart: how many there are of each, how many it would take."""
    undecided = fair.undecided
    if not undecided:
        return []
    seasons = {"plant": "", "row": ", of this season and later ones,", "season": ""}[fair.unit]
    would = say(
        "It would take at least {} {}s each{} to show even a clear difference.", fair.needed, fair.unit, seasons
    )
    if len(undecided) == 1:
        return [pair_words(undecided[0]), would]
    sizes = {name: n for pair in undecided for name, n in zip(pair.names, pair.n, strict=True)}
    counts = [many(n, fair.unit) if k == 0 else str(n) for k, n in enumerate(sizes.values())]
    samples = joined(", ", (say("{} of {}", n, one_line(name, 60)) for name, n in zip(sizes, counts, strict=True)))
    pairs = "No two" if len(undecided) == len(fair.pairs) else f"{len(undecided)} pairs"
    cannot = "can" if len(undecided) == len(fair.pairs) else "cannot"
    return [say("{} {} be told apart: {}. {}", pairs, cannot, samples, would)]


def _compared(back: LookBack) -> Section:
    """Each pair by itself; what they all have in common beneath."""
    compared = back.compared
    if isinstance(compared, str):
        return _section("compared", "Compared", [_item("compared none", one_line(compared, LONGEST_NOTE))])
    items = [_item(f"compared {n}", sentence) for n, sentence in enumerate(fair_words(compared))]
    return _section("compared", f"Compared by {compared.what}", items)


def _this_week(back: LookBack) -> list[Section]:
    """Nothing where there is one year only."""
    if back.this_week is None:
        return []
    week, number = back.this_week, back.record.growing_year.week_number(back.this_week.week)
    this_year, last_year = (
        words("not weighed") if of is None else say("{}", kg(of)) for of in (week.kg, week.kg_last_year)
    )
    sentence = say("Week {}: {} so far, {} by this week last year", number, this_year, last_year)
    return [_section("seasons", "This week last year", [_item("this week", sentence)])]


def weeks_table(back: LookBack) -> Section:
    """Picked so far by ISO week, a column a year."""
    years, growing = sorted(back.curves)[-YEARS:], back.record.growing_year
    title = words("Picked so far")
    if not years:
        return Section("weeks", title, items=(_item("weeks none", words("No pick was weighed.")),))
    items = []
    for week in sorted({week for year in years for week in back.curves[year]}):
        cells = [so_far(back.curves[year], week) for year in years]
        shown = ("-" if of is None else say("{}", kg(of)) for of in cells)
        items.append(Item(f"week {week}", (str(growing.week_number(week)), *shown)))
    columns = (
        Column("week", right=True),
        *(Column(growing.name(year), unit="kg", right=True, room=8) for year in years),
    )
    return Section("weeks", title, columns, tuple(items))


def _stems(back: LookBack) -> Section:
    longest = sorted(back.stems, key=lambda stem: (-stem.times_wire, stem.leader))
    if not longest:
        return _section("stems", "Stems against the wire", (), "No stem was measured.")
    items = [
        Item(
            f"stem {stem.leader}",
            (
                stem.leader,
                say("{}", m(stem.length_m)),
                say("{}", m(stem.wire_m)),
                words(f"{stem.times_wire:.1f} times the wire"),
            ),
        )
        for stem in longest[:MOST_STEMS]
    ]
    if len(longest) > MOST_STEMS:
        items.append(_item("stems more", words(f"and {len(longest) - MOST_STEMS} shorter; --json lists all")))
    columns = (
        Column("stem"),
        Column("long", unit="m", right=True),
        Column("its wire", unit="m", right=True, rank=1),
        Column(),
    )
    return Section("stems", words("Stems against the wire, longest first"), columns, tuple(items))


def _clips(back: LookBack) -> Section:
    items = [
        Item(
            f"clip {clip.clip_kind}",
            (
                one_line(clip.clip_kind, 60) or "kind not said",
                *map(str, (clip.hung, clip.holding, clip.taken_back, clip.came_down, sum(clip.failed.values()))),
            ),
            more=_failed_words(clip),
        )
        for clip in back.clips
    ]
    if not items:
        return _section("clips", "Clips", (), "None was hung.")
    if warnings := warnings_words(back.warnings):
        items.append(_item("clips told", words(warnings)))
    heads = ("hung", "holding", "taken back", "down with the plant", "failed")
    ranks = (0, 0, 2, 3, 0)
    columns = (
        Column("kind"),
        *(Column(head, right=True, rank=rank) for head, rank in zip(heads, ranks, strict=True)),
    )
    return Section("clips", words("Clips"), columns, tuple(items))


def _failed_words(clip: ClipRecord) -> tuple[Sentence, ...]:
    """How they failed, and at which way of use, age and load."""
    if not clip.failed:
        return ()
    failed = ", ".join(f"{n} {how.replace('_', ' ')}" for how, n in clip.failed.items())
    ways = ", ".join(f"{bad} of {hung} on the {way}" for way, (hung, bad) in clip.by_way.items())
    ages = ", ".join(f"{n} in week {age}" for age, n in clip.failed_by_weeks.items())
    bands = [
        say("{} of {} {}", band.failed, band.clips, _load_words(band.low_n, band.high_n)) for band in clip.by_load
    ]
    unknown, unknown_failed = clip.load_unknown
    bands += [words(f"{unknown_failed} of {unknown} at a load that is not known")] if unknown else []
    return (
        words(f"failed: {failed}"),
        words(f"by way: {ways}"),
        words(f"by full weeks hung: {ages}"),
        say("by load: {}", joined(", ", bands)),
    )


def _load_words(low_n: float, high_n: float | None) -> Sentence:
    if high_n is None:
        return say("over {}", load(low_n))
    return say("under {}", load(high_n)) if low_n == 0 else say("at {}", Range(low_n, high_n, "N"))


def air_words(cost: AirCost) -> Sentence:
    """What the air of one tunnel took, in a few words."""
    set_ = ""
    if cost.set_share is not None:
        set_ = say(
            " By the published response {}% as many flowers set as in good air.", round(100 * cost.set_share)
        )
    return say(
        "{} under {}, {} over {}, of {} read.{}",
        many(cost.cold_nights, "night"),
        degc(COLD_C, 0),
        many(cost.hot_days, "day"),
        degc(HOT_C, 0),
        many(cost.days_read, "day"),
        set_,
    )


def _labour(back: LookBack) -> Section:
    if not back.labour:
        return _section("hours", "Hours", (), "Nothing was timed.")
    items = [
        Item(
            f"labour {spent.chore}",
            (
                spent.chore.replace("_", " "),
                f"{spent.minutes:.0f}",
                str(spent.times),
                "-" if spent.minutes_per_plant is None else f"{spent.minutes_per_plant:.1f}",
                words("-") if spent.minutes_per_kg is None else _pace(spent.minutes_per_kg),
            ),
        )
        for spent in back.labour
    ]
    if back.minutes_per_kg is not None:
        items.append(_item("labour all", _pace(back.minutes_per_kg) + ", all that was timed over all weighed"))
    columns = (
        Column("work"),
        Column("min", right=True),
        Column("times", right=True),
        Column("min a plant", right=True, rank=1),
        Column(unit="min/kg", right=True, rank=2),
    )
    return Section("hours", words("Hours"), columns, tuple(items))


def _pace(minutes_per_kg: float) -> Sentence:
    return say("{}", Quantity(minutes_per_kg, "min/kg"))


def _beds(back: LookBack) -> Section:
    items = []
    for bed in back.beds:
        treatments = [say("{}", one_line(bed.making, 200) or "making not said")]
        treatments += [say("{} on {}", how, f"{day}") for day, how in bed.dressings if how != bed.making]
        amounts: list[str] = [say("{}", litres(bed.feed_litres))] if bed.feed_litres is not None else []
        amounts += [many(round(bed.feed_cans), "can")] if bed.feed_cans is not None else []
        given = joined(", ", amounts)
        treatments.append(say("{}{}", many(bed.feeds, "feed"), say(" ({})", given) if given else ""))
        gave = [say("{}", kg(bed.kg)) if bed.kg is not None else words("not weighed")]
        gave += [say("{} of bed", Quantity(bed.kg_per_m2, "kg/m2"))] if bed.kg_per_m2 is not None else []
        gave += [say("{} a plant", kg(bed.kg_per_plant))] if bed.kg_per_plant is not None else []
        sentence = say("{}; gave {}", joined("; ", treatments), joined(", ", gave))
        items.append(_item(f"bed {bed.tunnel} {bed.bed}", _named(_bed_words(bed), sentence)))
    if len(items) > 1:
        items.append(_item("beds n", words("One bed each way is no trial: light, plants and water differed too.")))
    return _section(
        "beds", "Beds: made, dressed and fed against what they gave", items, "No bed is in the holding."
    )


def _bed_words(bed: BedRecord) -> str:
    """A bed that is called after its tunnel does not name the tunnel again."""
    called = bed_words(bed.bed)
    return called if bed.tunnel in called.split() else f"{bed.tunnel}, {called}"


def _held(back: LookBack) -> Section:
    """A row a kind of forecast; how many forecasts each share rests on stands beside it."""
    scored: dict[str, dict[int, Score]] = {}
    for backtest in back.held.backtests:
        for score in backtest.horizons:
            if not backtest.cultivar and score.inside_90 is not None:
                scored.setdefault(backtest.what, {})[score.days] = score
    title = "How often the 90% intervals held, by days ahead"
    if not scored:
        return _section("held", title, (), "Nothing to score yet.")
    days = sorted({day for by_days in scored.values() for day in by_days})
    items = [
        Item(f"held {what}", (what, *(_held_words(by_days.get(day)) for day in days)))
        for what, by_days in scored.items()
    ]
    return Section("held", words(title), (Column(), *(Column(many(day, "day")) for day in days)), tuple(items))


def _held_words(score: Score | None) -> str:
    if score is None:
        return "-"
    return f"{100 * (score.inside_90 or 0):.0f}% of {score.n}{_lay(score.bias, score.mae)}"


def _lay(bias: float | None, mae: float | None) -> str:
    """Which way forecasts lay, where most of them lay there; '' where they lay on both sides."""
    if not bias or not mae or abs(bias) < mae / 2:
        return ""
    return ", told too much" if bias > 0 else ", told too little"


def _notes(back: LookBack) -> Section:
    items = (
        _item(
            f"note {n}",
            " ".join(filter(None, (f"{lesson.day}", lesson.about, one_line(lesson.text, LONGEST_NOTE)))),
        )
        for n, lesson in enumerate(back.notes)
    )
    return _section("notes", f"Notes for this stage: {STAGE_WORDS[back.stage]}", items, "None.")


def _clearing(back: LookBack) -> Section:
    end = back.clearing
    down = f", {end.clips_down} came down with cleared plants" if end.clips_down else ""
    items = [
        _item(
            "clearing count",
            words(
                f"To count back: {end.clips_up} clips and {end.hooks_up} hooks; {end.clips_back} are back{down}"
            ),
        )
    ]
    if end.green_kg is not None:
        ripened = say("{}", kg(end.ripened_kg)) if end.ripened_kg is not None else "not noted"
        lost = say(", lost {}", kg(end.lost_kg)) if end.lost_kg is not None else ""
        items.append(
            _item("clearing green", say("Stripped green {}; ripened {}{}", kg(end.green_kg), ripened, lost))
        )
    if end.rows:
        order = "Order of work: strip green, clips bottom up into the pocket, hooks, then the stems."
        items.append(_item("clearing order", words(order)))
    items += [_item(f"clearing bed {bed.bed}", _bed_clearing(bed)) for bed in end.beds]
    items += [_item(f"clearing {row.row}", _row_clearing(row)) for row in end.rows]
    return _section("clearing", "Clearing", items)


def _bed_clearing(bed: BedClearing) -> Sentence:
    """What becomes of a bed's plants, and of what hung them."""
    parts = [f"{many(bed.plants - bed.suspects, 'plant')} to the compost"]
    parts += [f"{many(bed.suspects, 'suspect')} off the land"] if bed.suspects else []
    things = (bed.clips, "clip"), (bed.twines, "string")
    rots = [_backs([back for back in of if back.compost], thing) for of, thing in things]
    parts += [f"with them {', '.join(filter(None, rots))}"] if any(rots) else []
    clips = _backs([clip for clip in bed.clips if not clip.compost], "clip")
    parts.append(f"back to their boxes {', '.join(filter(None, (clips, many(bed.hooks, 'hook'))))}")
    kept = [twine for twine in bed.twines if not twine.compost]
    parts += [f"off the stems first {_backs(kept, 'string')}"] if kept else []
    if bed.bed:
        parts.append(
            "first season noted with this crop" if bed.crops < 2 else f"{bed.crops} seasons with this crop"
        )
    return _named(f"{bed_words(bed.bed) if bed.bed else 'no bed'} ({', '.join(bed.rows)})", "; ".join(parts))


def _backs(backs: Iterable[Back], thing: str) -> str:
    parts = []
    for back in backs:
        kind = one_line(back.kind, 60)
        of = f"{back.count} {kind}" if thing == "clip" and kind else many(back.count, thing)
        parts.append(" ".join(filter(None, (of, f"of {kind}" if thing == "string" and kind else "", _box(back)))))
    return ", ".join(parts)


def _box(back: Back) -> str:
    """Its pool and year; '' where the holding says neither."""
    where = " ".join(filter(None, (one_line(back.pool, 40), str(back.year or ""))))
    return f"({where})" if where else ""


def _row_clearing(row: RowClearing) -> Sentence:
    kinds = ", ".join(f"{n} {one_line(kind, 60) or 'clips'}" for kind, n in row.clips.items()) or "no clip"
    parts = [f"{kinds}, {row.hooks} hooks, {row.strings} strings", f"from {row.order[0]} to {row.order[-1]}"]
    if row.suspects:
        parts.append(f"{_listed(row.suspects)} last, bagged and off the land")
    parts += [f"measure {_listed(row.to_measure)} once down"] if row.to_measure else []
    parts += [f"the holding intends {_listed(row.intended)} for its places next"] if row.intended else []
    return _named(row.row, "; ".join(parts))


def _listed(names: Iterable[str]) -> str:
    return ", ".join(one_line(name, 60) for name in names)


def review_text(back: LookBack, units: Units, only: str = "") -> str:
    """``only`` is the key of one section; '' for all."""
    page = season_page(back)
    sections = tuple(section for section in page.sections if only in ("", section.key))
    return plain_text(Page(NOTHING, sections), units)


def fair_text(fair: Fair, units: Units) -> str:
    return "".join(f"{line}\n" for words in fair_words(fair) for line in wrapped(words, "", "  ", units=units))
