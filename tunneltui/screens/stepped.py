"""A list whose cursor stops only at lines on which something can be done."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import BindingType

from tunneltui.screens.lines import Lines, bindings_of


class Stepped(Lines, inherit_bindings=False):
    """Its headings are read and passed over; left and right are for whoever shows it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of(
        "list", ("up", "down", "page_up", "page_down", "first", "last")
    )

    chosen = False
    """Whether the grower put the cursor where it is, rather than the list itself."""

    def move_to(self, index: int) -> None:
        self.chosen = True
        super().move_to(index)

    def action_up(self) -> None:
        self._stop_at(self.cursor - 1, -1)

    def action_down(self) -> None:
        self._stop_at(self.cursor + 1, 1)

    def action_first(self) -> None:
        self._stop_at(0, 1)

    def action_last(self) -> None:
        self._stop_at(len(self.lines) - 1, -1)

    def action_page_up(self) -> None:
        self._stop_at(max(self.cursor - max(self.size.height - 1, 1), 0), 1)

    def action_page_down(self) -> None:
        self._stop_at(min(self.cursor + max(self.size.height - 1, 1), len(self.lines) - 1), -1)

    def _stop_at(self, at: int, step: int) -> None:
        """At that line, else at the next one in that direction; where there is none it stays."""
        while 0 <= at < len(self.lines):
            if not self.lines[at].heading and not self.lines[at].rest:
                self.move_to(at)
                return
            at += step
