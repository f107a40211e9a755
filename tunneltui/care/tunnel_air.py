"""What the journal knows of a tunnel's air: past days as read, coming days as issued, nothing filled in."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

from msgspec import Struct

from tunneltui.care.disease_weather import BLIGHT_NIGHT_C, DayAir
from tunneltui.growth.air import Forecasts, is_part_day, issued_since
from tunneltui.journal.kinds_care import Air
from tunneltui.memo import ById
from tunneltui.season.state import Season

RECENT_DAYS = 3
ISSUED_DAYS = 56
"""No weather is issued for days further ahead (assumed)."""


class Inside(Struct, frozen=True):
    """Recent inside extremes, the mean of the days that were read."""

    min_c: float
    max_c: float
    rh_min: float | None
    rh_max: float | None
    days_read: int


def air_on(season: Season, tunnel: str, day: date) -> Air | None:
    """The tunnel's own air of that day, else what was noted for all tunnels."""
    for key in (tunnel, ""):
        air = season.airs.get(key, {}).get(day)
        if air is not None:
            return air
    return None


def whole_ends(air: Air | None) -> tuple[float, float] | None:
    """(least, most) of a day that was read whole; None where an end or part of the day was not read."""
    if air is None or air.min_c is None or air.max_c is None or air.min_c > air.max_c or is_part_day(air):
        return None
    return air.min_c, air.max_c


def day_air(season: Season, tunnel: str, day: date) -> DayAir:
    """One day for the disease criteria; what was not read stays unknown."""
    air = air_on(season, tunnel, day)
    if air is None:
        return DayAir(None, (), ())
    low_c = air.min_c
    if is_part_day(air) and low_c is not None and low_c >= BLIGHT_NIGHT_C:
        low_c = None  # the hours nobody read may have been colder
    return DayAir(low_c, air.hours_c, air.hours_rh)


def recent_inside(season: Season, tunnel: str) -> Inside | None:
    """The last three days before today that were read whole; None where none was."""
    days = [season.day - timedelta(days=back) for back in range(1, RECENT_DAYS + 1)]
    read = [air for day in days if (air := air_on(season, tunnel, day)) and whole_ends(air)]
    ends = [day_ends for air in read if (day_ends := whole_ends(air))]
    if not ends:
        return None
    humid = [rh for air in read for rh in air.hours_rh if rh is not None]
    return Inside(
        sum(low for low, _ in ends) / len(ends),
        sum(high for _, high in ends) / len(ends),
        min(humid) if humid else None,
        max(humid) if humid else None,
        len(ends),
    )


def issued_for(season: Season, day: date) -> tuple[float | None, float | None]:
    """(minimum, maximum) outside for a day by the forecast issued last; None where nothing was issued."""
    return _issued_for(ById(season.forecasts), day)


@lru_cache(maxsize=256)
def _issued_for(forecasts: ById[Forecasts], day: date) -> tuple[float | None, float | None]:
    """Every tunnel asks for the days of the last weeks."""
    latest: tuple[float | None, float | None] = (None, None)
    newest = ""
    for first, forecast in issued_since(forecasts.value, day - timedelta(days=ISSUED_DAYS)):
        ahead = (day - first).days
        if ahead < 0 or forecast.issued < newest:
            continue
        low = forecast.min_c[ahead] if ahead < len(forecast.min_c) else None
        high = forecast.max_c[ahead] if ahead < len(forecast.max_c) else None
        if low is not None or high is not None:
            latest, newest = (low, high), forecast.issued
    return latest
