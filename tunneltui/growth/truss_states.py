"""One leader's trusses: which flowers now, when each flowered, where each hangs on the stem."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from math import sqrt
from statistics import NormalDist, fmean

from msgspec import Struct

from tunneltui.growth.courses import Course
from tunneltui.growth.defaults import TIP_ABOVE_TRUSS_M
from tunneltui.growth.trusses import TrussRate

COUNT_TRUSS2 = 0.36**2
"""Variance of one reading of the flowering truss: a whole number says no more than between which two it is (sd
0.29), and one count in seven is off by one. Own comparison on 54 stems of a field trial and ten of Ohio 2024."""
STRAY_TRUSS2_PER_WEEK = 0.12
"""Variance by which one leader's number strays from its cultivar's pace in a week. From the same stems."""
BETWEEN_TRUSS2 = 0.5**2
"""Variance between stems on the day of planting. 27 in a field trial (Buck et al. 2008) had 2 to 5, sd 0.6."""
RESTED_TRUSS2 = 1.0
"""Variance by which the first truss of a shoot that leads after a break comes sooner or later. Assumed."""
MOST_SURPRISED = -6.0
"""Standard deviations by which a first truss may be late."""
LEAST_GAP_M = 0.03
LOWEST_TRUSS_M = 0.08


class TrussLine(Struct, frozen=True):
    """The number of the flowering truss over time; a truss ``n`` flowers when the number reaches ``n``."""

    days: tuple[int, ...]
    numbers: tuple[float, ...]
    variance: float
    """Of the last number."""
    stems: int = 1
    """Stems it stands for: a mean of several strays less."""
    counted_on: int | None = None
    """Where that is not its last day: since when it strays."""

    def number(self, day: float, course: Course) -> float:
        """On any day; never below nought."""
        at = bisect_right(self.days, day) - 1
        if at < 0:
            return max(0.0, self.numbers[0] - course.between(day, self.days[0]))
        if at == len(self.days) - 1:
            return max(0.0, self.numbers[-1] + course.between(self.days[-1], day))
        whole = course.between(self.days[at], self.days[at + 1])
        share = course.between(self.days[at], day) / whole if whole > 0 else 0.0
        return max(0.0, self.numbers[at] + share * (self.numbers[at + 1] - self.numbers[at]))

    def flowered(self, truss: int, course: Course) -> float:
        """When a truss flowered or will."""
        at = bisect_right(self.numbers, truss) - 1
        if at < 0:
            return course.day_of(course.at(self.days[0]) - (self.numbers[0] - truss))
        if at == len(self.numbers) - 1:
            return course.day_of(course.at(self.days[-1]) + truss - self.numbers[-1])
        start, end = course.at(self.days[at]), course.at(self.days[at + 1])
        share = (truss - self.numbers[at]) / (self.numbers[at + 1] - self.numbers[at])
        return course.day_of(start + share * (end - start))


def truss_line(
    since: int,
    number: float,
    sd: float,
    counts: Sequence[tuple[int, float]],
    course: Course,
    stems: int = 1,
    *,
    none_open: int | None = None,
) -> TrussLine:
    """From the number guessed for the first day and the counts since; once counted, the guess is no anchor.

    ``stems``: how many stems each count is the mean of; ``none_open``: the last day without a truss in flower.
    """
    day, variance = since, sd**2
    anchors: list[tuple[int, float]] = []
    if none_open is not None:
        number += course.between(day, none_open)
        variance += STRAY_TRUSS2_PER_WEEK / stems * (none_open - day) / 7
        number, variance = below_the_first(number, variance)
        day = none_open
        anchors.append((day, number))
    for counted_on, count in counts:
        number += course.between(day, counted_on)
        variance += STRAY_TRUSS2_PER_WEEK / stems * (counted_on - day) / 7
        gain = variance / (variance + COUNT_TRUSS2 / stems)
        number += gain * (as_counted(count, stems) - number)
        variance *= 1 - gain
        day = counted_on
        if anchors and anchors[-1][0] == day:
            anchors.pop()
        if anchors:
            number = max(number, anchors[-1][1] + 1e-6)
        anchors.append((day, number))
    if not anchors:
        anchors = [(since, number)]
    return TrussLine(tuple(d for d, _ in anchors), tuple(n for _, n in anchors), variance, stems)


def below_the_first(number: float, variance: float) -> tuple[float, float]:
    """Mean and variance of a number that is known to be under 1: of the normal distribution cut off there."""
    usual, sd = NormalDist(), sqrt(variance)
    edge = (1 - number) / sd
    if edge < MOST_SURPRISED:
        # Past this the normal's tail says no more than that the first is near.
        return 1 - sd / abs(edge), (sd / edge) ** 2
    hazard = usual.pdf(edge) / usual.cdf(edge)
    return number - sd * hazard, variance * max(0.0, 1 - edge * hazard - hazard**2)


def mean_line(since: int, counted: Sequence[TrussLine], course: Course, pace_sd: float = 0.0) -> TrussLine:
    """The line of a stem that was never counted beside those that were and began on the same day.

    ``pace_sd``: of its own pace about theirs, in trusses a day.
    """
    numbers: list[float] = []
    days = sorted({day for line in counted for day in line.days})
    for day in days:
        number = fmean(line.number(day, course) for line in counted if line.days[0] <= day)
        numbers.append(max(number, numbers[-1] + 1e-6) if numbers else number)
    grown_days = max(0, days[-1] - since)
    apart2 = BETWEEN_TRUSS2 + STRAY_TRUSS2_PER_WEEK * grown_days / 7
    return TrussLine(tuple(days), tuple(numbers), apart2 * (1 + 1 / len(counted)) + (pace_sd * grown_days) ** 2)


def with_rests(line: TrussLine, rests: Sequence[tuple[int, int]], course: Course) -> TrussLine:
    """The same of a stem on which no truss came to flower from some day to another; all later ones are so much
    later. ``rests``: in order of time, none before a day on which the stem was counted."""
    if not rests:
        return line
    days = sorted({*line.days, *(day for rest in rests for day in rest)})
    numbers: list[float] = []
    for day in days:
        rested = sum(
            line.number(min(day, last), course) - line.number(first, course)
            for first, last in rests
            if first < day
        )
        number = line.number(day, course) - rested
        numbers.append(max(number, numbers[-1] + 1e-6) if numbers else number)
    unsure2 = RESTED_TRUSS2 * len(rests)
    return TrussLine(tuple(days), tuple(numbers), line.variance + unsure2, line.stems, line.days[-1])


def as_counted(count: float, stems: int) -> float:
    """The number a count stands for. One stem's whole number says that this truss is open and the next is not; a
    mean of several stems is taken as it is, whole or not."""
    return count + 0.5 if stems == 1 and count == int(count) else count


def number_sd(line: TrussLine, day: int, rate: TrussRate, guessed_days: int, guessed_mean_c: float) -> float:
    """Error of the flowering truss on a day, in trusses.

    ``guessed_days``: how many of the days since the last count have a guessed temperature, ``guessed_mean_c``.
    """
    days = max(0, day - (line.days[-1] if line.counted_on is None else line.counted_on))
    stray2 = STRAY_TRUSS2_PER_WEEK / line.stems * days / 7
    var = line.variance + stray2 + rate.pace_var(days) + rate.guess_var(guessed_days, guessed_mean_c)
    return sqrt(var * rate.widths.over(days))


class LengthLine(Struct, frozen=True):
    """Stem length over time in m: as taken to be on days read, in proportion to the response between them."""

    days: tuple[int, ...]
    lengths_m: tuple[float, ...]
    m_per_response: float
    stopped_on: int | None

    def at(self, day: float, course: Course) -> float:
        if self.stopped_on is not None:
            day = min(day, self.stopped_on)
        at = bisect_right(self.days, day) - 1
        if at < 0:
            return self.lengths_m[0] - self.m_per_response * course.between(day, self.days[0])
        if at == len(self.days) - 1:
            return self.lengths_m[-1] + self.m_per_response * course.between(self.days[-1], day)
        whole = course.between(self.days[at], self.days[at + 1])
        share = course.between(self.days[at], day) / whole if whole > 0 else 1.0
        return self.lengths_m[at] + share * (self.lengths_m[at + 1] - self.lengths_m[at])


def truss_places(flowered: Sequence[float], line: LengthLine, course: Course) -> list[float]:
    """Where trusses 1, 2, ... leave the stem: 12 cm under the tip of the day they flowered, in rising order."""
    places: list[float] = []
    lowest = LOWEST_TRUSS_M
    for day in flowered:
        place = max(lowest, line.at(day, course) - TIP_ABOVE_TRUSS_M)
        places.append(place)
        lowest = place + LEAST_GAP_M
    return places
