"""What a planned season would bear: the loads of a morning, asked of planned stems every three weeks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from tunneltui.growth.outlook import Band, LeaderOutlook, Outlook, StemOn
from tunneltui.loads.chain import loads
from tunneltui.loads.result import Loads
from tunneltui.review.plan_season import Coming
from tunneltui.review.plan_stems import held_back_m, hung, tip_z_m
from tunneltui.review.plan_values import Peak
from tunneltui.season.state import Season

FIRST_LOOK_DAYS = 63
LOOK_EVERY_DAYS = 21


def look_days(planted_on: date, last: date) -> list[date]:
    """Days on which a plan's loads are asked: from nine weeks after planting, every three weeks."""
    days, day = [], planted_on + timedelta(days=FIRST_LOOK_DAYS)
    while day <= last:
        days.append(day)
        day += timedelta(days=LOOK_EVERY_DAYS)
    return days or [last]


def peak(coming: Coming, slopes: Mapping[str, float], days: Sequence[date]) -> Peak | None:
    """The greatest loads over these days; None where nothing would stand."""
    if not coming.season.leaders:
        return None
    stems = {day: {name: coming.stem(name, day) for name in coming.season.leaders} for day in days}
    held = max(held_back_m(coming.season, stems[day], slopes, day) for day in days)
    return peak_of([planned_loads(coming.season, stems[day], slopes, day) for day in days], held)


def planned_loads(season: Season, stems: Mapping[str, StemOn], slopes: Mapping[str, float], day: date) -> Loads:
    """``loads.chain.loads`` on planned leaders with planned clips and hooks."""
    standing = hung(season, stems, slopes, day)
    tipped = {
        name: replace(stem, tip_z_m=_same(tip_z_m(season, season.leaders[name], stem.length_m.mid)))
        for name, stem in stems.items()
    }
    return loads(standing, _outlook(tipped, day), day)


def peak_of(looks: Sequence[Loads], held_m: float) -> Peak:
    fullest = max(looks, key=lambda look: _fullest_string(look)[0])
    newton, line = _fullest_string(fullest)
    string = next((one for one in fullest.lines if one.id == line), None)
    wire_n, wire = max(((w.tension_n, w.row) for look in looks for w in look.wires), default=(0.0, ""))
    hoop_n, hoop = max(
        ((h.load_n, f"{h.tunnel} at {h.x_m:.1f} m") for look in looks for h in look.hoops), default=(0.0, "")
    )
    rows = {
        row.row: max(r.hanging_kg for look in looks for r in look.rows if r.row == row.row) for row in fullest.rows
    }
    return Peak(
        fullest.day,
        line,
        Band(string.low_n, newton, string.high_n) if string else Band(0.0, 0.0, 0.0),
        wire,
        wire_n,
        hoop,
        hoop_n,
        rows,
        held_m,
        max(len(look.faults) for look in looks),
    )


def _fullest_string(look: Loads) -> tuple[float, str]:
    """Hooks are named by their leader, strings by row and number."""
    return max(((line.mid_n, line.id) for line in look.lines if "/" in line.id), default=(0.0, ""))


def _outlook(stems: Mapping[str, StemOn], day: date) -> Outlook:
    week_on = day + timedelta(days=7)
    still = _same(0.0)
    leaders = {
        name: LeaderOutlook(
            name, {day: stem, week_on: replace(stem, day=week_on)}, None, still, still, (None, None, None)
        )
        for name, stem in stems.items()
    }
    return Outlook(day, leaders, (), air_typical=True)


def _same(value: float) -> Band:
    return Band(value, value, value)
