"""How many flowers set, by the mean temperature around flowering, relative to a good one.

Points: 14 degC 59 % of the set at 22 (Adams 2001, in Vanthoor 2011 table 3.1); poor below 18 or above 25 degC
daily mean (Marcelis et al. 2009); days/nights of 28/22 above 75 %, of 32/26 none in four cultivars of five (Sato
et al. 2000); harm below 10 degC. Adams' 40 % at a constant 26 degC is left out: trusses that flowered at 25 to 27
degC in Ohio 2024 bore their full 12 to 14 fruits, so days that cool at night are milder than the chamber.
"""

from __future__ import annotations

from itertools import pairwise

_POINTS = ((8.0, 0.0), (14.0, 0.59), (18.0, 1.0), (25.0, 1.0), (26.0, 0.8), (29.5, 0.1), (32.0, 0.0))
LOOK_BACK_DAYS = 9
"""Pollen is hurt about nine days before the flower opens (extension leaflets)."""
LOOK_ON_DAYS = 3


def set_share(mean_c: float) -> float:
    """Share of a good set, 0 to 1, at the mean temperature from nine days before flowering to three after."""
    if mean_c <= _POINTS[0][0] or mean_c >= _POINTS[-1][0]:
        return 0.0
    for (cold_c, low), (warm_c, high) in pairwise(_POINTS):
        if mean_c <= warm_c:
            return low + (high - low) * (mean_c - cold_c) / (warm_c - cold_c)
    return 0.0
