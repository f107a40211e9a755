"""The references: what a terminal program of the same make costs that does nothing else.

``python -m tests.benchmarks.bare list N | commits N JOURNAL | panes N``
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import ClassVar

from rich.segment import Segment
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.geometry import Region, Size
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widgets import ContentSwitcher, Static

from tests.benchmarks.made import DAY, proposal
from tunneltui.journal.entry import Draft
from tunneltui.store.journal_file import JournalFile


class BareList(ScrollView, can_focus=True):
    """Lines of text and a cursor; what is in view is made when it is painted."""

    BINDINGS: ClassVar[list[BindingType]] = [("j", "by(1)"), ("k", "by(-1)"), ("space", "tick")]

    def __init__(self, count: int, *, journal: JournalFile | None = None, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.rows = [f"{'':19}{proposal(number)}" for number in range(count)]
        self.cursor = 0
        self.journal = journal

    def on_mount(self) -> None:
        self.virtual_size = Size(0, len(self.rows))

    def render_line(self, y: int) -> Strip:
        index = y + self.scroll_offset.y
        if index >= len(self.rows):
            return Strip.blank(self.size.width)
        lit = "> " if index == self.cursor else "  "
        strip = Strip([Segment(lit, self.rich_style), Segment(self.rows[index], self.rich_style)])
        return strip.crop_extend(0, self.size.width, self.rich_style)

    def action_by(self, lines: int) -> None:
        before, self.cursor = self.cursor, max(0, min(self.cursor + lines, len(self.rows) - 1))
        self.refresh_line(before)
        self.refresh_line(self.cursor)
        self.scroll_to_region(Region(0, self.cursor, 1, 1), animate=False, force=True, immediate=True)

    def action_tick(self) -> None:
        if self.journal is not None:
            self.journal.append([Draft("note", "W1", '{"text":"one line ticked"}')], DAY)
        self.rows[self.cursor] = f"{'':9}done      {self.rows[self.cursor][19:]}"
        self.action_by(1)


class OneList(App[None]):
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, count: int, journal: JournalFile | None = None) -> None:
        super().__init__()
        self._count, self._journal = count, journal

    def compose(self) -> ComposeResult:
        yield BareList(self._count, journal=self._journal)


class TwoPanes(App[None]):
    BINDINGS: ClassVar[list[BindingType]] = [("1", "go('one')"), ("3", "go('two')")]

    def __init__(self, count: int) -> None:
        super().__init__()
        self._count = count

    def compose(self) -> ComposeResult:
        with ContentSwitcher(initial="one"):
            for pane in ("one", "two"):
                with Vertical(id=pane):
                    yield BareList(self._count)
                    yield Static(f"words of {pane}")

    def action_go(self, pane: str) -> None:
        self.query_one(ContentSwitcher).current = pane
        self.query_one(f"#{pane} BareList").focus()


def main() -> None:
    what, *more = sys.argv[1:]
    if what == "panes":
        TwoPanes(int(more[0])).run(mouse=False)
    else:
        journal = JournalFile.open(Path(more[1])) if what == "commits" else None
        OneList(int(more[0]), journal).run(mouse=False)


if __name__ == "__main__":
    main()
