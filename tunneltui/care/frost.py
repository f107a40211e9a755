"""Cold nights: what tunnel, fleece and barrels were found to add, with their spread. Never a promise.

On clear still nights a tunnel or fleece may be no warmer than outside at all; the grower is asked to hang a
minimum thermometer where the plants are.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from statistics import NormalDist, mean, stdev

from msgspec import Struct

from tunneltui.cells import Range, Sentence, say
from tunneltui.season.growing_year import CALENDAR_YEAR, GrowingYear

TUNNEL_ADDS_K = (0.0, 1.3, 3.0)
"""Night minimum of a single plastic tunnel over outside, low, mean, high: +1.3 K mean (Savage 1980), nights little
different from outside (Guttormsen 1972). The high end is a guess."""
FLEECE_ADDS_K = (0.0, 1.3, 2.8)
"""Light to heavy fleece: 1.1 to 1.7 K, heavy nearly 2.8 K (extension pages); single nights none or colder
(Oregon trials 1983-84)."""
SECOND_SHARE = 0.5
"""Of what the first fleece adds, what one more over it does (assumed)."""
FROST_C = 0.0
CHILL_C = 5.0
"""Long stays below about this harm plants and fruit; advice, not a limit."""
PLANTING_SOIL_C = 15.0
BARREL_MJ_PER_M3_K = 4.186


class Night(Struct, frozen=True):
    """Expected minimum among the plants, from the coldest the margins allow to the warmest."""

    low_c: float
    mid_c: float
    high_c: float

    @property
    def words(self) -> Sentence:
        return say("{}", Range(self.low_c, self.high_c, "degC"))


def night(
    outside_min_c: float,
    fleeces: int,
    tunnel_adds_k: tuple[float, float, float] = TUNNEL_ADDS_K,
    barrels_add_k: float = 0.0,
) -> Night:
    """What a night outside may become among the plants: tunnel, no, one or two layers of fleece, and barrels.

    ``barrels_add_k`` is what they add if all their heat stays (``barrels_hold_k``): nothing of it at the low end,
    half in the middle.
    """
    barrels = (0.0, barrels_add_k / 2, barrels_add_k)
    layers = min(fleeces, 1) + SECOND_SHARE * max(0, fleeces - 1)
    added = [t + layers * f + b for t, f, b in zip(tunnel_adds_k, FLEECE_ADDS_K, barrels, strict=True)]
    return Night(*(outside_min_c + k for k in added))


COVER_LOSS_W_M2_K = 6.0
"""Heat that one square metre of single film loses for each kelvin (worked by hand from the film's heat loss, 6
W/m2 K; from memory)."""
LONG_NIGHT_HOURS = 10.0
BARRELS_COOL_K = 10.0
"""How far barrels cool in such a night, at most; the worked example of the same section."""


def cover_m2(length_m: float, width_m: float) -> float:
    """Film of a tunnel taken as half a round tube with both ends [m2]."""
    radius_m = width_m / 2
    return math.pi * radius_m * length_m + math.pi * radius_m**2


def barrels_hold_k(litres: float, film_m2: float) -> float:
    """Kelvin by which barrels can hold such a tunnel above what it would be, through a long night, at best [K]."""
    loss_per_k = tunnel_loss_mj(film_m2, COVER_LOSS_W_M2_K, 1.0, LONG_NIGHT_HOURS)
    return barrel_heat_mj(litres, BARRELS_COOL_K) / loss_per_k


def barrel_heat_mj(litres: float, cooling_k: float) -> float:
    """Heat that barrels of water give while they cool [MJ]."""
    return BARREL_MJ_PER_M3_K * litres / 1000 * cooling_k


def tunnel_loss_mj(cover_m2: float, loss_w_m2_k: float, warmer_k: float, hours: float) -> float:
    """Heat a tunnel loses in that time while held so much warmer than outside [MJ]."""
    return cover_m2 * loss_w_m2_k * warmer_k * hours * 3600 / 1e6


SPRING = (3, 4, 5)
"""Months of the growing year: March to May in the north, September to November in the south."""
SPRING_NIGHTS = 20
"""Nights that must be read of its three months before a spring without frost is one. Assumed."""


class LastFrosts(Struct, frozen=True):
    """Last frosts of the springs on record; a day by chance only from ten springs on."""

    days: tuple[date, ...]
    springs_without: int
    nine_in_ten_past: int | None
    """Day of the year by which nine in ten last frosts were past; None with fewer than ten springs."""


def last_frosts(
    minima: Sequence[tuple[date, float]], threshold_c: float = FROST_C, growing: GrowingYear = CALENDAR_YEAR
) -> LastFrosts:
    """Last day of each spring (and the month after it) at or below the threshold, from the grower's own minima."""
    last: dict[int, date] = {}
    nights: dict[int, set[date]] = {}
    for day, low in minima:
        month, year = growing.month_of(day), growing.of(day)
        if month in SPRING:
            nights.setdefault(year, set()).add(day)
        if month <= SPRING[-1] + 1 and low <= threshold_c:
            last[year] = max(day, last.get(year, day))
    days = tuple(sorted(last.values()))
    read = {year for year, of_year in nights.items() if len(of_year) >= SPRING_NIGHTS}
    return LastFrosts(days, len(read - last.keys()), _nine_in_ten(days))


def _nine_in_ten(days: Sequence[date]) -> int | None:
    if len(days) < 10:
        return None
    of_year = [day.timetuple().tm_yday for day in days]
    return round(mean(of_year) + NormalDist().inv_cdf(0.9) * stdev(of_year))
