"""The round: today's part of the week, in walking order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import groupby
from math import ceil

from tunneltui.cells import Quantity, listed, say
from tunneltui.chores.chore import Chore, DayAhead, DayPart, Piece, Round, Spot, WorkOfAKind
from tunneltui.chores.clips import a_few_a_day
from tunneltui.chores.exceptions import only
from tunneltui.chores.foreseen import foreseen
from tunneltui.chores.heads import CLIP_HEAD, TWIST_IN
from tunneltui.chores.kinds import KINDS, belongs_to, order_at_a_spot
from tunneltui.chores.leaves import DELEAF
from tunneltui.chores.lowering import LOWER
from tunneltui.chores.picking import SHARE_MINUTES, left_some
from tunneltui.chores.tips import TIP_OUT
from tunneltui.chores.week import Task, Week, WorkDay, plan_week
from tunneltui.growth.outlook import Outlook
from tunneltui.season.state import Season
from tunneltui.season.work_days import done_share, next_work_day, sure_work_day, work_days_ahead

AGREED_IN = 4
"""What is left out or done sooner makes room for other work, which may want its own."""
HOLDS_A_HEAD = (CLIP_HEAD.key, TWIST_IN.key)
WalkOrder = Callable[[str, float, bool], tuple[float, ...]]
"""Where (row, ``x_m``, of the whole row) comes on the walk, as a sort key."""


def plan_round(
    season: Season,
    chores: Sequence[Chore],
    outlook: Outlook | None = None,
    *,
    minutes: float | None = None,
    part: DayPart = "day",
) -> Round:
    """What the week lays on today; never more than the minutes there are.

    ``minutes`` None: the holding's. ``outlook``: for the picks of the days to come.
    """
    available = _minutes_available(season, part) if minutes is None else minutes
    week = week_ahead(season, chores, outlook, minutes=available, part=part)
    taken: dict[str, list[Task]] = defaultdict(list)
    for task in week.days[0].tasks:
        taken[task.chore].append(task)
    chosen = [_cut(season, chore, taken[chore.id]) for chore in chores if chore.id in taken]
    later = _without_stopped((chore for chore in chores if chore.id not in taken), _stopped(week))
    return Round(
        day=season.day,
        part=part,
        minutes_there=available,
        minutes_planned=week.days[0].minutes,
        spots=_spots(season, chosen),
        later=tuple(sorted(later, key=lambda c: (c.earliest, c.latest, c.id))),
        week=tuple(DayAhead(day.day, day.minutes_there, day.minutes, _by_kind(day.tasks)) for day in week.days),
        gives=_by_kind(week.gives),
        done_share=done_share(season),
        waits=_by_kind(week.waits),
    )


def week_ahead(
    season: Season,
    chores: Iterable[Chore],
    outlook: Outlook | None = None,
    *,
    minutes: float | None = None,
    part: DayPart = "day",
) -> Week:
    """The coming work days, today first, if each day's work is done."""
    usual = _minutes_available(season, part)
    today = usual if minutes is None else minutes
    # What will be left out of the coming days has no room on them.
    coming = usual * done_share(season)
    days = [WorkDay(day, today if day == season.day else coming) for day in work_days_ahead(season)]
    todo = [chore for chore in a_few_a_day(season, chores) if belongs_to(chore.kind, part)]
    # Who misses one work day in three is not given the last one before a piece is due.
    slack = sure_work_day(season, season.day) - next_work_day(season, season.day)
    tasks = [task for chore in todo for task in _tasks(season, chore, slack)]
    if outlook is not None:
        due = {(task.kind, task.key) for task in tasks}
        tasks += [task for task in foreseen(season, outlook, due) if belongs_to(task.kind, part)]
    steps_minutes = season.holding.work.steps_minutes
    week = plan_week(tasks, days, steps_minutes)
    for _ in range(AGREED_IN):
        agreed = list(_agreed(season.day, todo, tasks, week))
        if agreed == tasks:
            break
        tasks = agreed
        week = plan_week(tasks, days, steps_minutes)
    return week


def _agreed(day: date, todo: Iterable[Chore], tasks: Iterable[Task], week: Week) -> Iterator[Task]:
    """The tasks as those planned today want them: no head is held on the morning on which its tip comes out, and a
    row is stripped before it is lowered."""
    stopped = _stopped(week)
    lowered = {task.key: task.worth for task in week.days[0].tasks if task.kind == LOWER.key}
    # A head travels on: where its hook hangs tells nothing of the row its leaves are in.
    leaves = (chore for chore in todo if chore.kind == DELEAF.key)
    stripped = {chore.id for chore in leaves if any(piece.key in lowered for piece in chore.pieces)}
    for task in tasks:
        if task.chore in stripped:
            yield task._replace(latest=day, worth=max(task.worth, lowered.get(task.key, 0.0)))
        elif task.kind not in HOLDS_A_HEAD or task.key not in stopped:
            yield task


def _stopped(week: Week) -> set[str]:
    """Heads whose tips come out today."""
    return {task.key for task in week.days[0].tasks if task.kind == TIP_OUT.key}


def _without_stopped(later: Iterable[Chore], stopped: set[str]) -> Iterator[Chore]:
    """Heads whose tips come out today do not wait to be held."""
    for chore in later:
        keys = {piece.key for piece in chore.pieces}
        if chore.kind not in HOLDS_A_HEAD or keys.isdisjoint(stopped):
            yield chore
        elif not keys <= stopped:
            yield only(chore, keys - stopped)


def _tasks(season: Season, chore: Chore, slack: timedelta) -> Iterator[Task]:
    kind = KINDS[chore.kind]
    for piece in chore.pieces:
        # A due day that is counted from today anew every morning never comes.
        first_day = max(season.day, piece.earliest)
        latest = max(first_day, piece.latest - slack) if kind.window else first_day
        for key, minutes in _shares(piece) if kind.taken == "amount" else ((piece.key, piece.minutes),):
            steps = piece.row if chore.overhead else ""
            yield Task(chore.id, key, chore.kind, minutes, piece.earliest, latest, piece.worth, steps)


def _shares(piece: Piece) -> Iterator[tuple[str, float]]:
    left = piece.minutes
    for number in range(max(1, ceil(piece.minutes / SHARE_MINUTES - 1e-9))):
        yield f"{piece.key}#{number}", min(left, SHARE_MINUTES)
        left -= SHARE_MINUTES


def _by_kind(tasks: Iterable[Task]) -> tuple[WorkOfAKind, ...]:
    """The most minutes first."""
    minutes: dict[str, float] = defaultdict(float)
    for task in tasks:
        minutes[task.kind] += task.minutes
    works = (WorkOfAKind(kind, KINDS[kind].heading, spent) for kind, spent in minutes.items())
    return tuple(sorted(works, key=lambda work: (-work.minutes, work.kind)))


def _cut(season: Season, chore: Chore, tasks: Sequence[Task]) -> Chore:
    """The chore with what of it is planned today."""
    if KINDS[chore.kind].taken == "amount":
        return _shortened(chore, sum(task.minutes for task in tasks))
    keys = {task.key for task in tasks}
    if len(keys) == len(chore.pieces):
        return chore
    part = only(chore, keys)
    names = [season.leaders[x].name for x in part.leaders if x in season.leaders]
    whom = say(": {}", listed(names)) if names else ""
    return part._replace(
        proposal=say("{}; today {} of {}{}", chore.proposal, len(part.pieces), len(chore.pieces), whom)
    )


def _shortened(chore: Chore, minutes: float) -> Chore:
    """As far as the minutes go, what is left noted as left."""
    whole = chore.minutes
    if minutes >= whole - 1e-6:
        return chore
    share = minutes / whole
    pieces = tuple(
        piece._replace(minutes=piece.minutes * share, writes=tuple(left_some(draft) for draft in piece.writes))
        for piece in chore.pieces
    )
    return chore._replace(
        pieces=pieces,
        proposal=say(
            "{}; for {} of {}, ripest first, the rest next time",
            chore.proposal,
            Quantity(minutes, ""),
            Quantity(whole, "min"),
        ),
    )


def _minutes_available(season: Season, part: DayPart) -> float:
    work = season.holding.work
    if part == "evening":
        return float(work.evening_minutes)
    return float(work.minutes)


def _spots(season: Season, chosen: list[Chore]) -> tuple[Spot, ...]:
    along = _walk(season, chosen)
    healthy = sorted((c for c in chosen if not _sick_only(season, c)), key=along)
    sick = sorted((c for c in chosen if _sick_only(season, c)), key=along)
    place_of = _PlaceOf(season)
    return tuple(
        Spot(place, row, together[0].x_m, together)
        for some in (healthy, sick)
        for (row, place), group in groupby(some, key=place_of)
        for together in [tuple(sorted(group, key=lambda c: (order_at_a_spot(c.kind), c.id)))]
    )


def _sick_only(season: Season, chore: Chore) -> bool:
    """Handles only plants under suspicion: they come last, and hands and knife are cleaned before them."""
    handled = [season.leaders[leader] for leader in chore.leaders if leader in season.leaders]
    return bool(handled) and all(leader.suspect for leader in handled)


class _PlaceOf:
    """The (row, place) a chore is shown under: its row, tunnel or loop, or the place nearest to the hands."""

    def __init__(self, season: Season) -> None:
        self._whole = {*season.layout.rows, *season.layout.loops, *(t.key for t in season.holding.tunnels), ""}
        self._places = {
            row: [(place.x_m, place.name) for place in standing.places]
            for row, (_, standing) in season.layout.rows.items()
        }

    def __call__(self, chore: Chore) -> tuple[str, str]:
        places = self._places.get(chore.row, [])
        if self.is_of_the_row(chore) or not places:
            return chore.row, chore.row or chore.about
        return chore.row, min(places, key=lambda p: (abs(p[0] - chore.x_m), p[1]))[1]

    def is_of_the_row(self, chore: Chore) -> bool:
        about = chore.about
        return about in self._whole or (chore.kind == "pick" and about.split(" ")[0] in self._whole)


def _walk(season: Season, chosen: list[Chore]) -> Callable[[Chore], tuple[float, ...]]:
    """Sort key of the walk."""
    place_of, along = _PlaceOf(season), walking_order(season, chosen)
    return lambda chore: along(chore.row, chore.x_m, place_of.is_of_the_row(chore))


def walking_order(season: Season, chosen: Iterable[Chore]) -> WalkOrder:
    """Sort key of (row, ``x_m``, whether it is of the whole row): loop by loop, each row once.

    Down the first row from its leading end and back along its partner; a loop with a lowering is walked against
    the way round instead, front head first. What belongs to the whole row comes at its beginning.
    """
    lowered = {c.about for c in chosen if c.kind == "lower"}
    loop_number = {loop: number for number, loop in enumerate(season.layout.loops)}
    row_number = {row: number for number, row in enumerate(season.layout.rows)}

    def key(row: str, x_m: float, whole: bool) -> tuple[float, ...]:
        loop = season.layout.loop_of_row.get(row)
        if loop is None:
            return (-1.0, 0.0, 0.0, 0.0)
        first_row = loop.stretches[0].row == row
        against = loop.id in lowered
        rows_order = float(row_number[row])
        along_m = x_m if first_row else -x_m
        if against:
            stretch = next(s for s in loop.stretches if s.row == row)
            rows_order = -stretch.u_start_m
            along_m = -loop.u_m(row, x_m)
        return (float(loop_number[loop.id]), rows_order, 0.0 if whole else 1.0, 0.0 if whole else along_m)

    return key


def places_walked(season: Season, chores: Iterable[Chore]) -> dict[str, tuple[str, ...]]:
    """Every row in the order in which a walk of ``chores`` passes it, with its places in that order."""
    along = walking_order(season, chores)
    rows = sorted(season.layout.rows, key=lambda row: along(row, 0.0, True))
    return {
        row: tuple(place.name for place in sorted(places, key=lambda place: along(row, place.x_m, False)))
        for row in rows
        for places in [season.layout.rows[row][1].places]
    }
