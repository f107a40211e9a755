"""The app: one screen, its panes, one pen that writes and one worker that plans."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, cast, runtime_checkable

from textual import events, on, work
from textual.app import ComposeResult, SystemCommand
from textual.binding import Binding, BindingType
from textual.reactive import reactive
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import ContentSwitcher, Static

from tunneltui.cells import say
from tunneltui.pages.prompts import NOTHING_TO_DO, STILL_READ, TOO_SMALL
from tunneltui.pages.units import localize
from tunneltui.screens import actions
from tunneltui.screens.edges import HeaderLine, KeysLine, TopLine
from tunneltui.screens.incremental_planner import Planner
from tunneltui.screens.journal_client import JournalClient
from tunneltui.screens.layout import FEW_ROWS, LEAST, SIDE_FROM
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.messages import (
    ActFailed,
    ActRequested,
    ActWritten,
    HeadChanged,
    MorningPlanned,
    OthersWrote,
    PlanningFailed,
    PlanRequested,
    ServerAway,
    StatusText,
    WalkRequested,
)
from tunneltui.screens.panes import pane_kind
from tunneltui.screens.plan_scheduler import PlanScheduler
from tunneltui.screens.round_pane import RoundPane, opens_with
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import one_line, plain
from tunneltui.screens.themed_app import Looks, ThemedApp
from tunneltui.screens.themes import THEMES
from tunneltui.screens.wire_line import WireOnScreen

if TYPE_CHECKING:
    from tunneltui.holding.user_error import UserError
    from tunneltui.screens.forms import ReadingPage
    from tunneltui.screens.keymap import CheckedKeys

WAITS = frozenset(
    {
        "done",
        "changes",
        "failed",
        "put_off",
        "common",
        "pick",
        "amounts",
        "accident",
        "measure",
        "note",
        "put_right",
    }
    | {"lower"}
)
"""Actions of the walk that write or ask for what is then written: until the journal is read they wait."""
EVERYWHERE = frozenset(action.called.partition("(")[0] for action in actions.of("everywhere"))
AWAY_MEANWHILE = (
    "The round stays on the screen and the server is sought every few seconds. What cannot be written says so; "
    "nothing is ever written twice."
)
MOST_FOUND = 500
"""Chores that the palette looks through."""


@runtime_checkable
class HasHead(Protocol):
    """A pane that says where it is."""

    @property
    def head(self) -> TopLine: ...


@runtime_checkable
class HasPlaces(Protocol):
    """A pane whose lines or stems stand at places of the wire."""

    @property
    def place(self) -> str:
        """The place under its cursor; '' where that is none."""

    def go_to_place(self, place: str) -> bool:
        """Moves the cursor there; False where nothing of it is shown there."""


class TunnelApp(ThemedApp[None]):
    """The morning round of one journal on one day."""

    ENABLE_COMMAND_PALETTE = True
    AUTO_FOCUS = "#card-lines, #walk"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings_of("everywhere"),
        Binding("ctrl+q", "leave", show=False, priority=True),
    ]
    HORIZONTAL_BREAKPOINTS = [(0, "-tiny"), (LEAST[0], "-narrow"), (SIDE_FROM, "-wide")]  # noqa: RUF012  (Textual's own declaration)
    VERTICAL_BREAKPOINTS = [(0, "-flat"), (LEAST[1], "-low"), (FEW_ROWS, "-high")]  # noqa: RUF012

    view: reactive[RoundView | None] = reactive(None, repaint=False)

    def __init__(
        self,
        client: JournalClient,
        *,
        on: date | None = None,
        first: RoundView | None = None,
        cache_folder: Path | None = None,
        planner: Planner | None = None,
        theme: str = "evening",
        no_colour: bool = False,
        ascii_only: bool = False,
        reader: bool = False,
        keys: CheckedKeys | None = None,
        back_up: Callable[[], str] | None = None,
        watch: Callable[[Callable[[UserError | None], None]], None] | None = None,
    ) -> None:
        super().__init__(Looks(theme, no_colour, ascii_only, reader))
        self._scheduler = PlanScheduler(self, client, on=on, planner=planner, cache_folder=cache_folder)
        self._first = first
        self._back_up = back_up
        self._watch = watch
        self._written: list[tuple[str, str]] = []
        self._away: ReadingPage | None = None
        self._held: list[tuple[str, str | None]] = []
        """Keys that wait until the journal is read, in the order typed."""
        self._table = keys.actions if keys is not None else actions.ALL
        self._key_faults = keys.faults if keys is not None else ()
        # Kept by name: while a form is open, the app's own look-ups see the form only.
        self._header = HeaderLine(id="header")
        self._wire = WireOnScreen(id="wire")
        self._round = RoundPane(opens_with(first), id="round")
        self._round.add_class("pane")
        self._panes = ContentSwitcher(self._round, initial="round", id="panes")
        self._status = Static("", id="status")
        shown = (*actions.of("round", self._table), *actions.of("everywhere", self._table))
        self._keys_line = KeysLine(shown, id="keys-line")

    def compose(self) -> ComposeResult:
        yield Static(say(TOO_SMALL, *LEAST), id="too-small", markup=False)
        yield self._header
        yield self._wire
        yield self._panes
        yield self._status
        yield self._keys_line

    def on_mount(self) -> None:
        if self._table != actions.ALL:
            from tunneltui.screens.keymap import textual_keys

            self.set_keymap(textual_keys(self._table))
        self.view = self._first
        if self._key_faults:
            self._say("Settings: " + " ".join(self._key_faults), trouble=True)
        elif self._first is None:
            self._say("Reading the journal and working out today's round…")
        self.read_aloud()
        self._scheduler.open(self._first)

    def on_ready(self) -> None:
        """What was kept is painted; from here on the plan may have the processor."""
        self._scheduler.plan()
        self.call_after_refresh(self._make_ready)
        if self._watch is not None:
            self._watch(self._news)

    def _make_ready(self) -> None:
        self._round.make_ready()
        self._follow(self._round.walk.walk)
        self._show_head()

    def _follow(self, lines: Lines) -> None:
        """The header and the wire go with the cursor in one paint: what a message brings comes a frame later."""
        self.watch(lines, "cursor", self._show_head, init=False)

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.Key) and self._must_wait(event.key):
            self._held.append((event.key, event.character))
            self._say("The journal is being read; that key is done as soon as it is.")
            return
        await super().on_event(event)

    def _must_wait(self, key: str) -> bool:
        """A key that writes, and all keys after it, wait until the screen shows the journal as it is."""
        view = self.view
        if (view is not None and view.confirmed) or self._pane != "round" or self.screen.is_modal:
            return False
        if key in ("ctrl+q", "ctrl+c", "q", "question_mark"):
            return False
        writes = {
            key for waiting in actions.of("round", self._table) if waiting.id in WAITS for key in waiting.keys
        }
        return bool(self._held) or view is None or (self._round.shown == "round" and key in writes)

    def _let_go(self) -> None:
        held, self._held = self._held, []
        for key, character in held:
            event = events.Key(key, character)
            event.set_sender(self)
            self.post_message(event)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002
        """Keys that hold everywhere hold in no form: there a letter is a letter."""
        modal = bool(self.screen_stack) and self.screen.is_modal
        if action == "go" and not modal and self._pane == "round" and self._round.takes_figures:
            # A digit is a weight here; the function keys lead elsewhere all the same.
            return False
        return not (action in EVERYWHERE and modal)

    # What is shown

    def watch_view(self, view: RoundView | None) -> None:
        if view is not None:
            self._round.view = view
            if self._pane != "round":
                self._shown_pane.view = view  # type: ignore[attr-defined]
            if view.walk is not None:
                self._wire.show(view.walk.wire)
            self._show_head()

    @property
    def _pane(self) -> actions.Where:
        """Name of the pane that is shown."""
        return cast("actions.Where", self._panes.current or "round")

    @property
    def _shown_pane(self) -> Widget:
        return self._round if self._pane == "round" else self._panes.query_one(f"#{self._pane}")

    async def action_go(self, name: str) -> None:
        """Shows a pane, made on its first visit; on the round itself its other side."""
        if name == self._pane == "round":
            self._round.turn()
            return
        await self._open_pane(name)

    async def action_go_to(self, name: str) -> None:
        """The same by a key that is no digit."""
        await self.action_go(name)

    async def _open_pane(self, name: str) -> None:
        panes = self._panes
        if not panes.query(f"#{name}"):
            kind = await asyncio.to_thread(pane_kind, name)
            await panes.mount(new_pane := kind(id=name).add_class("pane"))
            for lines in new_pane.query(Lines):
                self._follow(lines)
        pane = panes.query_one(f"#{name}")
        pane.view = self.view  # type: ignore[attr-defined]
        panes.current = name
        if self._wire.place and isinstance(pane, HasPlaces) and pane.place != self._wire.place:
            pane.go_to_place(self._wire.place)
        self._show_head()
        focus = self._round.list if name == "round" else pane if pane.can_focus else pane.query_one(Lines)
        # At once: with a message, the keys typed behind it would go where the focus was.
        focus.screen.set_focus(focus)
        self._keys_line.show(self._actions_here())
        if self.view is not None and not self._scheduler.plans and not self._status.has_class("trouble"):
            self._say("")

    @on(HeadChanged)
    def _show_head(self) -> None:
        """The pane's words for the first line, and where on the wire it is."""
        if self.view is None:
            return
        pane = self._shown_pane
        self._keys_line.show(self._actions_here())
        self._header.show(pane.head if isinstance(pane, HasHead) else TopLine((self._pane,)))
        if isinstance(pane, HasPlaces) and pane.place:
            self._wire.place = pane.place

    @on(WireOnScreen.PlaceClicked)
    async def _wire_clicked(self, event: WireOnScreen.PlaceClicked) -> None:
        await self.go_to_place(event.place)

    async def go_to_place(self, place: str) -> None:
        """Along the wire: on this screen where it knows places, else on the round."""
        pane = self._shown_pane
        if not (isinstance(pane, HasPlaces) and pane.go_to_place(place)):
            await self.action_go("round")
            self._round.go_to_place(place)
        self._wire.place = place
        self._show_head()

    @on(WalkRequested)
    async def _go_to_walk(self, event: WalkRequested) -> None:
        await self.action_go("round")
        if not (event.chore and self._round.go_to_chore(event.chore)):
            self._round.go_to_place(event.place)
        self._wire.place = event.place
        self._show_head()
        self._say(event.why)

    def action_place(self) -> None:
        """Two keys to anywhere: a place by its number, as near along the wire as there is one."""
        from tunneltui.screens.go_to_place import GoToPlace

        if self.view is not None:

            async def go(place: str | None) -> None:
                if place is not None:
                    await self.go_to_place(place)

            rows = self.view.walk.wire.rows if self.view.walk is not None else ()
            self.push_screen(GoToPlace(rows, self._wire.place), go)

    @on(KeysLine.Clicked)
    async def _keys_clicked(self, event: KeysLine.Clicked) -> None:
        await self.act(event.action)

    @on(StatusText)
    def _show_status(self, event: StatusText) -> None:
        self._say(event.sentence)

    def _say(self, say: str, *, trouble: bool = False) -> None:
        self._status.set_class(trouble, "trouble")
        self._status.update(plain(" " + one_line(localize(say).replace("\n", " "))), layout=False)

    # Writing

    @on(ActRequested)
    def _write_act(self, event: ActRequested) -> None:
        view = self.view
        if view is None or view.closed:
            self._say(view.closed if view is not None else STILL_READ)
            return
        self._say(f"Writing: {localize(event.act.sentence)}")
        self._round.mark(event.act, "writing")
        self._scheduler.write(event.act, view.day)

    @on(ActWritten)
    def _act_written(self, event: ActWritten) -> None:
        act = event.act
        if act.crosses_out:
            self._written = [pair for pair in self._written if pair[0] != act.crosses_out]
        else:
            self._written.append((event.act_id, act.sentence))
        if act.on_written is not None:
            act.on_written(event.act_id, "")
        self._round.mark(act, "put off" if act.put_off else "done")
        sentence = localize(act.sentence)
        self._say(f"{sentence}." if act.crosses_out else f"✓ {sentence}.  u takes it back")

    @on(ActFailed)
    def _act_failed(self, event: ActFailed) -> None:
        self._round.mark(event.act, "")
        if event.act.crosses_out:
            self._written.append((event.act.crosses_out, event.act.sentence))
        self._say(f"Not written: {localize(event.act.sentence)}. {event.problem}", trouble=True)
        if event.act.on_written is not None:
            event.act.on_written("", event.problem)

    # Others who write to the same journal

    def _news(self, trouble: UserError | None) -> None:
        """Called in the listening thread."""
        self.post_message(OthersWrote() if trouble is None else ServerAway(trouble.problem, trouble.hint))

    @on(OthersWrote)
    def _others_wrote(self) -> None:
        if self._away is not None:
            if self.screen is self._away:
                self._away.leave(None)
            self._away = None
            self._say("The server answers again; reading what others noted meanwhile.")
        self._scheduler.plan()

    @on(ServerAway)
    def _server_away(self, event: ServerAway) -> None:
        """Told on a page of its own: what to do meanwhile does not fit into a line."""
        from tunneltui.screens.forms import ReadingPage

        self._away = ReadingPage("The server is away", (event.problem, "", event.hint, "", AWAY_MEANWHILE))
        self._say(event.problem, trouble=True)
        self.push_screen(self._away)

    def action_undo(self) -> None:
        """Crosses out the last act of this session, else the last of today; of a shared journal only our own."""
        from tunneltui.screens import acts

        if self._written:
            self.post_message(ActRequested(acts.crossed_out(*self._written.pop())))
        elif self.view is not None and self.view.last_act:
            self.post_message(ActRequested(acts.crossed_out(self.view.last_act, "")))
        else:
            self._say("Nothing was noted today.")

    # Planning

    @on(PlanRequested)
    def _plan_anew(self, event: PlanRequested) -> None:
        self._say("Planning anew…")
        self._scheduler.plan(event.minutes, event.part, anew=True)

    @on(MorningPlanned)
    def _morning_planned(self, event: MorningPlanned) -> None:
        first = event.view.confirmed and (self.view is None or not self.view.confirmed)
        self.view = event.view
        if self._held and event.view.confirmed:
            self.call_after_refresh(self._let_go)
        if first and not self._key_faults:
            self._say("" if event.view.round.spots else NOTHING_TO_DO)
        if first and self._back_up is not None:
            self._make_backup(self._back_up)

    @work(thread=True, group="backup", exit_on_error=False, description="Backing up the journal")
    def _make_backup(self, back_up: Callable[[], str]) -> None:
        """At the first start of each day, after the first plan; only a failure is reported."""
        if warning := back_up():
            self.call_from_thread(self._say, warning, trouble=True)

    @on(PlanningFailed)
    def _planning_failed(self, event: PlanningFailed) -> None:
        self._held.clear()
        self._say(event.problem, trouble=True)

    # Palette, out

    def action_command_palette(self) -> None:
        from tunneltui.screens.palette import Palette

        if not self.screen.is_modal:
            self.push_screen(Palette())

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:  # noqa: ARG002
        """The palette holds what the keys do."""
        for action in self._actions_here():
            words = action.words[:1].upper() + action.words[1:]
            key = actions.footer_key(action)
            yield SystemCommand(f"{words}  {key}", action.help, partial(self.act, action))
        yield from self._work_to_find()
        yield SystemCommand("Colours", "Change the colours: a list of them.", self.action_colours)

    def _work_to_find(self) -> Iterable[SystemCommand]:
        """What is to do today, by its own words: it leads to its line on the walk."""
        walk = self._round.walk.walk.walk
        for id_, chore in list(walk.chores.items())[:MOST_FOUND]:
            if id_ in walk.of_chore:
                words = chore.proposal[:1].upper() + chore.proposal[1:]
                where = walk.stops[walk.of_chore[id_][0]].walk
                yield SystemCommand(words, f"On the walk: {where}", partial(self._go_to_work, id_))

    async def _go_to_work(self, chore: str) -> None:
        if self._pane != "round":
            await self.action_go("round")
        self._round.go_to_chore(chore)
        self._show_head()

    def action_colours(self) -> None:
        from tunneltui.screens.forms import Answer, FormChoice, Letters, Question

        def chosen(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                self.theme = answers[0].value

        choices = [FormChoice(ours.name, ours.name) for ours in THEMES]
        self.push_screen(Letters(Question("Colours", choices)), chosen)

    def _actions_here(self) -> tuple[actions.Action, ...]:
        where = self._round.shown if self._pane == "round" else self._pane
        return (*actions.of(where, self._table), *actions.of("everywhere", self._table))

    async def act(self, action: actions.Action) -> None:
        """Does what the action's key would do where the focus is."""
        widget = self.focused or self.screen
        for node in widget.ancestors_with_self:
            if hasattr(node, f"action_{action.called.partition('(')[0]}"):
                await self.run_action(action.called, node)
                return

    def action_line(self) -> None:
        """One typed line, as at the end of a walk on paper."""
        from tunneltui.screens.typed_line import form, line_act

        morning = self.view.morning if self.view is not None else None
        if self.view is None or morning is None:
            self._say(STILL_READ)
            return
        shown = self.view.shown

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self.post_message(ActRequested(line_act(values["line"], morning, shown)))

        self.push_screen(form(morning, shown), keep)

    def action_keys(self) -> None:
        from tunneltui.screens.forms import ReadingPage

        where = self._round.shown if self._pane == "round" else self._pane
        self.push_screen(ReadingPage("Keys", actions.key_help(where, self._table)))

    async def action_out(self) -> None:
        """Back to the round; from the round out of the program."""
        if self._pane == "round":
            await self.action_leave()
        else:
            await self.action_go("round")

    async def action_back(self) -> None:
        """Back to the round; never out of the program, for which there is a letter."""
        if self._pane != "round":
            await self.action_go("round")

    async def action_leave(self) -> None:
        """Leaves when everything that was noted is written; stays to report what could not be."""
        self._say("Writing the last of it…")
        if await self._scheduler.written():
            self.exit()

    async def on_unmount(self) -> None:
        await self._scheduler.close()
