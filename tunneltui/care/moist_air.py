"""Vapour pressure, dryness of air, and how heat feels to a person. Temperatures in degC, vapour in kPa."""

from __future__ import annotations

import math


def saturation_vapour_kpa(air_c: float) -> float:
    """Vapour pressure of saturated air [kPa]. Allen et al. 1998 (FAO-56) eq. 11."""
    return 0.6108 * math.exp(17.27 * air_c / (air_c + 237.3))


def daily_saturation_kpa(min_c: float, max_c: float) -> float:
    """Mean saturation vapour pressure of a day [kPa]; not that of its mean. FAO-56 eq. 12."""
    return (saturation_vapour_kpa(min_c) + saturation_vapour_kpa(max_c)) / 2


def slope_kpa_per_k(air_c: float) -> float:
    """Slope of the saturation curve [kPa/K]. FAO-56 eq. 13."""
    return 4098 * saturation_vapour_kpa(air_c) / (air_c + 237.3) ** 2


def vapour_from_humidity_kpa(min_c: float, max_c: float, rh_min: float, rh_max: float) -> float:
    """Actual vapour pressure of a day from its extremes of relative humidity [%]. FAO-56 eq. 17."""
    return (saturation_vapour_kpa(min_c) * rh_max + saturation_vapour_kpa(max_c) * rh_min) / 200


def pressure_kpa(altitude_m: float) -> float:
    """Air pressure of a height above the sea. FAO-56 eq. 7."""
    return 101.3 * math.pow((293 - 0.0065 * altitude_m) / 293, 5.26)


def psychrometric_kpa_per_k(altitude_m: float) -> float:
    """FAO-56 eq. 8."""
    return 0.665e-3 * pressure_kpa(altitude_m)


def vapour_deficit_kpa(air_c: float, rh_percent: float) -> float:
    """How much more vapour the air could hold [kPa]."""
    return saturation_vapour_kpa(air_c) * (1 - rh_percent / 100)


def dew_point_c(air_c: float, rh_percent: float) -> float:
    """Inverse of FAO-56 eq. 11. Relative humidity above 0 %."""
    ratio = math.log(saturation_vapour_kpa(air_c) * rh_percent / 100 / 0.6108)
    return 237.3 * ratio / (17.27 - ratio)


def humidex(air_c: float, dew_c: float) -> float:
    """How warm moist air feels. Environment Canada's form: bands 30 to 40 some, 40 to 46 great discomfort."""
    vapour_hpa = 6.11 * math.exp(5417.753 * (1 / 273.15 - 1 / (273.15 + dew_c)))
    return air_c + 0.5555 * (vapour_hpa - 10)


def wet_bulb_globe_shade_c(air_c: float, rh_percent: float) -> float:
    """Screening value of the wet bulb globe temperature in shade; leaves sun and wind out, so under plastic in
    sun it is too low. Form of the Australian Bureau of Meteorology; the vapour form is from memory."""
    vapour_hpa = rh_percent / 100 * 6.105 * math.exp(17.27 * air_c / (237.7 + air_c))
    return 0.567 * air_c + 0.393 * vapour_hpa + 3.94
