"""Degree days above a threshold, by named method: methods differ by two to one, so a total names its own."""

from __future__ import annotations

import math
from typing import Literal

Method = Literal["simple", "clamped", "quarter", "triangle", "sine"]


def degree_days(min_c: float, max_c: float, above_c: float, method: Method, cap_c: float | None = None) -> float:
    """Degree days of one day [K d].

    ``simple``: mean less threshold. ``clamped``: both ends first held between threshold and cap.
    ``quarter``: the four-case rule of the United Kingdom and Irish weather services. ``triangle`` and ``sine``:
    the day drawn as such a wave (Baskerville and Emin 1969), a cap taken off horizontally. Units need only agree.
    """
    if method == "clamped":
        top = math.inf if cap_c is None else cap_c
        held = [min(top, max(above_c, t)) for t in (min_c, max_c)]
        return sum(held) / 2 - above_c
    form = _FORMS[method]
    below = form(min_c, max_c, above_c)
    return below if cap_c is None else below - form(min_c, max_c, cap_c)


def _simple(low: float, high: float, above: float) -> float:
    return max(0.0, (low + high) / 2 - above)


def _quarter(low: float, high: float, above: float) -> float:
    mean = (low + high) / 2
    if low >= above:
        return mean - above
    if high <= above:
        return 0.0
    if mean > above:
        return (high - above) / 2 - (above - low) / 4
    return (high - above) / 4


def _triangle(low: float, high: float, above: float) -> float:
    if low >= above:
        return (low + high) / 2 - above
    if high <= above:
        return 0.0
    return (high - above) ** 2 / (2 * (high - low))


def _sine(low: float, high: float, above: float) -> float:
    mean, half = (low + high) / 2, (high - low) / 2
    if low >= above:
        return mean - above
    if high <= above:
        return 0.0
    theta = math.asin((above - mean) / half)
    return ((mean - above) * (math.pi / 2 - theta) + half * math.cos(theta)) / math.pi


_FORMS = {"simple": _simple, "quarter": _quarter, "triangle": _triangle, "sine": _sine}
