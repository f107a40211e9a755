"""A row on another day, or after its lowering: season, outlook and loads as they would be. Run by a worker."""

from __future__ import annotations

from datetime import timedelta
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.body import parsed
from tunneltui.loads.chain import loads
from tunneltui.loads.result import Loads
from tunneltui.loads.whatif import Lower, changed
from tunneltui.season.state import Season

DAYS = 14


class Seen(NamedTuple):
    """What a side view is drawn from."""

    season: Season
    outlook: Outlook
    loads: Loads


def seen(morning: Morning, loop: str, days: int, *, lowered: bool) -> Seen:
    """The loop ``days`` ahead, with its proposed lowering done today where that is asked for."""
    season, outlook = morning.season, morning.outlook
    if lowered:
        for change in proposed(morning, loop):
            season, outlook = changed(season, outlook, morning.day, change)
    if not days and not lowered:
        return Seen(season, outlook, morning.loads)
    return Seen(season, outlook, loads(season, outlook, morning.day + timedelta(days=days)))


def proposed(morning: Morning, loop: str) -> list[Lower]:
    """The moves of the loop's lowering, in its order; [] where none is proposed."""
    chore = lowering_of(morning, loop)
    found = []
    for draft in chore.writes if chore is not None else ():
        if draft.kind == "lowered":
            body = parsed(draft)
            if body["leader"] in morning.season.leaders and body.get("let_out_m"):
                found.append(Lower(body["leader"], body["let_out_m"], body.get("hook_u_m")))
    return found


def lowering_of(morning: Morning, loop: str) -> Chore | None:
    """The loop's lowering, today's or one that can wait."""
    rows = {stretch.row for stretch in morning.season.layout.loops[loop].stretches}
    for chore in morning.chores:
        if chore.kind == "lower" and (chore.about == loop or chore.row in rows):
            return chore
    return None
