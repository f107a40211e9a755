"""Sums over the days of one tunnel's air, made once and read many times: stem response, truss rate, fruit age.

Days are ordinals. A course reaches from well before planting to past the outlook's end; days outside take its
nearest end.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date
from itertools import accumulate
from math import ceil, exp

from tunneltui.growth.air import AirSeries
from tunneltui.growth.response import TRUSS_SLOPE, growing_day_h, stem_response, truss_rate, truss_warmth
from tunneltui.growth.ripening import RipeningFactor, SizePace, rate_terms
from tunneltui.holding.crops import USUAL, Crop

AS_PUBLISHED = RipeningFactor()


class Course:
    """A running sum by day; ``sums[i]`` is what was gathered before the day ``first + i`` begins."""

    __slots__ = ("first", "sums")

    def __init__(self, first: int, daily: Sequence[float]) -> None:
        self.first = first
        self.sums = list(accumulate(daily, initial=0.0))

    def at(self, day: float) -> float:
        """Sum by the beginning of a day, or some way into it."""
        place = day - self.first
        if place <= 0:
            return self.sums[0]
        whole = int(place)
        if whole >= len(self.sums) - 1:
            return self.sums[-1]
        before = self.sums[whole]
        return before if whole == place else before + (place - whole) * (self.sums[whole + 1] - before)

    def between(self, start: float, end: float) -> float:
        return self.at(end) - self.at(start)

    def day_of(self, total: float) -> float:
        """The day by which the sum comes to ``total``; the course's ends where it never does."""
        at = bisect_right(self.sums, total) - 1
        if at < 0:
            return float(self.first)
        if at >= len(self.sums) - 1:
            return float(self.first + len(self.sums) - 1)
        step = self.sums[at + 1] - self.sums[at]
        return self.first + at + ((total - self.sums[at]) / step if step > 0 else 0.0)


def stem_course(air: AirSeries, latitude_deg: float | None) -> Course:
    """Sums of the stem's daily response; ``latitude_deg`` None: lit, or unknown, day length left out."""
    days = range(air.first, air.first + len(air.means_c))
    hours = [None if latitude_deg is None else growing_day_h(date.fromordinal(d), latitude_deg) for d in days]
    return Course(air.first, [stem_response(c, h) for c, h in zip(air.means_c, hours, strict=True)])


def warmth_course(air: AirSeries, crop: Crop = USUAL) -> Course:
    """Sums of the part of the truss rate that warmth gives, whatever the cultivar."""
    return Course(air.first, [truss_warmth(c, crop) for c in air.means_c])


def truss_course(air: AirSeries, intercept: float, slope: float = TRUSS_SLOPE) -> Course:
    """Sums of the daily truss rate."""
    return Course(air.first, [truss_rate(c, intercept, slope) for c in air.means_c])


class RipeCourse:
    """Development of trusses by the day they flowered, and the day they are ripe.

    ``published`` is the course of the same air without a factor, where it is at hand: it tells how far a factor
    has faded by the time a truss is ripe. ``pace`` is that of a crop picked by size.
    """

    __slots__ = ("_factor", "_first", "_last", "_lines", "_published", "_terms")

    def __init__(
        self,
        air: AirSeries,
        factor: RipeningFactor = AS_PUBLISHED,
        published: RipeCourse | None = None,
        pace: SizePace | None = None,
    ) -> None:
        self._first = air.first
        self._last = air.first + len(air.means_c)
        self._factor = factor
        self._published = published
        if factor.log_factor != 0 and published is None:
            self._published = RipeCourse(air, pace=pace)
        self._terms: list[tuple[float, float]] = (
            [rate_terms(c, pace) for c in air.means_c] if published is None else published._terms
        )
        self._lines: dict[int, tuple[list[float], float]] = {}

    def z_over(self, flowered: float, start: int, days: int) -> list[float]:
        """Development at the beginning of each of ``days`` days from ``start`` on, nought before flowering."""
        whole = int(flowered)
        share = flowered - whole
        early, late = self._line(whole)[0], self._line(whole + 1)[0]
        back = start - whole
        pairs = zip(_stretch(early, back, days), _stretch(late, back - 1, days), strict=True)
        return [(1 - share) * low + share * high for low, high in pairs]

    def ripe(self, flowered: float) -> float:
        """When a truss that flowered then is ripe; infinite where it is not within the air known."""
        whole = int(flowered)
        share = flowered - whole
        if share == 0:
            return self._line(whole)[1]
        return (1 - share) * self._line(whole)[1] + share * self._line(whole + 1)[1]

    def ripe_day(self, flowered: float) -> int | None:
        """First day that begins with it ripe."""
        ripe = self.ripe(flowered)
        return None if ripe == float("inf") else ceil(ripe)

    def _line(self, day: int) -> tuple[list[float], float]:
        """Development at the beginning of each day from flowering on, and when it reaches 1."""
        line = self._lines.get(day)
        if line is None:
            line = self._lines[day] = self._run(day, self._rate(day))
        return line

    def _rate(self, day: int) -> float:
        if self._published is None or self._factor.log_factor == 0:
            return exp(self._factor.kind_log)
        ripe = self._published.ripe(day)
        return self._factor.rate(int(ripe) if ripe < float("inf") else self._last)

    def _run(self, day: int, factor: float) -> tuple[list[float], float]:
        z, line = 0.0, [0.0]
        for base, warmth in self._terms[max(0, day - self._first) :]:
            # How strongly warmth tells at development z, in days-1 for each unit of ln(T/20) (Heuvelink 1996,
            # eq. 3), written out: this line runs some ten thousand times in an outlook.
            step = factor * (base + warmth * (0.0392 - z * (0.213 - z * (0.451 - 0.240 * z))))
            if step > 0:
                if z + step >= 1:
                    line.append(1.0)
                    return line, day + len(line) - 2 + (1 - z) / step
                z += step
            line.append(z)
        return line, float("inf")


def _stretch(line: list[float], start: int, days: int) -> list[float]:
    """A line's values from a place on; nought before it begins, its last value after its end."""
    before = [0.0] * min(days, max(0, -start))
    within = line[max(0, start) : max(0, start + days)]
    return before + within + [line[-1]] * (days - len(before) - len(within))
