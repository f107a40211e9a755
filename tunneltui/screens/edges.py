"""The first and the last line of the screen: where and how far, and the keys; nothing is cut in two."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tunneltui.pages.units import localize
from tunneltui.screens import actions
from tunneltui.screens.inked import Inks, segments
from tunneltui.screens.parts import Part, fitted, whole_words, width_of
from tunneltui.screens.text import READER

HEAD_GAP = "   "


class TopLine(NamedTuple):
    """What the first line says: where I am, then how far and what is wrong."""

    where: tuple[str, ...]
    """The screen or pass, in forms of which the longest comes first."""
    words: tuple[str, ...] = ()
    """What stands beside it, in such forms; left out where none fits."""
    right: tuple[Part, ...] = ()
    """At the right end; where there is no room the first goes first."""


def head_parts(head: TopLine, width: int) -> tuple[Part, ...]:
    """The head in ``width`` cells: what is on the right stays longest."""
    for first in range(len(head.right) + 1):
        right = [part for kept in head.right[first:] for part in (Part(HEAD_GAP), kept)][1:]
        needed = sum(width_of(part) for part in right)
        room = width - 2 - needed - (len(HEAD_GAP) if right else 0)
        for where in head.where:
            for words in (*head.words, ""):
                words_part = f"{HEAD_GAP}{words}" if words else ""
                if (cells := cell_len(where) + cell_len(words_part)) <= room:
                    blanks = " " * (width - 2 - cells - needed)
                    return (Part(" "), Part(where, "bold"), Part(words_part), Part(blanks), *right, Part(" "))
    return (Part(" "), Part(whole_words(head.where[-1], width - 1), "bold"))


class EdgeLine(Widget):
    """One line of parts, made for the width there is."""

    ALLOW_SELECT = False

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._strip: Strip | None = None
        self._inks = Inks(self)

    def parts(self, width: int) -> Sequence[Part]:
        """What stands on the line."""
        raise NotImplementedError

    def spoken(self) -> str:
        """The same for a voice: its facts with commas between them."""
        raise NotImplementedError

    def changed(self) -> None:
        """Its words have changed: draw it again."""
        before, self._strip = self._strip, None
        if before is None or self._rendered() != before:
            self.refresh()

    def notify_style_update(self) -> None:
        self._strip = None
        self._inks.clear()
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:  # noqa: ARG002  (there is one line)
        return self._rendered()

    def _rendered(self) -> Strip:
        width, base = self.size.width, self.rich_style
        if self._strip is None or self._strip.cell_length != width:
            if self.app.has_class(READER):
                shown: Sequence[Part] = (Part(" "), Part(whole_words(self.spoken(), width - 2)))
            else:
                shown = self.parts(width)
            self._strip = Strip(segments(shown, self._inks, base)).crop_extend(0, width, base)
        return self._strip


class HeadsLine(EdgeLine):
    """What stands over the columns of a list."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._parts: tuple[Part, ...] = ()

    def show(self, parts: Sequence[Part]) -> None:
        self._parts = tuple(parts)
        self.changed()

    def parts(self, width: int) -> Sequence[Part]:
        return (Part(" "), *fitted(self._parts, width - 2))

    def spoken(self) -> str:
        return ", ".join(part.text.strip() for part in self._parts if part.text.strip(" ┊"))


class HeaderLine(EdgeLine):
    """Where I am and how far."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._head = TopLine(("",))

    def show(self, head: TopLine) -> None:
        in_units = head._replace(
            words=tuple(localize(words) for words in head.words),
            right=tuple(part._replace(text=localize(part.text)) for part in head.right),
        )
        if in_units != self._head:
            self._head = in_units
            self.changed()

    def parts(self, width: int) -> Sequence[Part]:
        return head_parts(self._head, width)

    def spoken(self) -> str:
        head = self._head
        return ", ".join(filter(None, (head.where[0], *head.words[:1], *(part.text for part in head.right))))


class KeysLine(EdgeLine):
    """The keys, from the action table."""

    class Clicked(Message):
        """An action's words were clicked."""

        def __init__(self, action: actions.Action) -> None:
            self.action = action
            super().__init__()

    def __init__(self, shown: Sequence[actions.Action], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._actions = tuple(shown)

    def show(self, shown: Sequence[actions.Action]) -> None:
        """The keys of another pane."""
        if tuple(shown) != self._actions:
            self._actions = tuple(shown)
            self.changed()

    def on_click(self, event: events.Click) -> None:
        action = actions.action_at(self._actions, self.size.width, event.x)
        if action is not None:
            self.post_message(self.Clicked(action))

    def parts(self, width: int) -> Sequence[Part]:
        parts = []
        for number, action in enumerate(actions.fitting(self._actions, width)):
            parts.append(Part(actions.GAP if number else " "))
            parts += [Part(actions.footer_key(action), "chosen"), Part(f" {action.words}")]
        return parts

    def spoken(self) -> str:
        shown = actions.fitting(self._actions, self.size.width)
        return ", ".join(f"{actions.footer_key(action)} {action.words}" for action in shown)
