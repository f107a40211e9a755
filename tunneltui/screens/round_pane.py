"""The morning: the card of the day, which opens it, and the walk. Each is a key away from the other."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Container
from textual.reactive import reactive

from tunneltui.screens.actions import Where
from tunneltui.screens.card_pane import CardPane
from tunneltui.screens.edges import Head
from tunneltui.screens.lines import Lines
from tunneltui.screens.messages import Act, HeadChanged
from tunneltui.screens.round_view import RoundView, State
from tunneltui.screens.walk_pane import NOT_YET as NOT_YET
from tunneltui.screens.walk_pane import WalkPane


class RoundPane(Container):
    """Shows one picture."""

    DEFAULT_CSS = """
    RoundPane > .away { display: none; }
    """

    picture: reactive[RoundView | None] = reactive(None)

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._card = CardPane(id="card")
        self._walk = WalkPane(id="walk-pane")
        self._card.add_class("away")
        self._opened = False

    def compose(self) -> ComposeResult:
        yield self._card
        yield self._walk

    def watch_picture(self, picture: RoundView | None) -> None:
        if picture is None or not self.is_mounted:
            return
        if not self._opened:
            self._opened = True
            if picture.card and not _begun(picture):
                self.show("card")
        self._card.picture = picture
        self._walk.picture = picture

    # Card and walk

    @property
    def shown(self) -> Where:
        return "round" if self._card.has_class("away") else "card"

    def show(self, which: Where) -> None:
        self._card.set_class(which != "card", "away")
        self._walk.set_class(which == "card", "away")
        self.list.focus()
        self.post_message(HeadChanged())

    def turn(self) -> None:
        """The card, and back to the walk."""
        picture = self.picture
        self.show("round" if self.shown == "card" or picture is None or not picture.card else "card")

    @property
    def list(self) -> Lines:
        """What has the focus."""
        return self._card.list if self.shown == "card" else self._walk.walk

    @property
    def walk(self) -> WalkPane:
        return self._walk

    @on(CardPane.Goes)
    def _goes(self, event: CardPane.Goes) -> None:
        what, _, to = event.to.partition(" ")
        if what == "screen":
            self.app.call_later(self.app.run_action, f"go_to('{to}')")
            return
        self.show("round")
        if what == "pass":
            self._walk.show_pass(to)
        elif what == "chore":
            self._walk.go_to_chore(to)
        self.post_message(HeadChanged())

    # For the app

    @property
    def head(self) -> Head:
        return self._card.head if self.shown == "card" else self._walk.head

    @property
    def place(self) -> str:
        """The place under the cursor; '' where that is none."""
        return "" if self.shown == "card" else self._walk.place

    @property
    def takes_figures(self) -> bool:
        return self.shown == "round" and self._walk.takes_figures

    def go_to_chore(self, chore: str) -> bool:
        """To the line of a chore; False where it is not on the walk."""
        if not self._walk.go_to_chore(chore):
            return False
        self.show("round")
        return True

    def go_to_place(self, place: str) -> bool:
        if not self._walk.go_to_place(place):
            return False
        self.show("round")
        return True

    def mark(self, act: Act, state: State) -> None:
        self._walk.mark(act, state)


def _begun(picture: RoundView) -> bool:
    """Whether anything was ticked this morning."""
    return any(state in ("done", "partly") for state in picture.states.values())
