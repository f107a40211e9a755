"""The units in force: figures are shown in the grower's, what is typed is read into SI. Set once, when a command
starts."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tunneltui.cells import FT_IN_M, GAL_IN_LITRES, LB_IN_KG, METRIC, Unit, Units, as_typed, localized, scale

if TYPE_CHECKING:
    from tunneltui.draw.chart import AxisUnit

_units = METRIC


def set_units(units: Units) -> None:
    """From now on everything is shown and read in these units."""
    global _units
    _units = units


def in_force() -> Units:
    return _units


def localize(words: str) -> str:
    """A sentence with its quantities in the units in force. What a grower wrote is no sentence and stays."""
    return localized(words, _units)


def axis(unit: Unit) -> AxisUnit:
    """How a chart's axis is written whose values are in a metric unit."""
    from tunneltui.draw.chart import AxisUnit

    metric, shown = scale(unit), scale(unit, _units)
    return AxisUnit(shown.name.removeprefix("deg"), shown.times / metric.times, shown.plus)


_TYPED = r"(?i)([+-]?\d*[.,]?\d+) ?([a-z0-9]*)"
"""As all patterns here compiled when first asked for: the first paint asks for none."""
_BARE = r"[+-]?\d*[.,]?\d+"
_TO_SI = {
    "kg": ("kg", 1.0, 0.0),
    "g": ("kg", 0.001, 0.0),
    "lb": ("kg", LB_IN_KG, 0.0),
    "oz": ("kg", LB_IN_KG / 16, 0.0),
    "m": ("m", 1.0, 0.0),
    "cm": ("m", 0.01, 0.0),
    "mm": ("m", 0.001, 0.0),
    "ft": ("m", FT_IN_M, 0.0),
    "in": ("m", FT_IN_M / 12, 0.0),
    "l": ("L", 1.0, 0.0),
    "gal": ("L", GAL_IN_LITRES, 0.0),
    "c": ("degC", 1.0, 0.0),
    "degc": ("degC", 1.0, 0.0),
    "f": ("degC", 1 / 1.8, -32 / 1.8),
    "degf": ("degC", 1 / 1.8, -32 / 1.8),
}
"""What may be typed after a number: its quantity, and how it becomes that quantity's SI unit."""


def typed(text: str, unit: Unit) -> str:
    """What was typed into a field as figures in its metric unit; as it was where it is no quantity.

    A unit after the number (``5 lb``, ``30 cm``) counts in either system; bare numbers are in the grower's.
    """
    if unit.lower() not in _TO_SI:
        return text
    match = re.fullmatch(_TYPED, text.strip())
    if match is not None and match[2]:
        value = in_metric(float(match[1].replace(",", ".")), unit, match[2])
        return text if value is None else _written(value)
    if not _units.imperial:
        return text
    words = text.split()
    if not all(word == "-" or re.fullmatch(_BARE, word) for word in words):
        return text
    return " ".join(
        word if word == "-" else _written(_bare(float(word.replace(",", ".")), unit)) for word in words
    )


def shown(value: str, unit: Unit) -> str:
    """A field's own value, kept in a metric unit, as it would be typed."""
    if unit.lower() not in _TO_SI or not _units.imperial or not re.fullmatch(_BARE, value):
        return value
    return as_typed(float(value) / scale(unit).times, unit).figure(_units)


def in_metric(value: float, unit: Unit, typed_unit: str = "") -> float | None:
    """``value`` in a metric unit; with no unit said it is in the grower's. None where units do not fit."""
    if not typed_unit:
        return _bare(value, unit) if _units.imperial else value
    read, target = _TO_SI.get(typed_unit.lower()), _TO_SI[unit.lower()]
    if read is None or read[0] != target[0]:
        return None
    return (value * read[1] + read[2] - target[2]) / target[1]


def _bare(value: float, unit: Unit) -> float:
    metric, grower = scale(unit), scale(unit, _units)
    return (value - grower.plus) / grower.times * metric.times


def _written(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"
