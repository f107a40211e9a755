"""Seasons side by side: kg picked so far by ISO week, and this week against the same week a year before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tunneltui.review.record import Record

Curve = dict[int, float]
"""kg picked so far by ISO week (ISO 8601), in order; a week without a pick is absent."""


@dataclass(frozen=True, slots=True)
class WeekAgainst:
    """One week, this year and last; None where that year's records hold no pick up to then."""

    week: int
    kg: float | None
    kg_last_year: float | None


def curves(record: Record) -> dict[int, Curve]:
    """A curve for each ISO year with a weighed pick, beginning anew each year."""
    found: dict[int, Curve] = {}
    for pick in sorted((p for p in record.picks if p.kg is not None), key=lambda p: p.day):
        year, week, _ = pick.day.isocalendar()
        curve = found.setdefault(year, {})
        so_far = next(reversed(curve.values()), 0.0)
        curve[week] = so_far + (pick.kg or 0.0)
    return found


def so_far(curve: Curve, week: int) -> float | None:
    """kg up to the end of that week; None before the first pick."""
    return next((kg for at, kg in reversed(curve.items()) if at <= week), None)


def this_week(found: dict[int, Curve], day: date) -> WeekAgainst | None:
    """The day's week against last year's; None where last year has no picks."""
    year, week, _ = day.isocalendar()
    if year - 1 not in found:
        return None
    return WeekAgainst(week, so_far(found.get(year, {}), week), so_far(found[year - 1], week))
