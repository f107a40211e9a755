"""The app: one screen, its panes, one pen that writes and one worker that plans."""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.reactive import reactive
from textual.widgets import ContentSwitcher, Static
from textual.worker import Worker, WorkerState

from tunneltui.holding.trouble import Trouble
from tunneltui.screens import actions
from tunneltui.screens.footer import KeysLine
from tunneltui.screens.forms import Page
from tunneltui.screens.keeper import FileKeeper, Keeper
from tunneltui.screens.lines import Lines, bindings_for
from tunneltui.screens.list_lines import header_parts
from tunneltui.screens.messages import Act, ActFailed, ActWanted, ActWritten, MorningPlanned, PlanningFailed
from tunneltui.screens.picture import Picture
from tunneltui.screens.round_pane import RoundPane
from tunneltui.screens.text import one_line, plain, to_width
from tunneltui.screens.themes import THEMES

if TYPE_CHECKING:
    from tunneltui.chores.chore import Round
    from tunneltui.journal.entry import Entry

LEAST = (40, 10)
"""Columns and rows below which the app only says what it needs."""


Planner = Callable[[Sequence["Entry"], date, "Round | None", float | None, bool], Picture]
"""``work.morning_picture`` or what stands in for it."""


class TunnelApp(App[None]):
    """The morning round of one journal on one day."""

    CSS_PATH = "tunneltui.tcss"
    TITLE = "tunneltui"
    ENABLE_COMMAND_PALETTE = True
    ALLOW_SELECT = False
    AUTO_FOCUS = "#walk"
    BINDINGS: ClassVar[list[BindingType]] = bindings_for("everywhere")
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012  (Textual's own declaration)
    VERTICAL_BREAKPOINTS = [(0, "-low"), (16, "-high")]  # noqa: RUF012

    picture: reactive[Picture | None] = reactive(None)

    def __init__(
        self,
        keeper: Keeper,
        day: date,
        first: Picture | None = None,
        *,
        planner: Planner | None = None,
        theme: str = "evening",
        no_colour: bool = False,
    ) -> None:
        super().__init__(ansi_color=True if no_colour else None)
        self.animation_level = "none"
        self._keeper = keeper
        self._day = day
        self._first = first
        self._planner = planner
        self._minutes: float | None = None
        self._acts: asyncio.Queue[Act | None] = asyncio.Queue()
        self._pen = ThreadPoolExecutor(1, thread_name_prefix="pen")
        self._written: list[tuple[str, str]] = []
        self._planning = False
        self._plan_wanted = False
        self._plan_anew = False
        for ours in THEMES:
            self.register_theme(ours)
        self.theme = "ansi-dark" if no_colour else theme

    def compose(self) -> ComposeResult:
        yield Static("", id="header")
        with ContentSwitcher(initial="round", id="panes"):
            yield RoundPane(id="round")
        yield Static("", id="status")
        yield KeysLine((*actions.of("round"), *actions.of("everywhere")), id="keys-line")

    def on_mount(self) -> None:
        self.picture = self._first
        if self._first is None:
            self._say("Reading the journal and working out today's round…")
        self.run_worker(self._write_acts(), group="writing", exit_on_error=False, description="Writing acts")
        self.plan()

    # What is shown

    @property
    def round_pane(self) -> RoundPane:
        return self.query_one("#round", RoundPane)

    def watch_picture(self, picture: Picture | None) -> None:
        if picture is not None:
            self.round_pane.picture = picture
            self._show_header()

    @on(Lines.Moved)
    def _show_header(self) -> None:
        if self.picture is None:
            return
        width = self.size.width
        left, right = header_parts(self.picture, self.round_pane.row, width)
        if not self.picture.confirmed:
            right = f"not yet confirmed   {right}"
        left = one_line(left)
        room = width - len(right) - 3
        self.query_one("#header", Static).update(plain(" " + to_width(left, max(room, 1)) + " " + right + " "))

    def on_resize(self) -> None:
        self._show_header()

    @on(RoundPane.Said)
    def _said(self, event: RoundPane.Said) -> None:
        self._say(event.say)

    def _say(self, say: str, *, trouble: bool = False) -> None:
        status = self.query_one("#status", Static)
        status.set_class(trouble, "trouble")
        status.update(plain(" " + one_line(say.replace("\n", " "))))

    # Writing

    @on(ActWanted)
    def _act_wanted(self, event: ActWanted) -> None:
        self._say(f"Writing: {event.act.said}")
        self._acts.put_nowait(event.act)
        self.round_pane.taken(event.act)

    async def _write_acts(self) -> None:
        """Acts one after the other, each in one transaction, in the one thread that holds the pen."""
        loop = asyncio.get_running_loop()
        while (act := await self._acts.get()) is not None:
            try:
                act_id = await loop.run_in_executor(self._pen, self._keeper.write, act.drafts, self._day)
            except Trouble as trouble:
                self.post_message(ActFailed(act, str(trouble)))
            except Exception as fault:  # whatever it was, the mark must be withdrawn and the grower told
                self.post_message(ActFailed(act, f"Nothing was written: {fault}"))
            else:
                self.post_message(ActWritten(act, act_id))
            finally:
                self._acts.task_done()

    @on(ActWritten)
    def _act_written(self, event: ActWritten) -> None:
        act = event.act
        if not act.crosses_out:
            self._written.append((event.act_id, act.said))
        self.round_pane.mark(act.chores, "put off" if act.put_off else "done")
        self._say(f"{act.said}." if act.crosses_out else f"{act.said}. u crosses it out.")
        self.plan()

    @on(ActFailed)
    def _act_failed(self, event: ActFailed) -> None:
        self.round_pane.mark(event.act.chores, "")
        if event.act.crosses_out:
            self._written.append((event.act.crosses_out, event.act.said))
        self._say(f"Not written: {event.act.said}. {event.say}", trouble=True)

    def action_undo(self) -> None:
        """Crosses out the last act of this session, else the last of today."""
        from tunneltui.screens import acts

        if self._written:
            self.post_message(ActWanted(acts.crossed_out(*self._written.pop())))
        elif self.picture is not None and self.picture.last_act:
            self.post_message(ActWanted(acts.crossed_out(self.picture.last_act, "")))
        else:
            self._say("Nothing was noted today.")

    # Planning

    @on(RoundPane.PlanWanted)
    def _plan_wanted_anew(self, event: RoundPane.PlanWanted) -> None:
        self._minutes = event.minutes if event.minutes is not None else self._minutes
        self._plan_anew = True
        self._say("Planning anew…")
        self.plan()

    def plan(self) -> None:
        """One plan at a time; what came up meanwhile is planned for once, after it."""
        if self._planning:
            self._plan_wanted = True
            return
        self._planning, self._plan_wanted = True, False
        anew, self._plan_anew = self._plan_anew, False
        known = self.picture.round if self.picture is not None and self.picture.confirmed else None
        self._plan(known, self._minutes, anew)

    @work(thread=True, group="planning", exit_on_error=False, description="Working out the round")
    def _plan(self, known: Round | None, minutes: float | None, anew: bool) -> None:
        try:
            planner = self._planner or _planner()
            picture = planner(self._keeper.entries(), self._day, known, minutes, anew)
        except Trouble as trouble:
            self.post_message(PlanningFailed(str(trouble)))
        else:
            self.post_message(MorningPlanned(picture))

    @on(MorningPlanned)
    def _morning_planned(self, event: MorningPlanned) -> None:
        first = self.picture is None or not self.picture.confirmed
        self.picture = event.picture
        if first:
            self._say("" if event.picture.round.spots else "Nothing is to do today.")
        self._planned()

    @on(PlanningFailed)
    def _planning_failed(self, event: PlanningFailed) -> None:
        self._say(event.say, trouble=True)
        self._planned()

    @on(Worker.StateChanged)
    def _worker_failed(self, event: Worker.StateChanged) -> None:
        if event.state == WorkerState.ERROR and event.worker.group == "planning":
            self._say(f"The round could not be worked out: {event.worker.error}", trouble=True)
            self._planned()

    def _planned(self) -> None:
        self._planning = False
        if self._plan_wanted or self._plan_anew:
            self.plan()

    # Out

    def action_keys(self) -> None:
        shown = (*actions.of("round"), *actions.of("list"), *actions.of("everywhere"))
        self.push_screen(Page("Keys", actions.key_help(shown)))

    async def action_out(self) -> None:
        """Leaves when everything that was noted is written."""
        self._say("Writing the last of it…")
        await self._acts.join()
        self.exit()

    async def on_unmount(self) -> None:
        self._acts.put_nowait(None)
        loop = asyncio.get_running_loop()
        await loop.run_in_executor(self._pen, self._keeper.close)
        self._pen.shutdown(wait=False)


def _planner() -> Planner:
    from tunneltui.screens.work import morning_picture

    return morning_picture


def run(path: Path, day: date, *, theme: str = "evening", mouse: bool = False) -> int:
    """Opens the journal at ``path`` on the grower's ``day``; the program's exit code."""
    from tunneltui.screens import cache

    # Python threads give way to keys sooner: key to repaint 33 ms becomes 6 ms while a plan is worked out.
    sys.setswitchinterval(0.0005)
    keeper = FileKeeper(path)
    app = TunnelApp(
        keeper, day, cache.read(keeper.head(), day), theme=theme, no_colour=os.environ.get("NO_COLOR") is not None
    )
    app.run(mouse=mouse)
    return app.return_code or 0
