"""What a pick day will bring: modelled ripe trusses times a fading yield factor learned from weighed picks.

Picks empty the oldest first, so a pick holds what ripened since the one before. Half of that is taken from the
model, half from an even flow; the factor (kg per ripe truss) forgets by half in ten days. More than nine days
ahead half of the forecast is the mean of the last three weeks carried on. Constants: own comparison on three open
records (Ohio 2024; Hemming et al. 2020), then held against crops not looked at before.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from math import exp, log, sqrt

from msgspec import Struct

from tunneltui.growth.outlook import Band

HALF_LIFE_DAYS = 10.0
MODEL_SHARE = 0.5
PRIOR_DAYS = 1.5
"""Days of flow that what is assumed of a truss weighs: known to a factor of three, a pick tells more."""
FLOW_BACK_DAYS = 21
FLOW_ON_DAYS = 7
LATE_DAYS = 7
"""A truss ripens no later than so long after the day it is taken to. Assumed."""
FLOW_HOLDS_DAYS = 21
"""An even flow says nothing of later weeks."""
MEAN_FROM_DAYS = 9
"""Further ahead than this half of a forecast is the mean of the last weeks."""
MEAN_DAYS = 21
MEAN_SHARE = 0.5
PICK_SD = 0.35
"""Of a week's stretch; shorter stretches scatter more."""
FLOW_SD = 0.30
PRIOR_ERRORS = 4.0
LEAST_IRREGULAR = 0.6
FADES_A_WEEK = 0.95
STRANGE = 3.0
"""An error of more standard deviations counts as so many: a first pick of a crop assumed too small, a slip."""
BLIND_SHARE = 0.5
"""Of its kind's truss mass a truss is taken to give before anything was weighed: first trusses of three open
cherry records gave 0.085 to 0.15 kg where 0.25 was assumed."""
FIRST_OFF_DAYS = 5.0
"""When the first truss is ripe is foreseen to about a week, the time from one truss to the next (assumed)."""
BLIND_SD = 0.55
"""More where no pick was weighed, so that a fortnight is known within a factor of three."""
GOES_A_TRUSS = 3.0
"""A truss of several fruits ripens over a week or two and is picked in about so many goes (common practice, no
source)."""
FEW_GOES = 3.0
"""Where so few come in the mean none comes one time in twenty (Poisson)."""
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

    @property
    def trusses(self) -> float:
        """All there are."""
        return float(sum(map(len, self._ripe)))

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
        # None that were ripe a week before, no more than the stems have: with their tips out no flow goes on.
        return min(mixed + self.at(end) - self.at(near), self.trusses - self.at(start - LATE_DAYS))


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


class PickStretch(Struct, frozen=True):
    """A weighed pick and the day of the one before."""

    start: int
    end: int
    kg: float
    first: bool = False
    """No fruit was picked before: since when it ripened is what the model says."""


def found_ripe(flow: Flow, stretch: PickStretch, trusses: float, truss_kg: float) -> float:
    """Trusses of which a stretch was picked, where the model has ``trusses``, each of ``truss_kg``.

    A first pick that is heavier than foreseen was of heavier trusses or of more of them: its first fruit was ripe
    sooner. Each takes as much of the difference as it is likely to be off by, in logarithms.
    """
    if not stretch.first or stretch.kg <= 0 or truss_kg <= 0:
        return trusses
    if trusses <= 0:
        return stretch.kg / truss_kg
    timing2 = (FIRST_OFF_DAYS / max(1.0, stretch.end - flow.starts)) ** 2
    share = timing2 / (timing2 + BLIND_SD**2 + _variance(stretch.end - stretch.start))
    return trusses * exp(share * log(stretch.kg / truss_kg / trusses))


class Learned(Struct, frozen=True):
    """What weighed picks taught up to a day."""

    kg_per_truss: float
    mean_kg_per_truss: float
    """Of the last three weeks, had the model's flow of today run all the time."""
    errors: tuple[tuple[int, float, float], ...]
    """Each pick against what the one before would have foreseen: day, logarithm of the ratio, its variance."""


def learned(
    past: Sequence[tuple[Flow, Sequence[PickStretch]]], now: int, truss_kg: float, goes_a_truss: float
) -> Learned:
    """``past``: weighed stretches with the flow of the stems they were picked from; ``truss_kg`` what a truss is
    assumed to give, ``goes_a_truss`` in how many goes."""
    sums = [_Sums(flow, stretches[0], truss_kg, goes_a_truss) for flow, stretches in past if stretches]
    errors = []
    for cultivar_sums, (_, stretches) in zip(sums, (of for of in past if of[1]), strict=True):
        for at, stretch in enumerate(stretches):
            errors += list(cultivar_sums.take(stretch)) if at else []
            cultivar_sums.add(stretch)
    weighed = sum(cultivar_sums.kg * _fade(now - cultivar_sums.day) for cultivar_sums in sums)
    worked = sum(cultivar_sums.work * _fade(now - cultivar_sums.day) for cultivar_sums in sums)
    flowing = sum(max(0.0, cultivar_sums.flow.per_day(now)) for cultivar_sums in sums)
    recent = sum(mean_kg_a_day(stretches, now) for _, stretches in past if stretches)
    factor = weighed / worked if worked > 1e-9 else truss_kg
    # How many days a first pick's fruit took to ripen is not known: of a first pick alone there is no mean.
    known = flowing > 1e-9 and not any(len(stretches) == 1 and stretches[0].first for _, stretches in past)
    return Learned(factor, recent / flowing if known else factor, tuple(errors))


class _Sums:
    """Faded sums of kg weighed and of trusses that ripened, up to the last pick taken in."""

    __slots__ = ("day", "flow", "goes_a_truss", "kg", "truss_kg", "work")

    def __init__(self, flow: Flow, first: PickStretch, truss_kg: float, goes_a_truss: float) -> None:
        self.flow = flow
        self.truss_kg = truss_kg
        self.goes_a_truss = goes_a_truss
        self.day = first.end
        self.work = PRIOR_DAYS * max(0.0, flow.per_day(first.end))
        self.kg = truss_kg * self.work

    def take(self, stretch: PickStretch) -> Iterator[tuple[int, float, float]]:
        """How far the next pick lies from what this one foresees."""
        work = self.flow.work(stretch.start, stretch.end, stretch.start)
        if self.work > 1e-9 and self.kg > 0 and work > 0 and stretch.kg > 0:
            # Logarithms one by one: a ratio of a mere crumb is nought.
            off = log(stretch.kg) - log(self.kg) + log(self.work) - log(work)
            goes = work * self.goes_a_truss
            few2 = 1 / goes if goes < FEW_GOES else 0.0
            yield stretch.end, off, _variance(stretch.end - stretch.start) + few2

    def add(self, stretch: PickStretch) -> None:
        """Take in a pick; a stretch is measured with the flow of its own time."""
        fade = _fade(stretch.end - self.day)
        self.kg = self.kg * fade + stretch.kg
        work = self.flow.work(stretch.start, stretch.end, stretch.start)
        self.work = self.work * fade + found_ripe(self.flow, stretch, work, self.truss_kg)
        self.day = stretch.end


def mean_kg_a_day(stretches: Sequence[PickStretch], now: int) -> float:
    """Kg a day over the stretches that ended within the last three weeks, or over the last. When the first of all
    began is not known."""
    lately = [s for s in stretches[1:] if now - MEAN_DAYS < s.end <= now] or list(stretches[-1:])
    days = sum(s.end - s.start for s in lately)
    return sum(s.kg for s in lately) / days if days > 0 else 0.0


def _fade(age_days: float) -> float:
    return float(0.5 ** (age_days / HALF_LIFE_DAYS))


def _variance(days: float) -> float:
    return PICK_SD**2 * 7 / max(1.0, days) + FLOW_SD**2


def irregularity(errors: Sequence[tuple[int, float, float]]) -> float:
    """How much more than usual this grower's picks scatter: 1 as usual, by variance. The last picks count most."""
    last = max((day for day, _, _ in errors), default=0)
    fades = [FADES_A_WEEK ** ((last - day) / 7) for day, _, _ in errors]
    seen = sum(f * min(STRANGE**2, e * e / v) for f, (_, e, v) in zip(fades, errors, strict=True))
    return max(LEAST_IRREGULAR, float((PRIOR_ERRORS + seen) / (PRIOR_ERRORS + sum(fades))))


def pick_sd(days: float, irregular: float) -> float:
    """Standard deviation of the logarithm of a pick foreseen ``days`` ahead."""
    return sqrt(_variance(days) * irregular)


def pick_band(kg: float, sd: float, goes: float) -> Band:
    """A likely weight with a 90 % interval. ``goes``: so many times something is taken off a truss in that time.

    Where fewer than three are foreseen nothing may be ripe yet, and at least one of them may be.
    """
    low, high = kg * exp(-WIDE * sd), kg * exp(WIDE * sd)
    if not 0 < goes < FEW_GOES:
        return Band(low, kg, high)
    return Band(0.0, kg, max(high, kg / goes * _at_most(goes)))


def _at_most(mean: float) -> int:
    """As many as come, or fewer, 19 times of 20 where so many come in the mean (Poisson)."""
    count, chance = 0, exp(-mean)
    total = chance
    while total < 0.95:
        count += 1
        chance *= mean / count
        total += chance
    return count
