"""A pane of two parts: a list, and words on its chosen line, beside it or below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.containers import Container
from textual.content import Content
from textual.geometry import NULL_OFFSET, Region, Size, Spacing
from textual.layout import ArrangeResult, Layout, WidgetPlacement
from textual.widget import Widget

from tunneltui.pages.units import localize
from tunneltui.screens.edges import TopLine
from tunneltui.screens.layout import FRAME_ROWS, PaneSizes, pane_sizes
from tunneltui.screens.messages import HeadChanged
from tunneltui.screens.parts import Part
from tunneltui.screens.text import READER

NO_MARGIN = Spacing()


class ListAndDetail(Container):
    """Its first child is the list, its second the words; ``layout.pane_sizes`` says where they stand."""

    REASON_ROWS: ClassVar[int] = 3
    """Rows of the second part below the list on a terminal of 24 rows."""

    TITLE: ClassVar[str] = ""
    """What the first line calls it."""
    _title_rest: str = ""
    _right: tuple[Part, ...] = ()

    @property
    def head(self) -> TopLine:
        """The title and the words last put beside it, in forms from all of them to the first few."""
        first = self._title_rest.split(";")[0]
        to_a_comma = (first[:at] for at in range(len(first) - 1, 0, -1) if first[at] == ",")
        forms = (self._title_rest, first, *to_a_comma)
        return TopLine((self.TITLE,), tuple(form for form in forms if form), self._right)

    def set_head_words(self, sentence: str, right: Sequence[Part] = ()) -> None:
        """What stands beside the title from now on."""
        for prefix in (f"{self.TITLE}: ", f"{self.TITLE} "):
            sentence = sentence.removeprefix(prefix)
        shown = localize(sentence), tuple(right)
        if shown != (self._title_rest, self._right):
            self._title_rest, self._right = shown
            self.post_message(HeadChanged())

    @property
    def layout(self) -> Layout:
        return _LISTED

    def pane_sizes(self, size: Size) -> PaneSizes:
        """The parts of a pane of that size; a screen reader gets one after the other, never side by side."""
        columns = min(size.width, 80) if self.app.has_class(READER) else size.width
        sizes = pane_sizes(columns, size.height + FRAME_ROWS, self.REASON_ROWS)
        return sizes if sizes.beside else sizes._replace(list_cells=size.width, side_cells=size.width)


class _ListAndWords(Layout):
    name = "listed"

    def arrange(
        self,
        parent: Widget,
        children: list[Widget],
        size: Size,
        greedy: bool = True,  # noqa: ARG002  (of the base class)
    ) -> ArrangeResult:
        if not isinstance(parent, ListAndDetail):
            raise TypeError(f"{parent} has no list and no side")
        sizes = parent.pane_sizes(size)
        regions = (
            Region(0, 0, sizes.list_cells, sizes.list_rows),
            Region(sizes.side_x, 0 if sizes.beside else sizes.list_rows, sizes.side_cells, sizes.side_rows),
        )
        return [
            WidgetPlacement(region, NULL_OFFSET, NO_MARGIN, child)
            for child, region in zip(children, regions, strict=False)
        ]


_LISTED = _ListAndWords()


class Detail(Widget):
    """The words on the line under the cursor, as large as the pane lets it be. New words paint the lines of the
    old ones and their own and nothing else, for they change with every key."""

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
