"""The journal folded and the round planned from it, kept up with while keys are pressed. Two threads use it: one
works out what a key touched, the other plans; neither touches the screen."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence, Set
from dataclasses import replace
from datetime import date
from threading import Lock
from typing import TYPE_CHECKING, NamedTuple, Protocol

from tunneltui.chores.chore import Round
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.work import PlanRequest, planned_before

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.journal.entry import Entry
    from tunneltui.memo import Memo
    from tunneltui.screens.journal_client import JournalClient
    from tunneltui.season.fold import Fold
    from tunneltui.season.long_journal import LongJournal

AT_ONCE = 5
"""Most leaders that are worked out before the loop they stand in: a look along a row touches all of it."""


class Planner(Protocol):
    """What the scheduler needs of a planner; every view is newer than those before it."""

    def whole(self, request: PlanRequest) -> RoundView:
        """The round of a day from everything that is written. Raises ``UserError``."""

    def written(self, entries: Sequence[Entry], chores: Sequence[str]) -> RoundView | None:
        """The view after an act that ticked ``chores``: the stems it touched are as they are now. None where
        that takes longer than a key may."""

    def near(self) -> RoundView | None:
        """The view with the loops of the stems that were touched; None where the whole is to be planned."""

    def today(self) -> RoundView | None:
        """The newest view, where one is kept for tomorrow."""


class _LastPlan(NamedTuple):
    """The last plan of all there is, and the view after it with every stem since."""

    memo: Memo
    morning: Morning
    view: RoundView


class IncrementalPlanner:
    """Plans from one journal."""

    def __init__(self, client: JournalClient) -> None:
        self._client = client
        self._lock = Lock()
        self._fold: Fold | None = None
        self._entries: list[Entry] | LongJournal = []
        self._count = 0
        """Of the journal when it was read, and what was written since."""
        self._known: _LastPlan | None = None
        self._order: Round | None = None
        """The last one that was shown."""
        self._touched: set[str] = set()
        """Leaders touched since the last view of their loops was begun."""
        self._ticked: set[str] = set()
        """Chores answered since."""
        self._wide = False
        """Something was written since about a tunnel or the house."""

    def whole(self, request: PlanRequest) -> RoundView:
        from tunneltui.chores.morning import plan
        from tunneltui.memo import Stages
        from tunneltui.report.open_journal import civil_day, latest_holding
        from tunneltui.screens.facts import last_act_of_day, view_of

        with self._lock:
            entries = self._up_to_date()
            today = civil_day(latest_holding(entries), request.now, request.on)
            season = self._folded(entries, request.on or today).season()
            stages = Stages(self._known.memo if self._known is not None else None)
            self._begin()
        morning = plan(stages, season, entries, minutes=request.minutes, part=request.part)
        order = planned_before(entries, morning, request, self._order)
        last_act = last_act_of_day(entries, morning.day, self._client.device)
        view = self._numbered(view_of(morning, order, today, last_act, stages=stages))
        with self._lock:
            return self._caught_up(_LastPlan(stages.memo, morning, view), self._touched, self._ticked)

    def _numbered(self, view: RoundView) -> RoundView:
        """With the numbers of its lines, kept for the line that is typed at the end of the walk."""
        from tunneltui.store.folders import state_folder
        from tunneltui.store.kept_round import as_shown, keep

        head = self._client.head()
        shown = keep(state_folder(), head.journal_id, view.round) if head else as_shown(view.round)
        return replace(view, shown=shown, numbers=shown.number_of)

    def written(self, entries: Sequence[Entry], chores: Sequence[str]) -> RoundView | None:
        with self._lock:
            try:
                return self._written(entries, chores)
            except Exception:
                # Half taken in: the next plan reads the journal and works everything out from nothing.
                self._fold = self._known = None
                raise

    def _written(self, entries: Sequence[Entry], chores: Sequence[str]) -> RoundView | None:
        from tunneltui.season.past import PastTouched

        if self._fold is None:
            return None
        for entry in entries:
            self._take_in(entry)
        try:
            touched = self._fold.add(entries)
        except PastTouched:
            self._fold = self._known = None
            return None
        self._touched |= touched.leaders
        self._ticked |= set(chores)
        self._wide |= touched.house
        kept = self._known
        if kept is None or self._wide or len(touched.leaders) > AT_ONCE:
            return None
        return self._caught_up(kept, touched.leaders, chores)

    def near(self) -> RoundView | None:
        from tunneltui.chores.morning import plan
        from tunneltui.memo import Stages
        from tunneltui.screens.facts import last_act_of_day, view_of

        with self._lock:
            kept, folding = self._known, self._fold
            if kept is None or folding is None or self._wide or not self._touched:
                return None
            season, entries, before = folding.season(), self._as_they_are(), kept.view
            self._begin()
        stages, minutes = Stages(kept.memo, "loop"), kept.morning.round.minutes_there
        morning = plan(stages, season, entries, minutes=minutes, part=kept.morning.round.part)
        last_act = last_act_of_day(entries, morning.day, self._client.device)
        view = view_of(morning, before.round, before.today, last_act, before, stages)
        if all(chore.id in before.numbers for chore in view.planned()):
            view = replace(view, shown=before.shown, numbers=before.numbers)
        else:
            view = self._numbered(view)
        with self._lock:
            return self._caught_up(_LastPlan(stages.memo, morning, view), self._touched, self._ticked)

    def today(self) -> RoundView | None:
        return self._known.view if self._known is not None else None

    def _up_to_date(self) -> Sequence[Entry]:
        """Every entry, those of other programs among them."""
        head = self._client.head()
        if self._fold is None or head is None or head.count != self._count:
            self._entries, self._fold = self._client.entries(), None
            self._count = head.count if head is not None else 0
        return self._as_they_are()

    def _as_they_are(self) -> Sequence[Entry]:
        """Every entry that is known, whatever comes later."""
        return tuple(self._entries) if isinstance(self._entries, list) else self._entries

    def _take_in(self, entry: Entry) -> None:
        """In its place; it is there already where the journal was read since it was written."""
        if not isinstance(self._entries, list):
            is_new = entry not in self._entries.later
            self._entries = self._entries.with_later(entry) if is_new else self._entries
        else:
            at = bisect_left(self._entries, entry.order, key=_order)
            is_new = self._entries[at : at + 1] != [entry]
            self._entries[at:at] = [entry] if is_new else []
        self._count += is_new

    def _folded(self, entries: Sequence[Entry], day: date) -> Fold:
        from tunneltui.season.fold import folded

        if self._fold is None or self._fold.day != day:
            self._fold, self._known = folded(entries, day), None
        return self._fold

    def _begin(self) -> None:
        self._touched, self._ticked, self._wide = set(), set(), False

    def _caught_up(self, known: _LastPlan, leaders: Set[str], chores: Iterable[str]) -> RoundView:
        """What was worked out, with ``leaders`` as they are now where that does not take long."""
        from tunneltui.chores.morning import plan
        from tunneltui.memo import Stages
        from tunneltui.screens.facts import with_stems

        if self._fold is not None and (leaders or chores):
            few = leaders if len(leaders) <= AT_ONCE else frozenset[str]()
            stages = Stages(known.memo, "stem")
            stems = plan(stages, self._fold.rows_of(few, known.morning.season), stems=few)
            view = with_stems(known.view, stems, chores, stages)
            known = known._replace(memo=stages.memo, view=view)
        self._known, self._order = known, known.view.round
        return known.view


def _order(entry: Entry) -> tuple[date, int, str]:
    return entry.order
