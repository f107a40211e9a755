"""How much wider than usual this journal's forecasts have had to be: learned from how far earlier ones were off.

Errors come visit by visit, in standard deviations, for a visit ahead and for two; bands go by the root of their
mean square, drawn to 1 by a prior worth six visits, older visits fading. The middle of a forecast never changes by
it: a learned bias cost accuracy on stems and picks of twenty open crops, a learned width held them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

PRIOR_VISITS = 6.0
FADES_A_VISIT = 0.9
LEAST, MOST = 0.8, 4.0
STRANGE = 3.0
"""An error of more standard deviations counts as so many."""
NEAR_DAYS, FAR_DAYS = 7, 14
FAR_FROM_DAYS = 10
"""Forecasts longer than this are of the far kind."""
LEAST_FAR = 2 / 3
"""Of the near share, so that no band narrows with the days ahead."""


class Widths(NamedTuple):
    """What multiplies the variance of forecasts."""

    near: float = 1.0
    """A week ahead and less."""
    far: float = 1.0
    """A fortnight ahead and more."""

    def over(self, days: float) -> float:
        share = min(1.0, max(0.0, (days - NEAR_DAYS) / (FAR_DAYS - NEAR_DAYS)))
        return self.near + share * (max(self.far, LEAST_FAR * self.near) - self.near)


AS_USUAL = Widths()


class WidthsSeen:
    """Faded sums of squared errors. A private builder."""

    __slots__ = ("_n", "_squares")

    def __init__(self) -> None:
        self._squares = [0.0, 0.0]
        self._n = [0.0, 0.0]

    def copied(self) -> WidthsSeen:
        twin = WidthsSeen()
        twin._squares, twin._n = [*self._squares], [*self._n]
        return twin

    def take(self, days: float, squares: Sequence[float]) -> None:
        """Squared errors, in variances, of one visit's leaders foreseen ``days`` ahead."""
        if not squares:
            return
        far = int(days > FAR_FROM_DAYS)
        seen = sum(min(STRANGE**2, square) for square in squares) / len(squares)
        self._squares[far] = FADES_A_VISIT * self._squares[far] + seen
        self._n[far] = FADES_A_VISIT * self._n[far] + 1

    def learned(self) -> Widths:
        shares = (
            (PRIOR_VISITS + square) / (PRIOR_VISITS + n) for square, n in zip(self._squares, self._n, strict=True)
        )
        return Widths(*(min(MOST, max(LEAST, share)) for share in shares))
