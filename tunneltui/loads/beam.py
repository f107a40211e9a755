"""A lying stem as a continuous beam on supports that hold up but never hold down.

Two complete equilibrium sets bound what a clip carries (own simulation): the stem as one stiff beam
(Clapeyron's three-moment equation; with one bending stiffness the answer does not depend on it), and the stem
hinged at every fixing. Positions are horizontal metres, loads newtons downward, reactions upward.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

BeamLoads = Sequence[tuple[float, float]]
"""(place, newton) pairs."""

_NOTHING_N = 1e-9
_SINKS = 1e-12
"""Deflection times stiffness below which a support taken out is not touched again."""


def hinged(supports_m: Sequence[float], loads: BeamLoads) -> list[float]:
    """Reactions if the stem were hinged at every support: each load goes to the two ends of its own span.

    What lies beyond an outer support hangs on that one alone.
    """
    reactions = [0.0] * len(supports_m)
    last = len(supports_m) - 1
    for place, newton in loads:
        i = _span(supports_m, place)
        if i < 0:
            reactions[0] += newton
        elif i >= last:
            reactions[last] += newton
        else:
            share = (place - supports_m[i]) / (supports_m[i + 1] - supports_m[i])
            reactions[i] += newton * (1 - share)
            reactions[i + 1] += newton * share
    return reactions


def continuous(supports_m: Sequence[float], loads: BeamLoads) -> list[float]:
    """Reactions of a continuous beam on fixed supports, negative where it would have to be held down.

    A single support takes everything: what keeps the beam from turning there is not the support's business.
    """
    return _Beam(supports_m, loads).reactions


def pull_only(supports_m: Sequence[float], loads: BeamLoads, *, root_first: bool = True) -> list[float]:
    """Reactions of a continuous beam whose supports only hold up, in the order of ``supports_m``.

    Takes out the most negative support and solves again; puts back one that the stem then sinks below. With
    ``root_first`` the first support may also hold down, as a root does. A support lifted off carries 0.
    """
    active = list(range(len(supports_m)))
    for _ in range(4 * len(supports_m)):
        beam = _Beam([supports_m[i] for i in active], loads)
        lifted = _most_lifted(active, beam.reactions, root_first)
        if lifted is not None and len(active) > 1:
            active.remove(lifted)
            continue
        sunk = _most_sunk(supports_m, active, beam)
        if sunk is None:
            break
        active = sorted([*active, sunk])
    reactions = [0.0] * len(supports_m)
    for i, reaction in zip(active, beam.reactions, strict=True):
        reactions[i] = reaction
    return reactions


def _most_lifted(active: list[int], reactions: list[float], root_first: bool) -> int | None:
    worst, worst_n = None, -_NOTHING_N
    for i, reaction in zip(active, reactions, strict=True):
        if reaction < worst_n and not (root_first and i == 0):
            worst, worst_n = i, reaction
    return worst


def _most_sunk(supports_m: Sequence[float], active: list[int], beam: _Beam) -> int | None:
    if len(active) == len(supports_m):
        return None
    worst, worst_sag = None, _SINKS
    for i in range(len(supports_m)):
        if i not in active:
            sag = beam.sag(supports_m[i])
            if sag > worst_sag:
                worst, worst_sag = i, sag
    return worst


def _span(supports_m: Sequence[float], place: float) -> int:
    """Index of the support left of a place; -1 before the first. A place on the last support is in its span."""
    last = len(supports_m) - 1
    if place > supports_m[last] or last == 0:
        return last
    return min(bisect_right(supports_m, place), last) - 1


class _Beam:
    """One solved set of fixed supports; moments sagging positive, stiffness 1."""

    __slots__ = ("inner", "left", "moments", "reactions", "right", "supports")

    def __init__(self, supports_m: Sequence[float], loads: BeamLoads) -> None:
        self.supports = supports_m
        self._share_out(loads)
        self.moments = self._support_moments()
        self.reactions = self._reactions()

    def _share_out(self, loads: BeamLoads) -> None:
        """Loads by span as (distance from its left end, newton), and those beyond the outer supports."""
        spans = len(self.supports) - 1
        self.inner: list[list[tuple[float, float]]] = [[] for _ in range(spans)]
        self.left: list[tuple[float, float]] = []
        self.right: list[tuple[float, float]] = []
        for place, newton in loads:
            i = _span(self.supports, place)
            if i < 0:
                self.left.append((self.supports[0] - place, newton))
            elif i >= spans:
                self.right.append((place - self.supports[-1], newton))
            else:
                self.inner[i].append((place - self.supports[i], newton))

    def _support_moments(self) -> list[float]:
        """Clapeyron: M1 L1 + 2 M2 (L1 + L2) + M3 L2 = - sum P a (L1^2 - a^2)/L1 - sum P b (L2^2 - b^2)/L2."""
        supports = self.supports
        n = len(supports)
        moments = [0.0] * n
        moments[-1] = -sum(arm * newton for arm, newton in self.right)
        if n == 1:
            return moments
        moments[0] = -sum(arm * newton for arm, newton in self.left)
        spans = [supports[i + 1] - supports[i] for i in range(n - 1)]
        # Forward elimination of the tridiagonal set, then back: no pivoting, for it is diagonally dominant.
        diagonal, right_side = [0.0] * n, [0.0] * n
        for i in range(1, n - 1):
            before, after = spans[i - 1], spans[i]
            value = 0.0
            for a, newton in self.inner[i - 1]:
                value -= newton * a * (before * before - a * a) / before
            for a, newton in self.inner[i]:
                b = after - a
                value -= newton * b * (after * after - b * b) / after
            if i == 1:
                diagonal[i] = 2 * (before + after)
                value -= moments[0] * before
            else:
                factor = before / diagonal[i - 1]
                diagonal[i] = 2 * (before + after) - factor * before
                value -= factor * right_side[i - 1]
            right_side[i] = value
        for i in range(n - 2, 0, -1):
            moments[i] = (right_side[i] - moments[i + 1] * spans[i]) / diagonal[i]
        return moments

    def _reactions(self) -> list[float]:
        supports, moments = self.supports, self.moments
        reactions = [0.0] * len(supports)
        reactions[0] += sum(newton for _, newton in self.left)
        reactions[-1] += sum(newton for _, newton in self.right)
        for i, loads in enumerate(self.inner):
            span = supports[i + 1] - supports[i]
            whole, turning = 0.0, 0.0
            for a, newton in loads:
                whole += newton
                turning += newton * a
            across = (turning + moments[i] - moments[i + 1]) / span
            reactions[i + 1] += across
            reactions[i] += whole - across
        return reactions

    def sag(self, place: float) -> float:
        """Deflection downward times stiffness at any place from the first support on."""
        supports = self.supports
        i = _span(supports, place)
        if i < 0 or len(supports) == 1:
            return 0.0
        if i >= len(supports) - 1:
            return self._sag_beyond(place - supports[-1])
        span, x = supports[i + 1] - supports[i], place - supports[i]
        left, right = self.moments[i], self.moments[i + 1]
        sag = left * (span * x / 3 - x * x / 2 + x**3 / (6 * span)) + right * (span * x / 6 - x**3 / (6 * span))
        for a, newton in self.inner[i]:
            b = span - a
            if x <= a:
                sag += newton * b * x * (span * span - b * b - x * x) / (6 * span)
            else:
                y = span - x
                sag += newton * a * y * (span * span - a * a - y * y) / (6 * span)
        return sag

    def _sag_beyond(self, arm: float) -> float:
        """Beyond the last support: its turn carried on, and the free end's own bending."""
        span = self.supports[-1] - self.supports[-2]
        turn = -self.moments[-2] * span / 6 - self.moments[-1] * span / 3
        for a, newton in self.inner[-1]:
            turn -= newton * a * (span * span - a * a) / (6 * span)
        sag = turn * arm
        for c, newton in self.right:
            near, far = min(arm, c), max(arm, c)
            sag += newton * near * near * (3 * far - near) / 6
        return sag
