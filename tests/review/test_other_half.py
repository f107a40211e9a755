"""Seasons that cross the new year: south of the equator, and in mild winters north of it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.seasons.door import Door
from tunneltui.holding.new import Start, starter
from tunneltui.pages.season import season_page, span_words
from tunneltui.pages.text import plain_text
from tunneltui.review.look_back import LookBack, look_back
from tunneltui.review.plan import plan
from tunneltui.review.plan_values import Wishes
from tunneltui.review.record import record
from tunneltui.review.seasons import latest_season


def _worked(latitude_deg: float, planted_on: date, picks: list[date]) -> Door:
    start = Start(
        name="A tunnel",
        length_m=8.0,
        width_m=3.3,
        rows=1,
        places_per_row=6,
        spacing_m=0.5,
        wire_height_m=2.2,
        training="tiered",
        cultivars=("standard 1",),
        zone="UTC",
        latitude_deg=latitude_deg,
    )
    with Door(1, max(picks)) as door:
        door.new(starter(start), planted_on)
        for n in range(1, 7):
            door.add("planted", "cultivar=standard 1", about=f"W1-{n:02}", on=planted_on)
        for day in picks:
            door.add("picked", "cultivar=standard 1", "kg=2", about="W1", on=day)
        assert door.refused == []
        return door


def _back(door: Door) -> LookBack:
    season = door.season
    written = record(door.entries, season)
    since, until = written.growing_year.span(latest_season(written, door.day))
    return look_back(door.entries, season, "cultivar", since, until, written=written)


@pytest.mark.parametrize(("latitude_deg", "planted_on"), [(-43.0, date(2026, 10, 25)), (36.8, date(2026, 9, 5))])
def test_a_season_over_the_new_year_is_one(latitude_deg: float, planted_on: date) -> None:
    picks = [planted_on + timedelta(days=n) for n in range(75, 180, 7)]
    back = _back(_worked(latitude_deg, planted_on, picks))
    assert span_words(back.since, back.until) == "season 2026/27"
    assert [line.kg for line in back.yields] == [2.0 * len(picks)]
    assert list(back.curves) == [2026]
    so_far = list(back.curves[2026].values())
    assert so_far == sorted(so_far), "weeks in their order"
    assert so_far[-1] == 2.0 * len(picks)
    assert "2026/27" in plain_text(season_page(back))


@pytest.mark.parametrize("planted_on", [date(2026, 5, 20), date(2026, 7, 28)])
def test_vines_that_nobody_cleared_make_no_winter_crop(planted_on: date) -> None:
    """Who notes no clearing, or clears in February, has a season of one calendar year all the same; also one who
    began in July, and noted the planting on that day."""
    door = _worked(51.0, planted_on, [date(2026, 8, 20), date(2026, 10, 20)])
    door.go_to(date(2027, 2, 10))
    back = _back(door)
    assert span_words(back.since, back.until) == "season 2026"
    assert [line.kg for line in back.yields] == [4.0]


def test_next_spring_in_the_south_is_in_september() -> None:
    """Warm soil comes half a year after the north's of the typical year; this season's crop stands."""
    planted_on = date(2026, 10, 25)
    door = _worked(-43.0, planted_on, [date(2027, 1, 15)])
    dates = plan(door.entries, door.season, Wishes()).dates
    assert date(2027, 9, 1) <= dates.plant <= date(2027, 11, 15)
    assert dates.last_pick is not None
    assert date(2028, 3, 1) <= dates.last_pick <= date(2028, 5, 31)
    assert dates.tip_out is not None
    assert dates.plant < dates.tip_out < dates.last_pick


def test_an_autumn_crop_is_planted_again_in_autumn() -> None:
    """Planted in September and picked to March at 36.8 N, it was planned for the next spring."""
    planted_on = date(2026, 9, 5)
    door = _worked(36.8, planted_on, [planted_on + timedelta(days=n) for n in range(75, 180, 7)])
    assert plan(door.entries, door.season, Wishes()).dates.plant == date(2027, 9, 5)
    assert plan(door.entries, door.season, Wishes(plant=date(2027, 4, 1))).dates.plant == date(2027, 4, 1)
