"""The look back in sentences, section by section: the Season screen and its plain twin say the same. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from tunneltui.chores.wording import bed_words, many
from tunneltui.report.units import Units
from tunneltui.review.beds import BedRecord
from tunneltui.review.clearing import RowClearing
from tunneltui.review.clip_survival import ClipRecord
from tunneltui.review.compare import verdict
from tunneltui.review.fair import Fair, Pair
from tunneltui.review.grading import size_word
from tunneltui.review.look_back import LookBack
from tunneltui.review.seasons import so_far
from tunneltui.review.yields import Yield
from tunneltui.season.stage import STAGE_WORDS
from tunneltui.store.words import one_line

LONGEST_NOTE = 2_000
MOST_STEMS = 12
YEARS = 4
"""Seasons side by side in one table."""


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a section before it is cut to a width; ``key`` says what of, '' for a sentence of its own."""

    words: str
    key: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    key: str
    title: str
    items: tuple[Item, ...]
    kept_together: bool = False
    """Columns stand under each other: its items are never wrapped."""


def span_words(since: date | None, until: date | None) -> str:
    if since is None and until is None:
        return "everything noted"
    if since and until and (since.month, since.day, until.month, until.day) == (1, 1, 12, 31):
        return f"season {since.year}" if since.year == until.year else f"seasons {since.year} to {until.year}"
    return f"{since or 'the beginning'} to {until or 'now'}"


def sections(back: LookBack, units: Units) -> list[Section]:
    """Everything of the look back, in the order in which it is read."""
    return [
        _yields(back, units),
        *_doubts(back),
        _compared(back, units),
        *_this_week(back, units),
        weeks_table(back, units),
        _stems(back, units),
        _clips(back, units),
        _labour(back, units),
        _beds(back, units),
        _held(back),
        _notes(back),
        _clearing(back, units),
    ]


def _yields(back: LookBack, units: Units) -> Section:
    title = f"What came off, by {back.by}, {span_words(back.since, back.until)}"
    items = [Item(yield_words(line, units, back.currency), f"yield {line.group}") for line in _worth_a_line(back)]
    if not any(line.first_pick for line in back.yields):
        items.append(Item("No pick was noted in that span."))
    if back.value is not None:
        without = f"; {units.mass(back.kg_without_price)} have no price" if back.kg_without_price else ""
        items.append(Item(f"Value at your prices: {money(back.value, back.currency)}{without}"))
    elif any(line.kg for line in back.yields):
        items.append(Item("Value: no cultivar has a price_per_kg in the holding."))
    return Section("yields", title, tuple(items))


def _worth_a_line(back: LookBack) -> list[Yield]:
    """By place, only those that were picked or lost from: most growers weigh by the row."""
    if back.by != "place":
        return back.yields
    return [line for line in back.yields if line.first_pick or line.lost_kg]


def money(value: float, currency: str) -> str:
    return f"{value:,.2f} {one_line(currency, 20)}".rstrip()


def yield_words(line: Yield, units: Units, currency: str) -> str:
    """Everything known of one group; what was not weighed is not there."""
    weighed = line.kg > 0
    said = [units.mass(line.kg if weighed else None) if line.first_pick else "no pick"]
    said += [f"{line.count} fruits"] if line.count is not None else []
    said += [f"{line.fruit_g:.0f} g each ({size_word(line.fruit_g)})"] if line.fruit_g is not None else []
    if line.lost_kg:
        why = ", ".join(f"{one_line(why, 40)} {units.mass(kg)}" for why, kg in line.lost_by_why.items() if kg)
        said.append(f"{units.mass(line.lost_kg)} lost ({why})")
    if line.kg_per_plant is not None and weighed:
        alone = " (n = 1)" if line.plants == 1 else ""
        said.append(f"{units.mass(line.kg_per_plant)} a plant of {line.plants}{alone}")
    said += [
        f"{one_line(grade, 40)} {units.mass(kg)}" for grade, kg in sorted(line.by_grade.items()) if grade and kg
    ]
    said += [units.per_area(line.kg_per_m2)] if line.kg_per_m2 is not None and weighed else []
    said += [money(line.value, currency)] if line.value is not None else []
    when = f"; {line.first_pick} to {line.last_pick}, {line.days / 7:.1f} weeks" if line.first_pick else ""
    return f"{one_line(line.group, 200) or 'not said'}: {', '.join(said)}{when}"


def _doubts(back: LookBack) -> list[Section]:
    items = tuple(Item(one_line(doubt, LONGEST_NOTE)) for doubt in back.doubts)
    return [Section("doubts", "Put right first", items)] if items else []


def fair_words(found: Fair, units: Units) -> list[str]:
    """What each group gave, the verdict of every pair, and what cannot be told from it."""
    gave = ", ".join(f"{one_line(name, 60)} {units.mass(kg)}" for name, kg in found.means.items())
    where = " in the rows where it was weighed" if found.unit == "row" else ""
    lines = [f"By {found.what}, a plant{where}: {gave or 'nothing was weighed'}. The unit is the {found.unit}."]
    lines += [one_line(_pair_words(pair, units), LONGEST_NOTE) for pair in found.pairs]
    lines += [f"{one_line(caution, LONGEST_NOTE)}" for caution in found.cautions]
    return lines


def _pair_words(pair: Pair, units: Units) -> str:
    one = pair.found
    if not units.imperial or one is None or pair.strict_p is None or not pair.looked_at:
        return pair.says
    shown = replace(
        one,
        difference=units.mass_of(one.difference),
        low=units.mass_of(one.low),
        high=units.mass_of(one.high),
        detectable=units.mass_of(one.detectable),
    )
    return verdict(shown, pair.strict_p, pair.names, f"{units.mass_unit} a plant", pair.looked_at)


def _compared(back: LookBack, units: Units) -> Section:
    """Each pair by itself; what they all have in common beneath."""
    found = back.compared
    if isinstance(found, str):
        return Section("compared", "Compared", (Item(one_line(found, LONGEST_NOTE)),))
    items = [Item(words, f"compared {n}") for n, words in enumerate(fair_words(found, units))]
    return Section("compared", f"Compared by {found.what}", tuple(items))


def _this_week(back: LookBack, units: Units) -> list[Section]:
    """Nothing where there is one year only."""
    items = []
    if back.this_week is not None:
        now, then = (units.mass(kg) for kg in (back.this_week.kg, back.this_week.kg_last_year))
        items.append(Item(f"Week {back.this_week.week}: {now} so far, {then} by this week last year"))
    return [Section("seasons", "This week last year", tuple(items))] if items else []


def weeks_table(back: LookBack, units: Units) -> Section:
    """Picked so far by ISO week, a column a year."""
    years = sorted(back.curves)[-YEARS:]
    items = [Item("week " + "".join(f"{year:>10}" for year in years))]
    for week in sorted({week for year in years for week in back.curves[year]}):
        cells = [so_far(back.curves[year], week) for year in years]
        shown = ["         -" if kg is None else f"{units.mass_of(kg):10.1f}" for kg in cells]
        items.append(Item(f"{week:4d} " + "".join(shown), f"week {week}"))
    if not years:
        items = [Item("No pick was weighed.")]
    return Section("weeks", f"Picked so far, {units.mass_unit}", tuple(items), kept_together=True)


def _stems(back: LookBack, units: Units) -> Section:
    if not back.stems:
        return Section("stems", "Stems against the wire", (Item("No stem was measured."),))
    longest = sorted(back.stems, key=lambda stem: (-stem.times_wire, stem.leader))
    items = [
        Item(
            f"{stem.leader}: {units.length(stem.length_m)}, {stem.times_wire:.1f} times the wire's "
            f"{units.length(stem.wire_m)}",
            f"stem {stem.leader}",
        )
        for stem in longest[:MOST_STEMS]
    ]
    if len(longest) > MOST_STEMS:
        items.append(Item(f"and {len(longest) - MOST_STEMS} shorter; --json lists all"))
    return Section("stems", "Stems against the wire, longest first", tuple(items))


def _clips(back: LookBack, units: Units) -> Section:
    items = [Item(words, f"clip {clip.clip_kind}") for clip in back.clips for words in clip_words(clip, units)]
    return Section("clips", "Clips", tuple(items) or (Item("None was hung."),))


def clip_words(clip: ClipRecord, units: Units) -> list[str]:
    """By kind, then the failed ones by way, age and load."""
    kind = one_line(clip.clip_kind, 60) or "kind not said"
    down = f", {clip.came_down} came down with the plant" if clip.came_down else ""
    says = f"{kind}: {clip.hung} hung, {clip.holding} holding, {clip.taken_back} back{down}"
    if not clip.failed:
        return [f"{says}; none failed"]
    failed = ", ".join(f"{n} {how.replace('_', ' ')}" for how, n in clip.failed.items())
    ways = ", ".join(f"{bad} of {hung} on the {way}" for way, (hung, bad) in clip.by_way.items())
    ages = ", ".join(f"{n} in week {age}" for age, n in clip.failed_by_weeks.items())
    lines = [f"{says}; failed {failed}", f"{kind}, failed by way: {ways}; by full weeks hung: {ages}"]
    bands = [
        f"{band.failed} of {band.clips} {_load_words(band.low_n, band.high_n, units)}" for band in clip.by_load
    ]
    unknown, unknown_failed = clip.load_unknown
    bands += [f"{unknown_failed} of {unknown} at a load that is not known"] if unknown else []
    return [*lines, f"{kind}, failed by load: {', '.join(bands)}"]


def _load_words(low_n: float, high_n: float | None, units: Units) -> str:
    if high_n is None:
        return f"over {units.load(low_n)}"
    return f"under {units.load(high_n)}" if low_n == 0 else f"at {units.load(low_n)} to {units.load(high_n)}"


def _labour(back: LookBack, units: Units) -> Section:
    items = []
    for spent in back.labour:
        said = [f"{spent.minutes:.0f} min in {spent.times}"]
        said += [f"{spent.minutes_per_plant:.1f} min a plant"] if spent.minutes_per_plant is not None else []
        said += [units.minutes_per_mass(spent.minutes_per_kg)] if spent.minutes_per_kg is not None else []
        items.append(Item(f"{spent.chore.replace('_', ' ')}: {', '.join(said)}", f"labour {spent.chore}"))
    if back.minutes_per_kg is not None:
        items.append(Item(f"{units.minutes_per_mass(back.minutes_per_kg)}, all that was timed over all weighed"))
    return Section("hours", "Hours", tuple(items) or (Item("Nothing was timed."),))


def _beds(back: LookBack, units: Units) -> Section:
    items = []
    for bed in back.beds:
        says = [f"{_bed_words(bed)}: {one_line(bed.made, 200) or 'making not said'}"]
        says += [f"{one_line(how, 200)} on {day}" for day, how in bed.dressings if how != bed.made]
        amounts = [units.volume(bed.feed_litres)] if bed.feed_litres is not None else []
        amounts += [many(round(bed.feed_cans), "can")] if bed.feed_cans is not None else []
        says.append(many(bed.feeds, "feed") + (f" ({', '.join(amounts)})" if amounts else ""))
        gave = [units.mass(bed.kg)]
        gave += [units.per_area(bed.kg_per_m2)] if bed.kg_per_m2 is not None else []
        gave += [f"{units.mass(bed.kg_per_plant)} a plant"] if bed.kg_per_plant is not None else []
        items.append(Item(f"{'; '.join(says)}; gave {', '.join(gave)}", f"bed {bed.tunnel} {bed.bed}"))
    if len(items) > 1:
        items.append(Item("One bed each way is no trial: light, plants and water differed too."))
    return Section(
        "beds",
        "Beds: made, dressed and fed against what they gave",
        tuple(items) or (Item("No bed is in the holding."),),
    )


def _bed_words(bed: BedRecord) -> str:
    """A bed that is called after its tunnel is not said with it again."""
    words = bed_words(bed.bed)
    return words if bed.tunnel in words.split() else f"{bed.tunnel}, {words}"


def _held(back: LookBack) -> Section:
    items = []
    for one in back.held.backtests:
        scored = [s for s in one.horizons if not one.cultivar and s.inside_90 is not None]
        said = ", ".join(f"{many(s.days, 'day')} {100 * (s.inside_90 or 0):.0f}% (n {s.n})" for s in scored)
        items += [Item(f"{one.what}: {said}", f"held {one.what}")] if said else []
    return Section(
        "held",
        "How often the 90% intervals held, by days ahead",
        tuple(items) or (Item("Nothing to score yet."),),
    )


def _notes(back: LookBack) -> Section:
    items = [
        Item(" ".join(filter(None, (f"{one.day}", one.about, one_line(one.text, LONGEST_NOTE)))), f"note {n}")
        for n, one in enumerate(back.notes)
    ]
    return Section("notes", f"Notes for this stage: {STAGE_WORDS[back.stage]}", tuple(items) or (Item("None."),))


def _clearing(back: LookBack, units: Units) -> Section:
    end = back.clearing
    down = f", {end.clips_down} came down with cleared plants" if end.clips_down else ""
    items = [
        Item(f"To count back: {end.clips_up} clips and {end.hooks_up} hooks; {end.clips_back} are back{down}")
    ]
    if end.green_kg is not None:
        ripened = units.mass(end.ripened_kg) if end.ripened_kg is not None else "not noted"
        lost = f", lost {units.mass(end.lost_kg)}" if end.lost_kg is not None else ""
        items.append(Item(f"Stripped green {units.mass(end.green_kg)}; ripened {ripened}{lost}"))
    if end.rows:
        items.append(Item("Order of work: strip green, clips bottom up into the pocket, hooks, then the stems."))
    items += [Item(_row_clearing(row), f"clearing {row.row}") for row in end.rows]
    return Section("clearing", "Clearing", tuple(items))


def _row_clearing(row: RowClearing) -> str:
    kinds = ", ".join(f"{n} {one_line(kind, 60) or 'clips'}" for kind, n in row.clips.items()) or "no clip"
    says = [f"{kinds}, {row.hooks} hooks, {row.strings} strings", f"from {row.order[0]} to {row.order[-1]}"]
    if row.suspects:
        says.append(f"{_listed(row.suspects)} last, bagged and off the land, the rest to the compost")
    else:
        says.append("no suspect noted: to the compost")
    says += [f"measure {_listed(row.to_measure)} once down"] if row.to_measure else []
    if row.bed:
        again = "for the first season noted" if row.crops < 2 else f"in {row.crops} seasons"
        says.append(f"{row.bed} bore this crop {again}")
    says += [f"the holding intends {_listed(row.intended)} for its places next"] if row.intended else []
    return f"{row.row}: {'; '.join(says)}"


def _listed(names: Iterable[str]) -> str:
    return ", ".join(one_line(name, 60) for name in names)
