"""The morning: the card of the day, which opens it, and the walk. Each is a key away from the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Container
from textual.reactive import reactive

from tunneltui.screens.actions import Where
from tunneltui.screens.card_pane import CardPane
from tunneltui.screens.edges import TopLine
from tunneltui.screens.lines import Lines
from tunneltui.screens.messages import Act, HeadChanged
from tunneltui.screens.round_view import RoundView, State

if TYPE_CHECKING:
    from tunneltui.screens.walk_pane import WalkPane


class RoundPane(Container):
    """Shows one view. The side that it opens with is there for the first paint, the other is made after it."""

    DEFAULT_CSS = """
    RoundPane > .away { display: none; }
    """

    view: reactive[RoundView | None] = reactive(None, repaint=False)

    def __init__(self, opens: Where = "round", *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._shown = opens
        self._made_card: CardPane | None = None
        self._made_walk: WalkPane | None = None
        self._opened = False

    def compose(self) -> ComposeResult:
        yield self._card if self._shown == "card" else self.walk

    def make_ready(self) -> None:
        """Makes the side that is not shown."""
        _ = self._card, self.walk

    @property
    def _card(self) -> CardPane:
        if self._made_card is None:
            self._made_card = CardPane(self._go, id="card")
            self._add(self._made_card, "card")
        return self._made_card

    @property
    def walk(self) -> WalkPane:
        if self._made_walk is None:
            from tunneltui.screens.walk_pane import WalkPane

            self._made_walk = WalkPane(id="walk-pane")
            self._add(self._made_walk, "round")
        return self._made_walk

    def _add(self, side: CardPane | WalkPane, name: Where) -> None:
        side.set_class(self._shown != name, "away")
        side.view = self.view
        if self.is_mounted:
            self.mount(side)

    def watch_view(self, view: RoundView | None) -> None:
        if view is None or not self.is_mounted:
            return
        if not self._opened:
            self._opened = True
            if opens_with(view) != self._shown:
                self.show(opens_with(view))
        if self._made_card is not None:
            self._made_card.view = view
        if self._made_walk is not None:
            self._made_walk.view = view

    # Card and walk

    @property
    def shown(self) -> Where:
        return self._shown

    def show(self, which: Where) -> None:
        self._shown = which
        self.make_ready()
        self._card.set_class(which != "card", "away")
        self.walk.set_class(which == "card", "away")
        self.screen.set_focus(self.list)
        self.post_message(HeadChanged())

    def turn(self) -> None:
        """The card, and back to the walk."""
        view = self.view
        self.show("round" if self.shown == "card" or view is None or not view.card else "card")

    @property
    def list(self) -> Lines:
        """What has the focus."""
        return self._card.list if self.shown == "card" else self.walk.walk

    def _go(self, where: str) -> None:
        what, _, to = where.partition(" ")
        if what == "screen":
            self.app.call_later(self.app.run_action, f"go_to('{to}')")
            return
        self.show("round")
        if what == "pass":
            self.walk.show_pass(to)
        elif what == "chore":
            self.walk.go_to_chore(to)
        self.post_message(HeadChanged())

    # For the app

    @property
    def head(self) -> TopLine:
        return self._card.head if self.shown == "card" else self.walk.head

    @property
    def place(self) -> str:
        """The place under the cursor; '' where that is none."""
        return "" if self.shown == "card" else self.walk.place

    @property
    def takes_figures(self) -> bool:
        return self.shown == "round" and self.walk.takes_figures

    def go_to_chore(self, chore: str) -> bool:
        """To the line of a chore; False where it is not on the walk."""
        if not self.walk.go_to_chore(chore):
            return False
        self.show("round")
        return True

    def go_to_place(self, place: str) -> bool:
        if not self.walk.go_to_place(place):
            return False
        self.show("round")
        return True

    def mark(self, act: Act, state: State) -> None:
        self.walk.mark(act, state)


def opens_with(view: RoundView | None) -> Where:
    """The card until anything was ticked this morning."""
    if view is None or not view.card:
        return "round"
    return "round" if any(state in ("done", "partly") for state in view.states.values()) else "card"
