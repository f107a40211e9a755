"""The readings form: what can be read of a leader, typed in cm and truss numbers, kept in SI."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.cells import Unit, UnitName, say
from tunneltui.screens.forms import Field
from tunneltui.screens.numbers import NotANumber, optional

ASKED: tuple[tuple[str, str, Unit], ...] = (
    ("growth_m", say("Growth since the last mark, {}", UnitName("cm")), "cm"),
    ("tip_under_wire_m", say("Tip under the wire, {} (- above it)", UnitName("cm")), "cm"),
    ("flowering_truss", "Truss with the youngest open flower, number", ""),
    ("lowest_truss", "Lowest truss not yet picked clean, number", ""),
    ("length_m", say("Whole length, {}", UnitName("cm")), "cm"),
    ("diameter_mm", say("Stem diameter, {}", UnitName("mm")), "mm"),
    ("leaves", "Leaves left on the stem", ""),
)
"""Field of ``Measured``, words, and the metric unit it is typed in."""
FIELDS = tuple(Field(key, words, unit=unit) for key, words, unit in ASKED)


def read(typed: Mapping[str, str]) -> dict[str, float]:
    """What was typed, in the units of the entry. Raises ``NotANumber``."""
    # Imported here: the form is known before the first paint, the kinds of entry are not.
    from tunneltui.holding.wanted import limits
    from tunneltui.journal.kinds_standing import Measured

    read_here = {}
    for key, words, unit in ASKED:
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
