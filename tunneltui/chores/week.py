"""The week: work with a window is laid where the minutes are, and what does not fit is named.

Every piece of work may be done from a day on and is due by a day. Of the pieces due within the coming week
those worth most a minute are kept as long as all of them fit between their days; the rest gives. What is kept is
laid level: each work day gets what falls due before the next one, and no more of the later work than the fullest
stretch ahead asks for, so that a light week stays light. Own form, judged in the simulated seasons of
``tests/seasons``.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

WEEK_DAYS = 7
LEAST_MINUTES = 3.0
"""A pass is not begun for less while it may wait, nor stopped so short of its end (assumed)."""
_NEARLY = 1e-6


class Task(NamedTuple):
    """A piece of work as the week sees it."""

    chore: str
    """Id of its chore; pieces of one chore are gone through together."""
    key: str
    kind: str
    minutes: float
    earliest: date
    latest: date
    worth: float
    """Kilograms saved a minute if it is done this week rather than not."""
    steps: str = ""
    """The row whose steps it needs; '' from the ground."""


class WorkDay(NamedTuple):
    day: date
    minutes: float
    """There are."""


class DayPlan(NamedTuple):
    """What one work day holds if each day's work before it is done."""

    day: date
    minutes_there: float
    minutes: float
    """Planned, the fetching of steps included."""
    tasks: tuple[Task, ...]


class Week(NamedTuple):
    days: tuple[DayPlan, ...]
    """Today first."""
    level_minutes: float
    """What each work day would hold, were all days alike."""
    gives: tuple[Task, ...]
    """Due within the week, and no room for it: worth most first."""
    waits: tuple[Task, ...]
    """Due today, and laid on a later day."""

    @property
    def short_minutes(self) -> float:
        """By how much the week holds more than there is time for."""
        return sum(task.minutes for task in self.gives)


class _Placed(NamedTuple):
    """Tasks that are done together, with the first and the last work day for them, by their number."""

    tasks: tuple[Task, ...]
    minutes: float
    first: int
    due: int

    @property
    def task(self) -> Task:
        """One for all: they are of one chore and of one worth."""
        return self.tasks[0]


def plan_week(tasks: Iterable[Task], days: Sequence[WorkDay], steps_minutes: float = 0.0) -> Week:
    """Lay the tasks over the work days of the coming week, ``days[0]`` being today.

    ``steps_minutes``: what fetching the steps costs, once a day and row. Tasks due after the week are left for
    later weeks; overdue ones are due today.
    """
    room = [day.minutes for day in days]
    placed = list(_placed(tasks, days))
    kept, given = _kept(placed, room)
    level = level_minutes(_bound(kept, room, 0), _due(kept, len(days), 0))
    plans: list[DayPlan] = []
    waits: list[Task] = []
    for number, day in enumerate(days):
        taken = _of_day(kept, given, room, number, steps_minutes)
        waits += [task for piece in taken if piece.due == 0 < number for task in piece.tasks]
        chosen = {id(piece) for piece in taken}
        given = [piece for piece in given if id(piece) not in chosen]
        given += [piece for piece in kept if id(piece) not in chosen and piece.due <= number]
        kept = [piece for piece in kept if id(piece) not in chosen and piece.due > number]
        tasks_taken = tuple(task for piece in taken for task in piece.tasks)
        rows_with_steps = {task.steps for task in tasks_taken if task.steps}
        minutes = _minutes(taken) + steps_minutes * len(rows_with_steps)
        plans.append(DayPlan(day.day, day.minutes, minutes, tasks_taken))
    gives = sorted((task for piece in given for task in piece.tasks), key=lambda task: -task.worth)
    return Week(tuple(plans), level, tuple(gives), tuple(waits))


def level_minutes(bound: Sequence[float], due: Sequence[float]) -> float:
    """The least that each day must hold. ``bound[j]``: minutes tied to day j; ``due[j]``: minutes of other work
    due on day j or before."""
    return max((_filled(bound[: last + 1], minutes) for last, minutes in enumerate(due)), default=0.0)


def _filled(bound: Sequence[float], minutes: float) -> float:
    """How high so many minutes rise when they are poured over days that hold ``bound`` already; 0 for none."""
    if minutes <= _NEARLY:
        return 0.0
    held = 0.0
    levels = sorted(bound)
    for number, low in enumerate(levels, 1):
        held += low
        level = (minutes + held) / number
        if number == len(levels) or level <= levels[number]:
            return level
    return 0.0


def _placed(tasks: Iterable[Task], days: Sequence[WorkDay]) -> Iterator[_Placed]:
    dates = [day.day for day in days]
    horizon = dates[0] + timedelta(days=WEEK_DAYS - 1)
    for group in _never_cut(tasks):
        task = group[0]
        first = 0 if task.earliest <= dates[0] else bisect_left(dates, task.earliest)
        due = max(0, bisect_right(dates, task.latest) - 1)
        # What nobody has to do before the week is out is not of this week; what falls due on its free days is.
        later = task.latest > horizon and len(dates) > 1
        if first < len(dates) and not later:
            yield _Placed(group, sum(one.minutes for one in group), first, max(first, due))


def _never_cut(tasks: Iterable[Task]) -> Iterator[tuple[Task, ...]]:
    """Each by itself, but all of a walk of a minute or two together: it is gone to its end or not begun. Where
    some of it is due sooner or worth more than the rest, each stands alone."""
    of_chore: dict[str, list[Task]] = defaultdict(list)
    for task in tasks:
        of_chore[task.chore].append(task)
    for group in of_chore.values():
        alike = len({(task.earliest, task.latest, task.worth) for task in group}) == 1
        if alike and sum(task.minutes for task in group) < LEAST_MINUTES:
            yield tuple(group)
        else:
            yield from ((task,) for task in group)


def _kept(placed: Sequence[_Placed], room: Sequence[float]) -> tuple[list[_Placed], list[_Placed]]:
    """The pieces worth most that fit together, and the others.

    Pieces fit where no stretch of days must hold more than it has room for (interval scheduling, Hall's
    condition); taking them by worth is best, as fitting sets of equal pieces are a matroid. Alike ones are taken
    by the number.
    """
    stretches = [(a, b) for a in range(len(room)) for b in range(a, len(room))]
    left = {(a, b): sum(room[a : b + 1]) for a, b in stretches}
    alike: dict[tuple[float, int, int, float, float], list[_Placed]] = defaultdict(list)
    for piece in placed:
        alike[(-piece.task.worth, piece.due, piece.first, piece.task.minutes, piece.minutes)].append(piece)
    kept: list[_Placed] = []
    gives: list[_Placed] = []
    for (_, due, first, _, minutes), group in sorted(alike.items(), key=lambda item: item[0]):
        around = [(a, b) for a, b in stretches if a <= first and b >= due]
        free = min(left[stretch] for stretch in around)
        count = len(group) if minutes <= _NEARLY else min(len(group), int((free + _NEARLY) / minutes))
        count = max(0, count)
        for stretch in around:
            left[stretch] -= count * minutes
        kept += group[:count]
        gives += group[count:]
    return kept, gives


def _bound(kept: Iterable[_Placed], room: Sequence[float], today: int) -> list[float]:
    """Minutes by day, from ``today`` on, of what cannot be done today: each on the emptiest of its days."""
    bound = [0.0] * len(room)
    to_come = sorted(
        (placed for placed in kept if placed.first > today), key=lambda placed: (placed.due, placed.first)
    )
    for placed in to_come:
        day = min(range(placed.first, placed.due + 1), key=lambda number: (bound[number], number))
        bound[day] += placed.minutes
    return bound[today:]


def _due(kept: Iterable[_Placed], days: int, today: int) -> list[float]:
    """Minutes of what may be done today, by the day it is due on or before."""
    due = [0.0] * days
    for placed in kept:
        if placed.first <= today:
            due[max(placed.due, today)] += placed.minutes
    total, sums = 0.0, []
    for minutes in due[today:]:
        total += minutes
        sums.append(total)
    return sums


def _of_day(
    kept: Sequence[_Placed], given: Iterable[_Placed], room: Sequence[float], today: int, steps_minutes: float
) -> list[_Placed]:
    """What one day gets: all that is due on it, then by due day and worth up to the level; what gave fills up the
    minutes that are left."""
    able = sorted(
        (placed for placed in kept if placed.first <= today),
        key=lambda placed: (max(placed.due, today), -placed.task.worth, placed.task.chore),
    )
    level = level_minutes(_bound(kept, room, today), _due(kept, len(room), today))
    least = max(level, _no_room_later(kept, room, today))
    filling = _Filling(room[today], steps_minutes)
    for placed in able:
        if placed.due <= today or filling.minutes < least - _NEARLY:
            filling.take(placed)
    taken = _in_whole_passes(filling, able, kept, room, today)
    filling.begin_again(taken)
    for placed in sorted(given, key=lambda placed: (-placed.task.worth, placed.task.chore)):
        # Overdue it is still to be done: a day with minutes left takes it.
        if placed.first <= today:
            filling.take(placed)
    return filling.taken


def _no_room_later(kept: Iterable[_Placed], room: Sequence[float], today: int) -> float:
    """Minutes for which the days after today have no room before they are due."""
    due = [0.0] * len(room)
    for placed in kept:
        due[max(placed.due, today)] += placed.minutes
    most, needed, room_later = 0.0, 0.0, 0.0
    for day in range(today, len(room)):
        needed += due[day]
        room_later += room[day] if day > today else 0.0
        most = max(most, needed - room_later)
    return most


class _Filling:
    """A day as it fills."""

    def __init__(self, room: float, steps_minutes: float) -> None:
        self.room = room
        self.steps_minutes = steps_minutes
        self.begin_again(())

    def begin_again(self, taken: Iterable[_Placed]) -> None:
        self.minutes = 0.0
        self.taken: list[_Placed] = []
        self.rows: set[str] = set()
        for placed in taken:
            self.take(placed)

    def take(self, placed: _Placed) -> bool:
        """Whether there was room for it, and for fetching its steps."""
        minutes = placed.minutes
        if placed.task.steps and placed.task.steps not in self.rows:
            minutes += self.steps_minutes
        if self.minutes + minutes > self.room + _NEARLY:
            return False
        self.minutes += minutes
        self.taken.append(placed)
        if placed.task.steps:
            self.rows.add(placed.task.steps)
        return True


def _in_whole_passes(
    filling: _Filling, able: Sequence[_Placed], kept: Sequence[_Placed], room: Sequence[float], today: int
) -> list[_Placed]:
    """No pass begun for a minute or two that may wait, nor stopped a minute or two before its end."""
    of_chore: dict[str, list[_Placed]] = defaultdict(list)
    for placed in able:
        of_chore[placed.task.chore].append(placed)
    taken = {id(placed) for placed in filling.taken}
    for pieces in of_chore.values():
        mine = [piece for piece in pieces if id(piece) in taken]
        rest = [piece for piece in pieces if id(piece) not in taken]
        if not mine or not rest:
            continue
        if _minutes(rest) < LEAST_MINUTES:
            taken |= {id(placed) for placed in rest if filling.take(placed)}
        elif _minutes(mine) < LEAST_MINUTES and all(placed.due > today for placed in mine):
            without = taken - {id(placed) for placed in mine}
            put_off = [placed for placed in kept if id(placed) not in without]
            if _no_room_later(put_off, room, today) <= _NEARLY:
                taken = without
    return [placed for placed in filling.taken if id(placed) in taken]


def _minutes(pieces: Iterable[_Placed]) -> float:
    return sum(piece.minutes for piece in pieces)
