"""A list too long to be made whole: its lines are asked for as they come into view."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from textual.geometry import Size

from tunneltui.screens.lines import Lines
from tunneltui.screens.parts import Line


class LongLines(Lines):
    """As ``Lines``, for a sequence that makes each line when it is asked for; left and right go by groups."""

    def __init__(self, *, id: str | None = None, as_typed: bool = False) -> None:  # noqa: A002
        super().__init__(id=id, as_typed=as_typed)
        self._starts: Sequence[int] = ()

    def show_long(self, lines: Sequence[Line], starts: Sequence[int], cursor: int) -> None:
        """Other lines, of which none is made yet. ``starts`` are the first lines of the groups, rising."""
        self._lines, self._starts = lines, starts
        self._strips.clear()
        self.virtual_size = Size(self.size.width, len(lines))
        self.cursor = max(0, min(cursor, len(lines) - 1))
        self.refresh()
        self._keep_in_view()

    def action_heading_before(self) -> None:
        at = bisect_left(self._starts, self.cursor)
        self.move_to(self._starts[at - 1] if at else 0)

    def action_heading_after(self) -> None:
        at = bisect_right(self._starts, self.cursor)
        self.move_to(self._starts[at] if at < len(self._starts) else len(self._lines) - 1)
