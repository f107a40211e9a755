"""Seasons side by side: kg picked so far by week, this week against the same a year before."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from msgspec import Struct

from tunneltui.review.record import PickRecord, SeasonRecord
from tunneltui.season.growing_year import GrowingYear

Curve = dict[int, float]
"""kg picked so far by week (``GrowingYear.week``), in order; a week without a pick is absent."""


class WeekAgainst(Struct, frozen=True):
    """One week, this year and last; None where that year's records hold no pick up to then."""

    week: int
    kg: float | None
    kg_last_year: float | None


def season_years(record: SeasonRecord) -> list[int]:
    """Every season with a plant put in, a pick or a loss, in order."""
    days = [
        *(plant.planted_on for plant in record.plants),
        *(pick.day for pick in (*record.picks, *record.losses)),
    ]
    return sorted({record.growing_year.of(day) for day in days})


def latest_season(record: SeasonRecord, day: date) -> int:
    """The season of the last planting or pick up to the day; the day's own where there was none."""
    today = record.growing_year.of(day)
    return max((year for year in season_years(record) if year <= today), default=today)


def curves(record: SeasonRecord, counts: Callable[[PickRecord], bool] = lambda _: True) -> dict[int, Curve]:
    """A curve for each season with a weighed pick that ``counts``, each beginning anew."""
    years: dict[int, Curve] = {}
    weighed = (pick for pick in record.picks if pick.kg is not None and counts(pick))
    for pick in sorted(weighed, key=lambda pick: pick.day):
        year, week = record.growing_year.week(pick.day)
        curve = years.setdefault(year, {})
        so_far = next(reversed(curve.values()), 0.0)
        curve[week] = so_far + (pick.kg or 0.0)
    return years


def so_far(curve: Curve, week: int) -> float | None:
    """kg up to the end of that week; None before the first pick."""
    return next((kg for at, kg in reversed(curve.items()) if at <= week), None)


def this_week(years: dict[int, Curve], growing: GrowingYear, day: date) -> WeekAgainst | None:
    """The day's week against last season's; None where that has no picks."""
    year, week = growing.week(day)
    if year - 1 not in years:
        return None
    return WeekAgainst(week, so_far(years.get(year, {}), week), so_far(years[year - 1], week))
