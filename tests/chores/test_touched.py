"""What a key changes is worked out from the stem and the loop it touched alone; here it is held to everything
worked out, on the demo's day, for one chore of every kind there is."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest

from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning, morning_of
from tunneltui.chores.rules import chores, unanswered
from tunneltui.chores.touched import is_along, loops_anew, stems_anew
from tunneltui.demo.make import demo_entries
from tunneltui.growth.forecast import Basis, basis
from tunneltui.journal.entry import Entry
from tunneltui.season.fold import Fold, Touched, fold
from tunneltui.season.state import Season

DAY = date(2026, 8, 20)
TEACHES_NOTHING = ("twist_in", "side_shoot")
"""Ticked as proposed, these say nothing of growth or of what clips bear."""


@cache
def before() -> tuple[Morning, Basis]:
    season = fold(demo_entries(), DAY)
    known = basis(season)
    return morning_of(season, known, demo_entries()), known


def asked_for() -> dict[str, Chore]:
    """One chore of each kind that writes something of a stem."""
    one: dict[str, Chore] = {}
    for chore in before()[0].chores:
        if chore.writes and (chore.leaders or chore.kind == "look"):
            one.setdefault(chore.kind, chore)
    return one


def ticked(chore: Chore) -> tuple[Season, Touched, Fold]:
    folding = Fold(DAY)
    folding.add(demo_entries())
    entries = [
        Entry(f"tick {n}", "act", "made up", DAY, 2**52 + n, "", draft.about, draft.kind, 1, draft.body)
        for n, draft in enumerate(chore.writes)
    ]
    touched = folding.add(entries)
    return folding.season(), touched, folding


@pytest.mark.parametrize("kind", asked_for())
def test_along_the_touched_loops_all_is_as_if_every_rule_were_asked_of_the_whole_house(kind: str) -> None:
    was, known = before()
    season, touched, _ = ticked(asked_for()[kind])
    near = loops_anew(was, known, season, touched.leaders)
    rows = {row for row, loop in season.layout.loop_of_row.items() if loop.id in loops_of(season, touched)}
    asked = {chore for chore in chores(season, near.outlook, near.loads) if is_along(chore, rows)}
    assert {chore for chore in near.chores if is_along(chore, rows)} == asked
    others = {chore for chore in unanswered(season, was.chores) if not is_along(chore, rows)}
    assert {chore for chore in near.chores if not is_along(chore, rows)} == others


def loops_of(season: Season, touched: Touched) -> set[str]:
    return {season.leaders[leader].loop for leader in touched.leaders}


@pytest.mark.parametrize("kind", TEACHES_NOTHING)
def test_what_teaches_nothing_leaves_the_morning_as_worked_out_from_nothing(kind: str) -> None:
    was, known = before()
    season, touched, _ = ticked(asked_for()[kind])
    near = loops_anew(was, known, season, touched.leaders)
    cold = morning_of(season, basis(season), demo_entries())
    assert set(near.chores) == set(cold.chores)
    assert near.loads.clips == cold.loads.clips
    assert near.outlook.leaders == cold.outlook.leaders


@pytest.mark.parametrize("kind", asked_for())
def test_the_stem_alone_says_what_its_loop_says_of_it(kind: str) -> None:
    was, known = before()
    season, touched, folding = ticked(asked_for()[kind])
    near = loops_anew(was, known, season, touched.leaders)
    alone = stems_anew(was, known, folding.stems(was.season, touched.leaders))
    of_stems = {c for c in near.chores if c.kind in ("repair", "prop")}
    assert set(alone.chores) == {c for c in of_stems if touched.leaders & set(c.leaders)}
    theirs = {clip.id: clip for clip in alone.loads.clips}
    assert theirs == {clip.id: clip for clip in near.loads.clips if clip.id in theirs}
    assert bool(theirs) == any(leader.fixings for leader in alone.season.leaders.values())
    for leader in alone.season.leaders:
        assert alone.outlook.leaders[leader] == near.outlook.leaders[leader]
