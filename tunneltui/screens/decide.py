"""What is to be decided, asked by letter: the harmless answer first, later is no answer."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tunneltui.cells import many, say
from tunneltui.chores.chore import Chore
from tunneltui.pages.prompts import DECIDES
from tunneltui.screens import acts
from tunneltui.screens.forms import Form
from tunneltui.screens.lines import Choices
from tunneltui.screens.messages import Act
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.stops import Stop
from tunneltui.screens.text import to_content


class Decide(Form[Act | None]):
    """Answers with what is then written. ``whole``: the chore all along its row, decided by a capital letter."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "dismiss_nothing", "out", show=False)]
    AUTO_FOCUS = "#answers"

    def __init__(self, chore: Chore, whole: Chore | None, stop: Stop) -> None:
        super().__init__()
        self._chore = chore
        self._whole = whole
        self._stop = stop
        self._list = Choices(id="answers")

    def compose(self) -> ComposeResult:
        hint = "A letter decides; q decides later."
        if self._whole is not None:
            hint = say(DECIDES, many(len(self._whole.pieces), "stem"), self._whole.about)
        with Vertical(classes="form"):
            yield Static(to_content(f"{self._stop.name}: to decide"), classes="form-title")
            yield Static(to_content(self._chore.why), classes="form-words")
            yield self._list
            yield Static(to_content(hint), classes="form-hint")

    def on_mount(self) -> None:
        choices = self._chore.choices
        self._list.styles.height = len(choices)
        self._list.show(
            [Line(choice.key, (Part(choice.key, "chosen", 3), Part(choice.words))) for choice in choices]
        )

    def on_key(self, event: events.Key) -> None:
        letter = event.character or ""
        if len(letter) == 1 and letter.isalpha() and letter.lower() != "q":
            event.stop()
            event.prevent_default()
            whole = self._whole if letter.isupper() else None
            chore = whole or self._chore
            choice = next((offered for offered in chore.choices if offered.key == letter.lower()), None)
            if choice is not None:
                self.leave(acts.chosen(chore, choice))

    def action_dismiss_nothing(self) -> None:
        self.leave(None)
