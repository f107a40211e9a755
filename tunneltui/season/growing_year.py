"""Where one season ends and the next begins.

North of the equator that is January and south of it July, unless vines are picked from over that (planted in late
summer, picked into spring): then the month over whose first day the fewest were. A season is named by the calendar
year in which it begins.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

A_FEW = 0.1
"""Of all plants so many may bear over the usual beginning of a season. Assumed."""
ISO_WEEKS = 52
"""A year has 52 ISO weeks, now and then 53."""
HALF_A_YEAR = 6
LONGEST_SEASON = timedelta(days=300)
"""From planting to the last pick. Assumed."""


class GrowingYear(Struct, frozen=True):
    month: int = 1
    """The month in which it begins."""

    def of(self, day: date) -> int:
        """The season of a day."""
        return day.year if day.month >= self.month else day.year - 1

    def month_of(self, day: date) -> int:
        """Months of the season begun by that day: 1 in its first."""
        return (day.month - self.month) % 12 + 1

    def span(self, year: int) -> tuple[date, date]:
        """First and last day of a season, both counted."""
        return date(year, self.month, 1), date(year + 1, self.month, 1) - timedelta(days=1)

    def week(self, day: date) -> tuple[int, int]:
        """The season and the ISO week (ISO 8601) of a day, counted on past the new year: 53 is the next year's
        first week. A week belongs where its Thursday does."""
        season = self.of(day + timedelta(days=4 - day.isoweekday()))
        iso = day.isocalendar()
        return season, iso.week + (ISO_WEEKS if iso.year > season else 0)

    def week_number(self, week: int) -> int:
        """As the calendar has it."""
        return week if self.month == 1 or week <= ISO_WEEKS else week - ISO_WEEKS

    def name(self, year: int) -> str:
        return str(year) if self.month == 1 else f"{year}/{(year + 1) % 100:02}"


CALENDAR_YEAR = GrowingYear()


def growing_year(crops: Iterable[tuple[date, date]], latitude_deg: float | None) -> GrowingYear:
    """``crops``: of each plant its planting and the last pick from it, whenever it was cleared."""
    usual = usual_growing_year(latitude_deg).month
    of_days = Counter(crops)
    over: Counter[int] = Counter()
    for (planted_on, last), plants in of_days.items():
        for month in range(planted_on.year * 12 + planted_on.month, last.year * 12 + last.month):
            # The months that began meanwhile; the one it was planted in is not among them.
            over[month % 12 + 1] += plants
    if over[usual] <= A_FEW * of_days.total():
        return GrowingYear(usual)
    return GrowingYear(min(range(1, 13), key=lambda month: (over[month], _apart(month, usual))))


def picked_from(plants: Iterable[tuple[date, date | None]], picks: Iterable[date]) -> Iterator[tuple[date, date]]:
    """Of each plant its planting and the last pick while it stood, at most a season on: who clears in winter, or
    notes no clearing, has no crop then. ``plants``: day of planting and of its end."""
    days = sorted(set(picks))
    for planted_on, ended_on in plants:
        until = min(ended_on or date.max, planted_on + LONGEST_SEASON)
        at = bisect_right(days, until)
        yield planted_on, max(planted_on, days[at - 1]) if at else planted_on


def usual_growing_year(latitude_deg: float | None) -> GrowingYear:
    """Where nothing was picked yet."""
    return CALENDAR_YEAR if (latitude_deg or 0.0) >= 0 else GrowingYear(1 + HALF_A_YEAR)


def year_on(day: date) -> date:
    """The same day of the next year; 28 February after a leap day."""
    return day.replace(year=day.year + 1, day=28 if (day.month, day.day) == (2, 29) else day.day)


def _apart(month: int, usual: int) -> tuple[int, bool]:
    """Months between them either way round the year; the later of two as far comes first."""
    after = (month - usual) % 12
    return min(after, 12 - after), after > HALF_A_YEAR
