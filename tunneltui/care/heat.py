"""Heat: on fruit set some days before flowers open, and on the person under the plastic."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.care.moist_air import dew_point_c, humidex, wet_bulb_globe_shade_c

SET_MEAN_C = 25.5
"""Daily mean above which set suffers; 25 to 26 degC in protected crops (Agronomy 2014, 4(1):167)."""
SET_HOT_C, SET_HOT_HOURS = 40.0, 3
"""Three hours above 40 degC on two days running can fail a truss (Purdue Vegetable Crops Hotline)."""
DAYS_BEFORE_FLOWERING = 9
"""Pollen is hurt about this long before the flower opens (same)."""
HUMIDEX_SOME, HUMIDEX_GREAT = 30.0, 40.0
"""Environment Canada's bands: some discomfort, great discomfort (avoid exertion)."""
WET_BULB_GLOBE_MODERATE_C, WET_BULB_GLOBE_HIGH_C = 25.0, 31.0
RIPENING_STOPS_C = 30.0
"""Red colour fails above about this (advice of extension services)."""


class HotDay(Struct, frozen=True):
    """What a day's hours say; None where hours are missing, never a guess."""

    hot_hours: int | None
    mean_c: float | None

    @property
    def long_hot(self) -> bool | None:
        return None if self.hot_hours is None else self.hot_hours >= SET_HOT_HOURS


UNREAD = HotDay(None, None)


def harms_set(day: HotDay, before: HotDay = UNREAD) -> bool | None:
    """Whether a day's heat harms flowers to come: by its mean, or by its hot hours and those of the day before."""
    if day.mean_c is not None and day.mean_c > SET_MEAN_C:
        return True
    two_days = (day.long_hot, before.long_hot)
    return False if False in two_days else None if None in two_days else True


def hot_day(hours_c: Sequence[float | None], mean_c: float | None) -> HotDay:
    """A day's hours above the limit; unknown unless every hour was read or enough are already too hot."""
    hot = sum(1 for t in hours_c if t is not None and t > SET_HOT_C)
    hours_known = bool(hours_c) and None not in hours_c
    return HotDay(hot if hours_known or hot >= SET_HOT_HOURS else None, mean_c)


def flowers_harmed(day: date) -> date:
    """About when the flowers open that heat of that day harms."""
    return day + timedelta(days=DAYS_BEFORE_FLOWERING)


class Feels(Struct, frozen=True):
    humidex: float
    wet_bulb_globe_c: float

    @property
    def words(self) -> str:
        """How hard work feels, worst of the two indices; never that it is safe."""
        if self.humidex >= HUMIDEX_GREAT or self.wet_bulb_globe_c >= WET_BULB_GLOBE_HIGH_C:
            return "great strain: leave overhead work for a cooler hour"
        if self.humidex >= HUMIDEX_SOME or self.wet_bulb_globe_c >= WET_BULB_GLOBE_MODERATE_C:
            return "some strain: shade, water and rests"
        return "little strain by these two indices; sun under plastic adds to both"


def feels(air_c: float, rh_percent: float) -> Feels:
    """How warm moist air feels in shade. Relative humidity above 0 %."""
    return Feels(humidex(air_c, dew_point_c(air_c, rh_percent)), wet_bulb_globe_shade_c(air_c, rh_percent))


def overhead_done_by(hours_c: Sequence[float | None], hours_rh: Sequence[float | None]) -> int | None:
    """First hour of a day from which overhead work strains greatly; None: not that day, or hours unknown."""
    for hour, (air_c, rh) in enumerate(zip(hours_c, hours_rh, strict=False)):
        if air_c is not None and rh and feels(air_c, rh).words.startswith("great"):
            return hour
    return None
