"""A journal goes on for years: what is foreseen of this crop rests on this crop."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest

from tests.benchmarks.made import DAY, LEADERS, house
from tunneltui.growth.forecast import outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.season.fold import fold

SINCE = date(2026, 1, 1)
OF_CROPS = {"holding_set", "planted", "measured", "truss_counted", "picked", "lowered", "tip_taken_out"}
"""Of earlier years; their air is left out, for of it the place's own weather is learned (picks move by 1 %)."""


@cache
def foreseen(years: int) -> Outlook:
    entries = house(LEADERS, years)
    return outlook(fold([entry for entry in entries if entry.day > SINCE or entry.kind in OF_CROPS], DAY))


@pytest.mark.parametrize("years", [2, 10])
def test_picks_of_a_later_season_are_those_of_that_season_alone(years: int) -> None:
    """Joined to last year's, picks of the second season were foreseen in bands twice as wide (beef 1.6 to 5.0 kg
    became .8 to 8.4)."""
    alone, later = foreseen(1), foreseen(years)
    assert [(pick.cultivar, pick.row, pick.day) for pick in later.picks] == [
        (pick.cultivar, pick.row, pick.day) for pick in alone.picks
    ]
    for was, now in zip((*alone.picks, *alone.ripe_today), (*later.picks, *later.ripe_today), strict=True):
        assert (now.kg.low, now.kg.mid, now.kg.high) == pytest.approx((was.kg.low, was.kg.mid, was.kg.high))
        assert now.trusses == pytest.approx(was.trusses)
    assert len(later.picks) > 10
