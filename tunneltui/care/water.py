"""How much water a plant asks for, as a range, and what that is in minutes of drip.

Three ways to the same figure, each from published forms (care.evaporation): still-air Penman-Monteith and the
radiation method from the light inside, and outdoor Hargreaves times the share that a covered crop was found to
use. They agree to about 7 %; the crop factor is what is truly unknown (0.82 against 1.19 for drip and mulch,
Amayreh and Al-Abed 2005), so the range is 30 % either side of their mean. A week with a bucket corrects it.
"""

from __future__ import annotations

from msgspec import Struct

from tunneltui.care.evaporation import (
    STILL_AIR_M_S,
    DayOutside,
    clear_sky_mj,
    hargreaves_mm,
    inside_from_sun_mm,
    long_wave_loss_mj,
    reference_mm,
    sun_from_temperature_mj,
)
from tunneltui.care.moist_air import saturation_vapour_kpa, vapour_from_humidity_kpa
from tunneltui.cells import Range
from tunneltui.growth.sun import sun_above_air_mj

RANGE_EITHER_SIDE = 0.30
COVERED_SHARE = 0.64
"""Water use under glass against an outside pan, Amiri et al. 2018."""
TUNNEL_NIGHT_K = 1.3
TUNNEL_DAY_K = 4.2
"""How much warmer a plastic tunnel's minima and maxima are than outside, season mean, Savage 1980."""
CROP_FACTOR_START, CROP_FACTOR_FULL, CROP_FACTOR_END = 0.60, 1.15, 0.80
"""FAO-56 Table 12, for the usual crop. A cordon kept growing stays at the full factor until its tip is out."""
TRUSSES_AT_FULL_LEAF = 5.0
"""Flowering trusses at which a cordon has its full foliage. Common practice, no source."""


class TunnelDay(Struct, frozen=True):
    """One day's air inside the tunnel, and where and when it is."""

    latitude_deg: float
    doy: int
    min_c: float
    max_c: float
    light_share: float
    rh_min: float | None = None
    rh_max: float | None = None
    sun_outside_mj: float | None = None
    """Measured solar radiation; None: guessed from the range of temperature."""


class Water(Struct, frozen=True):
    """Litres a plant and day, low to high, and the reference evaporation of each way [mm]."""

    low_l: float
    mid_l: float
    high_l: float
    still_air_mm: float
    radiation_mm: float
    outdoor_mm: float


def crop_factor(flowering_truss: float, weeks_since_tip_out: float | None = None) -> float:
    """Crop factor by the stage that was observed, never by days since planting."""
    if weeks_since_tip_out is not None:
        fade = min(1.0, max(0.0, weeks_since_tip_out / 8))
        return CROP_FACTOR_FULL + fade * (CROP_FACTOR_END - CROP_FACTOR_FULL)
    grown = min(1.0, max(0.0, flowering_truss / TRUSSES_AT_FULL_LEAF))
    return CROP_FACTOR_START + grown * (CROP_FACTOR_FULL - CROP_FACTOR_START)


def water(day: TunnelDay, factor: float, area_m2_per_plant: float, tunnel_factor: float = 1.0) -> Water:
    """Litres a plant needs on such a day. ``tunnel_factor`` comes from a bucket test, 1 without one."""
    outside_min, outside_max = (
        day.min_c - TUNNEL_NIGHT_K,
        max(day.max_c - TUNNEL_DAY_K, day.min_c - TUNNEL_NIGHT_K),
    )
    above = sun_above_air_mj(day.latitude_deg, day.doy)
    sun = day.sun_outside_mj
    if sun is None:
        sun = sun_from_temperature_mj(above, outside_min, outside_max)
    ways = (
        _still_air_mm(day, sun, above),
        inside_from_sun_mm(day.doy, sun, day.light_share),
        COVERED_SHARE * hargreaves_mm(outside_min, outside_max, above),
    )
    mid = sum(ways) / 3 * factor * area_m2_per_plant * tunnel_factor
    return Water(mid * (1 - RANGE_EITHER_SIDE), mid, mid * (1 + RANGE_EITHER_SIDE), *ways)


def _still_air_mm(day: TunnelDay, sun_outside_mj: float, above_mj: float) -> float:
    if day.rh_min is None or day.rh_max is None:
        # FAO-56 eq. 48: without humidity, the night's minimum stands for the dew point.
        vapour = saturation_vapour_kpa(day.min_c)
    else:
        vapour = vapour_from_humidity_kpa(day.min_c, day.max_c, day.rh_min, day.rh_max)
    inside = day.light_share * sun_outside_mj
    loss = day.light_share * long_wave_loss_mj(
        day.min_c, day.max_c, vapour, sun_outside_mj, clear_sky_mj(above_mj)
    )
    return reference_mm(DayOutside(day.min_c, day.max_c, vapour, STILL_AIR_M_S, 0.77 * inside - loss))


def litres_range(low_l: float, high_l: float) -> Range:
    """A range of water as it is shown: the roundest figures that neither stray 5 % nor make it two to one wide."""
    low_ml, high_ml = 1000 * low_l, 1000 * high_l
    for step_ml in _STEPS_ML:
        low, high = (step_ml * round(ml / step_ml) for ml in (low_ml, high_ml))
        if high < 2 * low and abs(low - low_ml) <= 0.05 * low_ml and abs(high - high_ml) <= 0.05 * high_ml:
            break
    return Range(low / 1000, high / 1000, "L", next((n for n in (0, 1, 2) if step_ml * 10**n % 1000 == 0), 3))


_STEPS_ML = (100_000, 10_000, 1000, 500, 100, 50, 10, 5, 1)


def drip_minutes(litres_per_plant: float, litres_per_hour: float, evenness: float = 0.9) -> float:
    """Minutes of drip that give the plant served worst its litres.

    Raises:
        ValueError: a drip that gives nothing.
    """
    if litres_per_hour <= 0 or not 0 < evenness <= 1:
        raise ValueError("a drip gives more than 0 L an hour, evenly to at most 1")
    return litres_per_plant / (litres_per_hour * evenness) * 60


def bucket_factor(given_l: float, drained_l: float, forecast_l: float) -> float:
    """This tunnel's factor from a week in which all water given and drained from some plants was weighed.

    Raises:
        ValueError: more drained than given, or no forecast to compare with.
    """
    if drained_l > given_l or forecast_l <= 0:
        raise ValueError("a bucket test needs more water given than drained, and a forecast to set it against")
    return (given_l - drained_l) / forecast_l
