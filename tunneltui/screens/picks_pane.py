"""The picks: a whole picking typed in fast, the next pick days with their bands, the season's curve."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.reactive import reactive
from textual.widgets import Static

from tunneltui.cells import joined, say
from tunneltui.growth.outlook import PickOutlook
from tunneltui.pages.picks import CURVE_TITLE, coming_page, curve, curve_words, pick_key, table_page
from tunneltui.pages.prompts import PICK_TO_COME
from tunneltui.pages.units import axis
from tunneltui.screens import picking
from tunneltui.screens.drawing import Drawing
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.list_and_detail import ListAndDetail
from tunneltui.screens.messages import ActRequested, StatusText
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import READER, plain, to_content


class PicksPane(ListAndDetail):
    """Pick days to come, with a key to weigh each in."""

    TITLE = "Picks"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("picks")
    DEFAULT_CSS = """
    #picks-title { height: 1; text-style: bold; }
    """

    REASON_ROWS = 7
    view: reactive[RoundView | None] = reactive(None, repaint=False)

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._lines = Lines(id="picks-lines")
        self._title = Static("", id="picks-title")
        self._curve = Drawing(id="picks-curve")
        self._table = False

    def compose(self) -> ComposeResult:
        yield self._lines
        yield Container(self._title, self._curve, classes="detail", id="picks-side")

    def watch_view(self) -> None:
        if self.is_mounted:
            self._show()

    def _show(self) -> None:
        view = self.view
        if view is None or view.morning is None:
            self._title.update(plain("The picks are still being worked out."))
            return
        self.set_head_words("every pick of the season" if self._table else "what is ripe and to come, day by day")
        self._lines.show_page(table_page(view.morning) if self._table else coming_page(view.morning))
        if not self._table and self._pick() is None:
            self._onwards()
        self._draw()

    def _pick(self) -> PickOutlook | None:
        line = self._lines.line
        morning = self.view.morning if self.view is not None else None
        if line is None or morning is None:
            return None
        return next((pick for pick in morning.outlook.picks if pick_key(pick) == line.key), None)

    @on(Lines.Moved)
    @on(Drawing.Resized)
    def _draw(self) -> None:
        view, pick = self.view, self._pick()
        if view is None or view.morning is None:
            return
        cultivar = pick.cultivar if pick is not None else self._cultivar_of_line()
        drawing = self._curve
        if cultivar and self.app.has_class(READER):
            self._title.update(to_content(joined("\n", curve_words(view.morning, cultivar))))
            return
        self._title.update(plain(say(CURVE_TITLE, cultivar)))
        if cultivar and drawing.size.height > 3:
            drawing.show(curve(view.morning, cultivar, drawing.size.width, drawing.size.height, axis("kg")))

    def _cultivar_of_line(self) -> str:
        """In the table: the cultivar named on the line, else the first that is grown."""
        morning = self.view.morning if self.view is not None else None
        line = self._lines.line
        if morning is None or line is None:
            return ""
        grown = list(dict.fromkeys(leader.cultivar for leader in morning.season.leaders.values()))
        texts = {part.text for part in line.parts}
        return next((cultivar for cultivar in grown if cultivar in texts), grown[0] if grown else "")

    def action_pick(self) -> None:
        view, pick = self.view, self._pick()
        if view is None or pick is None:
            self.post_message(StatusText("Go to a pick to weigh it in."))
            return
        if pick.day != view.day:
            self.post_message(StatusText(say(PICK_TO_COME, pick.day)))
            return
        chore = picking.pick_chore(view.planned(), pick.row, pick.cultivar)
        if chore is not None and not view.is_open(chore):
            chore = None

        season = view.morning.season if view.morning is not None else None

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self.post_message(ActRequested(picking.act(pick.row, pick.cultivar, values, chore, season)))
                self._onwards()

        self.app.push_screen(picking.form(pick.row, pick.cultivar, chore), keep)

    def _onwards(self) -> None:
        """On to the next pick in the list."""
        lines = self._lines
        for index in range(lines.cursor + 1, len(lines.lines)):
            if lines.lines[index].key.startswith("pick "):
                lines.move_to(index)
                return

    def action_table(self) -> None:
        self._table = not self._table
        self._show()
