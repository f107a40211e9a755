"""Metric or imperial at the edge: what is shown and what is typed. Kept, worked out and written to JSON is SI.

Sentences are made in metric all over the program; ``said`` turns the quantities in them on their way out,
``typed`` what a grower types on its way in. The system of units is set once, when a command starts.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, NamedTuple

from tunneltui import cells
from tunneltui.cells import Sentence, localized
from tunneltui.report.units import FT_IN_M, KG_M2_IN_LB_FT2, LB_IN_KG, LITRES_IN_GAL, Units

if TYPE_CHECKING:
    from tunneltui.draw.chart import AxisUnit


class _Pair(NamedTuple):
    """A metric unit and what stands for it: ``imperial = metric * times + plus``."""

    name: str
    times: float
    plus: float = 0.0


_OF_METRIC = {
    "kg/m2": _Pair("lb/ft2", KG_M2_IN_LB_FT2),
    "kg": _Pair("lb", 1 / LB_IN_KG),
    "g": _Pair("oz", 16 / LB_IN_KG / 1000),
    "cm": _Pair("in", 0.12 / FT_IN_M),
    "mm": _Pair("in", 0.012 / FT_IN_M),
    "m2": _Pair("ft2", 1 / FT_IN_M**2),
    "m": _Pair("ft", 1 / FT_IN_M),
    "L": _Pair("US gal", LITRES_IN_GAL),
    "degC": _Pair("degF", 1.8, 32.0),
}
"""By definition: pound and ounce, inch and foot, gallon of 231 cubic inches, Fahrenheit's scale."""
_NUMBER = r"-?\d+(?:\.\d+)?"
_QUANTITY = (
    rf"(?<![\w.])({_NUMBER})(?:( to | or | and )({_NUMBER}))? ?({'|'.join(map(re.escape, _OF_METRIC))})(?![\w/])"
)
"""As all patterns here compiled when first asked for: the first paint in metric asks for none."""
_LABELS = {"Kilograms": "Pounds", "Litres": "US gallons", "metres": "feet"} | {
    f", {metric}": f", {pair.name}" for metric, pair in _OF_METRIC.items()
}
_LABEL = "|".join(rf"{re.escape(words)}\b" for words in sorted(_LABELS, key=len, reverse=True))
_TYPED = r"(?i)([+-]?\d*[.,]?\d+) ?([a-z0-9]*)"
_BARE = r"[+-]?\d*[.,]?\d+"
_TO_BASE = {
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
    "gal": ("L", 1 / LITRES_IN_GAL, 0.0),
    "c": ("degC", 1.0, 0.0),
    "degc": ("degC", 1.0, 0.0),
    "f": ("degC", 1 / 1.8, -32 / 1.8),
    "degf": ("degC", 1 / 1.8, -32 / 1.8),
}
"""What may be typed after a number: its quantity, and how it becomes that quantity's SI unit."""
_FINEST = 2
"""Decimals of a metric figure that are worth turning; what was weighed in ounces and kept in kg has more."""
_ENOUGH = 0.05
"""A rounded figure farther off than this share gets a decimal more."""

_units = Units()


def speak(units: Units) -> None:
    """From now on everything is said and read in these units."""
    global _units
    _units = units


def units() -> Units:
    return _units


def said(words: str) -> str:
    """Our own sentence with its quantities in the grower's units. Never for what a grower wrote."""
    if isinstance(words, Sentence):
        return localized(words, cells.Units(_units.imperial))
    return re.sub(_QUANTITY, _turned, words) if _units.imperial else words


def label(words: str) -> str:
    """The name of a field with the unit that is typed into it."""
    return re.sub(_LABEL, lambda found: _LABELS[found[0]], said(words)) if _units.imperial else words


def axis(metric: str) -> AxisUnit:
    """How a chart's axis is written whose values are in a metric unit."""
    from tunneltui.draw.chart import AxisUnit

    if not _units.imperial:
        return AxisUnit(metric.removeprefix("deg"))
    pair = _OF_METRIC[metric]
    return AxisUnit(pair.name.removeprefix("deg"), pair.times, pair.plus)


def typed(text: str, metric: str) -> str:
    """What was typed into a field as figures in its metric unit; as it was where it is no quantity.

    A unit after the number (``5 lb``, ``30 cm``) counts in either system; bare numbers are in the grower's.
    """
    if metric not in _OF_METRIC:
        return text
    found = re.fullmatch(_TYPED, text.strip())
    if found is not None and found[2]:
        value = in_metric(float(found[1].replace(",", ".")), metric, found[2])
        return text if value is None else _written(value)
    if not _units.imperial:
        return text
    words = text.split()
    if not all(word == "-" or re.fullmatch(_BARE, word) for word in words):
        return text
    return " ".join(
        word if word == "-" else _written(_bare(float(word.replace(",", ".")), metric)) for word in words
    )


def shown(value: str, metric: str) -> str:
    """A field's own value, kept in a metric unit, as it would be typed."""
    if metric not in _OF_METRIC or not _units.imperial or not re.fullmatch(_BARE, value):
        return value
    return said(f"{value} {metric}").removesuffix(f" {_OF_METRIC[metric].name}")


def in_metric(value: float, metric: str, unit: str = "") -> float | None:
    """``value`` in a metric unit; with no unit said it is in the grower's. None where units do not fit."""
    if not unit:
        return _bare(value, metric) if _units.imperial else value
    read, wanted = _TO_BASE.get(unit.lower()), _TO_BASE[metric.lower()]
    if read is None or read[0] != wanted[0]:
        return None
    return (value * read[1] + read[2] - wanted[2]) / wanted[1]


def _bare(value: float, metric: str) -> float:
    pair = _OF_METRIC[metric]
    return (value - pair.plus) / pair.times


def _written(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"


def _turned(found: re.Match[str]) -> str:
    pair = _OF_METRIC[found[4]]
    metric = [figure for figure in (found[1], found[3]) if figure]
    values = [float(figure) * pair.times + pair.plus for figure in metric]
    decimals = max(_decimals(figure, value, pair) for figure, value in zip(metric, values, strict=True))
    figures = [f"{value:.{decimals}f}" for value in values]
    return f"{(found[2] or '').join(figures)} {pair.name}"


def _decimals(figure: str, value: float, pair: _Pair) -> int:
    """As fine as the metric figure was, and never so coarse that it would say something else."""
    step = pair.times / 10 ** min(len(figure.partition(".")[2]), _FINEST)
    decimals = max(0, math.ceil(-math.log10(step) - 0.46))
    while decimals < 4 and abs(round(value, decimals) - value) > _ENOUGH * abs(value):
        decimals += 1
    return decimals
