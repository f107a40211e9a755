"""What may stand behind a flag of a command, checked as it is typed. Imports nothing but argparse and re."""

from __future__ import annotations

import re
from argparse import ArgumentTypeError
from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from tunneltui.cells import Unit
    from tunneltui.store.where import Where

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
TRAINING = ("tiered", "laid_down", "pinched_at_wire")


def a_day(text: str) -> date:
    with suppress(ValueError):
        return date.fromisoformat(text)
    raise ArgumentTypeError(f"{text!r} is no day; write year-month-day, such as 2026-08-20")


def in_units(unit: Unit, read: Callable[[str], float]) -> Callable[[str], float]:
    """``read`` of what is typed in the grower's units, or with a unit of its own (``46ft``)."""

    def read_typed(text: str) -> float:
        from tunneltui.pages.units import typed

        return read(typed(text, unit))

    return read_typed


def minutes(text: str) -> float:
    return _between(text, 0.0, 1440.0, "a number of minutes")


def wire_m(text: str) -> float:
    return _between(text, 0.51, 6.0, "a height of a wire in metres")


def metres(text: str) -> float:
    return _between(text, 0.05, 500.0, "a length in metres")


def count(text: str) -> int:
    value = _between(text, 1, 9999, "a count")
    if value != int(value):
        raise ArgumentTypeError(f"{text!r} is no whole number")
    return int(value)


def year(text: str) -> int:
    value = _between(text, 1900, 2999, "a year")
    if value != int(value):
        raise ArgumentTypeError(f"{text!r} is no year")
    return int(value)


def name(text: str) -> str:
    if not text.strip() or len(text) > 200 or not text.isprintable():
        raise ArgumentTypeError(f"{text[:40]!r} is no name of 1 to 200 letters")
    return text.strip()


def names(text: str) -> tuple[str, ...]:
    return tuple(name(part) for part in text.split(","))


def latitude_deg(text: str) -> float:
    return _between(text, -66.0, 66.0, "a latitude in degrees")


def weekdays(text: str) -> tuple[str, ...]:
    """``Mon, Wednesday sat`` or ``every day``: days of the week in their order."""
    if text.strip().lower() in ("every day", "all"):
        return WEEKDAYS
    days = {_weekday(word) for word in re.split(r"[\s,;]+", text) if word}
    return tuple(day for day in WEEKDAYS if day in days)


def _weekday(word: str) -> str:
    names = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    meant = [day for day, name in zip(WEEKDAYS, names, strict=True) if name.startswith(word.lower())]
    if len(meant) != 1:
        raise ArgumentTypeError(f"{word[:40]!r} is no day of the week; write such as: Mon, Wed, Sat")
    return meant[0]


def litres(text: str) -> float:
    return _between(text, 0.0, 1_000_000.0, "a number of litres")


def density(text: str) -> float:
    return _between(text, 0.5, 2.0, "a density in kg/L")


def per_litre(text: str) -> float:
    return _between(text, 0.0, 1000.0, "mL or g in a litre of feed")


def dilution(text: str) -> float:
    return _between(text, 1.0, 100_000.0, "a dilution 1:R, written as R")


def ec(text: str) -> float:
    return _between(text, 0.0, 30.0, "a reading in dS/m")


def threshold_c(text: str) -> float:
    return _between(text, -5.0, 60.0, "a threshold in degC")


def bulb_c(text: str) -> float:
    return _between(text, -30.0, 60.0, "a temperature in degC")


def training(text: str) -> str:
    word = "_".join(text.lower().split())
    if word not in TRAINING:
        raise ArgumentTypeError(f"{text!r} is none of: {', '.join(TRAINING).replace('_', ' ')}")
    return word


def _between(text: str, least: float, most: float, what: str) -> float:
    with suppress(ValueError):
        if least <= (value := float(text)) <= most:
            return value
    raise ArgumentTypeError(f"{text!r} is not {what} from {least:g} to {most:g}")


def zone(text: str) -> str:
    from zoneinfo import ZoneInfo

    with suppress(ValueError, OSError, KeyError):
        return ZoneInfo(text).key
    raise ArgumentTypeError(f"there is no time zone {text!r}; write it such as Europe/London")


def column(text: str) -> tuple[str, str]:
    """``length='Stem length'``: what is meant, and the column that holds it."""
    name, sign, heading = text.partition("=")
    if not sign:
        raise ArgumentTypeError(f"{text!r} is no NAME=COLUMN, such as length='Stem length'")
    return name.strip(), heading.strip()


def date_order(text: str) -> str:
    if text not in ("day-first", "month-first", "year-first", "year-day-month"):
        raise ArgumentTypeError(f"{text!r} is none of day-first, month-first, year-first, year-day-month")
    return text.replace("-", " ")


def lines(text: str) -> int:
    """How many lines; none is a number too."""
    if not text.isascii() or not text.isdigit() or int(text) > 1_000_000:
        raise ArgumentTypeError(f"{text!r} is no number of lines")
    return int(text)


def unit_of_column(text: str) -> tuple[str, str]:
    """``kg=lb``: what is meant, and the unit its column is in."""
    from tunneltui.store.sheet_words import unit_of

    name, sign, unit = text.partition("=")
    if not sign or not (scale := unit_of(unit)):
        raise ArgumentTypeError(f"{text!r} is no NAME=UNIT, such as kg=lb, length=in or temp=F")
    return name.strip(), scale


def journal(text: str) -> Where:
    """A journal's file, or the address of a server's. What is wrong with an address is said without repeating it:
    what was mistyped may be a password."""
    from tunneltui.store.where import where

    try:
        return where(text)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from None
