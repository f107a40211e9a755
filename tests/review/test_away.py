"""Days away: every chore due is in one list only, picks and water are those foreseen, and bad days are refused."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.report.made import morning
from tunneltui.care.row_water import row_water
from tunneltui.holding.user_error import UserError
from tunneltui.pages.away import away_document, away_text
from tunneltui.review.away import MINDED, away

FIRST = morning().day + timedelta(days=2)
LAST = FIRST + timedelta(days=6)


def test_what_falls_due_is_before_or_meanwhile() -> None:
    plan = away(morning(), FIRST, LAST)
    due = {c.id for c in morning().chores if c.latest <= LAST and c.kind not in MINDED}
    before, meanwhile = {c.id for c in plan.before}, {c.id for c in plan.meanwhile}
    assert before | meanwhile == due
    assert not before & meanwhile
    assert before
    assert all(chore.earliest < FIRST for chore in plan.before)


def test_leaving_today_leaves_no_time_before() -> None:
    assert away(morning(), morning().day, LAST).before == []


def test_picks_and_water_for_who_minds_the_house() -> None:
    now = morning()
    plan = away(now, FIRST, LAST)
    assert set(plan.picks) == {pick for pick in now.outlook.picks if FIRST <= pick.day <= LAST}
    assert plan.picks
    assert [pick.day for pick in plan.picks] == sorted(pick.day for pick in plan.picks)
    tunnel, row = now.season.layout.rows["W1"]
    asked = row_water(now.season, now.outlook, tunnel, row)
    assert asked is not None
    said = next(one for one in plan.water if one.row == "W1")
    assert said.low_l == pytest.approx(asked[0].low_l * asked[1])


def test_beyond_what_is_foreseen_is_said() -> None:
    late = away(morning(), FIRST, FIRST + timedelta(days=40))
    assert late.foreseen_to is not None
    assert "ask again then" in away_text(late)
    assert away(morning(), FIRST, LAST).foreseen_to is None


def test_days_that_cannot_be() -> None:
    for first, last in ((LAST, FIRST), (morning().day - timedelta(days=1), LAST)):
        with pytest.raises(UserError):
            away(morning(), first, last)


def test_text_is_narrow_and_the_document_agrees() -> None:
    plan = away(morning(), FIRST, LAST)
    assert max(map(len, away_text(plan).splitlines())) <= 80
    assert len(away_document(plan)["picks"]) == len(plan.picks)
