"""On which days somebody works in the tunnels: as the holding says, else as the ticks of the last weeks tell."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from tunneltui.holding.model import WEEKDAYS
from tunneltui.season.state import Season

WEEK_DAYS = 7
TELLING_DAYS = 14
"""So long ticks must go back before they tell a week (assumed)."""
SURE = 0.9
WORKED_SHARE = 0.5
"""A day of the week ticked in fewer of its weeks is no work day (assumed)."""


def work_weekdays(season: Season) -> frozenset[int]:
    """Days of the week, Monday 0; all of them where nothing tells."""
    said = frozenset(WEEKDAYS.index(day) for day in season.holding.work.work_days)
    return said or _learned(season) or frozenset(range(WEEK_DAYS))


def _learned(season: Season) -> frozenset[int]:
    first = min(season.worked, default=season.day)
    span_days = (season.day - first).days
    if span_days < TELLING_DAYS:
        return frozenset()
    worked = Counter(day.weekday() for day in season.worked)
    came = Counter((first + timedelta(days=ahead)).weekday() for ahead in range(span_days))
    return frozenset(day for day, times in worked.items() if times >= WORKED_SHARE * came[day])


def next_work_day(season: Season, after: date) -> date:
    """The first work day after a day on which nobody is away; a fortnight on where there is none before."""
    weekdays = work_weekdays(season)
    for ahead in range(1, 2 * WEEK_DAYS + 1):
        day = after + timedelta(days=ahead)
        if day.weekday() in weekdays and not is_away(season, day):
            return day
    return after + timedelta(days=2 * WEEK_DAYS)


def sure_work_day(season: Season, after: date) -> date:
    """The work day by which somebody will have come, nine times in ten, by how many work days of the last weeks
    were kept: what must not wait for the one after a missed one is looked at with this day."""
    came = _kept_share(season)
    day = next_work_day(season, after)
    missed = 1 - came
    while missed > 1 - SURE and (day - after).days < WEEK_DAYS:
        missed *= 1 - came
        day = next_work_day(season, day)
    return day


def _kept_share(season: Season) -> float:
    """Of the work days since ticks are known; 1 until two weeks tell, and never under a third."""
    first = min(season.worked, default=season.day)
    span_days = (season.day - first).days
    if span_days < TELLING_DAYS:
        return 1.0
    weekdays = work_weekdays(season)
    days = [first + timedelta(days=ahead) for ahead in range(span_days)]
    meant = [day for day in days if day.weekday() in weekdays and not is_away(season, day)]
    kept = sum(day in season.worked for day in meant)
    return max(1 / 3, kept / len(meant)) if meant else 1.0


def work_days_ahead(season: Season) -> tuple[date, ...]:
    """Today, whatever day it is, and the work days of the six days after it."""
    weekdays = work_weekdays(season)
    coming = (season.day + timedelta(days=ahead) for ahead in range(1, WEEK_DAYS))
    return (season.day, *(day for day in coming if day.weekday() in weekdays and not is_away(season, day)))


def is_away(season: Season, day: date) -> bool:
    return any(first <= day <= last for first, last in season.aways)
