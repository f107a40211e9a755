"""What the coming days will ask for that is not asked yet: passes that come round again, heads that grow loose or
up to their limit, picks. For the week's plan alone: when its day comes, the rules ask for it themselves."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date, timedelta

from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.crop_end import rows_at_their_end
from tunneltui.chores.feeding import FEED, next_feeds
from tunneltui.chores.heads import CLIP_HEAD, TWIST_IN, is_clipped, is_held_up, loose_from_to
from tunneltui.chores.leaves import SIDE_SHOOT, side_shoot_days
from tunneltui.chores.lowering import LOWER, lowering_days
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.picking import picks_ahead
from tunneltui.chores.week import Task
from tunneltui.growth.outlook import Outlook
from tunneltui.growth.topping import in_last_fortnight
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import WEEK_DAYS


def foreseen(season: Season, outlook: Outlook, due_already: Collection[tuple[str, str]]) -> Iterator[Task]:
    """``due_already``: (kind, piece) of what today's chores ask for."""
    ended = rows_at_their_end(season)
    ended_tunnels = {season.layout.rows[row][0].key for row in ended}
    yield from picks_ahead(season, outlook, ended)
    for tunnel, day, plants in next_feeds(season, outlook):
        if tunnel in ended_tunnels:
            continue
        yield _task(season, FEED, tunnel, day, day + timedelta(days=1), minutes_for(season, FEED, plants))
    ending = in_last_fortnight(season)
    for leader in (x for x in season.leaders.values() if x.row not in ended):
        shoots = season.layout.rows[leader.row][0].key not in ending
        for kind, first, due in _of_a_head(season, outlook, leader, shoots=shoots):
            soon = season.day < first < season.day + timedelta(days=WEEK_DAYS)
            if soon and (kind.key, leader.id) not in due_already:
                yield _task(season, kind, leader.id, first, due, minutes_for(season, kind))


def _of_a_head(
    season: Season, outlook: Outlook, leader: Leader, *, shoots: bool
) -> Iterator[tuple[ChoreKind, date, date]]:
    """Kind, first and due day of the work that comes round at one head."""
    if shoots:
        yield SIDE_SHOOT, *side_shoot_days(season, leader)
    if not is_held_up(season, outlook, leader):
        return
    loose = loose_from_to(season, outlook, leader)
    if loose is not None:
        yield CLIP_HEAD if is_clipped(leader) else TWIST_IN, *loose
    lowered = lowering_days(season, outlook, leader)
    if lowered is not None:
        yield LOWER, *lowered


def _task(season: Season, kind: ChoreKind, key: str, first: date, due: date, minutes: float) -> Task:
    first = max(first, season.day + timedelta(days=1))
    return Task(
        chore=f"to come: {kind.key}",
        key=f"{key} {first}",
        kind=kind.key,
        minutes=minutes,
        earliest=first,
        latest=max(first, due),
        worth=kind.worth,
    )
