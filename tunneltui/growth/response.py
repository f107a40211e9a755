"""How fast a vine grows and flowers at a day's mean temperature and day length.

Sources: flowering rate Heuvelink 1996 (Ann. Bot. 77:71-80, eq. 2, after De Koning 1994), fitted at 17 to 27
degC. That stems answer warmth as trusses do below 20 degC and not at all above, and light in proportion to day
length, was chosen on one season of ten stems (Ohio 2024); below 20 degC it is an assumption.
"""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from math import exp, log, pi

from tunneltui.growth.sun import sunset_angle_rad
from tunneltui.holding.crops import USUAL, Crop

TRUSS_INTERCEPT = USUAL.flowering_intercept
"""Trusses per stem and day; bound to the cultivar."""
TRUSS_SLOPE = USUAL.flowering_slope
"""Trusses per stem and day for each unit of ln(degC)."""
STEM_CAP_C = 20.0
REFERENCE_DAY_H = 12.0
LONGEST_DAY_H = 14.8
"""Day length stands for light, and no sky gives more of it than that of 40 N on its longest day: 42 MJ/m2 above
the air, 41 at 58 N in days of 18 h (Allen et al. 1998, eq. 21). Of the stems read none grew in longer days."""
COLDEST_C = 7.36
"""Mean temperature at which the published flowering rate is nought; colder days count as this one."""


def truss_rate(mean_c: float, intercept: float = TRUSS_INTERCEPT, slope: float = TRUSS_SLOPE) -> float:
    """New flowering trusses per stem and day; never below nought."""
    if mean_c <= 0:
        return 0.0
    return max(0.0, intercept + slope * log(mean_c))


def truss_warmth(mean_c: float, crop: Crop = USUAL) -> float:
    """The part of a day's truss rate that warmth gives; the cultivar's intercept is to be added."""
    coldest_c = COLDEST_C if crop is USUAL else exp(-crop.flowering_intercept / crop.flowering_slope)
    return crop.flowering_slope * log(max(mean_c, coldest_c))


_AT_CAP = truss_rate(STEM_CAP_C)


def stem_response(mean_c: float, day_h: float | None) -> float:
    """Stem growth of a day as a share of that at 20 degC and 12 h. ``day_h`` None: lit, light left out."""
    warmth = truss_rate(min(mean_c, STEM_CAP_C)) / _AT_CAP
    return warmth if day_h is None else warmth * day_h / REFERENCE_DAY_H


def stem_sensitivity(mean_c: float) -> float:
    """Share by which stem growth changes for one degC; nought above 20 degC, where it is capped."""
    rate = truss_rate(mean_c)
    if mean_c >= STEM_CAP_C or rate <= 0:
        return 0.0
    return TRUSS_SLOPE / (mean_c * rate)


@lru_cache(maxsize=8192)
def day_length_h(day: date, latitude_deg: float) -> float:
    """Hours from sunrise to sunset, sun's centre on a level horizon, without refraction.

    Source: Allen et al. 1998 (FAO Irrigation and Drainage Paper 56), eq. 24, 25 and 34. Refraction and the
    sun's disc would add some 8 to 15 minutes at middle latitudes.
    """
    return 24 / pi * sunset_angle_rad(latitude_deg, day.timetuple().tm_yday)


def growing_day_h(day: date, latitude_deg: float) -> float:
    """The day's length as far as it stands for light."""
    return min(day_length_h(day, latitude_deg), LONGEST_DAY_H)
