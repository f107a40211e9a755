"""The season: what came off, how it compares, what it cost and what failed; any span, any grouping."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Static
from textual.worker import get_current_worker

from tunneltui.cells import IMPERIAL, METRIC, capital, scale
from tunneltui.chores.morning import Morning
from tunneltui.draw.chart import AxisUnit, season_chart
from tunneltui.growth.backtest import Backtests, backtest
from tunneltui.holding.user_error import UserError
from tunneltui.pages import units
from tunneltui.pages.entry_search import DAYS_HINT, span
from tunneltui.pages.page import Page
from tunneltui.pages.season import season_page
from tunneltui.pages.text import beside, reader_lines
from tunneltui.review.fair_units import What
from tunneltui.review.look_back import LookBack, look_back
from tunneltui.review.record import record
from tunneltui.review.seasons import latest_season, season_years
from tunneltui.review.yields import By
from tunneltui.screens.drawing import Drawing
from tunneltui.screens.forms import Field, Fields, ReadingPage
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.list_and_detail import ListAndDetail
from tunneltui.screens.messages import StatusText
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import plain
from tunneltui.season.growing_year import GrowingYear
from tunneltui.values import replace

ROOMY_ROWS = 14
"""Rows beside the list from which words and curves both find room."""
GROUPS: tuple[By, ...] = ("cultivar", "row", "bed", "tunnel", "place")
COMPARED: tuple[What, ...] = ("cultivar", "row", "training", "season")
CURVES = frozenset({"seasons", "weeks"})
"""Sections beside whose lines, as beside every heading, the curves are drawn where one thing only finds room."""
READING = "The season is still being worked out."


@dataclass(frozen=True, slots=True)
class LookBackRequest:
    """What of the journal is looked back at; Nones ask for everything that was noted."""

    since: date | None
    until: date | None
    by: By = "cultivar"
    compare: What = "cultivar"


def season_before(
    years: list[int], growing: GrowingYear, request: LookBackRequest, last: int
) -> tuple[date | None, date | None]:
    """The span after a press of the key: the season before, past the first one everything, then the last again."""
    if request.since is None and request.until is None:
        return growing.span(last)
    earlier = [year for year in years if request.since is not None and year < growing.of(request.since)]
    return growing.span(max(earlier)) if earlier else (None, None)


class SeasonPane(ListAndDetail):
    """Looks back over the whole journal in a worker, and only while it is shown."""

    TITLE = "Season"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("season")
    DEFAULT_CSS = """
    #season-words { height: auto; max-height: 60%; }
    """

    REASON_ROWS = 8
    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class LookedBack(Message):
        """What a worker found for one morning and one question."""

        def __init__(self, morning: Morning, request: LookBackRequest, back: LookBack) -> None:
            self.morning = morning
            self.request = request
            self.back = back
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._lines = Lines(id="season-lines", as_typed=True)
        self._curves = Drawing(id="season-curves")
        self._words = Static("", id="season-words")
        self._side = Container(self._words, self._curves, classes="detail", id="season-side")
        self._units = units.in_force()
        self._request: LookBackRequest | None = None
        """None: the last season."""
        self._looked_at: tuple[Morning, LookBackRequest | None] | None = None
        self._held: tuple[Morning, Backtests] | None = None
        self._back: tuple[Morning, LookBack] | None = None
        self._page: Page | None = None

    def compose(self) -> ComposeResult:
        yield self._lines
        yield self._side

    def watch_view(self) -> None:
        self._look()

    def on_show(self) -> None:
        self._look()

    # Looking back

    @property
    def _morning(self) -> Morning | None:
        return self.view.morning if self.view is not None else None

    def _look(self) -> None:
        if not self.is_mounted or not self.display:
            return
        morning = self._morning
        if morning is None:
            self.set_head_words(READING)
        elif self._looked_at != (morning, self._request):
            self._looked_at = morning, self._request
            self.set_head_words("Looking back, and at what was foreseen against what came…")
            self._look_back(morning, self._request)

    @work(thread=True, exclusive=True, group="season", exit_on_error=False, description="Looking back")
    def _look_back(self, morning: Morning, request: LookBackRequest | None) -> None:
        worker = get_current_worker()
        written = record(morning.entries, morning.season)
        if request is None:
            request = LookBackRequest(*written.growing_year.span(latest_season(written, morning.day)))
        held = self._held
        if held is None or held[0] is not morning:
            # What was foreseen and what came does not depend on the question: worked out once a morning.
            self._held = held = morning, backtest(morning.entries, morning.day, morning.season)
        back = look_back(
            morning.entries,
            morning.season,
            request.by,
            request.since,
            request.until,
            written=written,
            coming=morning.outlook,
            held=held[1],
            bearing=morning.loads,
            compare=request.compare,
        )
        if not worker.is_cancelled:
            self.post_message(self.LookedBack(morning, request, back))

    @on(LookedBack)
    def _show(self, event: LookedBack) -> None:
        if event.morning is not self._morning:
            return
        self._request = event.request
        self._looked_at = event.morning, event.request
        self._back = event.morning, event.back
        self._list()

    def _list(self) -> None:
        if self._back is None or self._request is None:
            return
        self._page = season_page(self._back[1])
        self.set_head_words(capital(self._page.title))
        self._lines.show_page(self._page, self._units)
        self._show_detail()

    @on(Lines.Moved)
    @on(Drawing.Resized)
    def _show_detail(self) -> None:
        line = self._lines.line
        if line is None or self._back is None or self._page is None:
            return
        section, item = self._page.find(line.key)
        has_words = item is not None and section.key not in CURVES
        roomy = self._side.size.height >= ROOMY_ROWS
        self._words.display = roomy or has_words
        self._curves.display = roomy or not has_words
        self._words.update(plain("\n".join(beside(self._page, line.key, self._units, self._lines.size.width))))
        size, mass = self._curves.size, scale("kg", self._units)
        curves = {
            year: {week: kg * mass.times for week, kg in curve.items()}
            for year, curve in self._back[1].curves.items()
        }
        growing = self._back[1].record.growing_year
        self._curves.show(season_chart(size.width, size.height, curves, growing, unit=AxisUnit(mass.name)))

    # Asking

    def _ask(self, request: LookBackRequest) -> None:
        self._request = request
        self._look()

    def _current_request(self) -> LookBackRequest | None:
        """What is shown now; says so where nothing is yet."""
        if self._back is None or self._request is None:
            self.post_message(StatusText(READING))
            return None
        return self._request

    def action_group(self) -> None:
        if (request := self._current_request()) is not None:
            self._ask(replace(request, by=GROUPS[(GROUPS.index(request.by) + 1) % len(GROUPS)]))

    def action_compare(self) -> None:
        if (request := self._current_request()) is not None:
            after = COMPARED[(COMPARED.index(request.compare) + 1) % len(COMPARED)]
            self._ask(replace(request, compare=after))
            self._lines.move_to_key("section compared")

    def action_season_before(self) -> None:
        request, back = self._current_request(), self._back
        if request is not None and back is not None:
            written = back[1].record
            last = latest_season(written, back[1].day)
            since, until = season_before(season_years(written), written.growing_year, request, last)
            self._ask(replace(request, since=since, until=until))

    def action_days(self) -> None:
        request = self._current_request()
        if request is None:
            return

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                since, until = span(values["days"]) if values["days"] else (None, None)
                self._ask(replace(request, since=since, until=until))

        fields = [Field("days", "Days", "", f"{DAYS_HINT}; nothing: everything noted")]
        self.app.push_screen(Fields("Which days?", fields, _fault), keep)

    def action_units(self) -> None:
        self._units = METRIC if self._units.imperial else IMPERIAL
        self._list()

    def action_more(self) -> None:
        if self._current_request() is not None and self._page is not None:
            whole = reader_lines(self._page, self._units)
            self.app.push_screen(ReadingPage(capital(self._page.title), whole[1:], as_typed=True))


def _fault(values: Mapping[str, str]) -> str:
    try:
        if values["days"]:
            span(values["days"])
    except UserError as trouble:
        return str(trouble)
    return ""
