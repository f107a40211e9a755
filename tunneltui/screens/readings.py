"""The readings form: what can be read of a leader, typed in cm and truss numbers, kept in SI."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.cells import Unit, UnitName, say
from tunneltui.screens.forms import Field
from tunneltui.screens.numbers import NotANumber, optional

_ASKED: tuple[tuple[str, str, float, float, float], ...] = (
    # field of the entry, words, least, most, typed units in one unit kept
    ("growth_m", say("Growth since the last mark, {}", UnitName("cm")), -50, 300, 100),
    ("tip_under_wire_m", say("Tip under the wire, {} (- above it)", UnitName("cm")), -100, 400, 100),
    ("flowering_truss", "Truss with the youngest open flower, number", 0, 100, 1),
    ("lowest_truss", "Lowest truss not yet picked clean, number", 0, 100, 1),
    ("length_m", say("Whole length, {}", UnitName("cm")), 0, 3000, 100),
    ("diameter_mm", say("Stem diameter, {}", UnitName("mm")), 1, 60, 1),
    ("leaves", "Leaves left on the stem", 0, 200, 1),
)
_UNITS: dict[str, Unit] = {"growth_m": "cm", "tip_under_wire_m": "cm", "length_m": "cm", "diameter_mm": "mm"}
FIELDS = tuple(Field(key, words, unit=_UNITS.get(key, "")) for key, words, *_ in _ASKED)


def read(typed: Mapping[str, str]) -> dict[str, float]:
    """What was typed, in the units of the entry. Raises ``NotANumber``."""
    read_here = {}
    for key, words, least, most, per_unit in _ASKED:
        value = optional(typed.get(key, ""), least, most, words)
        if value is not None:
            read_here[key] = value / per_unit
    return read_here


def fault_in(typed: Mapping[str, str]) -> str:
    """What is wrong, as a sentence; '' if nothing."""
    try:
        return "" if read(typed) else "Nothing was typed. Escape goes back."
    except NotANumber as not_one:
        return str(not_one)
