"""What the worker does away from the screen: read the journal, plan the morning, make its view."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

from tunneltui.chores.chore import DayPart, Round
from tunneltui.screens.round_view import RoundView

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.journal.entry import Entry


class PlanRequest(NamedTuple):
    """What a plan is asked for."""

    on: date | None
    """None: today, where the holding is."""
    now: datetime
    minutes: float | None = None
    """None: the holding's."""
    part: DayPart = "day"
    anew: bool = False
    """Make another order from what is known now."""


def morning_view(entries: Sequence[Entry], request: PlanRequest) -> RoundView:
    """The view of the day that is asked for."""
    from tunneltui.chores.morning import plan_morning
    from tunneltui.report.open_journal import civil_day, latest_holding
    from tunneltui.screens.facts import last_act_of_day, view_of

    today = civil_day(latest_holding(entries), request.now, request.on)
    morning = plan_morning(entries, request.on or today, minutes=request.minutes, part=request.part)
    plan = planned_before(entries, morning, request)
    return view_of(morning, plan, today, last_act_of_day(entries, morning.day))


def planned_before(
    entries: Sequence[Entry], morning: Morning, request: PlanRequest, planned: Round | None = None
) -> Round:
    """This morning's order: the one that is known, else as it was planned before the first tick of the day."""
    from tunneltui.chores.morning import plan_morning

    if request.anew:
        return morning.round
    if planned is not None and planned.day == morning.day:
        return planned
    before = before_ticks(entries, morning.day)
    if len(before) == len(entries):
        return morning.round
    return plan_morning(before, morning.day, minutes=request.minutes, part=request.part).round


def before_ticks(entries: Sequence[Entry], day: date) -> Sequence[Entry]:
    """The journal as it stood this morning: without what today's ticks wrote. A stopped morning is so taken up
    again in its own order. What a put-right walk saw is no work: it stood so this morning already."""
    from tunneltui.journal.body import answers
    from tunneltui.season.long_journal import LongJournal

    def is_tick(entry: Entry) -> bool:
        ticked = answers(entry) if entry.day == day else None
        return ticked is not None and ticked[0] != "put_right"

    if isinstance(entries, LongJournal):
        return entries.without({entry.id for entry in entries.recent if is_tick(entry)})
    return [entry for entry in entries if not is_tick(entry)]


def coming_views(
    entries: Sequence[Entry], today: RoundView, days: int, stopped: Callable[[], bool]
) -> Iterator[RoundView]:
    """Pictures of the days after ``today``, as they would be if nothing were noted till then; ends early when
    ``stopped`` says so. Without their mornings, which nobody asks for and which hold 6 MB each."""
    for ahead in range(1, days + 1):
        if stopped():
            return
        day = today.day + timedelta(days=ahead)
        request = PlanRequest(day, datetime.now().astimezone())
        yield replace(morning_view(entries, request), today=day, morning=None)
