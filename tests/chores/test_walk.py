"""The round: what is worth most of what is due, never over the minutes, one walk, steps once a row."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

import pytest

from tests.chores.given import DAY, bodies, holding, leader, loads, outlook, row, season, stem
from tunneltui.chores.chore import Chore, Round
from tunneltui.chores.heads import heads
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.leaves import side_shoot
from tunneltui.chores.look import look
from tunneltui.chores.making import make_chore, on_the_loop, whole
from tunneltui.chores.picking import pick
from tunneltui.chores.rules import finished
from tunneltui.chores.walk import plan_round
from tunneltui.demo.make import demo_entries
from tunneltui.growth.outlook import Band, PickOutlook
from tunneltui.holding.model import Work
from tunneltui.journal.kinds_crop import Picked
from tunneltui.memo import Stages
from tunneltui.pages.round import gives_way, week_lines
from tunneltui.season.fold import fold
from tunneltui.season.state import Leader, Season

TWO_ROWS = holding(row(1), row(2, across_m=2.0), work=Work(minutes=60, evening_minutes=30, steps_minutes=5.0))


def made(
    here: Season, kind: str, number: int, minutes: float, leaders: tuple[str, ...] = (), **changes: object
) -> Chore:
    row_name = "W1" if number <= 12 else "W2"
    x_m = 0.58 * (number if number <= 12 else number - 12)
    where = on_the_loop(here, row_name, x_m)
    said = {"when": "any", "earliest": DAY, "latest": DAY, "proposal": "", "why": ""} | changes
    about = said.pop("about", f"{row_name}-{number:02d}")
    pieces = whole(where, minutes, leaders=leaders)
    return make_chore(KINDS[kind], about, where, pieces=pieces, **said)  # type: ignore[arg-type]


def all_of(planned: Round) -> list[Chore]:
    return [chore for spot in planned.spots for chore in spot.chores]


def many_chores(here: Season, seed: int) -> list[Chore]:
    luck = Random(seed)
    chores = (
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
    )
    return [keyed(chore, chore.about) for chore in chores]


def keyed(chore: Chore, key: str) -> Chore:
    """Its pieces told by that key, as those of a leader are by its id."""
    return chore._replace(pieces=tuple(piece._replace(key=key) for piece in chore.pieces))


@pytest.mark.parametrize("minutes", [20.0, 45.0, 90.0])
@pytest.mark.parametrize("seed", range(6))
def test_never_over_the_minutes_nothing_lost_and_nothing_left_out_that_fits(minutes: float, seed: int) -> None:
    here = season([leader(n) for n in range(1, 13)], TWO_ROWS)
    chores = many_chores(here, seed)
    planned = plan_round(here, chores, minutes=minutes)
    taken = all_of(planned)
    assert sorted(c.id for c in [*taken, *planned.later]) == sorted(c.id for c in chores)
    steps = {chore.row for chore in taken if chore.overhead}
    assert planned.minutes_planned == pytest.approx(sum(c.minutes for c in taken) + 5.0 * len(steps))
    assert planned.minutes_planned <= minutes + 1e-6
    for chore in planned.later:
        if KINDS[chore.kind].window and chore.latest > DAY:
            continue
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


def test_what_there_is_no_room_for_is_named() -> None:
    """Worth a minute: water 1, repair 0.15, feed 0.03; a must is no way past the minutes."""
    here = season([], TWO_ROWS)
    chores = [made(here, "repair", n, 10.0, must=True) for n in (1, 2, 3)]
    planned = plan_round(here, [*chores, made(here, "feed", 4, 1.0), made(here, "water", 5, 4.0)], minutes=25)
    assert sorted(chore.kind for chore in all_of(planned)) == ["feed", "repair", "repair", "water"]
    assert (planned.minutes_there, planned.minutes_planned) == (25, 25)
    # There is time for it tomorrow.
    assert [(work.kind, work.minutes) for work in planned.waits] == [("repair", 10.0)]
    assert gives_way(planned) == "10 min of what is due today go to the next days: repair 10 min."
    assert not planned.gives
    assert sum(ahead.minutes for ahead in planned.week[1:]) == pytest.approx(10.0)


def test_a_pick_larger_than_the_minutes_is_begun_and_noted_as_not_clean() -> None:
    here = season([leader(3)])
    coming = outlook({}, picks=[PickOutlook("round", "W1", DAY, Band(8, 10, 12), 9.0, blind=False)])
    chores = finished(Stages(), here, loads(), pick(here, coming, loads()))
    (planned,) = all_of(plan_round(here, chores, coming, minutes=20))
    assert planned.minutes == pytest.approx(18.0)
    assert "18 of 24 min" in planned.proposal
    assert bodies(planned.writes) == [Picked("round", clean=False)]
    (whole,) = all_of(plan_round(here, chores, coming, minutes=24))
    assert bodies(whole.writes) == [Picked("round")]


def test_a_pass_is_cut_to_what_is_planned_of_it() -> None:
    here = season([leader(n, side_shooted_on=DAY - timedelta(days=9)) for n in range(1, 13)])
    chores = finished(Stages(), here, loads(), side_shoot(here, outlook({}), loads()))
    (planned,) = all_of(plan_round(here, chores, minutes=5))
    assert len(planned.pieces) == 6
    assert "today 6 of 12" in planned.proposal
    assert (
        len({leader for body in bodies(planned.writes) if hasattr(body, "leaders") for leader in body.leaders})
        == 6
    )


def test_a_row_is_looked_along_to_its_end_or_not_today() -> None:
    """Back from some days away the card said "look along W1, today 1 of 12"."""
    since = DAY - timedelta(days=9)
    here = season([leader(n, looked_on=since) for n in range(1, 13)])
    chores = finished(Stages(), here, loads(), look(here, outlook({}), loads()))
    assert chores[0].minutes < 2
    for minutes in (0.1, 0.5, 0.95):
        assert not all_of(plan_round(here, chores, minutes=minutes))
    (planned,) = all_of(plan_round(here, chores, minutes=1.0))
    assert len(planned.pieces) == 12


def test_no_head_is_twisted_in_on_the_morning_its_tip_comes_out() -> None:
    one, other = (leader(n, twisted_in_on=DAY - timedelta(days=12)) for n in (3, 5))
    here = season([one, other])
    coming = outlook({x.id: stem(1.5, 1.4) for x in (one, other)})
    twists = finished(Stages(), here, loads(), heads(here, coming, loads()))
    out = made(here, "tip_out", 3, 0.25)
    out = out._replace(pieces=tuple(piece._replace(key=one.id, leaders=(one.id,)) for piece in out.pieces))
    planned = {chore.kind: chore.leaders for chore in all_of(plan_round(here, [*twists, out], minutes=60))}
    assert planned == {"tip_out": (one.id,), "twist_in": (other.id,)}


def test_where_minutes_are_short_tips_come_out_before_heads_are_held() -> None:
    """Asked for from August on, they came out in late October: a quarter of a minute a head stood behind its
    twisting in and its lowering, week after week."""
    since = DAY - timedelta(days=40)
    standing = [leader(n, twisted_in_on=since) for n in range(1, 13)]
    here = season(standing)
    twists = finished(
        Stages(), here, loads(), heads(here, outlook({x.id: stem(2.0, 1.9) for x in standing}), loads())
    )
    assert {piece.worth for chore in twists for piece in chore.pieces} == {0.2}
    late = [made(here, "tip_out", n, 0.25, about=f"W1 {n}") for n in range(1, 13)]
    planned = all_of(plan_round(here, [*twists, *late], minutes=4))
    assert sum(chore.kind == "tip_out" for chore in planned) == 12


def test_nor_does_it_wait_to_be_twisted_in() -> None:
    """Told beside its tip as work left over, it seemed to be put off day after day while the tip was left out."""
    one, other = (leader(n, twisted_in_on=DAY - timedelta(days=12)) for n in (3, 5))
    here = season([one, other])
    twists = [made(here, "twist_in", 3, 1.0, (x.id,), about=x.name) for x in (one, other)]
    out = made(here, "tip_out", 3, 0.25, (one.id,))
    walk = plan_round(here, [keyed(chore, chore.leaders[0]) for chore in (*twists, out)], minutes=1)
    assert [chore.kind for chore in all_of(walk)] == ["tip_out"]
    assert [chore.leaders for chore in walk.later] == [(other.id,)]


def test_leaves_come_off_the_day_a_row_is_lowered() -> None:
    one, other = leader(3), leader(5, row="W2")
    here = season([one, other], TWO_ROWS)
    later = DAY + timedelta(days=9)

    def of_stem(kind: str, of: Leader, latest: date) -> Chore:
        chore = made(here, kind, 3 if of is one else 17, 1.0, (of.id,), latest=latest, about=of.name)
        return keyed(chore, of.id)

    leaves = [of_stem("deleaf", x, later) for x in (one, other)]
    assert not all_of(plan_round(here, leaves, minutes=60))
    planned = all_of(plan_round(here, [*leaves, of_stem("lower", one, DAY)], minutes=60))
    assert sorted((chore.kind, chore.about) for chore in planned) == [("deleaf", one.name), ("lower", one.name)]
    # Its hook has travelled on to the other row.
    lower = of_stem("lower", one, DAY)
    away = lower._replace(pieces=tuple(piece._replace(row=other.row) for piece in lower.pieces))
    planned = all_of(plan_round(here, [*leaves, away], minutes=60))
    assert sorted((chore.kind, chore.about) for chore in planned) == [("deleaf", one.name), ("lower", one.name)]


def test_the_days_to_come_hold_the_picks_foreseen() -> None:
    here = season([leader(3)])
    coming = outlook({}, picks=[PickOutlook("round", "W1", DAY + timedelta(days=4), Band(8, 10, 12), 9.0, False)])
    ahead = plan_round(here, [], coming, minutes=60).week
    (pick_day,) = [day for day in ahead if day.what]
    assert pick_day.day == DAY + timedelta(days=4)
    assert [work.kind for work in pick_day.what] == ["pick"]
    assert pick_day.minutes == pytest.approx(24.0)


@pytest.mark.parametrize(("done", "room"), [(20, 60.0), (8, 30.0)])
def test_the_days_to_come_hold_as_much_as_gets_done(done: int, room: float) -> None:
    """Of 20 pieces of work 8 and, for the work days kept, 4 of 4: half of what is asked for."""
    planned = plan_round(season([leader(3)], asked_and_done=(20, done)), [], minutes=60)
    assert planned.minutes_there == 60
    assert [day.minutes_there for day in planned.week[1:]] == pytest.approx([room] * (len(planned.week) - 1))
    assert any("about 5 in 10 was done" in line for line in week_lines(planned)) is (room < 60)


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
        assert planned.minutes_planned <= minutes + 1e-6
    assert len({chore.kind for chore in whole.chores}) >= 8
    assert len({chore.id for chore in whole.chores}) == len(whole.chores)
