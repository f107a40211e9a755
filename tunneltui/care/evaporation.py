"""Sun on the ground and the water it takes: FAO-56 reference evapotranspiration and its tunnel forms.

Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, equation numbers beside each form.
Radiation in MJ/m2 a day, water in mm a day (1 mm is 1 L/m2), latitude in degrees, ``doy`` day of the year.
"""

from __future__ import annotations

import math

from msgspec import Struct

from tunneltui.care.moist_air import daily_saturation_kpa, psychrometric_kpa_per_k, slope_kpa_per_k

MM_PER_MJ = 0.408
"""Water that one MJ/m2 evaporates [mm], FAO-56 eq. 20."""
STILL_AIR_M_S = 208 / 150
"""Wind that stands for the still air of a closed tunnel: aerodynamic resistance 150 s/m (Fernandez et al. 2010,
unheated plastic houses at Almeria) in FAO-56's ra = 208/u2."""


def clear_sky_mj(above_mj: float, altitude_m: float = 0.0) -> float:
    """Eq. 37."""
    return (0.75 + 2e-5 * altitude_m) * above_mj


def sun_from_temperature_mj(above_mj: float, min_c: float, max_c: float, coast: bool = False) -> float:
    """Solar radiation from the day's range of outdoor temperature, eq. 50, no more than a clear sky gives."""
    guess = (0.19 if coast else 0.16) * math.sqrt(max(0.0, max_c - min_c)) * above_mj
    return min(guess, clear_sky_mj(above_mj))


def long_wave_loss_mj(min_c: float, max_c: float, vapour_kpa: float, sun_mj: float, clear_mj: float) -> float:
    """Net outgoing long-wave radiation, eq. 39."""
    fourth = ((max_c + 273.16) ** 4 + (min_c + 273.16) ** 4) / 2
    cloud = 1.35 * min(1.0, sun_mj / clear_mj) - 0.35
    return 4.903e-9 * fourth * (0.34 - 0.14 * math.sqrt(vapour_kpa)) * cloud


class DayOutside(Struct, frozen=True):
    """What FAO-56 eq. 6 asks of a day."""

    min_c: float
    max_c: float
    vapour_kpa: float
    wind_2m_m_s: float
    net_radiation_mj: float
    altitude_m: float = 0.0
    soil_heat_mj: float = 0.0


def reference_mm(day: DayOutside) -> float:
    """Reference evapotranspiration by the FAO-56 Penman-Monteith form, eq. 6 [mm a day]."""
    mean_c = (day.min_c + day.max_c) / 2
    slope, gamma = slope_kpa_per_k(mean_c), psychrometric_kpa_per_k(day.altitude_m)
    dry = daily_saturation_kpa(day.min_c, day.max_c) - day.vapour_kpa
    energy = MM_PER_MJ * slope * (day.net_radiation_mj - day.soil_heat_mj)
    air = gamma * 900 / (mean_c + 273) * day.wind_2m_m_s * dry
    return (energy + air) / (slope + gamma * (1 + 0.34 * day.wind_2m_m_s))


def hargreaves_mm(min_c: float, max_c: float, above_mj: float) -> float:
    """Reference evapotranspiration from temperature alone, eq. 52 [mm a day]."""
    return 0.0023 * ((min_c + max_c) / 2 + 17.8) * math.sqrt(max(0.0, max_c - min_c)) * MM_PER_MJ * above_mj


def inside_from_sun_mm(doy: int, sun_outside_mj: float, light_share: float) -> float:
    """Reference evapotranspiration in an unheated plastic house from the light that comes in [mm a day].

    The Almeria radiation method (Fernandez et al. 2010): (0.288 + 0.0019 J) Rs up to day 220, then
    (1.339 - 0.00288 J) Rs, with Rs inside in mm a day.
    """
    inside_mm = light_share * sun_outside_mj * MM_PER_MJ
    return max(0.0, (0.288 + 0.0019 * doy if doy <= 220 else 1.339 - 0.00288 * doy) * inside_mm)
