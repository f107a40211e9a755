"""The first and the last line of the screen: where and how far, and the keys; nothing is cut in two."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from tunneltui.screens import actions
from tunneltui.screens.actions import GAP
from tunneltui.screens.text import READER, one_line, to_width


class HeaderLine(Static):
    """Words on the left, of which those at the end give way, and words on the right."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__("", id=id)
        self._left: tuple[str, ...] = ()
        self._right = self._shown = ""

    def show(self, left: Sequence[str], right: str) -> None:
        self._left, self._right = tuple(one_line(words) for words in left), one_line(right)
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        gap = ", " if self.app.has_class(READER) else GAP
        room = self.size.width - cell_len(self._right) - 3
        left = list(self._left)
        while len(left) > 2 and cell_len(gap.join(left)) > room:
            left.pop()
        shown = f" {to_width(gap.join(left), max(room, 0))} {self._right} "
        if shown != self._shown:
            # Its size is fixed: nothing else on the screen is laid out or painted anew for it.
            self._shown = shown
            self.update(Content(shown), layout=False)


class KeysLine(Static):
    """One line, made from the action table for the width there is."""

    class Clicked(Message):
        """An action's words were clicked."""

        def __init__(self, action: actions.Action) -> None:
            self.action = action
            super().__init__()

    def __init__(self, shown: Sequence[actions.Action], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__("", id=id)
        self._actions = tuple(shown)

    def show(self, shown: Sequence[actions.Action]) -> None:
        """The keys of another pane."""
        self._actions = tuple(shown)
        self._draw()

    def on_mount(self) -> None:
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def on_click(self, event: events.Click) -> None:
        action = actions.action_at(self._actions, self.size.width, event.x)
        if action is not None:
            self.post_message(self.Clicked(action))

    def _draw(self) -> None:
        words = actions.footer(self._actions, self.size.width)
        self.update(
            Content(" " + (words.replace(GAP, ", ") if self.app.has_class(READER) else words)), layout=False
        )
