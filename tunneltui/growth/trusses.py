"""How fast a cultivar comes to flower: a truss-rate intercept that drifts, learned from counts.

Constants as chosen on three open registrations (own fit): prior sd 0.02 around the published
intercept, walk 0.006 per square root of a week, error of a mean count 0.15 trusses and 0.5 per leader.
"""

from __future__ import annotations

from math import sqrt

from msgspec import Struct

from tunneltui.growth.response import COLDEST_C, TRUSS_INTERCEPT, TRUSS_SLOPE
from tunneltui.growth.widths import AS_USUAL, Widths
from tunneltui.holding.crops import Crop
from tunneltui.values import replace

PRIOR_SD = 0.02
WALK_SD_PER_WEEK = 0.006
MEAN_COUNT_SD = 0.15
LEADER_COUNT_SD = 0.5
LEADER_WALK_PER_WEEK = 0.20
"""Variance in trusses by which one leader strays from its cultivar in a week."""
WARMTH_SD_C = 1.0
"""Error of a guessed mean temperature over the days ahead."""


class TrussRate(Struct, frozen=True):
    """The intercept and its variance, in trusses per day."""

    intercept: float = TRUSS_INTERCEPT
    variance: float = PRIOR_SD**2
    slope: float = TRUSS_SLOPE
    widths: Widths = AS_USUAL

    def after(self, days: float) -> TrussRate:
        """As uncertain as it will be that many days on."""
        return replace(self, variance=self.variance + WALK_SD_PER_WEEK**2 * days / 7)

    def learn(self, days: float, new_trusses: float, warmth: float, leaders: int) -> TrussRate:
        """After a mean count of new trusses over ``leaders``; ``warmth`` is the sum of ``truss_warmth``."""
        noise = (MEAN_COUNT_SD**2 + LEADER_COUNT_SD**2 / leaders) / days**2
        gain = self.variance / (self.variance + noise)
        seen = (new_trusses - warmth) / days
        intercept = self.intercept + gain * (seen - self.intercept)
        return replace(self, intercept=intercept, variance=self.variance * (1 - gain))

    def coming(self, days: float, warmth: float) -> float:
        """New trusses in the days ahead."""
        return max(0.0, self.intercept * days + warmth)

    def coming_sd(self, days: float, leaders: int, guessed_mean_c: float | None = None) -> float:
        """Error of a count of them, counting errors at both ends included.

        ``guessed_mean_c``: mean temperature of the days ahead where it is a guess.
        """
        spread = self.pace_var(days) + MEAN_COUNT_SD**2
        spread += (LEADER_COUNT_SD**2 + LEADER_WALK_PER_WEEK * days / 7) / leaders
        if guessed_mean_c is not None:
            spread += self.guess_var(days, guessed_mean_c)
        return sqrt(spread)

    def pace_var(self, days: float) -> float:
        """Variance of the trusses coming in that time from what is not known of the pace and how it drifts."""
        return days**2 * (self.variance + WALK_SD_PER_WEEK**2 * days / 21)

    def guess_var(self, days: float, mean_c: float) -> float:
        """Variance of the trusses coming in days whose mean temperature is a guess; too cold to flower counts as
        just not."""
        return (self.slope / max(mean_c, COLDEST_C) * WARMTH_SD_C * days) ** 2


def prior_rate(intercept: float, crop: Crop) -> TrussRate:
    """Before any count; a crop that answers warmth more strongly is as much less sure."""
    return TrussRate(intercept, (PRIOR_SD * crop.flowering_slope / TRUSS_SLOPE) ** 2, crop.flowering_slope)
