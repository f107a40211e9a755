"""Subject and reference measured turn by turn in the same run, and what came of it as a figure."""

from __future__ import annotations

import gc
from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt
from statistics import median
from time import process_time

Measure = Callable[[], float]
"""Does its work once and returns the milliseconds it took."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One line of the table."""

    what: str
    unit: str
    """``times`` the reference, or what else ``value`` counts."""
    value: float
    low: float
    high: float
    """Interval of the median that holds it in 19 of 20 runs."""
    aim: float
    """At most this; where ``at_least`` is set, at least."""
    subject_ms: float | None = None
    reference_ms: float | None = None
    note: str = ""
    """Sizes, row lengths and what was checked before."""
    at_least: bool = False

    @property
    def reached(self) -> bool:
        return self.value >= self.aim if self.at_least else self.value <= self.aim


def times(
    what: str, subject: Measure, reference: Measure, *, runs: int, aim: float, note: str = "", invert: bool = False
) -> Figure:
    """The median ratio of pairs measured right after each other; ``invert``: how many times faster it is."""
    pairs = [(subject(), reference()) for _ in range(runs)]
    ratios = [r / s if invert else s / r for s, r in pairs]
    low, high = interval(ratios)
    return Figure(
        what,
        "times faster" if invert else "times",
        median(ratios),
        low,
        high,
        aim,
        median(s for s, _ in pairs),
        median(r for _, r in pairs),
        note,
        at_least=invert,
    )


def figure(what: str, unit: str, values: list[float], *, aim: float, note: str = "") -> Figure:
    """Of values that have no reference, or are ratios already."""
    low, high = interval(values)
    return Figure(what, unit, median(values), low, high, aim, median(values) if unit == "ms" else None, None, note)


def interval(values: list[float]) -> tuple[float, float]:
    """Order statistics that hold the median in 19 of 20 runs (binomial, in its normal approximation); all of the
    values where they are few."""
    ordered = sorted(values)
    at = max(0, int((len(ordered) - 1.96 * sqrt(len(ordered))) / 2))
    return ordered[at], ordered[-1 - at]


def of_processor(work: Callable[[], object], before: Callable[[], object] | None = None) -> Measure:
    """Processor time of this process; ``before`` it, what is not counted."""

    def measure() -> float:
        if before is not None:
            before()
        gc.collect()
        start = process_time()
        work()
        return (process_time() - start) * 1000

    return measure
