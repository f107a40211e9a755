"""A load on the one scale of all: its band as a line, what is likely as a dot, the strength through all rows."""

from __future__ import annotations

from typing import NamedTuple

CELLS = 28
STRENGTH_AT = 16
"""Cell of the whole strength; the scale ends at 1.69 times of it."""
STRENGTH, CROSSED, LINE, LIKELY, RUNS_OUT = "┊", "╪", "─", "●", "→"


class OnScale(NamedTuple):
    """The cells before, of and after a band; ``dot`` is the cell in it of what is likely, -1 beyond the scale."""

    before: str
    band: str
    after: str
    dot: int


def on_scale(low: float, mid: float, high: float) -> OnScale:
    """For shares of the strength."""
    first, at, last = (round(max(share, 0.0) * STRENGTH_AT) for share in (low, mid, high))
    cells = [STRENGTH if cell == STRENGTH_AT else " " for cell in range(CELLS)]
    first = min(first, CELLS - 1)
    end = min(last, CELLS - 1) + 1
    for cell in range(first, end):
        cells[cell] = CROSSED if cell == STRENGTH_AT else LINE
    if at < CELLS:
        cells[at] = LIKELY
    if last >= CELLS:
        cells[-1] = RUNS_OUT
    band = "".join(cells[first:end])
    return OnScale("".join(cells[:first]), band, "".join(cells[end:]), at - first if LIKELY in band else -1)


def head() -> str:
    """Over the scale: where the strength stands."""
    return f"{'strength':>{STRENGTH_AT}}{STRENGTH}".ljust(CELLS)
