"""Air and water: what care asks of a tunnel, its water, its fortnight of air; readings noted by key."""

from __future__ import annotations

from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Static
from textual.worker import get_current_worker

from tunneltui.care.degree_days import Method
from tunneltui.care.fortnight import USUALLY, Counted
from tunneltui.cells import Sentence, inked
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.pages import page as pages
from tunneltui.pages.air import METHOD_WORDS, TODAY
from tunneltui.pages.text import beside, plain_text
from tunneltui.pages.tunnel import CARE_KINDS, TunnelAir, curve, curve_words, tunnel_air, tunnel_page
from tunneltui.pages.units import axis, in_force, localize
from tunneltui.screens import acts, care_forms
from tunneltui.screens.drawing import Drawing
from tunneltui.screens.forms import ReadingPage
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.list_and_detail import ListAndDetail
from tunneltui.screens.messages import ActRequested, StatusText
from tunneltui.screens.round_view import RoundView, State
from tunneltui.screens.text import READER, plain

METHODS: tuple[Method, ...] = ("sine", "triangle", "quarter", "clamped", "simple")
MARKS: dict[State, str] = {
    "": "",
    "writing": "… writing",
    "done": "✓ done",
    "partly": "½ partly",
    "put off": "» put off",
    "no longer": "- no need",
}
"""A shape and a word for every state, so that none rests on colour."""
NO_TUNNEL = "No tunnel stands yet: `tunneltui new` sets one up."


class AirPane(ListAndDetail):
    """One tunnel at a time; worked out by a worker, because sums go back to planting."""

    TITLE = "Air"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("air")
    DEFAULT_CSS = """
    #air-curve { height: 1fr; min-height: 5; }
    .-wide #air-curve { height: 14; }
    #air-words { height: auto; max-height: 4; padding: 0 1; }
    .-wide #air-words { max-height: 100%; }
    """
    SCOPED_CSS = False
    """``-wide`` is a class of the screen."""

    REASON_ROWS = 9
    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class AirReady(Message):
        """A tunnel's air for one morning."""

        def __init__(self, morning: Morning, air: TunnelAir) -> None:
            self.morning = morning
            self.tunnel_air = air
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._lines = Lines(id="air-lines")
        self._curve = Drawing(id="air-curve")
        self._words = Static("", id="air-words")
        self._at = 0
        """Number of the tunnel that is shown."""
        self._method: Method = USUALLY.method
        self._shown: tuple[Morning, TunnelAir] | None = None
        self._page: pages.Page | None = None

    def compose(self) -> ComposeResult:
        yield self._lines
        yield Container(self._curve, self._words, classes="detail", id="air-side")

    def watch_view(self) -> None:
        """A pane nobody looks at lets it be."""
        if self.is_mounted and self.display:
            self._work()

    def on_show(self) -> None:
        self._work()

    # Working out

    @property
    def _morning(self) -> Morning | None:
        return self.view.morning if self.view is not None else None

    def _work(self) -> None:
        morning = self._morning
        if morning is None:
            self.set_head_words("Air and water are still being worked out.")
            return
        tunnels = morning.season.holding.tunnels
        if not tunnels:
            self.set_head_words("Air and water")
            self._words.update(plain(NO_TUNNEL))
            self._lines.show([])
            return
        self._at %= len(tunnels)
        if self._shown is not None and self._shown[0] is morning and self._is_shown(self._shown[1]):
            self._show()
            return
        self.set_head_words(f"{tunnels[self._at].name}: working it out…")
        self._work_out(morning, self._at, self._method)

    def _is_shown(self, air: TunnelAir) -> bool:
        morning = self._morning
        return (
            morning is not None
            and air.tunnel is morning.season.holding.tunnels[self._at]
            and air.air.counted.method == self._method
        )

    @work(thread=True, exclusive=True, group="air", exit_on_error=False, description="Air and water")
    def _work_out(self, morning: Morning, at: int, method: Method) -> None:
        worker = get_current_worker()
        message = self.AirReady(morning, tunnel_air(morning, morning.season.holding.tunnels[at], Counted(method)))
        if not worker.is_cancelled:
            self.post_message(message)

    @on(AirReady)
    def _worked_out(self, event: AirReady) -> None:
        if event.morning is self._morning and self._is_shown(event.tunnel_air):
            before = self._shown[1].tunnel.key if self._shown is not None else ""
            self._shown = (event.morning, event.tunnel_air)
            if before != event.tunnel_air.tunnel.key:
                self._lines.move_to(0)
            self._show()

    def _show(self) -> None:
        if self._shown is None or self.view is None:
            return
        air = self._shown[1]
        more = "  w: next tunnel" if len(self._shown[0].season.holding.tunnels) > 1 else ""
        self.set_head_words(f"{air.tunnel.name or air.tunnel.key}: air and water{more}")
        self._page = tunnel_page(air, self.view.day, self._ticked(air), self._mark_of)
        self._lines.show_page(self._page)
        line = self._lines.line
        if line is not None and line.heading:
            self._lines.move_to(self._lines.cursor + 1)
        self._draw()

    @on(Lines.Moved)
    @on(Drawing.Resized)
    def _draw(self) -> None:
        if self._shown is None or self.view is None:
            return
        air, line = self._shown[1], self._lines.line
        words = beside(self._page, line.key if line is not None else TODAY, in_force()) if self._page else []
        if self.app.has_class(READER):
            words = [*map(localize, curve_words(air, self.view.day)), *words]
        self._words.update(plain("\n".join(words)))
        size = self._curve.size
        self._curve.show(curve(air, size.width, size.height, axis("degC")))

    def _ticked(self, air: TunnelAir) -> list[Chore]:
        """Chores of this morning's walk that care asked for and that are done by now."""
        view = self.view
        if view is None:
            return []
        open_ids = {chore.id for chore in air.chores}
        mine = {air.tunnel.key, *(row.row for row in air.rows)}
        return [
            chore
            for chore in (*view.planned(), *view.round.later)
            if chore.kind in CARE_KINDS and chore.id not in open_ids and chore.about.split()[0] in mine
        ]

    def _mark_of(self, chore: Chore) -> Sentence:
        state = self.view.states.get(chore.id, "") if self.view is not None else ""
        if state:
            return inked("done", MARKS[state])
        return inked("must", "! must") if chore.must else Sentence()

    # Keys

    def action_tunnel(self) -> None:
        self._at += 1
        self._work()

    def action_method(self) -> None:
        self._method = METHODS[(METHODS.index(self._method) + 1) % len(METHODS)]
        self.post_message(StatusText(f"Degree days by {METHOD_WORDS[self._method]}."))
        self._work()

    def action_more(self) -> None:
        if self._shown is not None and self.view is not None:
            air = self._shown[1]
            page = tunnel_page(air, self.view.day, (), lambda _: "")
            self.app.push_screen(
                ReadingPage(page.title, plain_text(page, in_force()).splitlines()[1:], as_typed=True)
            )

    def action_done(self) -> None:
        line = self._lines.line
        if self._shown is None or self.view is None or line is None:
            return
        chore = next((tunnel_chore for tunnel_chore in self._shown[1].chores if tunnel_chore.id == line.key), None)
        if chore is None or not self.view.is_open(chore):
            self.post_message(StatusText("Go to something asked today that is still to do."))
        else:
            self.post_message(ActRequested(acts.done([chore])))

    def _ask(self, form: care_forms.EntryForm) -> None:
        """Opens a form about the tunnel shown and writes what it gives."""
        view = self.view
        if self._shown is None or view is None:
            return

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self.post_message(ActRequested(form.act(values)))

        self.app.push_screen(form.form(), keep)

    def action_air(self) -> None:
        if self._shown is not None and self.view is not None:
            self._ask(care_forms.air_by_hand(self._shown[1].tunnel.key, self.view.day))

    def action_issued(self) -> None:
        if self.view is not None:
            self._ask(care_forms.weather_issued(self.view.day))

    def action_watered(self) -> None:
        if self._shown is not None:
            self._ask(care_forms.watered(self._abouts()))

    def action_fed(self) -> None:
        if self._shown is not None:
            self._ask(care_forms.fed(self._shown[1].tunnel.key))

    def action_bucket(self) -> None:
        if self._shown is not None:
            self._ask(care_forms.bucket_tested(self._abouts()))

    def action_dressed(self) -> None:
        if self._shown is None:
            return
        tunnel = self._shown[1].tunnel
        if tunnel.beds:
            self._ask(care_forms.dressed(tunnel.key, [bed.key for bed in tunnel.beds]))
        else:
            self.post_message(StatusText("No bed of this tunnel is in the holding: `tunneltui holding edit`."))

    def action_seen(self) -> None:
        if self._shown is not None:
            self._ask(care_forms.scouted(self._abouts()))

    def action_covers(self) -> None:
        if self._shown is None or self._morning is None:
            return
        key = self._shown[1].tunnel.key
        self.app.push_screen(care_forms.covers(self._morning.season, key), self._covered)

    def _covered(self, answers: tuple[care_forms.Answer, ...] | None) -> None:
        if answers is not None and self._shown is not None:
            self.post_message(ActRequested(care_forms.covered(self._shown[1].tunnel.key, answers[0].value)))

    def _abouts(self) -> tuple[str, ...]:
        """What an entry may be about: the row under the cursor first, then the tunnel and its other rows."""
        if self._shown is None:
            return ()
        air, line = self._shown[1], self._lines.line
        rows = [row.row for row in air.rows]
        named = line.parts[0].text.strip() if line is not None else ""
        first = [named] if named in rows else [air.tunnel.key]
        return tuple(dict.fromkeys([*first, air.tunnel.key, *rows]))
