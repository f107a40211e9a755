"""What a cultivar's counts teach: its truss rate, and how its fruit departs from the published ripening."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, log, sqrt

from tunneltui.growth.courses import Course, RipeCourse
from tunneltui.growth.evidence import Evidence
from tunneltui.growth.ripening import SEEN_SD, RipeningFactor
from tunneltui.growth.truss_states import TrussLine
from tunneltui.growth.trusses import TrussRate

FLOWERED_SD_DAYS = 2.0
"""Error of a truss's flowering day told from weekly counts."""
TRUSTED_BACK_DAYS = 21
"""A truss that flowered longer than this before the first count has no flowering day worth learning from."""


def learned_truss_rate(prior: TrussRate, evidences: Iterable[tuple[Evidence, Course]], today: int) -> TrussRate:
    """The cultivar's truss rate after all counts, visit by visit; each comes with its tunnel's sums of warmth."""
    visits: dict[tuple[int, int], list[tuple[float, float, int]]] = defaultdict(list)
    for found, warmth in evidences:
        for count in found.counts:
            visits[(count.end, count.start)].append(
                (count.new, warmth.between(count.start, count.end), count.stems)
            )
    rate = prior
    now = min((start for _, start in visits), default=today)
    for (end, start), counted in sorted(visits.items()):
        rate = rate.after(max(0, end - now))
        now = max(now, end)
        stems = sum(n for _, _, n in counted)
        new = sum(new * n for new, _, n in counted) / stems
        warmth_sum = sum(warm * n for _, warm, n in counted) / stems
        rate = rate.learn(end - start, new, warmth_sum, stems)
    return rate.after(max(0, today - now))


@dataclass(frozen=True, slots=True)
class _Seen:
    expected_days: float
    seen_days: float
    sd: float


def learned_ripening(
    leaders: Iterable[tuple[Evidence, TrussLine, Course, RipeCourse]],
) -> RipeningFactor:
    """How the cultivar's fruit departs from the published rate, by trusses picked between two readings.

    ``RipeCourse`` must be that of the published rate. A truss picked between two readings is taken as ripe at an
    even place between them; all leaders of a visit count as one observation, the better for being several.
    """
    visits: dict[int, list[_Seen]] = defaultdict(list)
    for found, line, course, ripe in leaders:
        if not found.trusses:
            continue
        for (start, low), (end, high) in zip(found.lowest, found.lowest[1:], strict=False):
            visits[end] += _picked(start, int(low), end, int(high), found, line, course, ripe)
    factor = RipeningFactor()
    for day, seen in sorted(visits.items()):
        if seen:
            ratio = exp(sum(log(s.expected_days / s.seen_days) for s in seen) / len(seen))
            sd = sqrt(sum(s.sd**2 for s in seen)) / len(seen)
            typical = sum(s.seen_days for s in seen) / len(seen)
            factor = factor.learn(day, ratio * typical, typical, sqrt(SEEN_SD**2 + sd**2))
    return factor


def _picked(
    start: int, low: int, end: int, high: int, found: Evidence, line: TrussLine, course: Course, ripe: RipeCourse
) -> list[_Seen]:
    seen = []
    for place, truss in enumerate(range(low, high)):
        flowered = line.flowered(truss, course)
        if flowered < found.trusses[0][0] - TRUSTED_BACK_DAYS:
            continue
        taken = start + (place + 0.5) / (high - low) * (end - start) - flowered
        expected = ripe.ripe(flowered) - flowered
        if taken < 10 or not expected < float("inf"):
            continue
        sd = sqrt(FLOWERED_SD_DAYS**2 + (end - start) ** 2 / 12) / taken
        seen.append(_Seen(expected, taken, sd))
    return seen
