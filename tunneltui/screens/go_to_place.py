"""Two keys to anywhere: the number of a place, typed at the foot of the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from tunneltui.cells import say
from tunneltui.draw.wire import WireRow, places_of_number
from tunneltui.pages.prompts import GO_TO_PLACE
from tunneltui.screens.forms import Form
from tunneltui.screens.text import plain


class GoToPlace(Form[str | None]):
    """Answers with the place as soon as the number can be no other; enter takes what is typed so far."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave_it", show=False),
        Binding("enter", "take", show=False),
        Binding("backspace", "back", show=False),
    ]
    DEFAULT_CSS = """
    GoToPlace { align: left bottom; background: $ground 0%; }
    #go-to { height: 1; width: 1fr; background: $bar; padding: 0 1; }
    """

    def __init__(self, rows: Sequence[WireRow], place: str) -> None:
        super().__init__()
        self._rows = rows
        self._here = place
        self._number = ""

    def compose(self) -> ComposeResult:
        yield Static("", id="go-to")

    def on_mount(self) -> None:
        self._show()

    def _show(self) -> None:
        if self.is_mounted:
            places, _ = places_of_number(self._rows, self._number, self._here)
            leads = f"enter: {places[0]}" if self._number and places else "its number, or row and number"
            if self._number and not places:
                leads = "no such place"
            self.query_one("#go-to", Static).update(plain(say(GO_TO_PLACE, self._number, leads)))

    def on_key(self, event: events.Key) -> None:
        sign = event.character or ""
        if len(sign) == 1 and sign.isprintable():
            event.stop()
            event.prevent_default()
            self._number += sign
            places, meant = places_of_number(self._rows, self._number, self._here)
            if meant:
                self.leave(places[0])
            else:
                self._show()

    def action_take(self) -> None:
        places, _ = places_of_number(self._rows, self._number, self._here)
        self.leave(places[0] if self._number and places else None)

    def action_back(self) -> None:
        self._number = self._number[:-1]
        self._show()

    def action_leave_it(self) -> None:
        self.leave(None)
