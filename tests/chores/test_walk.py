"""The round: musts first, what fits by worth of a minute, one walk, steps once a row."""

from __future__ import annotations

from datetime import timedelta
from random import Random

import pytest

from tests.chores.given import DAY, holding, leader, row, season
from tunneltui.chores.chore import Chore, Round
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.making import make_chore, on_the_loop, whole
from tunneltui.chores.walk import plan_round, priority
from tunneltui.demo.make import demo_entries
from tunneltui.holding.model import Work
from tunneltui.season.fold import fold
from tunneltui.season.state import Season

TWO_ROWS = holding(row(1), row(2, across_m=2.0), work=Work(minutes=60, evening_minutes=30, steps_minutes=5.0))


def made(
    here: Season, kind: str, number: int, minutes: float, leaders: tuple[str, ...] = (), **changes: object
) -> Chore:
    row_name = "W1" if number <= 12 else "W2"
    x_m = 0.58 * (number if number <= 12 else number - 12)
    where = on_the_loop(here, row_name, x_m)
    chore = make_chore(
        KINDS[kind],
        f"{row_name}-{number:02d}",
        where,
        when="any",
        earliest=DAY,
        latest=DAY,
        proposal="",
        why="",
        bits=whole(where, minutes, leaders=leaders),
    )
    return chore._replace(**changes)  # type: ignore[arg-type]


def all_of(planned: Round) -> list[Chore]:
    return [chore for spot in planned.spots for chore in spot.chores]


def many_chores(here: Season, seed: int) -> list[Chore]:
    luck = Random(seed)
    return [
        made(
            here,
            luck.choice(list(KINDS)),
            number,
            luck.uniform(0.3, 12.0),
            must=luck.random() < 0.15,
            overhead=luck.random() < 0.3,
            latest=DAY + timedelta(days=luck.randint(0, 6)),
        )
        for number in range(1, 25)
    ]


@pytest.mark.parametrize("minutes", [20.0, 45.0, 90.0])
@pytest.mark.parametrize("seed", range(6))
def test_musts_first_nothing_lost_and_nothing_left_out_that_fits(minutes: float, seed: int) -> None:
    here = season([leader(n) for n in range(1, 13)], TWO_ROWS)
    chores = many_chores(here, seed)
    planned = plan_round(here, chores, minutes=minutes)
    taken = all_of(planned)
    assert sorted([*taken, *planned.later], key=lambda c: c.id) == sorted(chores, key=lambda c: c.id)
    assert all(chore in taken for chore in chores if chore.must)
    steps = {chore.row for chore in taken if chore.overhead}
    assert planned.minutes_planned == pytest.approx(sum(c.minutes for c in taken) + 5.0 * len(steps))
    over = planned.minutes_planned > minutes
    assert not over or all(chore.must for chore in taken)
    for chore in planned.later:
        with_steps = 5.0 if chore.overhead and chore.row not in steps else 0.0
        assert planned.minutes_planned + chore.minutes + with_steps > minutes


@pytest.mark.parametrize("seed", range(4))
def test_every_row_is_walked_once(seed: int) -> None:
    here = season([leader(n) for n in range(1, 13)], TWO_ROWS)
    planned = plan_round(here, many_chores(here, seed), minutes=500)
    rows = [spot.row for spot in planned.spots]
    assert len([n for n, name in enumerate(rows) if n == 0 or rows[n - 1] != name]) == len(set(rows))
    for name in set(rows):
        along = [spot.x_m for spot in planned.spots if spot.row == name]
        assert along in (sorted(along), sorted(along, reverse=True))


def test_worth_of_a_minute() -> None:
    here = season([], TWO_ROWS)
    chore = made(here, "feed", 1, 4.0, latest=DAY + timedelta(days=3))
    # weight(kind) / (1 + days to latest) / minutes
    assert priority(here, chore) == pytest.approx(KINDS["feed"].weight / (1 + 3) / 4.0)


def test_over_budget_is_said_by_the_minutes() -> None:
    here = season([], TWO_ROWS)
    chores = [made(here, "repair", n, 10.0, must=True) for n in (1, 2, 3)]
    planned = plan_round(here, [*chores, made(here, "feed", 4, 1.0)], minutes=20)
    assert (planned.minutes_there, planned.minutes_planned) == (20, 30)
    assert [chore.kind for chore in planned.later] == ["feed"]


def test_steps_cost_a_row_once_and_then_let_more_fit() -> None:
    here = season([], TWO_ROWS)
    high = [made(here, "clip_head", n, 1.0, overhead=True) for n in (1, 2)]
    assert plan_round(here, high, minutes=6.9).minutes_planned == pytest.approx(6.0)
    both = plan_round(here, high, minutes=7.0)
    assert both.minutes_planned == pytest.approx(7.0)
    assert not both.later


def test_what_is_not_due_yet_waits() -> None:
    here = season([], TWO_ROWS)
    tomorrow = made(here, "pick", 1, 1.0, earliest=DAY + timedelta(days=1), latest=DAY + timedelta(days=1))
    planned = plan_round(here, [tomorrow], minutes=60)
    assert not planned.spots
    assert planned.later == (tomorrow,)


def test_the_loop_with_a_lowering_is_walked_against_the_way_round() -> None:
    here = season([leader(n) for n in range(1, 13)], TWO_ROWS)
    clips = [made(here, "second_clip", n, 1.0) for n in (2, 5, 9)]
    forwards = plan_round(here, clips, minutes=60)
    assert [spot.place for spot in forwards.spots] == ["W1-02", "W1-05", "W1-09"]
    lower = made(here, "lower", 9, 5.0, about="W1")
    backwards = plan_round(here, [*clips, lower], minutes=60)
    assert [spot.place for spot in backwards.spots] == ["W1", "W1-09", "W1-05", "W1-02"]


def test_suspects_come_last() -> None:
    sick = leader(2, suspect=True)
    here = season([sick, leader(5)], TWO_ROWS)
    chores = [
        made(here, "clip_head", 2, 1.0, (sick.id,)),
        made(here, "clip_head", 5, 1.0),
        made(here, "clip_head", 20, 1.0),
    ]
    planned = plan_round(here, chores, minutes=60)
    assert [spot.place for spot in planned.spots] == ["W1-05", "W2-08", "W1-02"]


def test_two_rounds_a_day() -> None:
    here = season([], TWO_ROWS)
    chores = [
        made(here, kind, n, 1.0)
        for n, kind in enumerate(("look", "pick", "deleaf", "lower", "string", "repair"), 1)
    ]
    morning, evening = (plan_round(here, chores, part=part) for part in ("morning", "evening"))
    assert {c.kind for c in all_of(morning)} == {"look", "pick", "deleaf", "repair"}
    assert {c.kind for c in all_of(evening)} == {"lower", "string", "repair"}
    assert (morning.minutes_there, evening.minutes_there) == (60, 30)
    assert {c.kind for c in evening.later} == {"look", "pick", "deleaf"}


def test_minutes_learned_over_the_holdings_over_the_usual() -> None:
    from tunneltui.chores.lowering import LOWER
    from tunneltui.chores.minutes import minutes_for

    own = holding(work=Work(minutes_by_chore={"lower": 2.0}))
    assert minutes_for(season(), LOWER, 4) == pytest.approx(4 * 75 / 60)
    assert minutes_for(season((), own), LOWER, 4) == pytest.approx(8.0)
    assert minutes_for(season((), own, timings={"lower": (30.0, 10)}), LOWER, 4) == pytest.approx(12.0)


def test_the_demo_fits_the_minutes_there_are() -> None:
    from tunneltui.chores.morning import plan_morning

    entries = demo_entries()
    day = fold(entries, DAY).holding.plays_on or DAY
    whole = plan_morning(entries, day)
    for minutes in (20.0, 45.0, 90.0):
        planned = plan_round(whole.season, whole.chores, minutes=minutes)
        assert len(all_of(planned)) + len(planned.later) == len(whole.chores)
        assert planned.minutes_planned <= minutes or all(c.must for c in all_of(planned))
    assert len({chore.kind for chore in whole.chores}) >= 8
    assert len({chore.id for chore in whole.chores}) == len(whole.chores)
