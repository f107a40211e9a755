"""Where things stand on a screen, from its size and the focus: thresholds for both, in one place. Pure."""

from __future__ import annotations

from typing import Literal, NamedTuple

LEAST = (40, 10)
"""Columns and rows below which the app only says what it needs."""
LIST_CELLS = 80
"""A list is never narrower than on a terminal of 80 columns, and wider on none that has a side."""
SIDE_FROM = 120
"""Columns from which the words on a line stand beside the list instead of below it."""
FEW_ROWS, MANY_ROWS = 16, 30
MOST_REASON_ROWS = 8
FRAME_ROWS = 4
"""Header, wire, status and keys."""

Focus = Literal["list", "side"]


class PaneSizes(NamedTuple):
    """Sizes of a screen's two parts, in cells and rows."""

    list_cells: int
    list_rows: int
    side_x: int
    """Where the side begins; 0: below the list."""
    side_cells: int
    side_rows: int

    @property
    def beside(self) -> bool:
        return self.side_x > 0


def pane_sizes(columns: int, rows: int, reason_rows: int = 3, focus: Focus = "list") -> PaneSizes:
    """On a terminal of ``columns`` by ``rows``; ``reason_rows`` is what the part below the list has at 24 rows.

    At few rows it becomes one line instead of vanishing; if it has the focus it gets half of the room.
    """
    height = max(rows - FRAME_ROWS, 0)
    if columns >= SIDE_FROM:
        side_x = LIST_CELLS + 1
        return PaneSizes(LIST_CELLS, height, side_x, columns - side_x, height)
    if rows < FEW_ROWS:
        reason = 1
    elif rows < 24:
        reason = min(reason_rows, max(2, reason_rows // 2))
    elif rows < MANY_ROWS:
        reason = reason_rows
    else:
        reason = max(reason_rows, MOST_REASON_ROWS)
    if focus == "side":
        reason = max(reason, height // 2)
    reason = min(reason, height)
    return PaneSizes(columns, height - reason, 0, columns, reason)
