"""The line of keys at the bottom: as many as fit, none cut in two."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.content import Content
from textual.widgets import Static

from tunneltui.screens import actions


class KeysLine(Static):
    """One line, made from the action table for the width there is."""

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

    async def on_click(self, event: events.Click) -> None:
        action = actions.action_at(self._actions, self.size.width, event.x)
        focused = self.app.focused
        if action is not None and focused is not None:
            await self.app.run_action(action.id, focused)

    def _draw(self) -> None:
        self.update(Content(" " + actions.footer(self._actions, self.size.width)))
