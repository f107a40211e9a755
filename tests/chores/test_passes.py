"""The round pass by pass: every piece once, in walking order, and a place's tick writes its own pieces alone."""

from __future__ import annotations

from collections import Counter
from datetime import date
from functools import cache

import pytest

from tests.demo_once import demo_entries
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import PassName
from tunneltui.chores.exceptions import together
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.chores.passes import PASSES, Pass, PassPlace, passes
from tunneltui.journal.body import parsed, typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import Deleafed, SideShooted
from tunneltui.journal.kinds_holding_up import Clipped, Tied

PLAYS_ON = date(2026, 8, 20)


@cache
def morning() -> Morning:
    return plan_morning(demo_entries(), PLAYS_ON)


@cache
def walked() -> tuple[Pass, ...]:
    return passes(morning().season, morning().round)


def named(name: PassName, tunnel: str = "") -> Pass:
    return next(one for one in walked() if (one.name, one.tunnel) == (name, tunnel))


def of_the_round() -> list[Chore]:
    return [chore for spot in morning().round.spots for chore in spot.chores]


def test_every_piece_of_the_round_is_at_one_place_of_one_pass() -> None:
    asked = Counter((chore.id, piece.key) for chore in of_the_round() for piece in chore.pieces)
    at_places = Counter(
        (chore.id, piece.key)
        for one in walked()
        for place in one.places
        for chore in place.chores
        for piece in chore.pieces
    )
    assert at_places == asked
    assert sum(one.minutes for one in walked()) == pytest.approx(sum(chore.minutes for chore in of_the_round()))


def test_passes_come_in_the_order_of_the_hands() -> None:
    order = [PASSES.index(one.name) for one in walked()]
    assert order == sorted(order)
    for one in walked():
        kinds = {KINDS[chore.kind].walk for place in one.places for chore in place.chores}
        assert kinds == {one.name}


def test_places_are_walked_as_the_rows_lie_and_suspects_last() -> None:
    """The west loop has a lowering today: it is walked against the way round on every pass."""
    west = [place.name for place in named("plants", "W").places]
    assert west.index("W2-01") < west.index("W2-09") < west.index("W1-16") < west.index("W1-05")
    east = named("plants", "E").places
    suspects = {x.id for x in morning().season.leaders.values() if x.suspect}
    assert suspects
    assert [place.sick for place in east] == sorted(place.sick for place in east)
    handled = {leader for place in east if place.sick for chore in place.chores for leader in chore.leaders}
    assert handled
    assert handled <= suspects


def places_with(*kinds: str) -> list[PassPlace]:
    return [
        place
        for one in walked()
        for place in one.places
        if {*kinds} <= {chore.kind for chore in place.chores} and one.name == "plants"
    ]


def test_a_place_says_its_heads_leaves_and_strings() -> None:
    told = 0
    for one in walked():
        for place in one.places if one.name == "plants" else ():
            bodies = [typed(draft) for chore in place.chores for draft in chore.writes]
            shoots = {leader for body in bodies if isinstance(body, SideShooted) for leader in body.leaders}
            leaves = sum(body.leaves or 0 for body in bodies if isinstance(body, Deleafed))
            strings = sorted(body.string for body in bodies if isinstance(body, Clipped | Tied) and body.string)
            assert {head.leader for head in place.heads if head.shoots} == shoots
            assert place.leaves == leaves
            assert sorted(one.string for one in place.strings) == strings
            told += bool(shoots) + bool(leaves) + bool(strings)
    assert told > 10


def test_a_place_done_writes_its_leaders_alone_and_the_rest_stays_open() -> None:
    here = places_with("side_shoot")[1]
    drafts = together(draft for chore in here.chores for draft in chore.writes)
    done = [
        Entry(f"done-{n}", "done", "test", PLAYS_ON, 2_000_000_000_000_000 + n, "me", d.about, d.kind, 1, d.body)
        for n, d in enumerate(drafts)
    ]
    bodies = [typed(draft) for draft in drafts]
    (shoots,) = [body for body in bodies if isinstance(body, SideShooted)]
    assert set(shoots.leaders) == {head.leader for head in here.heads if head.shoots}
    after = plan_morning([*demo_entries(), *done], PLAYS_ON)
    before_ = {c.about: c for c in morning().chores if c.kind == "side_shoot" and c.earliest <= PLAYS_ON}
    after_ = {c.about: c for c in after.chores if c.kind == "side_shoot" and c.earliest <= PLAYS_ON}
    mine = {c.about: c for c in here.chores if c.kind == "side_shoot"}
    for about, chore in before_.items():
        left = set(chore.leaders) - set(mine[about].leaders if about in mine else ())
        assert left <= set(after_[about].leaders)
        assert not set(mine[about].leaders if about in mine else ()) & set(after_[about].leaders)
        each = chore.minutes / len(chore.leaders)
        assert after_[about].minutes == pytest.approx(each * len(after_[about].leaders))


def test_a_row_done_at_once_is_one_entry_that_names_every_piece() -> None:
    chore = next(one for one in of_the_round() if one.kind == "side_shoot")
    (shoots,) = [draft for draft in together(chore.writes) if draft.kind == "side_shooted"]
    plain = parsed(shoots)
    assert plain["leaders"] == plain["pieces"] == list(chore.leaders)
