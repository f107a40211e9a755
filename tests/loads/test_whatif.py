"""Before and after a change, with nothing written."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.demo_once import demo_entries
from tests.loads.made import DAY, clip, holding, leader, outlook, row, season, stem, tiered
from tests.screens.made_demo import demo_at
from tunneltui.chores.lowering_plan import plan_lowering
from tunneltui.chores.morning import plan
from tunneltui.growth.forecast import outlook as forecast
from tunneltui.growth.forecast import plan_outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import parsed
from tunneltui.journal.entry import Entry
from tunneltui.loads.chain import loads, plan_loads
from tunneltui.loads.doubles import bearing_of
from tunneltui.loads.path import REST_M, hook_across_m, stem_path
from tunneltui.loads.result import Loads
from tunneltui.loads.whatif import (
    USAGE,
    AddString,
    Change,
    KeepLeader,
    Lower,
    PickedRow,
    SecondHold,
    TakeLeaves,
    string_beside,
    typed_change,
    what_if,
    with_change,
)
from tunneltui.memo import Stages
from tunneltui.season.fold import fold
from tunneltui.season.state import Season
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace


@pytest.fixture
def house() -> tuple[Season, Outlook]:
    one, two = tiered("a", 0.58), tiered("b", 1.13)
    return season(one[0], two[0]), outlook({"a": one[1], "b": two[1]})


def mids(loads: Loads) -> dict[str, float]:
    return {clip.id: clip.mid_n for clip in loads.clips}


def test_a_second_clip_relieves_the_first(house: tuple[Season, Outlook]) -> None:
    both = what_if(*house, DAY, [SecondHold("a5")])
    before, after = mids(both.before), mids(both.after)
    assert max(after["a5"], after["second at a5"]) < 0.7 * before["a5"]
    assert {k: v for k, v in after.items() if k.startswith("b")} == {
        k: v for k, v in before.items() if k.startswith("b")
    }


def test_a_tie_is_stronger_than_a_clip(house: tuple[Season, Outlook]) -> None:
    after = {c.id: c for c in what_if(*house, DAY, [SecondHold("a5", tie=True)]).after.clips}
    assert after["second at a5"].strength_n > 1.5 * after["a5"].strength_n


def test_lowering_lets_the_tip_down_and_moves_the_hook_by_the_slope() -> None:
    """From a last hold at (1.1, 0.79, s 1.0) of a stem of 2.2 m with its tip at 1.8: q = .19 + .35, and the hook
    goes where the form of the bend puts it (own simulation)."""
    standing = leader(fixings=(clip("a", "own", 1.0, 1.1, string="W1/2", z_m=0.7884),), hook_u_m=1.2)
    grown = stem(2.2, 1.8, ((1.4, 0.3),))
    then, coming = with_change(season(standing), outlook({"a": grown}), DAY, Lower("a", 0.35))
    hook = then.leaders["a"].hook
    assert hook is not None
    spare = 2.2 - 1.0 - (1.8 - 0.7884) + 0.35
    assert hook.u_m == pytest.approx(1.1 + hook_across_m(spare, 0.17, 0.15), abs=0.0006)
    assert coming.stem("a", DAY).tip_z_m.mid == pytest.approx(1.45)
    # String 3 at 1.65 lies less than two bend radii behind the hook, so it is not clipped to.
    passed = [f.string for f in then.leaders["a"].fixings]
    assert passed == ["W1/2"] if hook.u_m < 1.95 else ["W1/2", "W1/3"]


def test_lowering_clips_to_the_strings_it_passes(house: tuple[Season, Outlook]) -> None:
    then, _ = with_change(*house, DAY, Lower("a", 0.35))
    new = [f for f in then.leaders["a"].fixings if f.id.startswith("new clip")]
    assert [f.string for f in new] == ["W1/6"]
    assert new[0].assumed


def test_lowering_to_a_named_place(house: tuple[Season, Outlook]) -> None:
    then, _ = with_change(*house, DAY, Lower("a", 0.35, hook_u_m=3.6))
    assert then.leaders["a"].hook is not None
    assert then.leaders["a"].hook.u_m == 3.6
    assert {f.u_m for f in then.leaders["a"].fixings if f.on == "head"} == {3.6}


def test_a_pick_takes_the_ripe_trusses_only(house: tuple[Season, Outlook]) -> None:
    _, coming = with_change(*house, DAY, PickedRow("W1"))
    assert [t.number for t in coming.stem("a", DAY).trusses] == [2, 3, 4, 5, 6, 7, 8]
    both = what_if(*house, DAY, [PickedRow("W1")])
    assert both.after.rows[0].hanging_kg == pytest.approx(both.before.rows[0].hanging_kg - 2 * 0.55)


def test_leaves_taken_are_the_lowest(house: tuple[Season, Outlook]) -> None:
    _, coming = with_change(*house, DAY, TakeLeaves("a", 5))
    stem_now = coming.stem("a", DAY)
    assert stem_now.leaves == 10
    assert stem_now.bare_below_m == pytest.approx(2.1 + 1.8 * 5 / 15)
    both = what_if(*house, DAY, [TakeLeaves("a", 5)])
    assert both.after.rows[0].hanging_kg == pytest.approx(both.before.rows[0].hanging_kg - 5 * 0.042)
    _, none = with_change(*house, DAY, TakeLeaves("a", 50))
    assert none.stem("a", DAY).leaves == 0


def test_a_string_between_takes_part_of_its_neighbours(house: tuple[Season, Outlook]) -> None:
    """Half way between strings 4 and 5 both stems cross the new one and are clipped to it."""
    both = what_if(*house, DAY, [AddString("W1", 2.475)])
    new = [c for c in both.after.clips if c.id.startswith("new clip")]
    assert {c.leader for c in new} == {"W1-a", "W1-b"}
    before, after = mids(both.before), mids(both.after)
    assert after["a5"] < before["a5"]
    assert sum(after.values()) == pytest.approx(sum(before.values()), rel=0.05)


def test_a_kept_leader_hangs_as_much_again(house: tuple[Season, Outlook]) -> None:
    both = what_if(*house, DAY, [KeepLeader("a")])
    assert "W1-c" not in {c.leader for c in both.before.clips}
    gained = both.after.rows[0].hanging_kg - both.before.rows[0].hanging_kg
    assert gained == pytest.approx(both.before.rows[0].hanging_kg / 2, rel=1e-6)
    assert max(w.tension_n for w in both.after.wires) > max(w.tension_n for w in both.before.wires)


def test_changes_add_up_and_leave_the_season_as_it_was(house: tuple[Season, Outlook]) -> None:
    standing, coming = house
    both = what_if(standing, coming, DAY, [SecondHold("a5"), TakeLeaves("a", 3)])
    one = what_if(standing, coming, DAY, [SecondHold("a5")])
    assert mids(both.after)["a5"] != pytest.approx(mids(one.after)["a5"], abs=1e-6)
    assert [f.id for f in standing.leaders["a"].fixings] == [f.id for f in tiered("a", 0.58)[0].fixings]


def test_changes_as_typed(house: tuple[Season, Outlook]) -> None:
    standing, _ = house
    named = replace(standing, leaders={"a": replace(standing.leaders["a"], name="W1-07a")})
    typed = {line.split()[0]: line for line in USAGE}
    assert set(typed) == {"lower", "second", "tie", "pick", "leaves", "string", "keep"}
    assert typed_change(named, "lower W1-07a 0.35") == Lower("a", 0.35)
    assert typed_change(named, "second W1-07a 5") == SecondHold("a5")
    assert typed_change(named, "tie W1-07a 5") == SecondHold("a5", tie=True)
    assert typed_change(named, "pick W1") == PickedRow("W1")
    assert typed_change(named, "leaves W1-07a 4") == TakeLeaves("a", 4)
    assert typed_change(named, "string W1 3.4") == AddString("W1", 3.4)
    assert typed_change(named, "keep W1-07a") == KeepLeader("a")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no change to try"),
        ("raise W1-a 1", "no change to try"),
        ("lower W1-a", "no change to try"),
        ("lower W9-z 0.3", "No leader W9-z"),
        ("lower W1-a much", "The length has to be"),
        ("lower W1-a -1", "The length has to be"),
        ("lower W1-a nan", "The length has to be"),
        ("string W1 8.5", "has to be from 0.00 m to 8.00 m"),
        ("leaves W1-a all", "not a number"),
        ("second W1-a wire", "no clip on string wire"),
        ("second W1-a 14", "no clip on string 14"),
        ("pick W7", "no row W7"),
    ],
)
def test_bad_changes_are_told(house: tuple[Season, Outlook], text: str, says: str) -> None:
    with pytest.raises(UserError) as refused:
        typed_change(house[0], text)
    assert says in refused.value.problem


def test_a_tried_lowering_is_the_rows_own(tmp_path: Path) -> None:
    """Every head of the made-up tunnel that the round would lower today: what-if passes the same strings, opens
    the same head clips and bends the stem at the same place."""
    entries = JournalFile.open(demo_at(tmp_path)).entries()
    day = date(2026, 8, 20)
    standing = fold(entries, day)
    coming = forecast(standing)
    tried = 0
    for loop in standing.layout.loops:
        members = [one for one in standing.leaders_of_loop(loop) if one.hook and one.id in coming.leaders]
        bearing = bearing_of(loads(standing, coming, day))
        for move in plan_lowering(standing, coming, members, day, day + timedelta(days=7), bearing=bearing):
            if move.let_out_m <= 0:
                continue
            was = standing.leaders[move.leader]
            change = typed_change(standing, f"lower {was.name} {move.let_out_m}")
            assert change == Lower(move.leader, move.let_out_m)
            then, ahead = with_change(standing, coming, day, replace(change, hook_u_m=move.hook_to_u_m), bearing)
            now = then.leaders[move.leader]
            new = [f for f in now.fixings if f.id not in {g.id for g in was.fixings}]
            closed = sorted((f.string, f.s_m) for f in new if f.on == "string")
            assert closed == sorted((c.string, c.s_m) for c in (*move.clips, *move.second))
            assert [f.s_m for f in new if f.on == "head"] == [s for s in [move.top_clip_s_m] if s is not None]
            assert {f.id for f in was.fixings} - {f.id for f in now.fixings} == set(move.opens)
            path = stem_path(now, ahead.stem(move.leader, day), standing.layout)
            if path.bend_z_m is not None:
                assert path.bend_z_m == pytest.approx(max(move.bend_z_m, REST_M), abs=0.002)
            by_slope, _ = with_change(standing, coming, day, change, bearing)
            hook = by_slope.leaders[move.leader].hook
            if hook is not None and hook.u_m == pytest.approx(move.hook_to_u_m):
                assert by_slope.leaders[move.leader] == now
                tried += 1
    assert tried >= 10


def test_a_string_beside_a_clip_goes_into_the_wider_gap(house: tuple[Season, Outlook]) -> None:
    """Strings every 0.55 m; with number 6 away, the gap past string 5 at 2.75 m reaches to 3.85 m."""
    standing, _ = house
    one = standing.leaders["a"]
    assert string_beside(standing, one, 2.30) == AddString("W1", 2.48)
    fewer = replace(standing, strings={i: s for i, s in standing.strings.items() if i != "W1/6"})
    assert string_beside(fewer, one, 2.75) == AddString("W1", 3.30)
    assert string_beside(replace(standing, strings={}), one, 2.75) is None


def test_a_second_clip_is_typed_by_number_by_name_or_for_the_head(house: tuple[Season, Outlook]) -> None:
    standing, _ = house
    assert typed_change(standing, "second W1-a 5") == SecondHold("a5")
    assert typed_change(standing, "second W1-a W1/5") == SecondHold("a5")
    assert typed_change(standing, "tie W1-a head") == SecondHold("ah0", tie=True)
    with pytest.raises(UserError, match="no clip on string 99") as refused:
        typed_change(standing, "second W1-a 99")
    assert refused.value.hint == "It is clipped to: 2, 3, 4, 5, head."


def said(loads: Loads, leader: str) -> list[tuple[float, ...]]:
    """What is shown of a leader's clips, tip last."""
    clips = sorted((c for c in loads.clips if c.leader == leader), key=lambda c: (c.s_m, c.u_m))
    return [(c.s_m, c.low_n, c.mid_n, c.high_n, c.strength_n, c.share, c.chance_7d) for c in clips]


@pytest.mark.parametrize("day", [date(2026, 8, 20), date(2026, 7, 9)])
def test_what_is_tried_is_what_happens_when_it_is_done(day: date) -> None:
    """Every head that the made-up tunnel's lowering takes, and every second clip: tried, it is said to bear what
    it bears once the entries of the chore's piece are folded, share and chance too, doubles included. To one in a
    thousand: the last digit of heights and lengths as they are noted, and what the entries teach of strengths. A
    chance is several times as steep as the load it comes of: to two. Each is planned from what the morning knows,
    to the same bytes as from nothing (``tests/chores/test_plan.py``)."""
    entries = tuple(entry for entry in demo_entries() if entry.day <= day)
    stages = Stages()
    morning = plan(stages, fold(entries, day), entries)
    known = stages.memo
    tried = 0
    for chore in morning.chores:
        for piece in chore.pieces if chore.kind in ("lower", "second_clip") else ():
            bodies = [(d.kind, parsed(d)) for d in piece.writes]
            kind, body = bodies[0]
            if body.get("coiled_m") or (kind == "lowered" and chore.earliest > day):
                continue
            leader = morning.season.leaders[body["leader"]]
            change: Change
            if kind == "lowered":
                change = Lower(leader.id, body["let_out_m"], body["hook_u_m"], body.get("aimed_under_wire_m"))
            else:
                beside = [
                    f
                    for f in leader.fixings
                    if (f.on, f.string) == (body.get("on", "string"), body.get("string", ""))
                ]
                change = SecondHold(min(beside, key=lambda f: abs(f.s_m - body["s_m"])).id, kind == "tied")
            us = max(entry.at_us for entry in entries) + 1
            done = [
                Entry(f"done {n}", "done", "test", day, us + n, "me", d.about, d.kind, 1, d.body)
                for n, d in enumerate(piece.writes)
            ]
            season, stages = fold([*entries, *done], day), Stages(known)
            then = plan_loads(stages, season, plan_outlook(stages, season), day)
            both = what_if(morning.season, morning.outlook, day, [change], morning.loads)
            for ours, theirs in zip(said(both.after, leader.name), said(then, leader.name), strict=True):
                assert ours[:-1] == pytest.approx(theirs[:-1], rel=0.001, abs=2e-3)
                assert ours[-1] == pytest.approx(theirs[-1], rel=0.002, abs=1e-4)
            tried += 1
    assert tried >= 3


def test_a_string_number_of_two_rows_is_refused_without_its_row() -> None:
    """A stem that goes round the end is clipped to string 3 of both rows."""
    first, second = row(1, loop_with=2, corner="end_bar"), row(2, loop_with=1, corner="end_bar")
    fixings = (clip("a", "here", 0.9, 1.65, string="W1/3"), clip("a", "there", 3.1, 12.0, string="W2/3"))
    stands = season(leader("a", 1.0, fixings, 12.5), stands=holding(first, second))
    assert stands.string_name("W1/3") == "string W1/3"
    with pytest.raises(UserError, match=r"several strings 3.*\n?.*W1/3 or W2/3"):
        typed_change(stands, "second W1-a 3")
    assert typed_change(stands, "second W1-a W2/3") == SecondHold("there")
    assert season(leader("a", 1.0, fixings[:1], 2.0)).string_name("W1/3") == "string 3"
