"""Seasons: their spans, and side by side kg picked so far by ISO week, this week against the same a year before.

A season is a calendar year: where vines are grown in unheated tunnels south of the equator, a season crosses
the new year and its two halves stand as two.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from msgspec import Struct

from tunneltui.review.record import PickRecord, SeasonRecord

Curve = dict[int, float]
"""kg picked so far by ISO week (ISO 8601), in order; a week without a pick is absent."""
Span = tuple[date, date]
"""First and last day, both counted."""


class WeekAgainst(Struct, frozen=True):
    """One week, this year and last; None where that year's records hold no pick up to then."""

    week: int
    kg: float | None
    kg_last_year: float | None


def season_span(year: int) -> Span:
    return date(year, 1, 1), date(year, 12, 31)


def season_years(record: SeasonRecord) -> list[int]:
    """Every year with a plant put in, a pick or a loss, in order."""
    days = [
        *(plant.planted_on for plant in record.plants),
        *(pick.day for pick in (*record.picks, *record.losses)),
    ]
    return sorted({day.year for day in days})


def latest_season(record: SeasonRecord, day: date) -> int:
    """The year of the last planting or pick up to the day; the day's own where there was none."""
    return max((year for year in season_years(record) if year <= day.year), default=day.year)


def curves(record: SeasonRecord, counts: Callable[[PickRecord], bool] = lambda _: True) -> dict[int, Curve]:
    """A curve for each ISO year with a weighed pick that ``counts``, beginning anew each year."""
    years: dict[int, Curve] = {}
    weighed = (pick for pick in record.picks if pick.kg is not None and counts(pick))
    for pick in sorted(weighed, key=lambda pick: pick.day):
        year, week, _ = pick.day.isocalendar()
        curve = years.setdefault(year, {})
        so_far = next(reversed(curve.values()), 0.0)
        curve[week] = so_far + (pick.kg or 0.0)
    return years


def so_far(curve: Curve, week: int) -> float | None:
    """kg up to the end of that week; None before the first pick."""
    return next((kg for at, kg in reversed(curve.items()) if at <= week), None)


def this_week(years: dict[int, Curve], day: date) -> WeekAgainst | None:
    """The day's week against last year's; None where last year has no picks."""
    year, week, _ = day.isocalendar()
    if year - 1 not in years:
        return None
    return WeekAgainst(week, so_far(years.get(year, {}), week), so_far(years[year - 1], week))
