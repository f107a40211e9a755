"""What was found asks for what follows: late blight's three steps, end rot's fortnight, helpers to order.

The path itself is common practice, no source; the season is the fortnight of June.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from tests.care.june import DAY, june, later
from tunneltui.care.advice import Advice
from tunneltui.care.illness import illness
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import plan_morning
from tunneltui.growth.forecast import outlook
from tunneltui.journal.body import typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Scouted, Watered
from tunneltui.journal.kinds_crop import Deleafed, FruitLost, GreenStripped, Removed
from tunneltui.season.fold import fold


def _advised(entries: Sequence[Entry], day: date = DAY) -> list[Advice]:
    season = fold(entries, day)
    return list(illness(season, outlook(season)))


def _found(what: str, about: str = "T1-03", day: date = DAY, **more: bool) -> list[Entry]:
    return later(june(), day, about, Scouted(what, **more))  # type: ignore[arg-type]


def _chores(entries: Sequence[Entry], kind: str, day: date = DAY) -> list[Chore]:
    return [chore for chore in plan_morning(entries, day, minutes=600).chores if chore.kind == kind]


def test_blight_is_picked_stripped_and_cleared_in_that_order_and_at_once() -> None:
    chores = _chores(_found("late blight on two leaves"), "blight")
    assert [chore.about for chore in chores] == ["T1-03 1 pick", "T1-03 2 strip", "T1-03 3 clear"]
    assert all(chore.must for chore in chores)
    assert "hands and knife cleaned" in chores[0].why
    written = [type(typed(one)) for chore in chores for one in chore.writes]
    assert written == [GreenStripped, Deleafed, Removed]


def test_a_step_that_was_done_leaves_the_next() -> None:
    entries = _found("blight")
    first = _chores(entries, "blight")[0]
    for one in first.writes:
        entries = later(entries, DAY, one.about, typed(one), answers=first.answers)
    assert [chore.about for chore in _chores(entries, "blight")] == ["T1-03 2 strip", "T1-03 3 clear"]


@pytest.mark.parametrize("words", ["no blight", "not blight, only old leaves", "looked: never blight here"])
def test_what_was_not_found_asks_for_nothing(words: str) -> None:
    assert not _advised(_found(words))


def test_a_suspicion_that_is_over_asks_for_nothing() -> None:
    entries = later(_found("blight?", day=DAY - timedelta(days=1)), DAY, "T1-03", Scouted(over=True))
    assert not [one for one in _advised(entries) if one.kind == "blight"]


def test_of_a_whole_row_no_plant_is_cleared_on_a_word() -> None:
    (advice,) = [one for one in _advised(_found("blight", about="T1")) if one.kind == "blight"]
    assert advice.proposal == "T1: mark every plant with brown patches, and note which"


def test_old_news_is_no_news() -> None:
    found = _found("blight", day=DAY)
    assert _advised(found, DAY + timedelta(days=14))
    assert not _advised(found, DAY + timedelta(days=15))


def test_end_rot_looks_back_a_fortnight_at_the_rows_water() -> None:
    """30 minutes at 2 L/h from the 12th on: 8 days of 6 L, six days without before it; the timer is short."""
    entries = later(june(), DAY, "T1", FruitLost("round", count=4, why="blossom-end rot"))
    (advice,) = [one for one in _advised(entries) if one.kind == "end_rot"]
    assert "48 L given" in advice.why
    assert "6 days the longest without" in advice.why
    assert "1 of 14 days read were over 30 degC" in advice.why
    assert advice.proposal == "T1: end rot, water little and often, give more"
    assert not advice.must


def test_end_rot_on_a_well_watered_row_points_at_the_heat() -> None:
    watered = [
        entry._replace(body=json.dumps({"minutes": 45.0, "timer": True})) if entry.kind == "watered" else entry
        for entry in june()
    ]
    early = later(watered, DAY - timedelta(days=20), "T1", Watered(minutes=45, timer=True))
    entries = later(early, DAY, "T1", FruitLost("round", count=4, why="end rot"))
    (advice,) = [one for one in _advised(entries) if one.kind == "end_rot"]
    assert advice.proposal == "T1: end rot, doors and shade against the heat"


def test_helpers_are_ordered_with_the_day_they_can_be_here() -> None:
    (advice,) = _advised(_found("whitefly on the tips"))
    assert (advice.kind, advice.about) == ("order", "T whitefly")
    assert advice.proposal == "order Encarsia wasps against whitefly"
    assert "an order takes about 7 days, so here by Sat 27 Jun" in advice.why


@pytest.mark.parametrize("words", ["no whitefly", "russet mite", "holes by caterpillars", ""])
def test_nothing_is_ordered_where_there_is_none_or_no_helper(words: str) -> None:
    assert not [one for one in _advised(_found(words)) if one.kind == "order"]


def test_the_holdings_own_lead_time_stands_in_for_the_built_in_one() -> None:
    own = '\\n[[pests]]\\nkey = \\"whitefly\\"\\nhelper = \\"our wasps\\"\\norder_days = 3\\n'
    entries = [
        one._replace(body=one.body[:-2] + own + '"}') if one.kind == "holding_set" else one
        for one in _found("whitefly")
    ]
    (advice,) = _advised(entries)
    assert advice.proposal == "order our wasps against whitefly"
    assert "so here by Tue 23 Jun" in advice.why


def test_what_was_ordered_is_not_ordered_again() -> None:
    entries = _found("whitefly")
    (chore,) = _chores(entries, "order")
    for one in chore.writes:
        entries = later(entries, DAY, one.about, typed(one), answers=chore.answers)
    assert not _chores(entries, "order", DAY + timedelta(days=1))
    again = later(entries, DAY + timedelta(days=2), "T1-05", Scouted("whitefly again"))
    assert _chores(again, "order", DAY + timedelta(days=2))


def test_after_blight_every_other_plant_is_looked_at_daily_for_a_week() -> None:
    """Each look is for its day; a suspicion that was none ends them."""
    entries = _found("late blight on two leaves")

    def asked(of: Sequence[Entry], day: date) -> list[str]:
        return [one.about for one in _advised(of, day) if one.kind == "scout"]

    assert [bool(asked(entries, DAY + timedelta(days=n))) for n in range(10)] == [True] * 8 + [False] * 2
    looked = later(entries, DAY + timedelta(days=1), "T", Scouted())
    assert asked(looked, DAY + timedelta(days=1)) == []
    assert asked(looked, DAY + timedelta(days=2)) == ["T blight"]
    over = later(looked, DAY + timedelta(days=2), "T1-03", Scouted(over=True))
    assert asked(over, DAY + timedelta(days=3)) == []
    gone = later(entries, DAY, "T1-03", Removed(_plant_at(entries, "T1-03")))
    assert asked(gone, DAY + timedelta(days=1)) == ["T blight"], "clearing the sick one does not end the watch"


def _plant_at(entries: Sequence[Entry], place: str) -> str:
    return next(one.plant for one in fold(entries, DAY).leaders.values() if one.place == place)


@pytest.mark.parametrize(
    ("words", "pest"),
    [
        ("whiteflies on the tips", "whitefly"),
        ("greenfly", "aphid"),
        ("some blackflies", "aphid"),
        ("red spider webs on 07", "spider mite"),
        ("leaf miner lines", "leafminer"),
        ("Thrips", "thrips"),
    ],
)
def test_pests_are_known_by_the_names_growers_use(words: str, pest: str) -> None:
    assert [one.about for one in _advised(_found(words)) if one.kind == "order"] == [f"T {pest}"]
    assert not [one for one in _advised(_found(f"no {words}")) if one.kind == "order"]
