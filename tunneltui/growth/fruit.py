"""Fruits of a truss: how many set, and their mass as a function of development ``z`` alone.

Set, relative to good flowers, by the warmth around flowering and the light after it: 14 degC 59 % of the set at 22
(Adams 2001, in Vanthoor 2011 table 3.1); poor below 18 or above 25 degC daily mean (Marcelis et al. 2009);
days/nights of 28/22 above 75 %, of 32/26 none in four cultivars of five (Sato et al. 2000); harm below 10 degC.
Adams' 40 % at a constant 26 degC is left out: trusses that flowered at 25 to 27 degC in Ohio 2024 bore their full
12 to 14 fruits, so days that cool at night are milder than the chamber.

Mass: Gompertz curve of potential fruit growth (De Koning 1994, in Vanthoor 2011 eq. 38-39), run in days at 20
degC, so that a cold fruit is as heavy at the same ``z`` as a warm one; scaled to the ripe mass.
"""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from itertools import pairwise
from math import exp

from tunneltui.growth.sun import sun_above_air_mj

REFERENCE_DAYS = 55.2
"""Flower to ripe at 20 degC by the published rate."""


def gompertz(day: float, growth_days: float) -> float:
    """Share of its full potential mass that a fruit has on a day of its ``growth_days`` (40 to 65)."""
    middle = -4.93 + 0.548 * growth_days
    speed = 1 / (2.44 + 0.403 * middle)
    return exp(-exp(-speed * (day - middle)))


_RIPE = gompertz(REFERENCE_DAYS, REFERENCE_DAYS)
_STEPS = 200
_SHARES = [gompertz(REFERENCE_DAYS * step / _STEPS, REFERENCE_DAYS) / _RIPE for step in range(_STEPS + 1)]


def mass_share(z: float) -> float:
    """Mass at development ``z`` as a share of the ripe mass; 1 from ripe on."""
    if z >= 1:
        return 1.0
    if z <= 0:
        return _SHARES[0]
    place = z * _STEPS
    below = int(place)
    return _SHARES[below] + (place - below) * (_SHARES[below + 1] - _SHARES[below])


def truss_kg(z: float, fruits: float, fruit_g: float, stalk_share: float) -> float:
    """Mass of a truss on the stem, its stalk included, in kg."""
    return fruits * fruit_g / 1000 * mass_share(z) / (1 - stalk_share)


_POINTS = ((8.0, 0.0), (14.0, 0.59), (18.0, 1.0), (25.0, 1.0), (26.0, 0.8), (29.5, 0.1), (32.0, 0.0))
LOOK_BACK_DAYS = 9
"""Pollen is hurt about nine days before the flower opens (extension leaflets)."""
LOOK_ON_DAYS = 3
FULL_SKY_MJ = 36.5
"""Light above the air under which a truss bears what is assumed of its kind. Trusses of Ohio 2024 that were picked
in August and September had that, and weighed 252 g: 14 fruits of 18 g."""


def set_share(mean_c: float) -> float:
    """Share of a good set, 0 to 1, at the mean temperature from nine days before flowering to three after."""
    if mean_c <= _POINTS[0][0] or mean_c >= _POINTS[-1][0]:
        return 0.0
    for (cold_c, low), (warm_c, high) in pairwise(_POINTS):
        if mean_c <= warm_c:
            return low + (high - low) * (mean_c - cold_c) / (warm_c - cold_c)
    return 0.0


@lru_cache(maxsize=8192)
def light_share(flowered: int, latitude_deg: float) -> float:
    """Share of a truss set well, 0 to 1, that the light of its weeks from flower to ripe carries.

    What a crop yields follows its light nearly straight: 2.0 kg for 100 MJ/m2 (Cockshull, Graves and Cave 1992),
    0.7 to 1 % for each percent (Marcelis et al. 2006). So did the trusses of Ohio 2024, on fewer fruits of one
    size: 0.83 of their weight in 0.86 of the light in early October, 0.67 in 0.68 from then to mid November.
    Clouds are left out: where autumns are duller than summers too little is taken off. More light sets no more
    flowers than there are.
    """
    days = (date.fromordinal(flowered + int(on)) for on in (0.0, REFERENCE_DAYS / 2, REFERENCE_DAYS))
    start, middle, end = (sun_above_air_mj(latitude_deg, day.timetuple().tm_yday) for day in days)
    return min(1.0, (start + 4 * middle + end) / 6 / FULL_SKY_MJ)
