"""Everything a season taught, gathered for one page: crop, stems, clips, hours, feeds, notes, clearing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from random import Random

from msgspec import Struct

from tunneltui.growth.backtest import Backtests, backtest
from tunneltui.growth.forecast import outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.user_error import Fault, UserError
from tunneltui.journal.entry import Entry
from tunneltui.loads.calibration import WarningRecord, clip_histories, warning_records
from tunneltui.loads.chain import loads
from tunneltui.loads.result import Loads
from tunneltui.review.beds import BedRecord, bed_records
from tunneltui.review.clearing import Clearing, clearing
from tunneltui.review.clip_survival import ClipRecord, clip_survival
from tunneltui.review.fair import Fair, fair
from tunneltui.review.fair_units import What, weighed_names
from tunneltui.review.labour import Labour, labour, minutes_per_kg
from tunneltui.review.record import SeasonRecord, record, within
from tunneltui.review.seasons import Curve, WeekAgainst, curves, this_week
from tunneltui.review.yields import By, Doubted, Yield, doubts, worth, yields
from tunneltui.season.stage import Lesson, Stage, crop_stage, lessons
from tunneltui.season.state import Season


class StemAgainstWire(Struct, frozen=True):
    leader: str
    length_m: float
    wire_m: float
    times_wire: float


class LookBack(Struct, frozen=True, eq=False):
    day: date
    since: date | None
    until: date | None
    by: By
    currency: str
    record: SeasonRecord
    """All that was recorded, whatever the span."""
    yields: list[Yield]
    doubts: list[Doubted]
    """What in the records cannot be right."""
    value: float | None
    """Of all the span's kilograms that have a price."""
    kg_without_price: float
    curves: dict[int, Curve]
    """Of every season, whatever the span."""
    this_week: WeekAgainst | None
    stems: list[StemAgainstWire]
    clips: list[ClipRecord]
    warnings: tuple[WarningRecord, ...]
    """Failures of clips foreseen against those that happened, of the plants that stand."""
    labour: list[Labour]
    minutes_per_kg: float | None
    beds: list[BedRecord]
    stage: Stage
    notes: list[Lesson]
    """Those that belong to the present stage."""
    clearing: Clearing
    held: Backtests
    compared: Fair | Fault
    """All that were weighed, held against each other; why they cannot be."""


def look_back(
    entries: Sequence[Entry],
    season: Season,
    by: By,
    since: date | None = None,
    until: date | None = None,
    *,
    written: SeasonRecord | None = None,
    coming: Outlook | None = None,
    held: Backtests | None = None,
    bearing: Loads | None = None,
    compare: What = "cultivar",
) -> LookBack:
    """Picks, losses, hours, feeds and clips of the span; stems, notes and forecasts as of the season's day.

    ``written``, all that was recorded, ``coming``, ``held`` and ``bearing``, the day's loads, are worked out where
    they are not at hand.
    """
    coming = coming or outlook(season)
    everything = written or record(entries, season)
    spanned = within(everything, since, until)
    years = curves(everything)
    workings = (bearing or loads(season, coming, season.day, alone=True)).workings
    clips = clip_survival(season, {} if workings is None else clip_histories(workings), since, until)
    value, without_price = worth(everything, spanned.picks)
    return LookBack(
        season.day,
        since,
        until,
        by,
        season.holding.currency,
        everything,
        yields(spanned, by),
        doubts(spanned),
        value,
        without_price,
        years,
        this_week(years, everything.growing_year, season.day),
        stems_against_wire(season, coming),
        clips,
        () if workings is None else warning_records(workings),
        labour(spanned),
        minutes_per_kg(spanned),
        bed_records(season, spanned, since, until),
        crop_stage(season),
        lessons(season),
        clearing(season, everything, spanned.stripped, clip_survival(season, {})),
        held or backtest(entries, season.day, season),
        comparison(season, everything if compare in OVER_SEASONS else spanned, compare),
    )


OVER_SEASONS: tuple[What, ...] = ("row", "season")
"""Compared over all seasons: one season alone would leave one of each."""


PLURALS: dict[What, str] = {
    "cultivar": "cultivars",
    "row": "rows",
    "training": "ways of training",
    "season": "seasons",
}


def comparison(season: Season, written: SeasonRecord, what: What) -> Fair | Fault:
    """All of a sort that were weighed, or why they cannot be compared. The same records give the same answer."""
    if len(weighed_names(written, what)) < 2:
        return Fault(f"Fewer than two {PLURALS[what]} were weighed: nothing can be compared.")
    try:
        return fair(written, season, what, (), Random(0))
    except UserError as trouble:
        return Fault(trouble.problem)


def stems_against_wire(season: Season, coming: Outlook) -> list[StemAgainstWire]:
    """Likely length of every stem that was measured, in walking order."""
    stems = []
    for id_, leader in season.leaders.items():
        ahead = coming.leaders.get(id_)
        if ahead is None or ahead.measured_on is None or season.day not in ahead.days:
            continue
        length_m = ahead.days[season.day].length_m.mid
        wire_m = season.layout.rows[leader.row][1].wire_height_m
        stems.append(StemAgainstWire(leader.name, length_m, wire_m, length_m / wire_m))
    return stems
