"""The day card: what the morning holds, before anything is walked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.geometry import Size
from textual.reactive import reactive

from tunneltui.cells import day_word as day_words
from tunneltui.cells import many
from tunneltui.pages.card import CardLine
from tunneltui.pages.units import localize
from tunneltui.screens.card_lines import card_shown, week_beside
from tunneltui.screens.edges import TopLine
from tunneltui.screens.layout import FRAME_ROWS, PaneSizes
from tunneltui.screens.lines import Stepped, bindings_of
from tunneltui.screens.list_and_detail import Detail, ListAndDetail
from tunneltui.screens.messages import PlanRequested, StatusText
from tunneltui.screens.parts import Part
from tunneltui.screens.round_layout import NOTHING_LAID_OUT, RoundLayout
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.stops import LATER
from tunneltui.screens.text import plain

SIDE_EDGE_CELLS = 3
"""Its rule and a blank on either side."""
THE_WIRE = (
    "┬  something to do here",
    "!  a must",
    "?  to decide",
    "─  nothing, or done: a bare wire is",
    "   a day's work done",
)


class CardPane(ListAndDetail):
    """Shows one view's card, from which the grower goes on."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("card")

    view: reactive[RoundView | None] = reactive(None, repaint=False)

    def __init__(self, go: Callable[[str], None], *, id: str | None = None) -> None:  # noqa: A002
        """``go``: to a pass, a chore, another screen or the walk. Called, not posted as a message: the keys typed
        behind would overtake that."""
        super().__init__(id=id)
        self._go = go
        self._list = Stepped(id="card-lines", as_typed=True)
        self._side = Detail(id="card-side", classes="detail")
        self._pass = ""

    def compose(self) -> ComposeResult:
        yield self._list
        yield self._side

    def pane_sizes(self, size: Size) -> PaneSizes:
        """Nothing below the card: its reasons are asked for."""
        sizes = super().pane_sizes(size)
        return sizes if sizes.beside else sizes._replace(list_rows=size.height, side_rows=0)

    @property
    def list(self) -> Stepped:
        return self._list

    @property
    def _walk(self) -> RoundLayout:
        return (self.view.walk if self.view is not None else None) or NOTHING_LAID_OUT

    @property
    def head(self) -> TopLine:
        view = self.view
        if view is None:
            return TopLine(("Round",))
        far = self._walk.far
        part = "" if view.round.part == "day" else f", {view.round.part}"
        right = [] if view.confirmed else [Part("not yet confirmed", "quiet")]
        minutes = far.minutes if view.walk is not None else view.round.minutes_planned
        right.append(Part(f"{minutes:.0f} of {view.round.minutes_there:.0f} min"))
        if far.musts:
            right.append(Part(many(far.musts, "must"), "must"))
        return TopLine((f"{day_words(view.day)}{part}",), tuple(air_forms(view.air)), tuple(right))

    def on_mount(self) -> None:
        self._show()

    def watch_view(self, view: RoundView | None) -> None:
        if view is not None and self.is_mounted:
            self._show()

    def on_resize(self) -> None:
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        view = self.view
        if view is None:
            return
        passes = [pass_laid.key for pass_laid in self._walk.passes if pass_laid.key != LATER]
        left = [key for key in passes if self._walk.left[key].done < self._walk.left[key].stops]
        if self._pass not in passes:
            self._pass = next(iter(left or passes), "")
        # Before its first layout it is made for the size that it will have, so that the first paint is whole.
        room = self.size or Size(self.app.size.width, max(self.app.size.height - FRAME_ROWS, 0))
        width = max((self._list.scrollable_content_region.width or self.pane_sizes(room).list_cells - 1) - 1, 10)
        first = not self._list.lines
        self._list.show(card_shown(view, self._walk, self._pass, width, room.height + FRAME_ROWS))
        if first or (self._list.line is not None and self._list.line.heading):
            self._list.cursor = next((n for n, line in enumerate(self._list.lines) if not line.heading), 0)
        self._side.show(
            self._beside(view, self._side.size.width or self.pane_sizes(room).side_cells - SIDE_EDGE_CELLS)
        )

    def _beside(self, view: RoundView, width: int) -> Content:
        """The week, the air and the wire's signs, where there is room beside the card."""
        lines = [Content.styled("The week, if each day is done", "bold"), Content("")]
        for day, minutes, bar, what in week_beside(view.week, max(width - 2, 0)):
            lines.append(Content.assemble(f"{day:<7}{minutes:>4} ", (f"{bar:<11}", "$string"), (what, "$quiet")))
        if not view.week:
            lines.append(Content("is being worked out"))
        if view.air:
            lines += [Content(""), Content.styled("Air", "bold"), plain(next(air_forms(view.air)))]
        lines += [Content(""), Content.styled("The wire", "bold"), *(Content(line) for line in THE_WIRE)]
        return Content("\n").join(lines)

    # Keys

    def action_walk(self) -> None:
        """Where the chosen line leads; a card just opened leads to the walk, whatever its first line is."""
        line, card_line = self._list.line, self._card_line
        if card_line is not None and self._list.chosen:
            self._go(card_line.goes)
        elif self._shows_week():
            return
        elif line is not None and line.key.startswith("pass "):
            self._go(line.key)
        else:
            self._go(f"pass {self._pass}")

    def _shows_week(self) -> bool:
        """Whether the cursor is on the week, whose days then open."""
        from tunneltui.pages.round import week_lines
        from tunneltui.screens.forms import ReadingPage

        if self.view is None or self._list.line is None or not self._list.line.key.startswith("week"):
            return False
        self.app.push_screen(ReadingPage("The week ahead", week_lines(self.view.round)))
        return True

    @property
    def _card_line(self) -> CardLine | None:
        """The line of the card under the cursor."""
        line, view = self._list.line, self.view
        if line is None or view is None:
            return None
        return next((card_line for card_line in view.card if card_line.key == line.key), None)

    def _pass_by(self, step: int) -> None:
        passes = [pass_laid.key for pass_laid in self._walk.passes if pass_laid.key != LATER]
        if self._pass in passes:
            self._pass = passes[max(0, min(passes.index(self._pass) + step, len(passes) - 1))]
            self._show()
            for number, line in enumerate(self._list.lines):
                if line.key in (f"pass {self._pass}", "walk"):
                    self._list.move_to(number)
                    break

    def action_card_before(self) -> None:
        self._pass_by(-1)

    def action_card_after(self) -> None:
        self._pass_by(1)

    def action_card_minutes(self) -> None:
        from tunneltui.screens import minutes_form

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self.post_message(minutes_form.plan_requested(values))

        self.app.push_screen(minutes_form.form(self.view.round if self.view else None), keep)

    def action_card_evening(self) -> None:
        evening = self.view is not None and self.view.round.part == "evening"
        self.post_message(PlanRequested(part="day" if evening else "evening"))

    def action_card_anew(self) -> None:
        self.post_message(PlanRequested())

    def action_away(self) -> None:
        from tunneltui.screens.away_page import ask_away

        ask_away(self.app, self.view, self._say)

    def _say(self, say: str) -> None:
        self.post_message(StatusText(say))

    def action_why(self) -> None:
        from tunneltui.screens.forms import ReadingPage

        card_line = self._card_line
        if self._shows_week() or card_line is None:
            return
        kind = (
            card_line.goes.removeprefix("chore ").partition(" ")[0] if card_line.goes.startswith("chore ") else ""
        )
        kind = {"pass pick": "pick", "pass overhead": "lower"}.get(card_line.goes, kind)
        same = [chore for chore in self._walk.chores.values() if chore.kind == kind]
        same = [chore for chore in same if chore.must] or same
        lines = [text for chore in same for text in ("", chore.proposal, chore.why, *chore.cautions)][1:]
        self.app.push_screen(
            ReadingPage(card_line.words[0], lines or [*card_line.words[:1], *card_line.beside[:1]])
        )


def air_forms(air: str) -> Iterator[str]:
    """The day's air, longest first."""
    if air:
        shown = localize(air).replace("degC", "°C").replace("degF", "°F")
        yield shown if "forecast" in shown else f"{shown} inside"
        yield shown.removesuffix(" forecast")
