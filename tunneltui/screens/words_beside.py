"""Words beside a list, of the line under its cursor."""

from __future__ import annotations

from textual.content import Content
from textual.geometry import Region
from textual.widget import Widget


class WordsBeside(Widget):
    """As large as its pane lets it be, whatever it says: new words paint the lines of the old and the new ones and
    nothing else, for they change with every key."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._words = Content("")

    def render(self) -> Content:
        return self._words

    def show(self, words: Content) -> None:
        if words == self._words:
            return
        before, self._words = self._words, words
        if width := self.size.width:
            lines = max(before.get_height({}, width), words.get_height({}, width))
            self.refresh(Region(0, 0, width, lines))
        else:
            self.refresh()
