"""Where a season begins, whatever the hemisphere and the crop."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tunneltui.season.growing_year import CALENDAR_YEAR, GrowingYear, growing_year

SPRING_CROP = [(date(2026, 5, 1), date(2026, 11, 10)), (date(2027, 4, 20), date(2027, 11, 2))]
WINTER_CROP = [(date(2026, 9, 1), date(2027, 6, 10)), (date(2027, 9, 8), date(2028, 1, 10))]
"""Planted in late summer and picked into the next one, as where winters are mild (common practice, no source)."""


@pytest.mark.parametrize(
    ("crops", "latitude_deg", "month"),
    [
        ([], 52.0, 1),
        ([], None, 1),
        ([], -43.0, 7),
        (SPRING_CROP, 52.0, 1),
        ([(date(2026, 10, 25), date(2027, 5, 20))], -43.0, 7),
        (WINTER_CROP, 37.0, 9),
        (WINTER_CROP[:1], 37.0, 9),
        ([(date(2026, 9, 1), date(2027, 1, 20))], 37.0, 2),
        ([*SPRING_CROP * 20, (date(2026, 8, 1), date(2027, 3, 1))], 52.0, 1),
    ],
)
def test_a_season_begins_where_few_plants_bear(
    crops: list[tuple[date, date]], latitude_deg: float | None, month: int
) -> None:
    assert growing_year(crops, latitude_deg) == GrowingYear(month)


def test_a_calendar_year_counts_as_iso_8601_does() -> None:
    """ISO 8601: 2026 has 53 weeks, and 1 January 2027 is in the last of them."""
    for day in (date(2025, 12, 28) + timedelta(days=n) for n in range(800)):
        year, week, _ = day.isocalendar()
        assert CALENDAR_YEAR.week(day) == (year, week)
        assert CALENDAR_YEAR.week_number(week) == week


def test_weeks_go_on_past_the_new_year() -> None:
    growing = GrowingYear(7)
    days = [date(2026, 12, 28), date(2027, 1, 4), date(2027, 5, 10)]
    assert [growing.week(day) for day in days] == [(2026, 53), (2026, 53), (2026, 71)]
    assert growing.week_number(71) == 19 == days[-1].isocalendar().week
    assert growing.span(2026) == (date(2026, 7, 1), date(2027, 6, 30))
    assert growing.name(2026) == "2026/27"
