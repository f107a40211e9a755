"""Piece by piece: all that is to do on a line under letters; a letter takes one out, enter writes the others."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tunneltui.cells import listed
from tunneltui.chores.chore import Chore, Piece
from tunneltui.chores.kinds import KINDS
from tunneltui.screens.forms import LETTERS, Form
from tunneltui.screens.lines import Choices
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.stops import words_of
from tunneltui.screens.text import to_content

Parts = Sequence[tuple[Chore, Piece]]


class PieceByPiece(Form[Parts | None]):
    """Answers with the pieces that were done."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "dismiss_nothing", "out", show=False),
        Binding("enter", "keep", "write", show=False),
        Binding("space", "turn", "in or out", show=False),
    ]
    AUTO_FOCUS = "#pieces"

    def __init__(self, title: str, chores: Sequence[Chore]) -> None:
        super().__init__()
        self._title = title
        self._parts = [(chore, piece) for chore in chores for piece in chore.pieces]
        self._out: set[int] = set()
        self._list = Choices(id="pieces")

    def compose(self) -> ComposeResult:
        with Vertical(classes="form"):
            kinds = listed([*dict.fromkeys(KINDS[chore.kind].heading for chore, _ in self._parts)])
            yield Static(to_content(f"{self._title}: {kinds}; what was done"), classes="form-title")
            yield self._list
            yield Static(to_content("A letter leaves one out and takes it in; enter writes."), classes="form-hint")

    def on_mount(self) -> None:
        self._list.show([self._line(number) for number in range(len(self._parts))])

    def on_resize(self) -> None:
        self._list.styles.height = min(len(self._parts), max(self.app.size.height - 6, 1))

    def _line(self, number: int) -> Line:
        chore, piece = self._parts[number]
        out = number in self._out
        letter = LETTERS[number] if number < len(LETTERS) else ""
        return Line(
            str(number),
            (
                Part(letter, "chosen", 3),
                Part("" if out else "✓", "done", 2),
                Part(words_of(chore, piece), "quiet" if out else ""),
                Part("  left out" if out else "", "quiet"),
            ),
        )

    def on_key(self, event: events.Key) -> None:
        letter = event.character or ""
        if len(letter) == 1 and letter in LETTERS:
            event.stop()
            event.prevent_default()
            if LETTERS.index(letter) < len(self._parts):
                self._turn(LETTERS.index(letter))

    def action_turn(self) -> None:
        self._turn(self._list.cursor)

    def _turn(self, number: int) -> None:
        self._out ^= {number}
        self._list.replace(number, self._line(number))

    def action_keep(self) -> None:
        kept = [part for number, part in enumerate(self._parts) if number not in self._out]
        self.leave(kept or None)

    def action_dismiss_nothing(self) -> None:
        self.leave(None)
