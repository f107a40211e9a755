"""A list drawn line by line: only what is in view is made, a moved cursor repaints two lines."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tunneltui.cells import Units
from tunneltui.pages.lines import list_lines
from tunneltui.pages.page import Page
from tunneltui.pages.units import in_force
from tunneltui.screens import actions
from tunneltui.screens.inked import Inks, segments
from tunneltui.screens.parts import Line, Part, fitted, in_units, whole_words
from tunneltui.screens.text import READER

EDGE_CELLS = 2
"""Left and right of a line: the mark of the chosen one, and a blank before the scrollbar."""
HERE = "▌"
"""In the first column of the chosen line."""


def bindings_of(where: actions.Where, ids: Collection[str] | None = None) -> list[BindingType]:
    """The keys of the action table, hidden from Textual's own footer: of those in ``ids``; None: of all of them.

    With priority: such keys are acted on by the app in the order in which they were typed, before the next key is
    looked at. Without it each first travels up from the widget that has the focus, and a key that opens a form is
    overtaken by the letters meant for that form.
    """
    return [
        Binding(
            ",".join(action.keys),
            action.called,
            action.words,
            show=False,
            priority=True,
            id=f"{where}.{action.id}",
        )
        for action in actions.of(where)
        if ids is None or action.id in ids
    ]


class Lines(ScrollView, can_focus=True):
    """A list of ``Line`` with a cursor."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("list")
    ALLOW_SELECT = False

    cursor: reactive[int] = reactive(0, repaint=False)

    class Moved(Message):
        """The cursor came to another line."""

        def __init__(self, lines: Lines, key: str) -> None:
            self.lines = lines
            self.key = key
            super().__init__()

        @property
        def control(self) -> Lines:
            return self.lines

    def __init__(self, *, id: str | None = None, classes: str | None = None, as_typed: bool = False) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._as_typed = as_typed
        """Lines that growers wrote, or that are in their units already."""
        self._lines: Sequence[Line] = ()
        self._page: tuple[Page, Units] | None = None
        """What the lines are made of, where that is a page."""
        self._strips: dict[tuple[int, int, bool], Strip] = {}
        self._inks = Inks(self)

    @property
    def lines(self) -> Sequence[Line]:
        return self._lines

    @property
    def line(self) -> Line | None:
        """The line under the cursor."""
        return self._lines[self.cursor] if 0 <= self.cursor < len(self._lines) else None

    def show(self, lines: Sequence[Line]) -> None:
        """Other lines; the cursor stays on the line it was on, wherever that is now, else near its place."""
        kept = self.line.key if self.line else ""
        self._lines = tuple(lines)
        self._strips.clear()
        self.virtual_size = Size(self.size.width, len(self._lines))
        at = next((index for index, line in enumerate(self._lines) if kept and line.key == kept), None)
        self.cursor = min(self.cursor, max(len(self._lines) - 1, 0)) if at is None else at
        self.refresh()

    def _with_rest(self, index: int) -> range:
        """The line of that number and those that go on with what it says."""
        end = index + 1
        while end < len(self._lines) and self._lines[end].rest:
            end += 1
        return range(index, end)

    def show_page(self, page: Page, units: Units | None = None) -> None:
        """A page's lines, made anew when the list gets another width; in the units in force unless given."""
        self._page = page, units or in_force()
        self.show(list_lines(page, max(self._width - EDGE_CELLS, 1), self._page[1]))

    def replace(self, index: int, line: Line) -> None:
        """One line in another state."""
        lines = list(self._lines)
        lines[index] = line
        self._lines = lines
        for lit in (True, False):
            self._strips.pop((index, self._width, lit), None)
        self.refresh_line(index)

    def move_to(self, index: int) -> None:
        index = max(0, min(index, len(self._lines) - 1))
        while index > 0 and self._lines[index].rest:
            index -= 1
        self.cursor = index

    def move_to_key(self, key: str) -> None:
        self.cursor = next((index for index, line in enumerate(self._lines) if line.key == key), self.cursor)

    def watch_cursor(self, before: int, after: int) -> None:
        for index in (*self._with_rest(before), *self._with_rest(after)):
            self.refresh_line(index)
        self._keep_in_view()
        if self.line is not None:
            self.post_message(self.Moved(self, self.line.key))

    def _keep_in_view(self) -> None:
        # One line above stays in view, so that the heading of the first line is seen.
        top = max(self.cursor - 1, 0) if self.cursor and self._lines[self.cursor - 1].heading else self.cursor
        height = self._with_rest(self.cursor).stop - top
        if self.size.height >= height:
            self.scroll_to_region(Region(0, top, 1, height), animate=False, force=True, immediate=True)
        self._place_terminal_cursor()

    def _place_terminal_cursor(self) -> None:
        """The terminal's own cursor follows, for braille displays and input methods."""
        if self.has_focus:
            from textual.geometry import Offset

            region = self.content_region
            self.app.cursor_position = Offset(region.x, region.y + self.cursor - self.scroll_offset.y)

    def on_focus(self) -> None:
        self._place_terminal_cursor()

    def on_resize(self) -> None:
        if self._page is not None:
            self.show_page(*self._page)
        self.virtual_size = Size(self.size.width, len(self._lines))
        self._strips.clear()
        if self._lines:
            self._keep_in_view()
        if self._page is not None and self.line is not None:
            # The words beside the list depend on the columns that it has room for.
            self.post_message(self.Moved(self, self.line.key))

    def notify_style_update(self) -> None:
        self._strips.clear()
        self._inks.clear()
        super().notify_style_update()

    def on_click(self, event: events.Click) -> None:
        index = event.y + self.scroll_offset.y
        if 0 <= index < len(self._lines):
            self.move_to(index)

    def render_line(self, y: int) -> Strip:
        width = self._width
        index = y + self.scroll_offset.y
        if not 0 <= index < len(self._lines) or width <= 0:
            return Strip.blank(max(width, 0), self.rich_style)
        lit = index in self._with_rest(self.cursor)
        key = (index, width, lit)
        if key not in self._strips:
            self._strips[key] = self._drawn(self._lines[index], width, lit)
        return self._strips[key]

    @property
    def _width(self) -> int:
        """Cells beside the scrollbar's own gutter."""
        return self.scrollable_content_region.width

    def _drawn(self, line: Line, width: int, lit: bool) -> Strip:
        base = self.rich_style + self._inks["here"] if lit else self.rich_style
        line = line if self._as_typed else in_units(line)
        if self.app.has_class(READER):
            from tunneltui.screens.reader import spoken

            return Strip([Segment(whole_words(spoken(line.parts), width), base)]).crop_extend(0, width, base)
        parts = (Part(HERE if lit else " ", "chosen"), *fitted(line.parts, width - EDGE_CELLS))
        return Strip(segments(parts, self._inks, base)).crop_extend(0, width, base)

    def action_up(self) -> None:
        self.move_to(self.cursor - 1)

    def action_down(self) -> None:
        after = self._with_rest(self.cursor).stop
        if after < len(self._lines):
            self.move_to(after)

    def action_first(self) -> None:
        self.move_to(0)

    def action_last(self) -> None:
        self.move_to(len(self._lines) - 1)

    def action_page_up(self) -> None:
        self.move_to(self.cursor - max(self.size.height - 1, 1))

    def action_page_down(self) -> None:
        self.move_to(self.cursor + max(self.size.height - 1, 1))

    def action_heading_before(self) -> None:
        before = [index for index in range(self.cursor) if self._lines[index].heading]
        self.move_to(before[-1] if before else 0)

    def action_heading_after(self) -> None:
        after = [index for index in range(self.cursor + 1, len(self._lines)) if self._lines[index].heading]
        self.move_to(after[0] if after else len(self._lines) - 1)


class Choices(Lines, inherit_bindings=False):
    """A list in a form that chooses by letters: only the arrows move."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "up", show=False),
        Binding("down", "down", show=False),
        Binding("pageup", "page_up", show=False),
        Binding("pagedown", "page_down", show=False),
    ]


class Stepped(Lines, inherit_bindings=False):
    """Its headings are read and passed over; left and right are for whoever shows it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of(
        "list", ("up", "down", "page_up", "page_down", "first", "last")
    )

    chosen = False
    """Whether the grower put the cursor where it is, rather than the list itself."""

    def move_to(self, index: int) -> None:
        self.chosen = True
        super().move_to(index)

    def action_up(self) -> None:
        self._stop_at(self.cursor - 1, -1)

    def action_down(self) -> None:
        self._stop_at(self.cursor + 1, 1)

    def action_first(self) -> None:
        self._stop_at(0, 1)

    def action_last(self) -> None:
        self._stop_at(len(self.lines) - 1, -1)

    def action_page_up(self) -> None:
        self._stop_at(max(self.cursor - max(self.size.height - 1, 1), 0), 1)

    def action_page_down(self) -> None:
        self._stop_at(min(self.cursor + max(self.size.height - 1, 1), len(self.lines) - 1), -1)

    def _stop_at(self, at: int, step: int) -> None:
        """At that line, else at the next one in that direction; where there is none it stays."""
        while 0 <= at < len(self.lines):
            if not self.lines[at].heading and not self.lines[at].rest:
                self.move_to(at)
                return
            at += step
