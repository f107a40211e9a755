"""Everything a season taught, gathered for one page: crop, stems, clips, hours, feeds, notes, clearing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from tunneltui.growth.backtest import Backtests, backtest
from tunneltui.growth.forecast import outlook
from tunneltui.holding.layout import row_id
from tunneltui.journal.entry import Entry
from tunneltui.review.clip_survival import ClipRecord, clip_survival
from tunneltui.review.labour import Labour, labour, minutes_per_kg
from tunneltui.review.record import Record, record, within
from tunneltui.review.seasons import Curve, WeekAgainst, curves, this_week
from tunneltui.review.yields import By, Yield, yields
from tunneltui.season.state import Season

JUST_PLANTED_DAYS = 14
"""Common practice, no source: how long a planting counts as such."""


@dataclass(frozen=True, slots=True)
class StemAgainstWire:
    leader: str
    length_m: float
    wire_m: float
    times_wire: float


@dataclass(frozen=True, slots=True)
class BedRecord:
    """How a bed was made and fed, and what it gave; None where not weighed or its area is unknown."""

    tunnel: str
    bed: str
    made: str
    feeds: int
    """Feeds said of its rows, its tunnel or the whole house."""
    kg: float | None
    kg_per_m2: float | None


@dataclass(frozen=True, slots=True)
class Clearing:
    clips_up: int
    clips_back: int
    hooks_up: int
    green_kg: float | None
    ripened_kg: float | None


@dataclass(frozen=True, slots=True, eq=False)
class LookBack:
    day: date
    since: date | None
    until: date | None
    by: By
    yields: list[Yield]
    curves: dict[int, Curve]
    this_week: WeekAgainst | None
    stems: list[StemAgainstWire]
    clips: list[ClipRecord]
    labour: list[Labour]
    minutes_per_kg: float | None
    beds: list[BedRecord]
    stage: str
    notes: list[tuple[date, str, str]]
    """(day, about, text) of those that belong to the present stage."""
    clearing: Clearing
    held: Backtests


def look_back(
    entries: Sequence[Entry], season: Season, by: By, since: date | None = None, until: date | None = None
) -> LookBack:
    """Picks, losses and hours of the span; stems, clips, notes and forecasts as of the season's day."""
    everything = record(entries, season)
    spanned = within(everything, since, until)
    stage = crop_stage(season)
    found = curves(everything)
    return LookBack(
        season.day,
        since,
        until,
        by,
        yields(spanned, by),
        found,
        this_week(found, season.day),
        stems_against_wire(season),
        clip_survival(season),
        labour(spanned),
        minutes_per_kg(spanned),
        bed_records(season, spanned, since, until),
        stage,
        [(day, about, note.text) for day, about, note in season.notes if note.stage and note.stage == stage],
        _clearing(season, spanned),
        backtest(entries, season.day),
    )


def stems_against_wire(season: Season) -> list[StemAgainstWire]:
    """Likely length of every stem that was measured, in walking order."""
    coming = outlook(season)
    found = []
    for id_, leader in season.leaders.items():
        ahead = coming.leaders.get(id_)
        if ahead is None or ahead.measured_on is None or season.day not in ahead.days:
            continue
        length_m = ahead.days[season.day].length_m.mid
        wire_m = season.layout.rows[leader.row][1].wire_height_m
        found.append(StemAgainstWire(leader.name, length_m, wire_m, length_m / wire_m))
    return found


def bed_records(season: Season, written: Record, since: date | None, until: date | None) -> list[BedRecord]:
    """Every bed of the holding; picks said of a whole tunnel belong to no bed."""
    first, last = since or date.min, until or date.max
    found = []
    for tunnel in season.holding.tunnels:
        for bed in tunnel.beds:
            rows = {row_id(tunnel, row) for row in tunnel.rows if row.bed == bed.key}
            weighed = [pick.kg for pick in written.picks if pick.site.row in rows and pick.kg is not None]
            kg = sum(weighed) if weighed else None
            fed = [day for day, about, _ in season.feeds if about in rows | {tunnel.key, ""}]
            per_m2 = kg / bed.area_m2 if kg is not None and bed.area_m2 else None
            feeds = sum(first <= day <= last for day in fed)
            found.append(BedRecord(tunnel.key, bed.key, bed.made, feeds, kg, per_m2))
    return found


def crop_stage(season: Season) -> str:
    """The stage the crop is in, in the words of a note's ``stage``."""
    leaders = list(season.leaders.values())
    if not leaders:
        return "clearing" if any((season.day - day).days < 60 for day in season.ended.values()) else "raising"
    planted = min(leader.planted_on for leader in leaders)
    if all(leader.tip_taken_out_on is not None for leader in leaders):
        return "tip_out"
    if any(pick.day >= planted for pick in season.picks):
        return "picking"
    return "planting" if (season.day - planted).days <= JUST_PLANTED_DAYS else "before_first_pick"


def _clearing(season: Season, written: Record) -> Clearing:
    clips = clip_survival(season)
    green = [one.kg for one in written.stripped if one.kg is not None]
    ripened = [one.ripened_kg for one in written.stripped if one.ripened_kg is not None]
    return Clearing(
        sum(kind.holding for kind in clips),
        sum(kind.taken_back for kind in clips),
        sum(leader.hook is not None for leader in season.leaders.values()),
        sum(green) if green else None,
        sum(ripened) if ripened else None,
    )
