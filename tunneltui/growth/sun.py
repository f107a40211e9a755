"""The sun above the air: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56.

Equation numbers beside each form; radiation in MJ/m2 a day, latitude in degrees, ``doy`` day of the year.
"""

from __future__ import annotations

import math


def inverse_distance(doy: int) -> float:
    """Relative inverse distance to the sun, eq. 23."""
    return 1 + 0.033 * math.cos(2 * math.pi * doy / 365)


def declination_rad(doy: int) -> float:
    """Eq. 24."""
    return 0.409 * math.sin(2 * math.pi * doy / 365 - 1.39)


def sunset_angle_rad(latitude_deg: float, doy: int) -> float:
    """Eq. 25, clamped where the sun does not set or rise."""
    cosine = -math.tan(math.radians(latitude_deg)) * math.tan(declination_rad(doy))
    return math.acos(max(-1.0, min(1.0, cosine)))


def sun_above_air_mj(latitude_deg: float, doy: int) -> float:
    """Extraterrestrial radiation, eq. 21."""
    phi, delta = math.radians(latitude_deg), declination_rad(doy)
    sunset = sunset_angle_rad(latitude_deg, doy)
    swept = sunset * math.sin(phi) * math.sin(delta) + math.cos(phi) * math.cos(delta) * math.sin(sunset)
    return 24 * 60 / math.pi * 0.0820 * inverse_distance(doy) * swept
