"""The readings form: what can be read of a leader, typed in cm and truss numbers, kept in SI."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.cells import Unit
from tunneltui.pages.prompts import READINGS
from tunneltui.screens.forms import Field
from tunneltui.screens.numbers import NotANumber, optional

UNITS: Mapping[str, Unit] = {"growth_m": "cm", "tip_under_wire_m": "cm", "length_m": "cm", "diameter_mm": "mm"}
"""By field of ``Measured`` the metric unit it is typed in; the others are numbers."""
FIELDS = tuple(Field(key, words, unit=UNITS.get(key, "")) for key, words in READINGS.items())


def read(typed: Mapping[str, str]) -> dict[str, float]:
    """What was typed, in the units of the entry. Raises ``NotANumber``."""
    # Imported here: the form is known before the first paint, the kinds of entry are not.
    from tunneltui.holding.expected import limits
    from tunneltui.journal.kinds_standing import Measured

    read_here = {}
    for key, words in READINGS.items():
        unit = UNITS.get(key, "")
        per_unit = 100 if unit == "cm" else 1
        least, most = limits(Measured, key)
        value = optional(typed.get(key, ""), least * per_unit, most * per_unit, words, unit)
        if value is not None:
            read_here[key] = value / per_unit
    return read_here


def fault_in(typed: Mapping[str, str]) -> str:
    """What is wrong, as a sentence; '' if nothing."""
    try:
        return "" if read(typed) else "Nothing was typed. Escape goes back."
    except NotANumber as not_one:
        return str(not_one)
