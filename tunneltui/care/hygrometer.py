"""What a fanned wet and dry bulb thermometer tells of the air: to check a logger by, and how it feels.

ASHRAE Handbook of Fundamentals 2017, chapter 1, with the saturation pressure of Hyland and Wexler 1983 (eq. 6);
the simpler curve of FAO-56 (care.moist_air) stays where evaporation is worked out.
"""

from __future__ import annotations

import math

from msgspec import Struct

from tunneltui.care.heat import Feels, feels
from tunneltui.care.moist_air import dew_point_c, vapour_deficit_kpa

SEA_LEVEL_PA = 101_325.0
LOGGER_OFF_RH = 5.0
"""Cheap loggers are good to 3 to 5 % when new, worse near saturation. Common practice, no source."""
_WATER_OVER_AIR = 0.621945
"""Ratio of the molar masses, eq. 20."""


class MoistAir(Struct, frozen=True):
    """Moist air by its two bulbs."""

    rh_percent: float
    humidity_ratio: float
    """kg of vapour in a kg of dry air."""
    enthalpy_kj_kg: float
    dew_c: float
    deficit_kpa: float
    """How much more vapour the air could hold."""
    feels: Feels


def saturation_pa(air_c: float) -> float:
    """Saturation pressure over water, 0 to 200 degC [Pa]; ASHRAE 2017 eq. 6."""
    kelvin = air_c + 273.15
    return math.exp(
        -5.8002206e3 / kelvin
        + 1.3914993
        - 4.8640239e-2 * kelvin
        + 4.1764768e-5 * kelvin**2
        - 1.4452093e-8 * kelvin**3
        + 6.5459673 * math.log(kelvin)
    )


def read_bulbs(dry_c: float, wet_c: float, pressure_pa: float = SEA_LEVEL_PA) -> MoistAir:
    """What both bulbs say of the air.

    Raises:
        ValueError: a wet bulb over the dry one or under freezing, or two bulbs too far apart for any air.
    """
    if wet_c > dry_c:
        raise ValueError(f"the wet bulb at {wet_c:g} is warmer than the dry one at {dry_c:g}")
    if wet_c < 0:
        raise ValueError(f"the wet bulb at {wet_c:g} is ice")
    saturated = _ratio(saturation_pa(wet_c), pressure_pa)
    ratio = ((2501 - 2.326 * wet_c) * saturated - 1.006 * (dry_c - wet_c)) / (2501 + 1.86 * dry_c - 4.186 * wet_c)
    if ratio <= 0:
        raise ValueError(f"no air is so dry that {dry_c:g} falls to {wet_c:g}")
    vapour_pa = pressure_pa * ratio / (_WATER_OVER_AIR + ratio)
    rh = 100 * vapour_pa / saturation_pa(dry_c)
    enthalpy = 1.006 * dry_c + ratio * (2501 + 1.86 * dry_c)
    return MoistAir(rh, ratio, enthalpy, dew_point_c(dry_c, rh), vapour_deficit_kpa(dry_c, rh), feels(dry_c, rh))


def _ratio(vapour_pa: float, pressure_pa: float) -> float:
    return _WATER_OVER_AIR * vapour_pa / (pressure_pa - vapour_pa)
