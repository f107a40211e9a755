"""A picture made of rows of text, put on the screen as it is."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tunneltui.draw.canvas import CanvasRow
from tunneltui.screens.inked import Inks
from tunneltui.screens.text import READER


class Drawing(Widget):
    """Shows rows; asks for others when its size has changed."""

    DEFAULT_CSS = "Drawing { height: 1fr; width: 1fr; }"
    ALLOW_SELECT = False

    class Resized(Message):
        """The picture is wanted for another size."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._rows: tuple[CanvasRow, ...] = ()
        self._strips: dict[int, Strip] = {}
        self._inks = Inks(self)

    def show(self, rows: Sequence[CanvasRow]) -> None:
        # What it shows stands in words beside it.
        self._rows = () if self.app.has_class(READER) else tuple(rows)
        self._strips.clear()
        self.refresh()

    def on_resize(self) -> None:
        self._strips.clear()
        self.post_message(self.Resized())

    def notify_style_update(self) -> None:
        self._strips.clear()
        self._inks.clear()
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        if y >= len(self._rows):
            return Strip.blank(max(width, 0), self.rich_style)
        if y not in self._strips:
            base = self.rich_style
            segments = [
                Segment(run.text, base + self._inks[run.style] if run.style else base) for run in self._rows[y]
            ]
            self._strips[y] = Strip(segments).crop_extend(0, width, base)
        return self._strips[y]
