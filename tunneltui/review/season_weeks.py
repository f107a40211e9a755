"""One season week by week, for a page a grower shows others: picked and foreseen, stems, air, clips.

Weeks are named by their Monday. What was not read, weighed or noted is not there; nothing is nought for it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from statistics import fmean

from msgspec import Struct

from tunneltui.growth.air import air_series, daily_mean_c
from tunneltui.growth.defaults import PLANTED_LENGTH_M
from tunneltui.growth.forecast import basis_of
from tunneltui.growth.fruit import LOOK_BACK_DAYS, LOOK_ON_DAYS, set_share
from tunneltui.growth.leader import length_on
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Air
from tunneltui.review.plan_against import kg_foreseen_by_week, monday
from tunneltui.review.record import record
from tunneltui.review.season_learned import this_season
from tunneltui.season.state import Season

ByWeek = Mapping[date, float]
COLD_C, HOT_C = 5.0, 35.0
"""A night that chills fruit, a day that harms flowers. Common practice, no source."""
WEEK = timedelta(days=7)
TOGETHER = timedelta(days=14)
"""Plants of one cultivar put in within so long of the first are of one age."""
READ_FROM = timedelta(days=35)
"""A stem first measured later than this after planting does not tell how it grew before."""
FLOWERS_AFTER = timedelta(days=14)
"""From so long after planting flowers open. Assumed: planted with the truss showing."""
LOOK_BACK, LOOK_ON = timedelta(days=LOOK_BACK_DAYS), timedelta(days=LOOK_ON_DAYS)


class AirWeek(Struct, frozen=True):
    """Lowest and highest read, and the mean of the days read."""

    low_c: float | None
    mean_c: float | None
    high_c: float | None


class AirCost(Struct, frozen=True):
    """What the air of one tunnel took."""

    cold_nights: int
    """Under ``COLD_C``."""
    hot_days: int
    """Over ``HOT_C``."""
    days_read: int
    set_share: float | None
    """Mean share of flowers that set by the published response, 0 to 1; None where no air was read meanwhile."""


class SeasonWeeks(Struct, frozen=True, eq=False):
    began: date
    last: date
    kg: Mapping[str, ByWeek]
    """Weighed, by cultivar."""
    foreseen_kg: Mapping[str, ByWeek]
    """By cultivar, as it was foreseen before the season."""
    stems_m: Mapping[str, ByWeek]
    """Mean length of the measured stems at the week's end, by cultivar; their tips out or not."""
    wire_m: float
    """Mean height of the wires over what was planted."""
    air: Mapping[str, Mapping[date, AirWeek]]
    """By tunnel."""
    air_cost: Mapping[str, AirCost]
    clips_hung: ByWeek
    clips_failed: ByWeek


def season_weeks(entries: Sequence[Entry], season: Season) -> SeasonWeeks | None:
    """The last season; None where nothing was planted yet."""
    lived = this_season(season)
    if not lived.leaders:
        return None
    began = min(leader.planted_on for leader in lived.leaders.values())
    picks = [pick for pick in record(entries, season).picks if pick.day >= began and pick.kg is not None]
    ends = [lived.ended.get(leader.plant, lived.day) for leader in lived.leaders.values()]
    last = max([*(pick.day for pick in picks), *ends])
    tunnels = dict.fromkeys(season.layout.rows[leader.row][0].key for leader in lived.leaders.values())
    kg: dict[str, dict[date, float]] = defaultdict(lambda: defaultdict(float))
    for pick in picks:
        kg[pick.cultivar][monday(pick.day)] += pick.kg or 0.0
    endings = [ending for leader in lived.leaders.values() for ending in leader.endings if not ending.fixing.tie]
    fixings = [f for leader in lived.leaders.values() for f in leader.fixings if not f.tie]
    fixings += [ending.fixing for ending in endings]
    wires = [season.layout.rows[leader.row][1].wire_height_m for leader in lived.leaders.values()]
    return SeasonWeeks(
        began,
        last,
        {name: dict(of) for name, of in sorted(kg.items())},
        kg_foreseen_by_week(entries, season),
        _stems_m(lived, last),
        fmean(wires),
        {name: _air(season, name, began, last) for name in tunnels},
        {name: _cost(season, name, began, last) for name in tunnels},
        _counted(fixing.hung_on for fixing in fixings),
        _counted(ending.day for ending in endings if ending.how is not None),
    )


def _counted(days: Iterable[date]) -> dict[date, float]:
    counted: dict[date, float] = defaultdict(float)
    for day in days:
        counted[monday(day)] += 1
    return dict(sorted(counted.items()))


def _stems_m(lived: Season, last: date) -> dict[str, dict[date, float]]:
    """Of stems planted first and read from early on, wound back from the last length by their growth."""
    lengths: dict[str, dict[date, list[float]]] = defaultdict(lambda: defaultdict(list))
    first: dict[str, date] = {}
    for leader in lived.leaders.values():
        first[leader.cultivar] = min(leader.planted_on, first.get(leader.cultivar, leader.planted_on))
    for basis in basis_of(lived).leaders.values():
        if basis.leader.planted_on > first[basis.leader.cultivar] + TOGETHER:
            continue
        rates = _m_a_day([(g.start, g.end, g.grown.cm / 100) for g in basis.evidence.growths])
        if not rates or min(rates) > (basis.leader.planted_on + READ_FROM).toordinal():
            continue
        out = min(lived.ended.get(basis.leader.plant, last), last)
        end_m = length_on(basis, out.toordinal()).mid
        week = monday(basis.leader.planted_on) + WEEK
        while week <= out:
            later_m = sum(m for day, m in rates.items() if week.toordinal() <= day < out.toordinal())
            lengths[basis.leader.cultivar][week - WEEK].append(max(PLANTED_LENGTH_M, end_m - later_m))
            week += WEEK
    return {
        cultivar: {week: fmean(lengths_m) for week, lengths_m in sorted(by_week.items())}
        for cultivar, by_week in sorted(lengths.items())
    }


def _m_a_day(growths: Iterable[tuple[int, int, float]]) -> dict[int, float]:
    """By day what was read to have grown on it; where two readings span a day, their mean."""
    rates: dict[int, list[float]] = defaultdict(list)
    for start, end, grown_m in growths:
        for day in range(start, end):
            rates[day].append(grown_m / (end - start))
    return {day: fmean(read) for day, read in rates.items()}


def _airs(season: Season, tunnel: str, began: date, last: date) -> dict[date, Air]:
    """Read days; what was said of the whole house stands in for a tunnel of no reading of its own."""
    read = season.airs.get("", {}) | season.airs.get(tunnel, {})
    return {day: air for day, air in sorted(read.items()) if began <= day <= last}


def _air(season: Season, tunnel: str, began: date, last: date) -> dict[date, AirWeek]:
    weeks: dict[date, list[Air]] = defaultdict(list)
    for day, air in _airs(season, tunnel, began, last).items():
        weeks[monday(day)].append(air)
    return {
        week: AirWeek(
            min((air.min_c for air in airs if air.min_c is not None), default=None),
            _mean([c for air in airs if (c := daily_mean_c(air)) is not None]),
            max((air.max_c for air in airs if air.max_c is not None), default=None),
        )
        for week, airs in weeks.items()
    }


def _mean(values: Sequence[float]) -> float | None:
    return fmean(values) if values else None


def _cost(season: Season, tunnel: str, began: date, last: date) -> AirCost:
    read = _airs(season, tunnel, began, last)
    flowers = [day for day in read if day >= began + FLOWERS_AFTER and day <= last - LOOK_ON]
    set_ = []
    if flowers:
        air = air_series(season, tunnel, began, last)
        set_ = [
            set_share(air.mean_over((day - LOOK_BACK).toordinal(), (day + LOOK_ON).toordinal())) for day in flowers
        ]
    return AirCost(
        sum(air.min_c is not None and air.min_c < COLD_C for air in read.values()),
        sum(air.max_c is not None and air.max_c > HOT_C for air in read.values()),
        len(read),
        _mean(set_),
    )
