"""What the worker does away from the screen: read the journal, plan the morning, make its picture."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from tunneltui.chores.chore import Round
from tunneltui.screens.picture import Picture

if TYPE_CHECKING:
    from tunneltui.journal.entry import Entry


def morning_picture(
    entries: Sequence[Entry], day: date, plan: Round | None, minutes: float | None, anew: bool = False
) -> Picture:
    """The picture of ``day``. ``plan`` is this morning's order if it is known; ``anew`` makes another order."""
    from tunneltui.chores.morning import plan_morning
    from tunneltui.screens.facts import last_act_of_day, picture_of

    now = plan_morning(entries, day, minutes=minutes)
    if anew:
        plan = now.round
    elif plan is None:
        before = before_ticks(entries, day)
        plan = now.round if len(before) == len(entries) else plan_morning(before, day, minutes=minutes).round
    return picture_of(now, plan, last_act_of_day(entries, day))


def before_ticks(entries: Sequence[Entry], day: date) -> list[Entry]:
    """The journal as it stood this morning: without what today's ticks wrote. A stopped morning is so taken up
    again in its own order."""
    from tunneltui.journal.body import answers

    return [entry for entry in entries if entry.day != day or answers(entry) is None]
