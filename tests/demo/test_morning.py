"""The morning the demo plays on, planned by the real rules: what a first look should see is there to see."""

from __future__ import annotations

from collections import Counter
from datetime import date
from functools import cache

from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.demo.make import SEED, demo_entries, saltmarsh, saltmarsh_toml
from tunneltui.demo.season import made_season
from tunneltui.holding.check import checked_holding
from tunneltui.journal.body import parsed
from tunneltui.journal.check import checked_body

DAY = date(2026, 8, 20)


@cache
def morning() -> Morning:
    return plan_morning(demo_entries(), DAY)


def test_the_holdings_text_has_no_fault() -> None:
    holding = checked_holding(saltmarsh_toml(), "saltmarsh.toml")
    assert holding.plays_on == DAY


def test_every_body_passes_the_check_of_outside_data() -> None:
    for entry in demo_entries():
        said = {key: value for key, value in parsed(entry).items() if key != "answers"}
        checked_body(entry.kind, said, text=False)


def test_there_are_at_least_eight_kinds_of_chore() -> None:
    kinds = Counter(chore.kind for chore in morning().chores)
    wanted = {"look", "repair", "pick", "deleaf", "side_shoot", "lower", "feed"}
    assert wanted <= set(kinds)
    assert kinds.keys() & {"clip_head", "twist_in"}
    assert len(kinds) >= 8


def test_spots_and_later_hold_every_chore() -> None:
    planned = [chore.id for spot in morning().round.spots for chore in spot.chores]
    later = [chore.id for chore in morning().round.later]
    assert Counter(planned + later) == Counter(chore.id for chore in morning().chores)
    assert len({chore.kind for spot in morning().round.spots for chore in spot.chores}) >= 8


def test_a_clip_is_over_its_share_and_a_failed_one_waits() -> None:
    assert max(clip.share for clip in morning().loads.clips) > 1.0
    open_failures = [
        ending
        for leader in morning().season.leaders.values()
        for ending in leader.endings
        if ending.how is not None and not ending.made_good
    ]
    assert open_failures
    assert all(ending.day == date(2026, 8, 19) for ending in open_failures)


def test_the_looped_rows_are_due_for_lowering_five_heads_at_least() -> None:
    lower = next(chore for chore in morning().chores if chore.kind == "lower" and chore.about == "W1")
    assert len(lower.leaders) >= 5
    assert any(draft.kind == "lowered" for draft in lower.writes)


def test_a_lowering_of_the_loop_keeps_its_hooks_in_order() -> None:
    now = morning()
    lower = next(chore for chore in now.chores if chore.kind == "lower" and chore.about == "W1")
    hooks = {one.id: one.hook.u_m for one in now.season.leaders_of_loop("W1") if one.hook}
    moved = {body["leader"]: body["hook_u_m"] for body in (parsed(d) for d in lower.writes if d.kind == "lowered")}
    assert len(moved) >= 5
    then = hooks | moved
    assert sorted(then, key=lambda one: then[one]) == sorted(hooks, key=lambda one: hooks[one])


def test_one_wire_is_near_its_limit_and_one_is_unknown() -> None:
    shares: dict[str, list[float | None]] = {}
    for wire in morning().loads.wires:
        shares.setdefault(wire.row, []).append(wire.share)
    thin = [share for share in shares["W1"] if share is not None]
    assert 0.7 < max(thin) < 1.0
    assert max(share or 0.0 for share in shares["W2"]) < 0.5
    assert set(shares["E2"]) == {None}


def test_the_east_tunnels_hoops_are_unknown_the_wests_are_not() -> None:
    allowed = {hoop.tunnel: hoop.allowed_n for hoop in morning().loads.hoops}
    assert allowed["W"] is not None
    assert allowed["E"] is None


def test_every_stem_fits_its_path() -> None:
    assert [path.fault for path in morning().loads.paths.values() if path.fault] == []


def test_marked_plants_are_as_long_as_the_forecasts_hold() -> None:
    """Read the evening before; each weekly growth is noted to the cm, so some 16 roundings of 0.3 cm (1.2 cm) add
    up, beside a day's growth. 4 cm is three of those."""
    truth = made_season(saltmarsh(), SEED, DAY, toml=saltmarsh_toml()).truth
    off_m = [
        abs(coming.days[DAY].length_m.mid - truth.leaders[leader].length_m[DAY])
        for leader, coming in morning().outlook.leaders.items()
        if morning().season.leaders[leader].marked_on
    ]
    assert len(off_m) >= 12
    assert max(off_m) < 0.04
