"""Loads worked out anew after a change are those worked out from nothing, and only what changed was solved."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.loads.made import DAY, holding, outlook, row, season, tiered
from tests.screens.made_demo import demo_at
from tests.season.entries import FIRST
from tests.season.test_any_arrival import FOLDED_ON, journals
from tunneltui.growth.forecast import outlook as forecast
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import StrengthTested
from tunneltui.loads.chain import loads, update_loads
from tunneltui.loads.result import Loads
from tunneltui.season.fold import fold
from tunneltui.season.state import Ending, Leader, Season
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

WEEK = timedelta(days=7)


def parts(found: Loads) -> dict[str, object]:
    return {one.name: getattr(found, one.name) for one in fields(found) if one.name != "workings"}


def two_rows(rng: Random) -> tuple[Season, Outlook]:
    """Two rows that share nothing, two to four stems in each."""
    stems = {}
    leaders = []
    for number in (1, 2):
        for i in range(rng.randint(2, 4)):
            one, grown = tiered(f"r{number}s{i}", 0.4 + 0.7 * i, rng.uniform(3.4, 4.1))
            strung = tuple(replace(f, string=f.string.replace("W1", f"W{number}")) for f in one.fixings)
            leaders.append(replace(one, fixings=strung, row=f"W{number}", loop=f"W{number}"))
            stems[one.id] = grown
    stands = holding(row(1), row(2, wire_breaking_n=4000.0))
    return season(*leaders, stands=stands), outlook(stems, rng.uniform(0.1, 0.3))


def with_leader(standing: Season, one: Leader) -> Season:
    return replace(standing, leaders={**standing.leaders, one.id: one})


def changed(rng: Random, standing: Season, coming: Outlook) -> tuple[Season, Outlook]:
    """One thing that a grower may note, or a forecast that moved."""
    one = rng.choice(list(standing.leaders.values()))
    clip = rng.choice(one.fixings)
    rest = tuple(fixing for fixing in one.fixings if fixing is not clip)
    match rng.randrange(8):
        case 0:
            return with_leader(standing, replace(one, fixings=rest, endings=(Ending(clip, DAY, None),))), coming
        case 1:
            seen = replace(clip, seen_on=(DAY - WEEK,), hung_on=DAY - WEEK)
            return with_leader(standing, replace(one, fixings=rest, endings=(Ending(seen, DAY, "broke"),))), coming
        case 2 if one.hook is not None:
            hook = replace(one.hook, u_m=one.hook.u_m + rng.uniform(0.05, 0.3))
            return with_leader(standing, replace(one, hook=hook)), coming
        case 3:
            ahead = coming.leaders[one.id]
            day = DAY + timedelta(days=rng.choice((0, 7, 11)))
            heavier = tuple(truss._replace(kg=truss.kg * 1.3) for truss in ahead.days[day].trusses)
            days = {**ahead.days, day: replace(ahead.days[day], trusses=heavier)}
            return standing, replace(coming, leaders={**coming.leaders, one.id: replace(ahead, days=days)})
        case 4 if len(standing.leaders) > 2:
            return replace(standing, leaders={i: x for i, x in standing.leaders.items() if i != one.id}), coming
        case 5:
            cut = rng.choice(list(standing.strings))
            return replace(standing, strings={i: x for i, x in standing.strings.items() if i != cut}), coming
        case 6:
            tested = StrengthTested("green", rng.uniform(15, 40), held=False)
            return replace(standing, strength_tests=(*standing.strength_tests, tested)), coming
        case _:
            tied = tuple(replace(f, tie=True, clip_kind="") if f is clip else f for f in one.fixings)
            return with_leader(standing, replace(one, fixings=tied)), coming


@pytest.mark.parametrize("seed", range(25))
def test_anew_is_the_whole_worked_out_again(seed: int) -> None:
    rng = Random(seed)
    standing, coming = two_rows(rng)
    day = DAY + timedelta(days=rng.choice((0, 0, 3)))
    now = loads(standing, coming, day)
    for _ in range(4):
        standing, coming = changed(rng, standing, coming)
        now = update_loads(now, standing, coming)
        assert parts(now) == parts(loads(standing, coming, day))


def test_a_changed_leader_touches_its_row_only() -> None:
    standing, coming = two_rows(Random(3))
    was = loads(standing, coming, DAY)
    one = standing.leaders["r1s1"]
    now = update_loads(was, with_leader(standing, replace(one, fixings=one.fixings[1:])), coming, learn=False)
    assert was.workings is not None
    assert now.workings is not None
    solved = {i for i, stem in now.workings.stems.items() if stem is not was.workings.stems[i]}
    assert solved == {"r1s1"}
    assert now.workings.weak_points["W2"] is was.workings.weak_points["W2"]
    assert now.workings.weak_points["W1"] is not was.workings.weak_points["W1"]


def test_kept_strengths_move_no_other_row() -> None:
    """A clip that broke makes its kind weaker in the whole house; without learning only its own row moves."""
    standing, coming = two_rows(Random(5))
    was = loads(standing, coming, DAY)
    one = standing.leaders["r1s0"]
    clip = replace(one.fixings[3], seen_on=(DAY - WEEK,), hung_on=DAY - WEEK)
    left = tuple(fixing for fixing in one.fixings if fixing.id != clip.id)
    broke = with_leader(standing, replace(one, fixings=left, endings=(Ending(clip, DAY, "broke"),)))
    kept, learned = update_loads(was, broke, coming, learn=False), update_loads(was, broke, coming)

    def second(found: Loads) -> dict[str, object]:
        return {clip.id: clip for clip in found.clips if clip.id.startswith("r2")}

    assert second(kept) == second(was)
    assert second(learned) != second(was)
    assert {c.id: c.mid_n for c in kept.clips} == {c.id: c.mid_n for c in learned.clips}


def test_the_demos_last_day_entry_by_entry(tmp_path: Path) -> None:
    with_all = JournalFile.open(demo_at(tmp_path)).entries()
    day = date(2026, 8, 20)
    acts = list(dict.fromkeys(entry.act for entry in with_all))
    now = None
    for left_out in (24, 9, 2, 0):
        known = set(acts[: len(acts) - left_out])
        standing = fold([entry for entry in with_all if entry.act in known], day)
        coming = forecast(standing)
        whole = loads(standing, coming, day)
        now = whole if now is None else update_loads(now, standing, coming)
        assert parts(now) == parts(whole)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(journals(40), st.data())
def test_anew_after_any_entry(entries: list[Entry], data: st.DataObject) -> None:
    """Entries of every kind, props among them, a few at a time: never another answer than from nothing."""
    day = FIRST + timedelta(days=FOLDED_ON)
    now = None
    known = 0
    while known < len(entries):
        known = min(len(entries), known + data.draw(st.integers(1, 12)))
        standing = fold(entries[:known], day)
        coming = forecast(standing)
        whole = loads(standing, coming, day)
        now = whole if now is None else update_loads(now, standing, coming)
        assert parts(now) == parts(whole)
