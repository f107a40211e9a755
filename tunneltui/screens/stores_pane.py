"""The stores: what there is of clips, twine, hooks and fleece, and what the season still asks for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Static
from textual.worker import get_current_worker

from tunneltui.care.stores import Store
from tunneltui.cells import say
from tunneltui.chores.morning import Morning
from tunneltui.growth.season_end import SeasonEnd, season_end
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.check import checked_body
from tunneltui.journal.entry import Draft
from tunneltui.pages import page as pages
from tunneltui.pages.prompts import COUNTED, EXPECTED
from tunneltui.pages.stores import COUNTED_IN, store_of, stores_page
from tunneltui.pages.text import beside
from tunneltui.pages.units import in_force, localize
from tunneltui.screens.forms import Field, Fields, ReadingPage
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.list_and_detail import ListAndDetail
from tunneltui.screens.messages import Act, ActRequested, StatusText
from tunneltui.screens.numbers import NotANumber, number
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import plain

MOST = 1_000_000
ITEMS = "clip, twine, hook, fleece, seed, feed"


class StoresPane(ListAndDetail):
    """Things by kind; what is wanted to the season's end is worked out by a worker, with the growth till then."""

    TITLE = "Stores"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("stores")

    REASON_ROWS = 6
    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class StoresReady(Message):
        """The season's end of one morning."""

        def __init__(self, morning: Morning, end: SeasonEnd | None) -> None:
            self.morning = morning
            self.end = end
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._lines = Lines(id="stores-lines")
        self._words = Static("", id="stores-words")
        self._end: tuple[Morning, SeasonEnd | None] | None = None
        self._page: pages.Page | None = None

    def compose(self) -> ComposeResult:
        yield self._lines
        yield Container(self._words, classes="detail", id="stores-side")

    def watch_view(self) -> None:
        """A pane nobody looks at lets it be."""
        if self.is_mounted and self.display:
            self._work()

    def on_show(self) -> None:
        self._work()

    @property
    def _morning(self) -> Morning | None:
        return self.view.morning if self.view is not None else None

    def _work(self) -> None:
        morning = self._morning
        if morning is None:
            self.set_head_words("The stores are still being counted.")
        elif self._end is not None and self._end[0] is morning:
            self._show()
        else:
            self.set_head_words("counting…")
            self._work_out(morning)

    @work(thread=True, exclusive=True, group="stores", exit_on_error=False, description="Counting the stores")
    def _work_out(self, morning: Morning) -> None:
        worker = get_current_worker()
        message = self.StoresReady(morning, season_end(morning.season))
        if not worker.is_cancelled:
            self.post_message(message)

    @on(StoresReady)
    def _worked_out(self, event: StoresReady) -> None:
        if event.morning is self._morning:
            self._end = (event.morning, event.end)
            self._show()

    def _show(self) -> None:
        if self._end is None:
            return
        morning, end = self._end
        self.set_head_words("what there is, and what the season still asks for")
        self._page = stores_page(morning.season, end)
        self._lines.show_page(self._page)
        line = self._lines.line
        if line is not None and line.heading:
            self._lines.move_to(self._lines.cursor + 1)
        self._draw()

    @on(Lines.Moved)
    def _draw(self) -> None:
        if self._end is not None:
            self._words.update(plain("\n".join(self._side())))

    def _side(self) -> list[str]:
        line = self._lines.line
        if self._page is None or line is None:
            return []
        return beside(self._page, line.key, in_force(), self._lines.size.width)

    def action_more(self) -> None:
        self.app.push_screen(ReadingPage("Stores", self._side(), as_typed=True))

    # Counting

    def _store(self) -> Store | None:
        line = self._lines.line
        if self._end is None or line is None:
            return None
        store = store_of(self._end[0].season, line.key)
        if store is None:
            self.post_message(StatusText("Go to a kind of thing first; n notes a new one."))
        return store

    def _ask(self, store: Store, title: str, words: str, change: Callable[[float], float]) -> None:
        """One figure; ``change`` is what it means for the count."""

        def kept(values: Mapping[str, str]) -> Draft:
            count = change(number(values["count"], 0, MOST, words))
            if not count:
                raise NotANumber("That changes nothing.")
            return _draft(store.item, store.kind, count)

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                thing = f"{store.item} {store.kind}".strip()
                self.post_message(ActRequested(Act((kept(values),), f"Noted: {thing}, {title}")))

        fields = [Field("count", words, "", COUNTED_IN.get(store.item, f"{store.item}s"))]
        self.app.push_screen(Fields(f"{store.item} {store.kind}: {title}", fields, _fault_of(kept)), keep)

    def action_bought(self) -> None:
        if (store := self._store()) is not None:
            self._ask(store, "brought in", "How many came in", lambda count: count)

    def action_left(self) -> None:
        if (store := self._store()) is not None:
            self._ask(store, "thrown out", "How many left for good", lambda count: -count)

    def action_counted(self) -> None:
        if (store := self._store()) is not None:
            title = COUNTED if store.known_stock is None else say(EXPECTED, f"{store.known_stock:g}")
            self._ask(store, title, "How many are in store", lambda count: count - store.in_store)

    def action_other(self) -> None:
        if self._end is None:
            return
        fields = [
            Field("item", "Thing", "clip", ITEMS),
            Field("kind", "Kind", "", "as your holding or the packet calls it"),
            Field("count", "How many"),
        ]

        def kept(values: Mapping[str, str]) -> Draft:
            return _draft(
                values["item"].strip(), values["kind"].strip(), number(values["count"], 0, MOST, "How many")
            )

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self.post_message(ActRequested(Act((kept(values),), f"Noted: {values['item']} {values['kind']}")))

        self.app.push_screen(Fields("A thing that is not in the list yet", fields, _fault_of(kept)), keep)


def _draft(item: str, kind: str, count: float) -> Draft:
    return draft("", checked_body("stocked", {"item": item, "item_kind": kind, "count": count}, text=True))


def _fault_of(kept: Callable[[Mapping[str, str]], Draft]) -> Callable[[Mapping[str, str]], str]:
    def fault(values: Mapping[str, str]) -> str:
        try:
            kept(values)
        except NotANumber as not_one:
            return str(not_one)
        except UserError as trouble:
            return localize(trouble.problem).replace("\n", " ")
        return ""

    return fault
