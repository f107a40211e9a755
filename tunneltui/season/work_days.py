"""On which days somebody works in the tunnels: as the holding says, else as the ticks of the last weeks tell."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import lru_cache
from itertools import combinations

from tunneltui.holding.model import WEEKDAYS
from tunneltui.season.state import Season

WEEK_DAYS = 7
TELLING_DAYS = 14
"""Days that ticks must go back before they tell a week (assumed)."""
SURE = 0.9
MOST_AHEAD_DAYS = 14
"""No further ahead is looked for the day by which something will be done."""
LEAST_DONE = 1 / 3
"""Who does less than this of what is asked for is planned for as if it were this (assumed)."""
ASKED_TELL_DAYS = 28
LOOK_DAYS = 7
"""A row is looked along once a week in any case: strings, knots and hooks have no odds of their own."""
KEPT_COUNTS_FOR = 4
"""As often asked for as this, the work days kept count for as much as what was asked for and done (assumed)."""
WORKED_SHARE = 0.5
"""A day of the week ticked in fewer of its weeks is no work day (assumed)."""


def work_weekdays(season: Season) -> frozenset[int]:
    """Days of the week, Monday 0; all of them where nothing tells."""
    named = frozenset(WEEKDAYS.index(day) for day in season.holding.work.work_days)
    return named or _learned(season.worked, season.day) or frozenset(range(WEEK_DAYS))


def pick_weekdays(season: Season) -> frozenset[int]:
    """Days of the week on which is picked, Monday 0: as the holding says, else two work days, as far apart as they
    lie. Days on which nobody works are none, whatever the holding says of picks."""
    worked = work_weekdays(season)
    named = frozenset(WEEKDAYS.index(day) for day in season.holding.work.pick_days)
    return (named & worked if season.holding.work.work_days else named) or _far_apart(worked)


@lru_cache(maxsize=8)
def _far_apart(weekdays: frozenset[int]) -> frozenset[int]:
    """Two of them, with the longest shorter gap between; the earliest in the week of several such."""
    pairs = combinations(sorted(weekdays), 2)
    return frozenset(
        max(pairs, key=lambda pair: min(pair[1] - pair[0], WEEK_DAYS - pair[1] + pair[0]), default=weekdays)
    )


@lru_cache(maxsize=8)
def _learned(worked: tuple[date, ...], today: date) -> frozenset[int]:
    """One for all that asks for the next work day, stem by stem."""
    first = min(worked, default=today)
    span_days = (today - first).days
    if span_days < TELLING_DAYS:
        return frozenset()
    times_worked = Counter(day.weekday() for day in worked)
    came = Counter((first + timedelta(days=ahead)).weekday() for ahead in range(span_days))
    return frozenset(day for day, times in times_worked.items() if times >= WORKED_SHARE * came[day])


def next_work_day(season: Season, after: date) -> date:
    """The first work day after a day on which nobody is away; a fortnight on where there is none before."""
    weekdays = work_weekdays(season)
    for ahead in range(1, 2 * WEEK_DAYS + 1):
        day = after + timedelta(days=ahead)
        if day.weekday() in weekdays and not is_away(season, day):
            return day
    return after + timedelta(days=2 * WEEK_DAYS)


def sure_work_day(season: Season, after: date) -> date:
    """The work day by which what is asked for will have been done, nine times in ten: what must not wait for
    longer is looked at with this day."""
    left = 1 - done_share(season)
    day = next_work_day(season, after)
    undone = left
    while undone > 1 - SURE and (day - after).days < MOST_AHEAD_DAYS:
        undone *= left
        day = next_work_day(season, day)
    return day


def done_share(season: Season) -> float:
    """Of what is asked for on a work day, how much is done on it: by the work days kept, until picks and looks
    tell.

    A morning may be missed, and a chore of the others; what is done at last tells of both, where the journal tells
    when it was asked for first.
    """
    asked, done = season.asked_and_done
    return max(LEAST_DONE, (done + KEPT_COUNTS_FOR * _kept_share(season)) / (asked + KEPT_COUNTS_FOR))


def asked_and_done(season: Season, looked: Mapping[str, Sequence[date]]) -> tuple[int, int]:
    """How often, in the weeks before this day, something was asked for of which the days are known without its
    round, and how often it was done that day: picks on pick days, each cultivar of each row by itself, and looks
    along rows. ``looked``: days on which rows were looked along, in order.
    """
    back = [season.day - timedelta(days=ahead) for ahead in range(1, ASKED_TELL_DAYS + 1)]
    weekdays = work_weekdays(season)
    days = [day for day in back if day.weekday() in weekdays and not is_away(season, day)]
    outcomes = [*_picks(season, days), *_looks(season, days, looked)]
    return len(outcomes), sum(outcomes)


def _picks(season: Season, days: Iterable[date]) -> Iterator[bool]:
    """Of every pick day whether there was a pick, once a row has been picked and while it stands."""
    weekdays = pick_weekdays(season)
    picked: dict[tuple[str, str], set[date]] = defaultdict(set)
    for pick in season.picks:
        if pick.row and pick.day < season.day:
            picked[pick.row, pick.picked.cultivar].add(pick.day)
    standing = {(leader.row, leader.cultivar) for leader in season.leaders.values()}
    pick_days = [day for day in days if day.weekday() in weekdays]
    for key in standing & picked.keys():
        yield from (day in picked[key] for day in pick_days if day >= min(picked[key]))


def _looks(season: Season, days: Iterable[date], looked: Mapping[str, Sequence[date]]) -> Iterator[bool]:
    """Of every day on which the last look along a row was a week old whether it was looked along again."""
    rows = {leader.row for leader in season.leaders.values()}
    for row in rows & looked.keys():
        for day in days:
            number = bisect_left(looked[row], day)
            if number and (day - looked[row][number - 1]).days >= LOOK_DAYS:
                yield day in looked[row][number : number + 1]


def _kept_share(season: Season) -> float:
    """Of the work days since ticks are known; 1 until two weeks tell."""
    first = min(season.worked, default=season.day)
    span_days = (season.day - first).days
    if span_days < TELLING_DAYS:
        return 1.0
    weekdays = work_weekdays(season)
    days = [first + timedelta(days=ahead) for ahead in range(span_days)]
    meant = [day for day in days if day.weekday() in weekdays and not is_away(season, day)]
    kept = sum(day in season.worked for day in meant)
    return kept / len(meant) if meant else 1.0


def work_days_ahead(season: Season) -> tuple[date, ...]:
    """Today, whatever day it is, and the work days of the six days after it."""
    weekdays = work_weekdays(season)
    coming = (season.day + timedelta(days=ahead) for ahead in range(1, WEEK_DAYS))
    return (season.day, *(day for day in coming if day.weekday() in weekdays and not is_away(season, day)))


def is_away(season: Season, day: date) -> bool:
    return any(first <= day <= last for first, last in season.aways)
