"""Made-up weather: day-to-day waves outside, and the hours of a tunnel's air and light that follow from them.

The forecasts know a day by its mean; here the plants live through its hours. Levels are those of a mild maritime
summer (common practice, no source), radiation at the top of the air is FAO Irrigation and Drainage Paper 56,
equations 21 to 25.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import acos, cos, exp, pi, sin, tan
from random import Random

_YEAR_MEAN_C, _YEAR_SWING_C, _YEAR_TURN_DAY = 10.9, 7.0, 115
_WARMTH_KEPT, _WARMTH_JOLT_C = 0.72, 1.5
_CLEARNESS_KEPT, _CLEARNESS_JOLT = 0.45, 0.85
_VENT_FROM_C, _VENT_LEAVES = 24.0, 0.55
"""Doors are opened when it is warm: above this only part of the sun's rise stays inside."""


@dataclass(frozen=True, slots=True)
class DemoDay:
    """The air of one tunnel on one local day."""

    day: date
    hours_c: tuple[float, ...]
    hours_rh: tuple[float, ...]
    light_mj: float
    """Sun inside, MJ/m2."""

    @property
    def min_c(self) -> float:
        return min(self.hours_c)

    @property
    def max_c(self) -> float:
        return max(self.hours_c)

    @property
    def mean_c(self) -> float:
        return sum(self.hours_c) / len(self.hours_c)


@dataclass(frozen=True, slots=True)
class Outside:
    day: date
    mean_c: float
    clearness: float
    """Share of the sun at the top of the air that reaches the ground."""
    sun_mj: float
    day_length_h: float

    @property
    def swing_c(self) -> float:
        """Half the way from night to afternoon: clear days swing wide."""
        return 2.0 + 6.0 * self.clearness

    @property
    def min_c(self) -> float:
        return self.mean_c - self.swing_c

    @property
    def max_c(self) -> float:
        return self.mean_c + self.swing_c


def sun_at_top_mj(day: date, latitude_deg: float) -> tuple[float, float]:
    """Radiation at the top of the air (MJ/m2 a day) and day length (h), FAO 56 equations 21, 34."""
    latitude = latitude_deg * pi / 180
    turn = 2 * pi * day.timetuple().tm_yday / 365
    tilt = 0.409 * sin(turn - 1.39)
    sunset = acos(max(-1.0, min(1.0, -tan(latitude) * tan(tilt))))
    distance = 1 + 0.033 * cos(turn)
    reach = sunset * sin(latitude) * sin(tilt) + cos(latitude) * cos(tilt) * sin(sunset)
    return 24 * 60 / pi * 0.0820 * distance * reach, 24 / pi * sunset


def outside(first: date, last: date, latitude_deg: float, rng: Random) -> list[Outside]:
    """One day after another; warmth and clearness each keep part of yesterday's departure."""
    days, warmth, clear = [], rng.gauss(0, 2), rng.gauss(0, 1)
    for n in range((last - first).days + 1):
        day = first + timedelta(days=n)
        top_mj, day_length_h = sun_at_top_mj(day, latitude_deg)
        clear = _CLEARNESS_KEPT * clear + rng.gauss(0, _CLEARNESS_JOLT)
        warmth = _WARMTH_KEPT * warmth + rng.gauss(0, _WARMTH_JOLT_C) + 0.25 * clear
        clearness = 0.18 + 0.56 / (1 + exp(-clear))
        season = sin(2 * pi * (day.timetuple().tm_yday - _YEAR_TURN_DAY) / 365)
        mean = _YEAR_MEAN_C + _YEAR_SWING_C * season + warmth
        days.append(Outside(day, mean, clearness, clearness * top_mj, day_length_h))
    return days


def inside(out: Outside, film_light_share: float, warmer_c: float, rng: Random) -> DemoDay:
    """A tunnel's hours: the outside wave, the sun caught under the film, less what the open doors let go."""
    rise_h = 13.0 - out.day_length_h / 2
    hours_c, hours_rh = [], []
    for hour in range(24):
        part = (hour + 0.5 - rise_h) / out.day_length_h
        sun = sin(pi * part) if 0 < part < 1 else 0.0
        wave = cos(2 * pi * (hour + 0.5 - 15.0) / 24)
        caught_c = 15.0 * film_light_share * out.clearness * sun
        air_c = out.mean_c + out.swing_c * wave + caught_c + warmer_c + rng.gauss(0, 0.35)
        if air_c > _VENT_FROM_C:
            air_c = _VENT_FROM_C + _VENT_LEAVES * (air_c - _VENT_FROM_C)
        hours_c.append(round(air_c, 1))
        damp = 97 - 2.6 * max(0.0, air_c - out.min_c) + rng.gauss(0, 2)
        hours_rh.append(float(round(max(35.0, min(99.0, damp)))))
    return DemoDay(out.day, tuple(hours_c), tuple(hours_rh), out.sun_mj * film_light_share)
