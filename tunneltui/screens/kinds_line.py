"""A line of words of which one is chosen: the kinds that a list can show. A click chooses."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len
from textual import events
from textual.message import Message

from tunneltui.screens.edges import HEAD_GAP, EdgeLine
from tunneltui.screens.parts import Part

MORE_BEFORE, MORE_AFTER = "‹ ", " ›"


class OfKind(NamedTuple):
    key: str
    words: str
    number: str = ""

    @property
    def cells(self) -> int:
        return cell_len(self.words) + (1 + len(self.number) if self.number else 0)


class KindsLine(EdgeLine):
    """As many of the words around the chosen one as fit; ``‹`` and ``›`` say that there are more."""

    class KindClicked(Message):
        """Another word is to be chosen."""

        def __init__(self, key: str) -> None:
            self.key = key
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._kinds: tuple[OfKind, ...] = ()
        self._chosen = ""

    def show(self, kinds: Sequence[OfKind], chosen: str) -> None:
        self._kinds, self._chosen = tuple(kinds), chosen
        self.changed()

    def parts(self, width: int) -> Sequence[Part]:
        return [part for part, _ in self._stretches(width)]

    def spoken(self) -> str:
        return ", ".join(
            f"{kind.words} {kind.number}".strip() + (" shown" if kind.key == self._chosen else "")
            for kind in self._kinds
        )

    def on_click(self, event: events.Click) -> None:
        at = 0
        for part, key in self._stretches(self.size.width):
            at += cell_len(part.text)
            if event.x < at:
                if key:
                    self.post_message(self.KindClicked(key))
                return

    def _stretches(self, width: int) -> list[tuple[Part, str]]:
        first, end, counted = self._window(width)
        stretches: list[tuple[Part, str]] = [(Part(MORE_BEFORE if first else " ", "quiet"), "")]
        for kind in self._kinds[first:end]:
            if len(stretches) > 1:
                stretches.append((Part(HEAD_GAP), ""))
            lit = kind.key == self._chosen
            stretches.append((Part(kind.words, "lit" if lit else ""), kind.key))
            if kind.number and counted:
                stretches.append((Part(f" {kind.number}", "lit" if lit else "quiet"), kind.key))
        if end < len(self._kinds):
            stretches.append((Part(MORE_AFTER, "quiet"), ""))
        return stretches

    def _window(self, width: int) -> tuple[int, int, bool]:
        """First and end of those shown, and whether with their counts."""
        kinds, room = self._kinds, width - len(MORE_BEFORE) - len(MORE_AFTER)

        def needed(shown: Sequence[OfKind], counted: bool) -> int:
            gaps = len(HEAD_GAP) * (len(shown) - 1)
            return gaps + sum(kind.cells if counted else cell_len(kind.words) for kind in shown)

        for counted in (True, False):
            if needed(kinds, counted) <= width - 2:
                return 0, len(kinds), counted
        at = next((n for n, kind in enumerate(kinds) if kind.key == self._chosen), 0)
        first, end = at, min(at + 1, len(kinds))
        while end < len(kinds) and needed(kinds[first : end + 1], False) <= room:
            end += 1
        while first > 0 and needed(kinds[first - 1 : end], False) <= room:
            first -= 1
        return first, end, False
