"""Degree days above a threshold, by named method: methods differ by two to one, so a total names its own."""

from __future__ import annotations

import math
from typing import Literal

Method = Literal["simple", "clamped", "quarter", "triangle", "sine"]


Cutoff = Literal["horizontal", "vertical"]
CUT_VERTICALLY: tuple[Method, ...] = ("sine", "triangle")


def degree_days(
    min_c: float,
    max_c: float,
    above_c: float,
    method: Method,
    cap_c: float | None = None,
    cutoff: Cutoff = "horizontal",
) -> float:
    """Degree days of one day [K d].

    ``simple``: mean less threshold. ``clamped``: both ends first held between threshold and cap.
    ``quarter``: the four-case rule of the United Kingdom and Irish weather services. ``triangle`` and ``sine``:
    the day drawn as such a wave (Baskerville and Emin 1969). Above a cap warmth counts as the cap
    (``horizontal``) or not at all (``vertical``). Units need only agree.

    Raises:
        ValueError: a cap under the threshold, or a vertical cutoff of a method that draws no wave.
    """
    if cap_c is None:
        cap_c = math.inf
    if cap_c <= above_c:
        raise ValueError(f"the cap of {cap_c:g} is not above the threshold of {above_c:g}")
    if cutoff == "vertical" and method not in CUT_VERTICALLY:
        raise ValueError(f"a vertical cutoff is worked out for {' and '.join(CUT_VERTICALLY)} only")
    if method == "clamped":
        held = [min(cap_c, max(above_c, t)) for t in (min_c, max_c)]
        return sum(held) / 2 - above_c
    if math.isinf(cap_c):
        return _FORMS[method](min_c, max_c, above_c)
    under = _FORMS[method](min_c, max_c, above_c) - _FORMS[method](min_c, max_c, cap_c)
    return (
        under if cutoff == "horizontal" else under - (cap_c - above_c) * _share_over(min_c, max_c, cap_c, method)
    )


def _share_over(low: float, high: float, cap: float, method: Method) -> float:
    """Share of the day that the wave is over the cap."""
    if low >= cap:
        return 1.0
    if high <= cap:
        return 0.0
    if method == "triangle":
        return (high - cap) / (high - low)
    return (math.pi / 2 - math.asin((cap - (low + high) / 2) / ((high - low) / 2))) / math.pi


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
