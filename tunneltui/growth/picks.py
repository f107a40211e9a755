"""What a pick day will bring: modelled ripe trusses times a fading yield factor learned from weighed picks.

Picks empty the oldest first, so a pick holds what ripened since the one before. Half of that is taken from the
model, half from an even flow; the factor (kg per ripe truss) forgets by half in ten days. Constants and their
reach: growth-forms section 4, three open records.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

from tunneltui.growth.outlook import Band

HALF_LIFE_DAYS = 10.0
MODEL_SHARE = 0.5
PRIOR_DAYS = 7.0
FLOW_BACK_DAYS = 21
FLOW_ON_DAYS = 7
FLOW_HOLDS_DAYS = 21
"""An even flow says nothing of later weeks."""
PICK_SD = 0.30
"""Of a week's stretch; shorter stretches scatter more."""
FLOW_SD = 0.20
PRIOR_ERRORS = 6.0
STRANGE = 3.0
"""An error of more standard deviations counts as so many: a first pick of a crop assumed too small, a slip."""
BLIND_SD = 0.40
"""More where no pick was weighed: the kind's fruit mass and set stand in. Assumed."""
WIDE = 1.645


class Flow:
    """Modelled ripe trusses of some leaders, added up by day."""

    __slots__ = ("_days", "_ripe")

    def __init__(self, ripe: Sequence[Sequence[float]]) -> None:
        self._ripe = [sorted(days) for days in ripe if days]
        self._days: dict[int, float] = {}

    @property
    def first(self) -> float | None:
        """When the first truss is ripe."""
        return min((days[0] for days in self._ripe), default=None)

    @property
    def starts(self) -> float:
        """When the first fruit of the first truss begins to count; infinite where none will."""
        return min((days[0] - _gap(days) for days in self._ripe), default=float("inf"))

    def at(self, day: int) -> float:
        """Trusses ripe by a day; between two of one stem the next is counted in part."""
        total = self._days.get(day)
        if total is None:
            total = self._days[day] = sum(_ripe_by(days, day) for days in self._ripe)
        return total

    def per_day(self, now: int) -> float:
        """Even flow around a day, trusses a day; at the season's start over the days since it began."""
        end = now + FLOW_ON_DAYS
        start = now - FLOW_BACK_DAYS
        if self._ripe:
            start = max(start, min(int(self.starts), end - FLOW_ON_DAYS))
        return (self.at(end) - self.at(start)) / (end - start)

    def work(self, start: int, end: int, now: int) -> float:
        """Trusses taken to ripen in a stretch, foreseen on the day ``now``; past three weeks the model."""
        near = min(end, start + FLOW_HOLDS_DAYS)
        even = self.per_day(now) * (near - start)
        mixed = MODEL_SHARE * (self.at(near) - self.at(start)) + (1 - MODEL_SHARE) * even
        return mixed + self.at(end) - self.at(near)


def _ripe_by(days: Sequence[float], day: int) -> float:
    """Trusses of one stem; each counts evenly from when the one before was ripe, the first like the second."""
    count = bisect_right(days, day)
    if count == 0:
        return max(0.0, 1 - (days[0] - day) / _gap(days))
    if count == len(days):
        return float(count)
    gap = days[count] - days[count - 1]
    return count + (day - days[count - 1]) / gap if gap > 0 else float(count)


def _gap(days: Sequence[float]) -> float:
    """Days between a stem's first and second ripe truss; a week where there is but one."""
    return max(1.0, days[1] - days[0]) if len(days) > 1 else 7.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A weighed pick and the day of the one before."""

    start: int
    end: int
    kg: float


def yield_factor(past: Sequence[tuple[Flow, Sequence[Stretch]]], now: int, truss_kg: float) -> float:
    """Kg per ripe truss on the day ``now``; ``truss_kg`` is what is assumed before anything was weighed."""
    weighed = worked = 0.0
    for flow, stretches in past:
        if not stretches:
            continue
        prior = PRIOR_DAYS * max(0.0, flow.per_day(now)) * _fade(now - stretches[0].end)
        weighed += truss_kg * prior + sum(_fade(now - s.end) * s.kg for s in stretches)
        worked += prior + sum(_fade(now - s.end) * flow.work(s.start, s.end, now) for s in stretches)
    return weighed / worked if worked > 1e-9 else truss_kg


def _fade(age_days: float) -> float:
    return float(0.5 ** (age_days / HALF_LIFE_DAYS))


def past_errors(flow: Flow, stretches: Sequence[Stretch], truss_kg: float) -> list[tuple[float, float]]:
    """What earlier picks weighed against what the pick before would have foreseen: (ln ratio, its variance)."""
    errors = []
    for at in range(1, len(stretches)):
        pick = stretches[at]
        now = pick.start
        foreseen = yield_factor([(flow, stretches[:at])], now, truss_kg) * flow.work(pick.start, pick.end, now)
        if foreseen > 0 and pick.kg > 0:
            # Two logarithms: a ratio of a mere crumb is nought.
            errors.append((log(pick.kg) - log(foreseen), _variance(pick.end - pick.start)))
    return errors


def _variance(days: float) -> float:
    return PICK_SD**2 * 7 / max(1.0, days) + FLOW_SD**2


def irregularity(errors: Sequence[tuple[float, float]]) -> float:
    """How much more than usual this grower's picks scatter: 1 as usual, by variance."""
    return (PRIOR_ERRORS + sum(min(STRANGE**2, e * e / v) for e, v in errors)) / (PRIOR_ERRORS + len(errors))


def pick_sd(days: float, irregular: float) -> float:
    """Standard deviation of the logarithm of a pick foreseen ``days`` ahead."""
    return sqrt(_variance(days) * irregular)


def pick_band(kg: float, sd: float) -> Band:
    """A likely weight with a 90 % interval."""
    return Band(kg * exp(-WIDE * sd), kg, kg * exp(WIDE * sd))
