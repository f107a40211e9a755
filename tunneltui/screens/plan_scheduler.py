"""Behind the screen: one pen that writes and one worker that plans. What came of it is told by messages."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from datetime import UTC, date, datetime
from functools import partial
from itertools import chain
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any, TypeVar

from textual.app import App
from textual.worker import get_current_worker

from tunneltui.holding.user_error import Fault, UserError
from tunneltui.screens import cache
from tunneltui.screens.incremental_planner import IncrementalPlanner, Planner
from tunneltui.screens.journal_client import JournalClient
from tunneltui.screens.messages import Act, ActFailed, ActWritten, MorningPlanned, PlanningFailed
from tunneltui.screens.work import PlanRequest, coming_views

if TYPE_CHECKING:
    from tunneltui.chores.chore import DayPart
    from tunneltui.journal.entry import Entry
    from tunneltui.screens.round_view import RoundView
    from tunneltui.store.seen import JournalHead

REST_SECONDS = 1.0
"""Without a key that writes, before the whole round is planned from what was written."""
IDLE_SECONDS = 2.0
"""After the whole round, before the coming days are worked out."""

_T = TypeVar("_T")


class PlanScheduler:
    """Writes acts in their order and keeps the round planned: nearest first, the whole once keys rest."""

    def __init__(
        self,
        app: App[Any],
        client: JournalClient,
        *,
        on: date | None = None,
        planner: Planner | None = None,
        cache_folder: Path | None = None,
    ) -> None:
        self._app = app
        self._client = client
        self._on = on
        self._planner = planner if planner is not None else IncrementalPlanner(client)
        self._cache_folder = cache_folder
        self._minutes: float | None = None
        self._part: DayPart = "day"
        self._pending: list[Future[list[Entry]]] = []
        self._behind_the_pen = ThreadPoolExecutor(1, "behind-the-pen")
        self._busy = self._near = self._whole = self._anew = False
        self._painted: RoundView | None = None
        """What was kept and is painted, until the rest of it is read."""

    def open(self, painted: RoundView | None = None) -> None:
        """To be called once the app runs: its clocks start only then."""
        self._painted = painted
        self._rest = self._app.set_interval(REST_SECONDS, self.plan, pause=True)
        self._idle = self._app.set_interval(IDLE_SECONDS, self._look_ahead, pause=True)

    async def close(self) -> None:
        """Returns when all that was handed over is written."""
        self._behind_the_pen.shutdown(wait=False)
        await asyncio.to_thread(self._client.close)

    # Writing

    def write(self, act: Act, day: date) -> None:
        """Tells ``ActWritten`` when it is durable and then what it changed, or ``ActFailed``."""
        written = self._client.submit(act.drafts, act.day or day)
        self._pending = [pending for pending in self._pending if not pending.done()] + [written]
        written.add_done_callback(partial(self._settled, act))

    async def written(self) -> bool:
        """Waits for what was handed over; whether all of it could be written."""
        pending, self._pending = self._pending, []
        settled = await asyncio.gather(*map(asyncio.wrap_future, pending), return_exceptions=True)
        return not any(isinstance(result, BaseException) for result in settled)

    def _settled(self, act: Act, written: Future[list[Entry]]) -> None:
        """Called when the commit returned or failed, most often in the writing thread."""
        fault = written.exception()
        if fault is not None:
            self._app.post_message(ActFailed(act, str(fault)))
            return
        entries = written.result()
        self._app.post_message(ActWritten(act, entries[0].act if entries else ""))
        self._behind_the_pen.submit(self._follow, act, entries)

    def _follow(self, act: Act, entries: Sequence[Entry]) -> None:
        try:
            view = self._planner.written(entries, act.chores)
        except Exception as fault:
            # Logged for who wrote the rule; the grower gets the whole round, planned from nothing.
            logging.getLogger(__name__).exception("written")
            self._failed(fault)
            view = None
        if view is not None:
            self._app.post_message(MorningPlanned(view))
        # Once it is painted: worked out meanwhile, the row would hold up what the key waits for.
        self._app.call_after_refresh(self.plan_near)

    # Planning

    def plan(self, minutes: float | None = None, part: DayPart | None = None, *, anew: bool = False) -> None:
        """The whole round; with other minutes, another part of the day or in another order where asked for."""
        self._minutes = minutes if minutes is not None else self._minutes
        self._part = part or self._part
        self._anew |= anew
        self._whole = True
        self._go()

    @property
    def plans(self) -> bool:
        """Whether a plan is being worked out."""
        return self._busy

    def plan_near(self) -> None:
        """The loops that were touched; the whole round after a rest."""
        self._near = True
        self._go()

    def _go(self) -> None:
        self._rest.pause()
        self._idle.pause()
        self._app.workers.cancel_group(self._app, "ahead")
        if not self._busy:
            self._busy = True
            self._app.run_worker(
                self._work_off(), group="planning", exit_on_error=False, description="Working out the round"
            )

    async def _work_off(self) -> None:
        """One plan at a time; what came up meanwhile is planned for once, after it."""
        after = self._idle
        if self._painted is not None:
            painted, self._painted = self._painted, None
            await _in_thread(partial(self._read_the_rest, painted))
        while self._near or self._whole:
            if self._near:
                self._near = False
                after = self._rest
                if not self._whole:
                    self._whole = not await _in_thread(self._plan_near)
            else:
                self._whole = False
                after = self._idle
                request = PlanRequest(self._on, datetime.now(UTC), self._minutes, self._part, self._anew)
                self._anew = False
                await _in_thread(partial(self._plan_whole, request))
        self._busy = False
        after.reset()
        after.resume()

    def _read_the_rest(self, painted: RoundView) -> None:
        """A large house is planned in half a minute: till then all that was kept can be looked at."""
        if self._cache_folder is not None:
            whole = cache.with_the_rest(self._cache_folder, self._client.head(), painted)
            if whole is not None:
                self._app.post_message(MorningPlanned(whole))

    def _plan_near(self) -> bool:
        """Whether that was possible."""
        view = self._planner.near()
        if view is not None:
            self._app.post_message(MorningPlanned(view))
        return view is not None

    def _plan_whole(self, request: PlanRequest) -> None:
        head = self._client.head()
        try:
            view = self._planner.whole(request)
        except UserError as trouble:
            self._app.post_message(PlanningFailed(str(trouble)))
        except Exception as fault:
            # Said, not raised: keys and the pen go on working while a rule has a fault.
            self._failed(fault)
        else:
            self._app.post_message(MorningPlanned(view))
            if self._cache_folder is not None:
                self._keep(head, [cache.kept_day(view)])
            # What keys lay over a screen, so that none waits for it: its code, 25 ms at the first, and the
            # lowering head by head, 30 ms of 44 leaders.
            from tunneltui.screens import lowering_page, measure_walk, pieces_form, questions  # noqa: F401

            if view.morning is not None and any(chore.kind == "lower" for chore in view.planned()):
                _ = view.morning.lowerings

    def _failed(self, fault: Exception) -> None:
        self._app.post_message(PlanningFailed(Fault(f"The round could not be worked out: {fault}")))

    def _keep(self, head: JournalHead | None, days: Sequence[cache.KeptDay]) -> None:
        """For the next first paint, if the journal stood still meanwhile."""
        if self._cache_folder is not None and head is not None and head == self._client.head():
            cache.write(self._cache_folder, head, days)

    def _look_ahead(self) -> None:
        """Nothing was noted for a while: there is time for the days to come."""
        self._idle.pause()
        if self._cache_folder is not None and not self._busy and (today := self._planner.today()) is not None:
            self._app.run_worker(
                self._plan_ahead(today),
                group="ahead",
                exit_on_error=False,
                description="Rounds of the coming days",
            )

    async def _plan_ahead(self, today: RoundView) -> None:
        worker = get_current_worker()
        await _in_thread(partial(self._keep_ahead, today, lambda: worker.is_cancelled))

    def _keep_ahead(self, today: RoundView, stopped: Callable[[], bool]) -> None:
        head = self._client.head()
        entries = self._client.settled(today.day)
        coming = coming_views(entries, today, cache.DAYS_AHEAD, stopped)
        days = [cache.kept_day(view) for view in chain((today,), coming)]
        if not stopped():
            self._keep(head, days)


def _in_thread(work: Callable[[], _T]) -> asyncio.Future[_T]:
    """Runs it in a thread that nobody waits for: a long plan does not hold up leaving the program."""
    done: Future[_T] = Future()
    done.set_running_or_notify_cancel()

    def settle() -> None:
        try:
            done.set_result(work())
        except BaseException as fault:
            done.set_exception(fault)

    Thread(target=settle, daemon=True).start()
    return asyncio.wrap_future(done)
