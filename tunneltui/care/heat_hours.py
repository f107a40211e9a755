"""How a coming day's heat feels, hour by hour, and when overhead work should be done by.

The hours are those of the last day read whole, moved by as much as the most expected inside today differs from
that day's, with the vapour in the air kept. Indices are for shade: sun under plastic comes on top.
"""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

from tunneltui.care.heat import Feels, feels, overhead_done_by
from tunneltui.care.margin import day_margin
from tunneltui.care.moist_air import saturation_vapour_kpa
from tunneltui.care.tunnel_air import air_on, issued_for
from tunneltui.journal.kinds_care import Air
from tunneltui.season.state import Season

LOOK_BACK_DAYS = 7
FEWEST_HOURS = 20


class DayHeat(Struct, frozen=True):
    """Hours of one day inside, moved from a day that was read."""

    hours_c: tuple[float | None, ...]
    hours_rh: tuple[float | None, ...]
    read_on: date
    moved_k: float
    """None was issued: 0, the day as it was read."""
    issued: bool

    @property
    def worst(self) -> Feels | None:
        """How the worst hour feels; None where no hour is known."""
        felt = [feels(t, rh) for t, rh in zip(self.hours_c, self.hours_rh, strict=False) if t is not None and rh]
        return max(felt, key=lambda hour: (hour.humidex, hour.wet_bulb_globe_c), default=None)

    @property
    def done_by(self) -> int | None:
        """The local hour from which overhead work strains greatly; None: not that day."""
        hour = overhead_done_by(self.hours_c, self.hours_rh)
        # The clock changes in the small hours, before any heat: later hours count from the day's own end.
        return None if hour is None else hour + 24 - len(self.hours_c)


def day_heat(season: Season, tunnel: str, day: date) -> DayHeat | None:
    """Heat of a day from today on; None where no whole day with humidity was read in the last week."""
    tunnel_and_air = _last_whole_day(season, tunnel)
    if tunnel_and_air is None:
        return None
    read_on, air = tunnel_and_air
    _, high = issued_for(season, day)
    moved_k = 0.0
    if high is not None:
        warmest = max(t for t in air.hours_c if t is not None)
        moved_k = day_margin(season, tunnel).over(high)[1] - (air.max_c if air.max_c is not None else warmest)
    hours = [_moved(t, rh, moved_k) for t, rh in zip(air.hours_c, air.hours_rh, strict=False)]
    return DayHeat(tuple(t for t, _ in hours), tuple(rh for _, rh in hours), read_on, moved_k, high is not None)


def _last_whole_day(season: Season, tunnel: str) -> tuple[date, Air] | None:
    for back in range(1, LOOK_BACK_DAYS + 1):
        day = season.day - timedelta(days=back)
        air = air_on(season, tunnel, day)
        if air is None:
            continue
        whole_hours = [
            t for t, rh in zip(air.hours_c, air.hours_rh, strict=False) if t is not None and rh is not None
        ]
        if len(whole_hours) >= FEWEST_HOURS:
            return day, air
    return None


def _moved(air_c: float | None, rh: float | None, by_k: float) -> tuple[float | None, float | None]:
    if air_c is None or rh is None:
        return None, None
    vapour = saturation_vapour_kpa(air_c) * rh / 100
    return air_c + by_k, min(100.0, 100 * vapour / saturation_vapour_kpa(air_c + by_k))
