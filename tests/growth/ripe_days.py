"""How long a truss takes from flowering until it is ripe, by the course the program runs."""

from __future__ import annotations

from collections.abc import Iterable
from math import log

from tunneltui.growth.air import AirMark, AirSeries
from tunneltui.growth.courses import RipeCourse
from tunneltui.growth.ripening import RipeningFactor

FLOWERED = 1
"""The day, an ordinal; any would do."""


def days_to_ripe(means_c: Iterable[float], factor: float = 1.0) -> int | None:
    """Whole days until ripe at ``factor`` times the published rate, from the mean of each; None if they do not
    suffice."""
    means = tuple(means_c)
    typical: AirMark = "typical"
    air = AirSeries(FLOWERED, means, (typical,) * len(means), (), typical=True)
    ripe = RipeCourse(air, RipeningFactor(kind_log=log(factor))).ripe_day(FLOWERED)
    return None if ripe is None else ripe - FLOWERED
