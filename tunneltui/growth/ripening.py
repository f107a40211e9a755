"""From open flower to ripe fruit: development ``z`` by the day, 0 at flowering and 1 ripe.

Published rate above 17 degC (Heuvelink 1996, Ann. Bot. 77, eq. 3, after De Koning 1994), measured whole-life
times below (Adams, Cockshull and Cave 2001, Ann. Bot. 88:869-877: 95 days at 14 degC); colder than 14 degC a
straight line down to the base of those times, 6.67 degC, which is a guess and marked as one.
"""

from __future__ import annotations

from math import exp, log, sqrt

from msgspec import Struct

from tunneltui.values import replace

BLEND_BELOW_C = 17.0
GUESS_BELOW_C = 14.0
"""Colder days rest on no measurement."""
GUESS_ABOVE_C = 26.0
"""Nor do warmer ones: the published rate was carried on, to 35 days at 33 degC."""
RATE_AT_20 = 0.0181
_DAYS_AT_14 = 95.0
_DAYS_AT_17 = 70.6
_BASE_C = 6.67
"""Where the straight line through the measured rates meets nought (Adams, Cockshull and Cave 2001, 14 to 22
degC)."""


class SizePace(Struct, frozen=True):
    """Development of a fruit that is picked by its size: even, from ``no_growth_c`` on in proportion to warmth."""

    days_at_20: float
    no_growth_c: float


def rate_terms(mean_c: float, pace: SizePace | None = None) -> tuple[float, float]:
    """A day's development as ``base`` and what ``warmth`` adds at each stage of it (``courses.RipeCourse``):
    published from 17 degC on, by measured times from 14 to 17 whatever the stage, a guess below."""
    if pace is not None:
        return max(0.0, (mean_c - pace.no_growth_c) / (20 - pace.no_growth_c)) / pace.days_at_20, 0.0
    if mean_c >= BLEND_BELOW_C:
        return RATE_AT_20, log(mean_c / 20)
    if mean_c >= GUESS_BELOW_C:
        share = (mean_c - GUESS_BELOW_C) / (BLEND_BELOW_C - GUESS_BELOW_C)
        return 1 / _DAYS_AT_14 + share * (1 / _DAYS_AT_17 - 1 / _DAYS_AT_14), 0.0
    return max(0.0, (mean_c - _BASE_C) / (GUESS_BELOW_C - _BASE_C) / _DAYS_AT_14), 0.0


FACTOR_SD = 0.06
FACTOR_HALF_LIFE_DAYS = 21.0
BY_SIZE_SD = 0.30
"""Days to picking size are known no better than to a third before two readings told them; what they tell stays."""
SEEN_SD = 0.03
KIND_SD = 0.05
"""How far a cultivar's time to ripen lies from its kind's for good: two days and a half of fifty (assumed)."""


class RipeningFactor(Struct, frozen=True):
    """How a kind departs from the published rate, which is multiplied by exp(``kind_log`` + ``log_factor``).

    ``log_factor`` passes: it fades by half in three weeks, as departures seen in two lit compartments did (own
    fit). What the kind departs by for good is learned beside it, where ``kind_variance`` leaves it open.
    """

    log_factor: float = 0.0
    variance: float = FACTOR_SD**2
    day: int = 0
    """Ordinal of the day it stands for."""
    kind_log: float = 0.0
    """What the kind of fruit departs by for good."""
    passing: bool = True
    kind_variance: float = 0.0
    covariance: float = 0.0
    """Covariance of ``kind_log`` and ``log_factor``."""

    def on(self, day: int) -> RipeningFactor:
        """As it will have faded by a later day."""
        if not self.passing:
            return replace(self, day=max(day, self.day))
        fade = 0.5 ** (max(0, day - self.day) / FACTOR_HALF_LIFE_DAYS)
        return replace(
            self,
            log_factor=self.log_factor * fade,
            variance=self.variance * fade**2 + FACTOR_SD**2 * (1 - fade**2),
            day=max(day, self.day),
            covariance=self.covariance * fade,
        )

    def learn(self, day: int, expected_days: float, seen_days: float, seen_sd: float = SEEN_SD) -> RipeningFactor:
        """After a truss took ``seen_days`` where the published rate said ``expected_days``.

        ``seen_sd`` is the error of the logarithm of the time seen.
        """
        aged = self.on(day)
        whole = aged.variance + 2 * aged.covariance + aged.kind_variance + seen_sd**2
        passes, stays = aged.variance + aged.covariance, aged.kind_variance + aged.covariance
        off = log(expected_days / seen_days) - aged.log_factor - aged.kind_log
        return replace(
            aged,
            log_factor=aged.log_factor + passes / whole * off,
            kind_log=aged.kind_log + stays / whole * off,
            variance=aged.variance - passes**2 / whole,
            kind_variance=aged.kind_variance - stays**2 / whole,
            covariance=aged.covariance - passes * stays / whole,
        )

    def rate(self, ripe_day: int) -> float:
        """What multiplies the rate of a truss expected ripe on that day."""
        return exp(self.kind_log + self.on(ripe_day).log_factor)

    def log_sd(self, days_left: float) -> float:
        """Standard deviation of the logarithm of the days from flowering to ripe."""
        learned2 = self.variance + 2 * self.covariance + self.kind_variance
        return sqrt(learned2 + 0.05**2 + (0.04 * days_left / 50) ** 2)
