"""The look back: what came off, fair comparisons, stems, clips, hours, beds, notes and the clearing."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tunneltui.cells import (
    Band,
    Quantity,
    Sentence,
    Units,
    bed_words,
    degc,
    inked,
    joined,
    kg,
    litres,
    load,
    m,
    many,
    one_line,
    say,
    words,
)
from tunneltui.loads.told import told_words
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
from tunneltui.review.yields import By, Doubted, TooEarly, TooHeavy, TwoOfOneName, Yield
from tunneltui.season.stage import STAGE_WORDS

LONGEST_NOTE = 2_000
MOST_STEMS = 12
YEARS = 4
"""Seasons side by side in one table."""


def span_words(since: date | None, until: date | None) -> str:
    if since is None and until is None:
        return "everything noted"
    if since and until and (since.month, since.day, until.month, until.day) == (1, 1, 12, 31):
        return f"season {since.year}" if since.year == until.year else f"seasons {since.year} to {until.year}"
    return f"{since or 'the beginning'} to {until or 'now'}"


def weeks_title(cultivar: str) -> Sentence:
    """Above the picture of a cultivar's weeks."""
    return say("{}: kilograms a week, as weighed and as foreseen", cultivar)


def air_title(tunnel: str) -> Sentence:
    return say("air of tunnel {}: lowest, mean and highest of each week", tunnel)


def season_page(back: LookBack) -> Page:
    """Everything of the look back, in the order in which it is read."""
    return Page(
        say("{}, by {}", words(span_words(back.since, back.until)), back.by),
        (
            _yields(back),
            *_doubts(back),
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


def _item(key: str, said: str) -> Item:
    return Item(key, lengths=(said,))


def _named(name: str, said: str) -> Sentence:
    """What is spoken of, then what is said of it."""
    return inked("place", say("{}:", name)) + " " + said


def _yields(back: LookBack) -> Section:
    items = [
        _item(f"yield {line.group}", yield_words(line, back.currency, back.by)) for line in _worth_a_line(back)
    ]
    if not any(line.first_pick for line in back.yields):
        items.append(_item("yields none", words("No pick was noted in that span.")))
    if back.value is not None:
        without = say("; {} have no price", kg(back.kg_without_price, 1)) if back.kg_without_price else ""
        items.append(_item("value", say("Value at your prices: {}{}", money(back.value, back.currency), without)))
    elif any(line.kg for line in back.yields):
        items.append(_item("value", words("Value: no cultivar has a price_per_kg in the holding.")))
    return _section("yields", f"What came off, by {back.by}, {span_words(back.since, back.until)}", items)


def _worth_a_line(back: LookBack) -> list[Yield]:
    """By place, only those that were picked or lost from: most growers weigh by the row."""
    if back.by != "place":
        return back.yields
    return [line for line in back.yields if line.first_pick or line.lost_kg]


def money(value: float, currency: str) -> str:
    return f"{value:,.2f} {one_line(currency, 20)}".rstrip()


def yield_words(line: Yield, currency: str, by: By = "cultivar") -> Sentence:
    """Everything known of one group; what was not weighed is not there."""
    weighed = line.kg > 0
    if not line.first_pick:
        said = [words("no pick")]
    else:
        said = [say("{}", kg(line.kg)) if weighed else words("not weighed")]
    said += [words(f"{line.count} fruits")] if line.count is not None else []
    if line.fruit_g is not None:
        said.append(say("{} each ({})", Quantity(line.fruit_g / 1000, "g"), size_word(line.fruit_g)))
    if line.lost_kg:
        why = joined(
            ", ", (say("{} {}", one_line(why, 40), kg(lost)) for why, lost in line.lost_by_why.items() if lost)
        )
        said.append(say("{} lost ({})", kg(line.lost_kg), why))
    if line.kg_per_plant is not None and weighed:
        alone = " (n = 1)" if line.plants == 1 else ""
        said.append(say("{} a plant of {}{}", kg(line.kg_per_plant), line.plants, alone))
    said += [
        say("{} {}", one_line(grade, 40), kg(of)) for grade, of in sorted(line.by_grade.items()) if grade and of
    ]
    if weighed:
        bed = "its share of the bed" if by == "row" else "bed"
        said += [_per_area(line.kg_per_m2, bed)] if line.kg_per_m2 is not None else []
        said += [_per_area(line.kg_per_floor_m2, "floor")] if line.kg_per_floor_m2 is not None else []
    said += [words(money(line.value, currency))] if line.value is not None else []
    when = f"; {line.first_pick} to {line.last_pick}, {line.days / 7:.1f} weeks" if line.first_pick else ""
    return _named(one_line(line.group, 200) or "not said", joined(", ", said) + when)


def _per_area(kg_m2: float, ground: str) -> Sentence:
    return say("{} of {}", Quantity(kg_m2, "kg/m2"), ground)


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


def _doubts(back: LookBack) -> list[Section]:
    items = [
        _item(f"doubt {n}", one_line(doubt, LONGEST_NOTE)) for n, doubt in enumerate(map(doubt_words, back.doubts))
    ]
    return [_section("doubts", "Put right first", items)] if items else []


def fair_words(found: Fair) -> list[str]:
    """What each group gave, the verdict of every pair, and what cannot be told from it."""
    gave = joined(", ", (say("{} {}", one_line(name, 60), kg(mean)) for name, mean in found.means.items()))
    where = " in the rows where it was weighed" if found.unit == "row" else ""
    return [
        say(
            "By {}, a plant{}: {}. The unit is the {}.",
            found.what,
            where,
            gave or "nothing was weighed",
            found.unit,
        ),
        *(pair_words(pair) for pair in found.pairs if pair.looked_at),
        *_untold(found),
        *caution_words(found),
    ]


def pair_words(pair: Pair) -> Sentence:
    """One plain sentence: a difference, or what so many a side could not have shown."""
    (a, b), (n_a, n_b), unit = pair.names, pair.n, pair.unit
    if pair.found is None or pair.strict_p is None:
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
    found = pair.found
    looked = f", {pair.looked_at} comparisons looked at" if pair.looked_at > 1 else ""
    span = say("{} a plant", Band(found.low, found.high, "kg", signed=True))
    if pair.strict_p < LEVEL:
        more = "more" if found.difference > 0 else "less"
        by = say("{} a plant", Quantity(found.difference, "kg", signed=True))
        return say("{} gave {} than {}: {}, likely {}{}.", a, more, b, by, span, looked)
    return say(
        "No difference shown between {} and {} ({}{}); {} and {} could have shown {} a plant.",
        a,
        b,
        span,
        looked,
        found.n_a,
        found.n_b,
        kg(found.detectable),
    )


def caution_words(found: Fair) -> list[str]:
    day = found.counted_to
    runs = f"{day.year} is not over: every season is counted up to {day.day} {day:%B} only." if day else ""
    return [*([runs] if runs else []), *found.cautions]


def _untold(found: Fair) -> list[Sentence]:
    """Once for all pairs that cannot be told apart: how many there are of each, how many it would take."""
    untold = found.untold
    if not untold:
        return []
    seasons = {"plant": "", "row": ", of this season and later ones,", "season": ""}[found.unit]
    would = say(
        "It would take at least {} {}s each{} to show even a clear difference.", found.needed, found.unit, seasons
    )
    if len(untold) == 1:
        return [pair_words(untold[0]), would]
    there = {name: n for pair in untold for name, n in zip(pair.names, pair.n, strict=True)}
    each = joined(", ", (say("{} {}", one_line(name, 60), n) for name, n in there.items()))
    pairs = "No two" if len(untold) == len(found.pairs) else f"{len(untold)} pairs"
    cannot = "can" if len(untold) == len(found.pairs) else "cannot"
    return [say("{} {} be told apart; {}s each: {}. {}", pairs, cannot, found.unit, each, would)]


def _compared(back: LookBack) -> Section:
    """Each pair by itself; what they all have in common beneath."""
    found = back.compared
    if isinstance(found, str):
        return _section("compared", "Compared", [_item("compared none", one_line(found, LONGEST_NOTE))])
    items = [_item(f"compared {n}", said) for n, said in enumerate(fair_words(found))]
    return _section("compared", f"Compared by {found.what}", items)


def _this_week(back: LookBack) -> list[Section]:
    """Nothing where there is one year only."""
    if back.this_week is None:
        return []
    week = back.this_week
    now, then = (words("not weighed") if of is None else say("{}", kg(of)) for of in (week.kg, week.kg_last_year))
    said = say("Week {}: {} so far, {} by this week last year", week.week, now, then)
    return [_section("seasons", "This week last year", [_item("this week", said)])]


def weeks_table(back: LookBack) -> Section:
    """Picked so far by ISO week, a column a year."""
    years = sorted(back.curves)[-YEARS:]
    title = words("Picked so far")
    if not years:
        return Section("weeks", title, items=(_item("weeks none", words("No pick was weighed.")),))
    items = []
    for week in sorted({week for year in years for week in back.curves[year]}):
        cells = [so_far(back.curves[year], week) for year in years]
        shown = ("-" if of is None else say("{}", kg(of)) for of in cells)
        items.append(Item(f"week {week}", (str(week), *shown)))
    columns = (Column("week", right=True), *(Column(str(year), unit="kg", right=True, room=8) for year in years))
    return Section("weeks", title, columns, tuple(items))


def _stems(back: LookBack) -> Section:
    longest = sorted(back.stems, key=lambda stem: (-stem.times_wire, stem.leader))
    items = [
        _item(
            f"stem {stem.leader}",
            _named(
                stem.leader,
                say("{}, {} times the wire's {}", m(stem.length_m), f"{stem.times_wire:.1f}", m(stem.wire_m)),
            ),
        )
        for stem in longest[:MOST_STEMS]
    ]
    if len(longest) > MOST_STEMS:
        items.append(_item("stems more", words(f"and {len(longest) - MOST_STEMS} shorter; --json lists all")))
    title = "Stems against the wire, longest first" if longest else "Stems against the wire"
    return _section("stems", title, items, "No stem was measured.")


def _clips(back: LookBack) -> Section:
    items = [
        Item(f"clip {clip.clip_kind}" + (f" {n}" if n else ""), lengths=(said,))
        for clip in back.clips
        for n, said in enumerate(clip_words(clip))
    ]
    items += [_item("clips told", words(told))] if (told := told_words(back.told)) else []
    return _section("clips", "Clips", items, "None was hung.")


def clip_words(clip: ClipRecord) -> list[Sentence]:
    """By kind, then the failed ones by way, age and load."""
    kind = one_line(clip.clip_kind, 60) or "kind not said"
    down = f", {clip.came_down} came down with the plant" if clip.came_down else ""
    says = f"{clip.hung} hung, {clip.holding} holding, {clip.taken_back} back{down}"
    if not clip.failed:
        return [_named(kind, f"{says}; none failed")]
    failed = ", ".join(f"{n} {how.replace('_', ' ')}" for how, n in clip.failed.items())
    ways = ", ".join(f"{bad} of {hung} on the {way}" for way, (hung, bad) in clip.by_way.items())
    ages = ", ".join(f"{n} in week {age}" for age, n in clip.failed_by_weeks.items())
    bands = [
        say("{} of {} {}", band.failed, band.clips, _load_words(band.low_n, band.high_n)) for band in clip.by_load
    ]
    unknown, unknown_failed = clip.load_unknown
    bands += [words(f"{unknown_failed} of {unknown} at a load that is not known")] if unknown else []
    return [
        _named(kind, f"{says}; failed {failed}"),
        say("{}, failed by way: {}; by full weeks hung: {}", kind, ways, ages),
        say("{}, failed by load: {}", kind, joined(", ", bands)),
    ]


def _load_words(low_n: float, high_n: float | None) -> Sentence:
    if high_n is None:
        return say("over {}", load(low_n))
    return say("under {}", load(high_n)) if low_n == 0 else say("at {}", Band(low_n, high_n, "N"))


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
    items = []
    for spent in back.labour:
        said = [words(f"{spent.minutes:.0f} min in {spent.times}")]
        said += (
            [words(f"{spent.minutes_per_plant:.1f} min a plant")] if spent.minutes_per_plant is not None else []
        )
        said += [_pace(spent.minutes_per_kg)] if spent.minutes_per_kg is not None else []
        items.append(_item(f"labour {spent.chore}", _named(spent.chore.replace("_", " "), joined(", ", said))))
    if back.minutes_per_kg is not None:
        items.append(_item("labour all", _pace(back.minutes_per_kg) + ", all that was timed over all weighed"))
    return _section("hours", "Hours", items, "Nothing was timed.")


def _pace(minutes_per_kg: float) -> Sentence:
    return say("{}", Quantity(minutes_per_kg, "min/kg"))


def _beds(back: LookBack) -> Section:
    items = []
    for bed in back.beds:
        says = [say("{}", one_line(bed.made, 200) or "making not said")]
        says += [say("{} on {}", one_line(how, 200), f"{day}") for day, how in bed.dressings if how != bed.made]
        amounts: list[str] = [say("{}", litres(bed.feed_litres))] if bed.feed_litres is not None else []
        amounts += [many(round(bed.feed_cans), "can")] if bed.feed_cans is not None else []
        given = joined(", ", amounts)
        says.append(say("{}{}", many(bed.feeds, "feed"), say(" ({})", given) if given else ""))
        gave = [say("{}", kg(bed.kg)) if bed.kg is not None else words("not weighed")]
        gave += [_per_area(bed.kg_per_m2, "bed")] if bed.kg_per_m2 is not None else []
        gave += [say("{} a plant", kg(bed.kg_per_plant))] if bed.kg_per_plant is not None else []
        said = say("{}; gave {}", joined("; ", says), joined(", ", gave))
        items.append(_item(f"bed {bed.tunnel} {bed.bed}", _named(_bed_words(bed), said)))
    if len(items) > 1:
        items.append(_item("beds n", words("One bed each way is no trial: light, plants and water differed too.")))
    return _section(
        "beds", "Beds: made, dressed and fed against what they gave", items, "No bed is in the holding."
    )


def _bed_words(bed: BedRecord) -> str:
    """A bed that is called after its tunnel is not said with it again."""
    called = bed_words(bed.bed)
    return called if bed.tunnel in called.split() else f"{bed.tunnel}, {called}"


def _held(back: LookBack) -> Section:
    items = []
    for one in back.held.backtests:
        scored = [s for s in one.horizons if not one.cultivar and s.inside_90 is not None]
        said = ", ".join(
            f"{many(s.days, 'day')} {100 * (s.inside_90 or 0):.0f}% (n {s.n}{_lay(s.bias, s.mae)})" for s in scored
        )
        items += [_item(f"held {one.what}", _named(one.what, said))] if said else []
    return _section("held", "How often the 90% intervals held, by days ahead", items, "Nothing to score yet.")


def _lay(bias: float | None, mae: float | None) -> str:
    """Which way forecasts lay, where most of them lay there; '' where they lay on both sides."""
    if not bias or not mae or abs(bias) < mae / 2:
        return ""
    return ", told too much" if bias > 0 else ", told too little"


def _notes(back: LookBack) -> Section:
    items = (
        _item(f"note {n}", " ".join(filter(None, (f"{one.day}", one.about, one_line(one.text, LONGEST_NOTE)))))
        for n, one in enumerate(back.notes)
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
    says = [f"{many(bed.plants - bed.suspects, 'plant')} to the compost"]
    says += [f"{many(bed.suspects, 'suspect')} off the land"] if bed.suspects else []
    rots = [_backs([one for one in of if one.compost], thing) for of, thing in _things(bed)]
    says += [f"with them {', '.join(filter(None, rots))}"] if any(rots) else []
    clips = _backs([one for one in bed.clips if not one.compost], "clip")
    says.append(f"back to their boxes {', '.join(filter(None, (clips, many(bed.hooks, 'hook'))))}")
    kept = [one for one in bed.twines if not one.compost]
    says += [f"off the stems first {_backs(kept, 'string')}"] if kept else []
    if bed.bed:
        says.append(
            "first season noted with this crop" if bed.crops < 2 else f"{bed.crops} seasons with this crop"
        )
    return _named(f"{bed_words(bed.bed) if bed.bed else 'no bed'} ({', '.join(bed.rows)})", "; ".join(says))


def _things(bed: BedClearing) -> tuple[tuple[tuple[Back, ...], str], ...]:
    return (bed.clips, "clip"), (bed.twines, "string")


def _backs(backs: Iterable[Back], thing: str) -> str:
    said = []
    for one in backs:
        kind = one_line(one.kind, 60)
        of = f"{one.count} {kind}" if thing == "clip" and kind else many(one.count, thing)
        said.append(" ".join(filter(None, (of, f"of {kind}" if thing == "string" and kind else "", _box(one)))))
    return ", ".join(said)


def _box(one: Back) -> str:
    """Its pool and year; '' where the holding says neither."""
    said = " ".join(filter(None, (one_line(one.pool, 40), str(one.year or ""))))
    return f"({said})" if said else ""


def _row_clearing(row: RowClearing) -> Sentence:
    kinds = ", ".join(f"{n} {one_line(kind, 60) or 'clips'}" for kind, n in row.clips.items()) or "no clip"
    says = [f"{kinds}, {row.hooks} hooks, {row.strings} strings", f"from {row.order[0]} to {row.order[-1]}"]
    if row.suspects:
        says.append(f"{_listed(row.suspects)} last, bagged and off the land")
    says += [f"measure {_listed(row.to_measure)} once down"] if row.to_measure else []
    says += [f"the holding intends {_listed(row.intended)} for its places next"] if row.intended else []
    return _named(row.row, "; ".join(says))


def _listed(names: Iterable[str]) -> str:
    return ", ".join(one_line(name, 60) for name in names)


def review_text(back: LookBack, units: Units, only: str = "") -> str:
    """``only`` is the key of one section; '' for all."""
    page = season_page(back)
    wanted = tuple(section for section in page.sections if only in ("", section.key))
    return plain_text(Page(NOTHING, wanted), units)


def fair_text(found: Fair, units: Units) -> str:
    return "".join(f"{line}\n" for words in fair_words(found) for line in wrapped(words, "", "  ", units=units))
