"""The wire on the screen: one line under the header of every screen. A click goes to the place under it."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.message import Message

from tunneltui.draw.wire import WireLine, wire_line, wire_row_line, wire_words
from tunneltui.screens.edges import EdgeLine
from tunneltui.screens.parts import Part
from tunneltui.screens.wire import NO_WIRE, WireMap

WHOLE_FROM = 60
"""Columns from which more than one row is shown."""


class WireOnScreen(EdgeLine):
    """Shows the wire, and which place of it is chosen."""

    class PlaceClicked(Message):
        """A place of the wire was clicked."""

        def __init__(self, place: str) -> None:
            self.place = place
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._wire: WireMap = NO_WIRE
        self._place = ""

    def show(self, wire: WireMap) -> None:
        if wire is not self._wire:
            self._wire = wire
            self.changed()

    @property
    def place(self) -> str:
        """The chosen place; '' where none is."""
        return self._place

    @place.setter
    def place(self, place: str) -> None:
        if place != self._place:
            self._place = place
            self.changed()

    def on_click(self, event: events.Click) -> None:
        places = self._line(self.size.width - 2).places
        at = event.x - 1
        if 0 <= at < len(places) and places[at]:
            self.post_message(self.PlaceClicked(places[at][0]))

    def parts(self, width: int) -> Sequence[Part]:
        return (Part(" "), *(Part(run.text, run.style) for run in self._line(width - 2).row))

    def spoken(self) -> str:
        return wire_words(self._wire.rows, self._wire.hangs)

    def _line(self, width: int) -> WireLine:
        make_line = wire_line if self.size.width >= WHOLE_FROM else wire_row_line
        return make_line(self._wire.rows, self._wire.hangs, width, self._place)
