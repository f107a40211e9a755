"""The passes of the walk as a line of words with the minutes each has left, and the heads of its columns."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.message import Message

from tunneltui.screens.edges import EdgeLine
from tunneltui.screens.parts import Part, width_of
from tunneltui.screens.round_layout import RoundLayout
from tunneltui.screens.stop_lines import column_heads
from tunneltui.screens.stops import LATER, PassLaid

GAP = Part("   ")
MORE_BEFORE, MORE_AFTER = Part("‹ ", "quiet"), Part(" ›", "quiet")


class PassLine(EdgeLine):
    """Shows the passes of a walk, the one that is shown lit. A click goes to the one under it."""

    class PassClicked(Message):
        """A pass was clicked."""

        def __init__(self, key: str) -> None:
            self.key = key
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._walk: RoundLayout | None = None
        self._here = ""

    def show(self, walk: RoundLayout, chosen: str) -> None:
        self._walk, self._here = walk, chosen
        self.changed()

    def on_click(self, event: events.Click) -> None:
        at = 0
        for key, parts in self._laid(self.size.width):
            at += sum(width_of(part) for part in parts)
            if event.x < at:
                if key:
                    self.post_message(self.PassClicked(key))
                return

    def parts(self, width: int) -> Sequence[Part]:
        return [part for _, parts in self._laid(width) for part in parts]

    def spoken(self) -> str:
        return ", ".join("".join(part.text for part in parts).strip() for key, parts in self._laid(10_000) if key)

    def _laid(self, width: int) -> list[tuple[str, Sequence[Part]]]:
        """Parts of each pass by its key, as many around the one that is shown as fit; '' for what is between."""
        if self._walk is None:
            return []
        words = [(pass_laid.key, self._words(pass_laid)) for pass_laid in self._walk.passes]
        at = next((n for n, (key, _) in enumerate(words) if key == self._here), 0)
        first, end = at, min(at + 1, len(words))
        while True:
            if end < len(words) and _length(words[first : end + 1]) <= width - 6:
                end += 1
            elif first > 0 and _length(words[first - 1 : end]) <= width - 6:
                first -= 1
            else:
                break
        laid: list[tuple[str, Sequence[Part]]] = [("", (Part(" "), *((MORE_BEFORE,) if first else ())))]
        for number, pass_words in enumerate(words[first:end]):
            laid += [("", (GAP,))] if number else []
            laid.append(pass_words)
        return [*laid, ("", (MORE_AFTER,))] if end < len(words) else laid

    def _words(self, pass_laid: PassLaid) -> Sequence[Part]:
        far = self._walk.left[pass_laid.key] if self._walk is not None else None
        if far is not None and far.done == far.stops:
            return (Part("✓ ", "done"), Part(pass_laid.words, "lit" if pass_laid.key == self._here else "quiet"))
        minutes = f" {far.minutes:.0f}" if far is not None and pass_laid.key != LATER else ""
        if pass_laid.key == self._here:
            return (Part(f"{pass_laid.words}{minutes}", "lit"),)
        return (Part(pass_laid.words), Part(minutes, "quiet"))


def _length(words: Sequence[tuple[str, Sequence[Part]]]) -> int:
    return sum(width_of(part) for _, parts in words for part in (*parts, GAP))


class ColumnHeads(EdgeLine):
    """What stands over the columns of the pass that is shown."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._pass: PassLaid | None = None

    def show(self, laid: PassLaid | None) -> None:
        self._pass = laid
        self.changed()

    def parts(self, width: int) -> Sequence[Part]:
        return column_heads(self._pass, width) if self._pass is not None else ()

    def spoken(self) -> str:
        return ""
