"""When to take the tip out: after the last truss that can still ripen by the last pick has flowered.

The last useful flowering day is the latest from which fruit development reaches ripe by the last pick. The last
pick is the day the bed is wanted back or, where none is given, the first day of the typical year too cold for
fruit to ripen, no later than a usual season after planting; that is an assumption and marked as one.
"""

from __future__ import annotations

from bisect import bisect_left
from datetime import date, timedelta
from functools import lru_cache
from math import floor

from msgspec import Struct

from tunneltui.growth.air import AirSeries, air_series, typical_c
from tunneltui.growth.courses import RipeCourse
from tunneltui.growth.forecast import DAYS, Basis, basis_of
from tunneltui.growth.ripening import RipeningFactor, SizePace
from tunneltui.season.state import Leader, Season

TOO_COLD_C = 9.0
"""Daily mean in the tunnel under which a vine is given up: frost at night is near. Common practice, no source. In
the typical year that is 14 November at 50 degrees north, 12 October at 58."""
SEASON = timedelta(days=200)
"""From planting to the last pick where no end is given and no cold comes sooner: about 70 days to the first ripe
truss (Adams, Cockshull & Cave 2001: 65 days from the open flower at 18 degC) and 130 of picking (common practice;
124 in an unheated tunnel in New York, 1 July to 2 November, SARE ONE04-028). Old vines are given up in autumn
where no frost comes, too."""
LAST_DAYS = 14
QUICKEST_DAYS = 35
"""No truss ripens sooner (open data: 36 to 42 days at 24 degC, topped plants)."""
YEAR = 366


class LastPick(Struct, frozen=True):
    day: date
    assumed: bool
    """No day was given: the typical year's cold, or a usual season's end, stands in."""


class TipOut(Struct, frozen=True):
    """When a leader's tip is best taken out."""

    leader: str
    on: date
    """The day its last useful truss flowers; it may have gone by."""
    last_truss: int
    last_flowering: date
    """Trusses that flower later are not ripe by the last pick."""
    last_pick: LastPick


def last_pick(season: Season) -> LastPick | None:
    """The last day fruit is picked; None where no day was given, the typical year is never too cold and the crop
    has stood for longer than is usual."""
    wanted_back = season.holding.work.bed_wanted_back
    planted_on = min((leader.planted_on for leader in season.leaders.values()), default=None)
    # The end noted of an earlier crop tells nothing of this one's.
    if wanted_back is not None and (planted_on is None or planted_on < wanted_back):
        return LastPick(wanted_back, assumed=False)
    planted_on = planted_on or season.day
    end = _usual_end(planted_on, season.holding.latitude_deg)
    return LastPick(end, assumed=True) if end is not None else None


def in_last_fortnight(season: Season) -> frozenset[str]:
    """The tunnels, by key, that are in the fortnight before the last pick or past it, unless their crop was said
    to go on."""
    end = last_pick(season)
    if end is None or (end.day - season.day).days >= LAST_DAYS:
        return frozenset()
    go_on = {about for day, about, body in season.crop_ends if day > end.day and not body.over}
    return frozenset(tunnel.key for tunnel in season.holding.tunnels if go_on.isdisjoint(("", tunnel.key)))


@lru_cache(maxsize=64)
def _usual_end(planted_on: date, latitude_deg: float | None) -> date | None:
    """Of a crop, whatever the day on which one asks."""
    usual = planted_on + SEASON
    for ahead in range(YEAR):
        day = planted_on + timedelta(days=ahead)
        today_c, next_c = (typical_c(day.toordinal() + n, latitude_deg) for n in (0, 1))
        # The cold of spring, while days grow warmer, ends no season: it is before its beginning.
        if day == usual or (today_c < TOO_COLD_C and next_c < today_c):
            return day
    return None


@lru_cache(maxsize=512)
def last_useful_flowering(
    last: date, air: AirSeries, factor: RipeningFactor, pace: SizePace | None = None
) -> date | None:
    """The latest day on which a truss may flower and be ripe, or of picking size, by ``last``; None: not within
    the air given. The same air is worked out once: a tick changes none."""
    ripe = RipeCourse(air, factor, pace=pace)

    def too_late(flowered: int) -> bool:
        ripe_day = ripe.ripe_day(flowered)
        return ripe_day is None or ripe_day > last.toordinal()

    # Who flowers later is ripe later, as factors fade slowly: halved, not walked through.
    latest = last.toordinal() - (QUICKEST_DAYS if pace is None else 1)
    in_time = bisect_left(range(air.first, latest + 1), True, key=too_late)
    return date.fromordinal(air.first + in_time - 1) if in_time else None


def basis_until(season: Season, end: LastPick) -> Basis:
    """What is learned, with the air carried on to the last pick."""
    return basis_of(season, max(DAYS, (end.day - season.day).days))


def tip_outs(season: Season, basis: Basis | None = None) -> dict[str, TipOut]:
    """For every leader whose tip is still in, by id; none where no last pick is known. ``basis``: what is learned
    up to the last pick, where it was worked out before."""
    end = last_pick(season)
    if end is None or end.day < season.day:
        return {}
    basis = basis or basis_until(season, end)
    flowering: dict[tuple[str, str], date | None] = {}
    outs = {}
    for name, leader in season.leaders.items():
        if leader.tip_taken_out_on is not None:
            continue
        key = (season.layout.rows[leader.row][0].key, leader.cultivar)
        if key not in flowering:
            first = min(leader.planted_on, season.day)
            air = air_series(season, key[0], first, end.day)
            kind = basis.traits[leader.cultivar]
            pace = None if kind.days_to_pick is None else SizePace(kind.days_to_pick, kind.crop.no_growth_c)
            flowering[key] = last_useful_flowering(end.day, air, basis.ripening[leader.cultivar], pace)
        last_day = flowering[key]
        if last_day is not None:
            outs[name] = _tip_out(leader, basis.leaders[name].trusses.flowered, last_day, end)
    return outs


def _tip_out(leader: Leader, flowered: tuple[float, ...], last_day: date, end: LastPick) -> TipOut:
    useful = [day for day in flowered if day < last_day.toordinal() + 1]
    on = date.fromordinal(floor(useful[-1])) if useful else last_day
    return TipOut(leader.id, on, len(useful), last_day, end)
