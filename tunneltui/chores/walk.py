"""The round: what fits the minutes there are, in walking order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from tunneltui.chores.chore import Chore, Part, Round, Spot
from tunneltui.chores.kinds import belongs_to, order_at_a_spot, weight
from tunneltui.season.state import Season

_NO_TIME_MINUTES = 0.1
"""A chore of no minutes would have no end of a priority."""


def plan_round(
    season: Season, chores: Sequence[Chore], *, minutes: float | None = None, part: Part = "day"
) -> Round:
    """Musts always, then by weight, days left and minutes; nothing that would still fit is left out.

    ``minutes`` None: the holding's. Fetching the steps counts once a row.
    """
    there = _minutes_there(season, part) if minutes is None else minutes
    now = [c for c in chores if c.earliest <= season.day and belongs_to(c.kind, part)]
    chosen = _chosen(season, now, there)
    taken = {chore.id for chore in chosen}
    return Round(
        day=season.day,
        part=part,
        minutes_there=there,
        minutes_planned=_planned(season, chosen),
        spots=_spots(season, chosen),
        later=tuple(sorted((c for c in chores if c.id not in taken), key=lambda c: (c.earliest, c.latest, c.id))),
    )


def _minutes_there(season: Season, part: Part) -> float:
    work = season.holding.work
    if part == "evening":
        return float(work.evening_minutes)
    return float(work.minutes)


def priority(season: Season, chore: Chore) -> float:
    """Worth of a minute spent on it: weight(kind) / (1 + days to latest) / minutes."""
    days_left = max(0, (chore.latest - season.day).days)
    return weight(chore.kind) / (1 + days_left) / max(chore.minutes, _NO_TIME_MINUTES)


def _chosen(season: Season, now: list[Chore], there: float) -> list[Chore]:
    chosen = [chore for chore in now if chore.must]
    rows_with_steps = {chore.row for chore in chosen if chore.overhead}
    left = there - _planned(season, chosen)
    waiting = sorted((c for c in now if not c.must), key=lambda c: (-priority(season, c), c.id))
    start_over = True
    while start_over:
        start_over, passed_over = False, []
        for place, chore in enumerate(waiting):
            steps = chore.overhead and chore.row not in rows_with_steps
            minutes = chore.minutes + (season.holding.work.steps_minutes if steps else 0.0)
            if minutes > left + 1e-9:
                passed_over.append(chore)
                continue
            chosen.append(chore)
            left -= minutes
            if steps:
                # Once the steps stand in a row, an overhead chore passed over there may fit.
                rows_with_steps.add(chore.row)
                passed_over += waiting[place + 1 :]
                start_over = True
                break
        waiting = passed_over
    return chosen


def _planned(season: Season, chosen: Iterable[Chore]) -> float:
    chosen = list(chosen)
    rows_with_steps = {chore.row for chore in chosen if chore.overhead}
    return sum(c.minutes for c in chosen) + season.holding.work.steps_minutes * len(rows_with_steps)


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
    """Sort key of the walk: loop by loop, each row once.

    Down the first row from its leading end and back along its partner; a loop with a lowering is walked against
    the way round instead, front head first. What belongs to the whole row comes at its beginning.
    """
    place_of = _PlaceOf(season)
    along = _along(season, chosen)

    def key(chore: Chore) -> tuple[float, ...]:
        loop, row, along_m = along(chore.row, chore.x_m)
        whole = place_of.is_of_the_row(chore)
        return (loop, row, 0.0 if whole else 1.0, 0.0 if whole else along_m)

    return key


def _along(season: Season, chosen: Iterable[Chore]) -> Callable[[str, float], tuple[float, float, float]]:
    """Where the walk of the ``chosen`` passes a place: number of its loop, of its row in it, and along the row."""
    lowered = {c.about for c in chosen if c.kind == "lower"}
    loop_number = {loop: number for number, loop in enumerate(season.layout.loops)}
    row_number = {row: number for number, row in enumerate(season.layout.rows)}

    def key(row: str, x_m: float) -> tuple[float, float, float]:
        loop = season.layout.loop_of_row.get(row)
        if loop is None:
            return (-1.0, 0.0, 0.0)
        if loop.id in lowered:
            stretch = next(s for s in loop.stretches if s.row == row)
            return (float(loop_number[loop.id]), -stretch.u_start_m, -loop.u_m(row, x_m))
        along_m = x_m if loop.stretches[0].row == row else -x_m
        return (float(loop_number[loop.id]), float(row_number[row]), along_m)

    return key


def places_walked(season: Season, chores: Iterable[Chore]) -> dict[str, tuple[str, ...]]:
    """Every row in the order in which a walk of ``chores`` passes it, with its places in that order."""
    along = _along(season, chores)
    rows = sorted(season.layout.rows, key=lambda row: along(row, 0.0)[:2])
    return {
        row: tuple(one.name for one in sorted(places, key=lambda one: along(row, one.x_m)))
        for row in rows
        for places in [season.layout.rows[row][1].places]
    }
