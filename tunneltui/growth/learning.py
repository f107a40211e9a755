"""What a cultivar's counts teach: its truss rate, and how its fruit departs from the published ripening."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from math import exp, log, sqrt
from typing import NamedTuple

from msgspec import Struct

from tunneltui.growth.counts import TrussCount
from tunneltui.growth.courses import AS_PUBLISHED, Course, RipeCourse
from tunneltui.growth.evidence import Evidence
from tunneltui.growth.ripening import SEEN_SD, RipeningFactor
from tunneltui.growth.truss_states import COUNT_TRUSS2, STRAY_TRUSS2_PER_WEEK, TrussLine
from tunneltui.growth.trusses import MEAN_COUNT_SD, TrussRate
from tunneltui.growth.widths import WidthsSeen
from tunneltui.values import replace

FLOWERED_SD_DAYS = 2.0
"""Error of a truss's flowering day taken from weekly counts."""
LEAST_OF_EXPECTED = 0.2
"""A truss picked sooner than this share of the days expected was miscounted."""
TRUSTED_BACK_DAYS = 21
"""A truss that flowered longer than this before the first count has no flowering day worth learning from."""


class _Counted(NamedTuple):
    """New trusses of a leader from one count to the next, and what was known of the rate when they began."""

    leader: str
    new: float
    warmth: float
    """Sum of its tunnel's ``truss_warmth``."""
    days: int
    stems: int
    rate: TrussRate

    def error2(self) -> float:
        """Square of how far it lies from what was foreseen, in variances: two counts, and the stem's own pace."""
        own2 = (2 * COUNT_TRUSS2 + STRAY_TRUSS2_PER_WEEK * self.days / 7) / self.stems
        foreseen = self.rate.coming(self.days, self.warmth)
        return (self.new - foreseen) ** 2 / (own2 + MEAN_COUNT_SD**2 + self.rate.pace_var(self.days))

    def followed_by(self, later: _Counted) -> _Counted:
        """This and the next count together, as foreseen before this one."""
        return self._replace(
            new=self.new + later.new, warmth=self.warmth + later.warmth, days=self.days + later.days
        )


def learned_truss_rate(prior: TrussRate, evidences: Iterable[tuple[Evidence, Course]], today: int) -> TrussRate:
    """The cultivar's truss rate after all counts, visit by visit; each comes with its tunnel's sums of warmth."""
    visits: dict[tuple[int, int], list[tuple[str, TrussCount, float]]] = defaultdict(list)
    for evidence, warmth in evidences:
        for count in evidence.counts:
            visits[(count.end, count.start)].append(
                (evidence.leader, count, warmth.between(count.start, count.end))
            )
    rate = prior
    now = min((start for _, start in visits), default=today)
    widths = WidthsSeen()
    last: dict[str, tuple[int, _Counted]] = {}
    for (end, start), visit in sorted(visits.items(), key=lambda dated: dated[0]):
        rate = rate.after(max(0, end - now))
        now = max(now, end)
        days = end - start
        counted = [
            _Counted(name, truss_count.new, warm, days, truss_count.stems, rate)
            for name, truss_count, warm in visit
        ]
        before = {name: stem for name, (ended, stem) in last.items() if ended == start}
        widths.take(days, [stem.error2() for stem in counted if stem.leader in before])
        spans = [before[stem.leader].followed_by(stem) for stem in counted if stem.leader in before]
        for span in {stem.days for stem in spans}:
            widths.take(span, [stem.error2() for stem in spans if stem.days == span])
        last |= {stem.leader: (end, stem) for stem in counted}
        stems = sum(stem.stems for stem in counted)
        new = sum(stem.new * stem.stems for stem in counted) / stems
        warmth_sum = sum(stem.warmth * stem.stems for stem in counted) / stems
        rate = rate.learn(days, new, warmth_sum, stems)
    return replace(rate.after(max(0, today - now)), widths=widths.learned())


class _RipeningSeen(Struct, frozen=True):
    expected_days: float
    seen_days: float
    sd: float


def learned_ripening(
    leaders: Iterable[tuple[Evidence, TrussLine, Course, RipeCourse]], usual: RipeningFactor = AS_PUBLISHED
) -> RipeningFactor:
    """How the cultivar's fruit departs from the published rate, by trusses picked between two readings.

    Each ``RipeCourse`` must be that of the ``usual`` factor: the published rate, as the kind of fruit departs from
    it. A truss picked between two readings is taken as ripe at an even place between them; all leaders of a visit
    count as one observation, the better for being several.
    """
    visits: dict[int, list[_RipeningSeen]] = defaultdict(list)
    for evidence, line, course, ripe in leaders:
        if not evidence.trusses:
            continue
        for (start, low), (end, high) in zip(evidence.lowest, evidence.lowest[1:], strict=False):
            visits[end] += _picked(start, int(low), end, int(high), evidence, line, course, ripe)
    factor = usual
    for day, seen in sorted(visits.items()):
        if seen:
            ratio = exp(sum(log(s.expected_days / s.seen_days) for s in seen) / len(seen))
            sd = sqrt(sum(s.sd**2 for s in seen)) / len(seen)
            typical = sum(s.seen_days for s in seen) / len(seen)
            published = ratio * typical * exp(usual.kind_log)
            factor = factor.learn(day, published, typical, sqrt(SEEN_SD**2 + sd**2))
    return factor


def _picked(
    start: int,
    low: int,
    end: int,
    high: int,
    evidence: Evidence,
    line: TrussLine,
    course: Course,
    ripe: RipeCourse,
) -> list[_RipeningSeen]:
    seen = []
    for place, truss in enumerate(range(low, high)):
        flowered = line.flowered(truss, course)
        if flowered < evidence.trusses[0][0] - TRUSTED_BACK_DAYS:
            continue
        taken = start + (place + 0.5) / (high - low) * (end - start) - flowered
        expected = ripe.ripe(flowered) - flowered
        if not taken > LEAST_OF_EXPECTED * expected or not expected < float("inf"):
            continue
        sd = sqrt(FLOWERED_SD_DAYS**2 + (end - start) ** 2 / 12) / taken
        seen.append(_RipeningSeen(expected, taken, sd))
    return seen
