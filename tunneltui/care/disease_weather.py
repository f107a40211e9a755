"""Weather in which diseases spread: a reason to go and look, never a diagnosis.

All criteria were fitted outdoors or under heated glass, none in an unheated tunnel; the Hutton criteria leave the
higher temperature and humidity under covers out of account (their own fact sheet). Missing hours give unknown.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

BLIGHT_NIGHT_C, BLIGHT_HUMID_RH, BLIGHT_HOURS, BLIGHT_DAYS = 10.0, 90.0, 6, 2
"""Hutton criteria, late blight: two days running, each no colder than 10 degC with six hours at 90 % or more."""
SMITH_HOURS = 11
"""The Smith period it superseded in 2017 asked for eleven."""
LEAF_MOULD_RH, LEAF_MOULD_C = 85.0, (10.0, 32.0)
"""Below 85 % leaf mould does not infect (Rutgers); another handbook says 90 %. 10 to 32 degC (Penn State)."""
LEAF_MOULD_HOURS, LEAF_MOULD_DAYS = 12, 3
"""Hours a day and days running that are taken as prolonged: the sources give no figure. Assumed."""
GREY_MOULD_RH, GREY_MOULD_C = 90.0, (15.0, 25.0)
GREY_MOULD_HOURS, GREY_MOULD_DAYS = 5, 2
"""Prolonged hours above 90 % raise stem grey mould (HDC PC 301); about five wet hours at 18 to 24 degC infect. Two
days running are assumed."""


class DayAir(Struct, frozen=True):
    """One local day; hours may be 23, 24 or 25, None where nothing was read."""

    min_c: float | None
    hours_c: tuple[float | None, ...]
    hours_rh: tuple[float | None, ...]


def humid_hours(day: DayAir, at_least_rh: float) -> tuple[int, int]:
    """(hours surely that humid, hours that may have been): missing hours count only in the second."""
    sure = sum(1 for rh in day.hours_rh if rh is not None and rh >= at_least_rh)
    missing = sum(1 for rh in day.hours_rh if rh is None) if day.hours_rh else 24
    return sure, sure + missing


def blight_day(day: DayAir, hours: int = BLIGHT_HOURS) -> bool | None:
    """Whether one day meets the criteria; None when the missing hours could decide it."""
    if day.min_c is not None and day.min_c < BLIGHT_NIGHT_C:
        return False
    sure, perhaps = humid_hours(day, BLIGHT_HUMID_RH)
    if perhaps < hours:
        return False
    if day.min_c is None or sure < hours:
        return None
    return True


def blight_weather(days: Sequence[DayAir], hours: int = BLIGHT_HOURS) -> list[bool | None]:
    """For each day whether it ends two running days that meet the criteria."""
    return _running([blight_day(day, hours) for day in days], BLIGHT_DAYS)


def leaf_mould_hours(day: DayAir) -> tuple[int, int]:
    """Hours of a day in which leaf mould can infect, (surely, perhaps)."""
    return _hours_within(day, LEAF_MOULD_RH, *LEAF_MOULD_C)


def grey_mould_hours(day: DayAir) -> tuple[int, int]:
    """Hours of a day in which grey mould infects easily, (surely, perhaps)."""
    return _hours_within(day, GREY_MOULD_RH, *GREY_MOULD_C)


def leaf_mould_weather(days: Sequence[DayAir]) -> list[bool | None]:
    """For each day whether it ends as many running days as leaf mould is taken to need."""
    return _running([_enough(leaf_mould_hours(day), LEAF_MOULD_HOURS) for day in days], LEAF_MOULD_DAYS)


def grey_mould_weather(days: Sequence[DayAir]) -> list[bool | None]:
    """For each day whether it ends as many running days as grey mould is taken to need."""
    return _running([_enough(grey_mould_hours(day), GREY_MOULD_HOURS) for day in days], GREY_MOULD_DAYS)


def _enough(hours: tuple[int, int], needed: int) -> bool | None:
    sure, perhaps = hours
    return True if sure >= needed else False if perhaps < needed else None


def _running(met: Sequence[bool | None], days: int) -> list[bool | None]:
    """Whether each day ends so many that are met; None where a day not known could decide it."""
    ends: list[bool | None] = []
    for i in range(len(met)):
        run = [*[None] * (days - 1 - i), *met[max(0, i - days + 1) : i + 1]]
        ends.append(False if False in run else None if None in run else True)
    return ends


def _hours_within(day: DayAir, at_least_rh: float, low_c: float, high_c: float) -> tuple[int, int]:
    if not day.hours_rh or not day.hours_c:
        return 0, 24
    sure = perhaps = 0
    for air_c, rh in zip(day.hours_c, day.hours_rh, strict=False):
        if air_c is None or rh is None:
            perhaps += 1
        elif rh > at_least_rh and low_c <= air_c <= high_c:
            sure += 1
    return sure, sure + perhaps
