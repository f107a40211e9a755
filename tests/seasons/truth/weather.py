"""The air in a made-up tunnel: sun by latitude, spells of weather, frost at the ends of the season."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from math import acos, cos, pi, sin, tan
from random import Random
from typing import NamedTuple


class Air(NamedTuple):
    """One day inside the tunnel, under its film."""

    min_c: float
    mean_c: float
    max_c: float
    light_mj: float
    """Global radiation inside, MJ/m2."""
    outside_min_c: float
    outside_max_c: float


class Spells(NamedTuple):
    """What a year has on a day over and above its usual weather."""

    warmer_k: float = 0.0
    light: float = 1.0
    """Of its sun."""


def as_it_comes(_day: date) -> Spells:
    """A year like others."""
    return Spells()


FILM_SHARE = 0.65
"""Of the sun that comes through a film a few years old (assumed)."""
NIGHT_K, DAY_K = 1.3, 4.2
"""How much warmer a plastic tunnel's lowest and highest are than outside, season mean: Savage 1980."""
VENTED_C = 30.0
"""Above this the doors stand open: of what is hotter only a third stays in (assumed)."""


def sun_above_air_mj(latitude_deg: float, doy: int) -> float:
    """Radiation above the air, MJ/m2 a day: FAO Irrigation and Drainage Paper 56, eq. 21 to 25."""
    latitude = latitude_deg * pi / 180
    near = 1 + 0.033 * cos(2 * pi * doy / 365)
    tilt = 0.409 * sin(2 * pi * doy / 365 - 1.39)
    sunset = acos(max(-1.0, min(1.0, -tan(latitude) * tan(tilt))))
    upright = sunset * sin(latitude) * sin(tilt) + cos(latitude) * cos(tilt) * sin(sunset)
    return 24 * 60 / pi * 0.0820 * near * upright


def usual_mean_c(latitude_deg: float, doy: int) -> float:
    """Long-year mean of a day outside, of the west and middle of Europe: 24 degC in July at 38 N, 15.5 at 58 N,
    the year's mean 16 and 7.5 (from memory of climate tables, rounded)."""
    year_c = 16.0 - 0.425 * (latitude_deg - 38)
    swing_c = 8.2
    return year_c - swing_c * cos(2 * pi * (doy - 25) / 365)


def weather(
    seed: int, latitude_deg: float, first: date, last: date, spells: Callable[[date], Spells] = as_it_comes
) -> dict[date, Air]:
    """Every day from first to last; the same seed and days give the same air."""
    luck = Random(f"weather {seed}")
    warm, clear = 0.0, 0.0
    year_c = luck.gauss(0.0, 0.7)
    made: dict[date, Air] = {}
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        doy = day.timetuple().tm_yday
        # Spells last about four days: first-order weather, as weather generators have it (Richardson 1981).
        warm = 0.75 * warm + luck.gauss(0.0, 1.7)
        clear = 0.5 * clear + luck.gauss(0.0, 0.8)
        share = min(0.76, max(0.18, 0.50 + 0.14 * clear))
        spell = spells(day)
        light_mj = spell.light * FILM_SHARE * share * sun_above_air_mj(latitude_deg, doy)
        mean_c = usual_mean_c(latitude_deg, doy) + year_c + warm + spell.warmer_k
        half_c = 2.5 + 6.0 * (share - 0.18) / 0.58
        outside_min, outside_max = mean_c - half_c, mean_c + half_c
        hot = outside_max + DAY_K * light_mj / 11.0
        max_c = hot if hot <= VENTED_C else VENTED_C + (hot - VENTED_C) / 3
        min_c = min(outside_min + NIGHT_K, max_c - 1.0)
        made[day] = Air(min_c, 0.52 * min_c + 0.48 * max_c, max_c, light_mj, outside_min, outside_max)
    return made
