"""Stem growth of one cultivar in one row: a level they share, an effect of each leader, learned from readings.

State: ``a``, the logarithm of the group's growth in cm a day at 20 degC and 12 h, and an effect ``b`` of each
leader ever read. Readings come visit by visit; a visit's hour or weather moves all of them together. Noise is in
cm and does not shrink with growth, so the update works with (grown / foreseen - 1) and needs no logarithm of a
reading: a stem that stood still or shrank is no special case. Constants: growth-forms section 1.3, chosen on ten
stems of one season and frozen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import median

LEVEL_SD = 0.30
LEADER_SD = 0.03
WALK_SD_PER_WEEK = 0.06
VISIT_SD = 0.06
"""Of a week; the more days between visits, the less one visit's hour counts."""
STRAY_CM2_PER_DAY = 1.0
"""Variance by which one stem strays from its group in a day."""
READING_CM2 = 1.0
GUARD_AT = 2.0
UNREAD_WIDER = 1.1
"""Intervals of leaders not read since the group's last visit held too rarely by this much."""


@dataclass(frozen=True, slots=True)
class Grown:
    """Growth of one leader since its last reading, as read."""

    leader: str
    cm: float
    reading_cm2: float = 2 * READING_CM2
    """Variance of both readings together."""
    stems: int = 1
    """Stems it is a mean of."""


class StemGroup:
    """The filter of one group. A private builder: forecasts read it, nothing outside keeps it.

    ``drift`` and others switch parts off for the ablation table; defaults are the frozen constants.
    """

    __slots__ = ("_drift", "_guard", "_index", "_leader_sd", "_p", "_x", "days_since_learned")

    def __init__(
        self,
        ln_cm_a_day: float = log(3.5),
        *,
        drift: float = WALK_SD_PER_WEEK,
        leader_sd: float = LEADER_SD,
        guard: bool = True,
    ) -> None:
        self._x = [ln_cm_a_day]
        self._p = [[LEVEL_SD**2]]
        self._index: dict[str, int] = {}
        self._drift = drift
        self._leader_sd = leader_sd
        self._guard = guard
        self.days_since_learned = 0

    @property
    def level(self) -> float:
        """Logarithm of the group's growth in cm a day at 20 degC and 12 h."""
        return self._x[0]

    @property
    def level_sd(self) -> float:
        return sqrt(self._p[0][0])

    def effect(self, leader: str) -> tuple[float, float, float]:
        """A leader's effect, its variance and its covariance with the level."""
        at = self._index.get(leader)
        if at is None:
            return 0.0, self._leader_sd**2, 0.0
        return self._x[at], self._p[at][at], self._p[0][at]

    def pass_days(self, days: int) -> None:
        """Time goes by: the level may have moved."""
        self._p[0][0] += self._drift**2 * days / 7
        self.days_since_learned += days

    def growth(
        self, leader: str, response: float, days: float, ahead: float = 0.0, stems: int = 1
    ) -> tuple[float, float]:
        """Growth in cm and its variance over ``days`` whose responses sum to ``response``.

        ``ahead`` are those of the days that lie after the state's own, ``stems`` how many the leader stands for.
        Reading errors are not included.
        """
        if days <= 0:
            return 0.0, 0.0
        effect, own, shared = self.effect(leader)
        cm = response * exp(self.level + effect)
        relative = self._p[0][0] + own + 2 * shared + self._drift**2 * ahead / 7 + VISIT_SD**2 * 7 / days
        return cm, cm * cm * relative + STRAY_CM2_PER_DAY * days / stems

    def learn(self, days: float, response: float, visit: Sequence[Grown]) -> None:
        """Take in what the leaders of one visit grew in the same ``days`` with the same ``response``."""
        if days <= 0 or response <= 0 or not visit:
            return
        for grown in visit:
            self._admit(grown.leader)
        foreseen = [response * exp(self.level + self.effect(g.leader)[0]) for g in visit]
        seen = [g.cm / f - 1 for g, f in zip(visit, foreseen, strict=True)]
        noise = [
            (g.reading_cm2 + STRAY_CM2_PER_DAY * days) / g.stems / (f * f)
            for g, f in zip(visit, foreseen, strict=True)
        ]
        if self._guard:
            noise = self._guarded(seen, noise, days)
        start = list(self._x)
        self._x.append(0.0)
        for row in self._p:
            row.append(0.0)
        self._p.append([0.0] * len(start) + [VISIT_SD**2 * 7 / days])
        for grown, y, r in zip(visit, seen, noise, strict=True):
            at = self._index[grown.leader]
            expected = self._x[0] - start[0] + self._x[at] - start[at] + self._x[-1]
            self._update(at, y - expected, r)
        self._x.pop()
        self._p.pop()
        for row in self._p:
            row.pop()
        self.days_since_learned = 0

    def _admit(self, leader: str) -> None:
        if leader in self._index:
            return
        self._index[leader] = len(self._x)
        self._x.append(0.0)
        for row in self._p:
            row.append(0.0)
        self._p.append([0.0] * (len(self._x) - 1) + [self._leader_sd**2])

    def _guarded(self, seen: list[float], noise: list[float], days: float) -> list[float]:
        """A reading far from the others (or, of one or two, from what was foreseen) counts for less."""
        if len(seen) >= 3:
            middle = median(seen)
            strange = [abs(y - middle) / sqrt(r) for y, r in zip(seen, noise, strict=True)]
        else:
            shared = self._p[0][0] + VISIT_SD**2 * 7 / days
            strange = [abs(y) / sqrt(r + shared) for y, r in zip(seen, noise, strict=True)]
        return [r * max(1.0, z / GUARD_AT) ** 2 for r, z in zip(noise, strange, strict=True)]

    def _update(self, at: int, surprise: float, noise: float) -> None:
        """One scalar step; what is seen is level + effect + visit."""
        p = self._p
        ph = [row[0] + row[at] + row[-1] for row in p]
        total = ph[0] + ph[at] + ph[-1] + noise
        step = surprise / total
        self._x = [x + step * h for x, h in zip(self._x, ph, strict=True)]
        for i, hi in enumerate(ph):
            k = hi / total
            p[i] = [pij - k * hj for pij, hj in zip(p[i], ph, strict=True)]
