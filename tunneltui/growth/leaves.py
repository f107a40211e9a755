"""Leaves left on a stem, and how far up it is bare: three leaves a truss, some below the first and at the tip."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from msgspec import Struct

from tunneltui.growth.courses import Course
from tunneltui.growth.defaults import LEAVES_BELOW_FIRST, LEAVES_PER_TRUSS
from tunneltui.growth.truss_states import TrussLine
from tunneltui.season.state import Leader

LEAVES_WHEN_UNCOUNTED = 3.0
"""Leaves taken at a visit that noted no number: those that came since the last (Front. Plant Sci. 2025,
16:1651174, methods)."""
LEAVES_ABOVE_TRUSS = 4.0
"""Leaves unfolded above the flowering truss. Common practice, no source."""


class Leaves(Struct, frozen=True):
    """Leaves left when the flowering truss was ``number``, those taken since already off."""

    left: float
    number: float
    per_truss: float = LEAVES_PER_TRUSS

    def at(self, number: float) -> float:
        """Leaves left when another truss flowers and none are taken."""
        return max(0.0, self.left + self.per_truss * (number - self.number))


def leaves_left(leader: Leader, line: TrussLine, course: Course, per_truss: float = LEAVES_PER_TRUSS) -> Leaves:
    """As last counted, or as many as a stem has that never was counted; without those taken since."""
    counted = next((r for r in reversed(leader.readings) if r.leaves is not None), None)
    if counted is not None and counted.leaves is not None:
        number = line.number(counted.day.toordinal(), course)
        return Leaves(counted.leaves - _taken(leader, after=counted.day.toordinal()), number, per_truss)
    whole = LEAVES_BELOW_FIRST + LEAVES_ABOVE_TRUSS
    return Leaves(whole - _taken(leader, after=leader.since.toordinal() - 1), 1.0, per_truss)


def _taken(leader: Leader, after: int) -> float:
    counts = [count for on, count in leader.deleafed if on.toordinal() > after]
    return sum(LEAVES_WHEN_UNCOUNTED if count is None else count for count in counts)


def bare_below_m(
    number: float,
    leaves: float,
    places: Sequence[float],
    length_m: float,
    per_truss: float = LEAVES_PER_TRUSS,
) -> float:
    """Place on the stem with all leaves above it; ``places`` are those of trusses 1, 2, ..."""
    bare_at = number - (leaves - LEAVES_ABOVE_TRUSS) / per_truss
    below = floor(bare_at)
    if below < 1:
        taken = LEAVES_BELOW_FIRST - per_truss * (1 - bare_at)
        return max(0.0, taken) / LEAVES_BELOW_FIRST * (places[0] if places else 0.0)
    if below >= len(places):
        return min(length_m, places[-1] if places else length_m)
    return min(length_m, places[below - 1] + (bare_at - below) * (places[below] - places[below - 1]))
