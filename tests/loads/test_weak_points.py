"""What follows when one thing lets go."""

from __future__ import annotations

import pytest

from tests.loads.made import DAY, clip, leader, outlook, season, stem, tiered
from tunneltui.growth.outlook import StemOn
from tunneltui.loads.clips import stem_loads
from tunneltui.loads.result import WeakPoint
from tunneltui.loads.stem import stems_on
from tunneltui.loads.weak_points import weak_points
from tunneltui.season.state import Leader
from tunneltui.values import replace


def points(*pairs: tuple[Leader, StemOn], strength_n: float = 30.0) -> dict[str, WeakPoint]:
    standing = season(*(one for one, _ in pairs))
    stems = stems_on(standing, outlook({one.id: grown for one, grown in pairs}), DAY)
    strengths = {fixing.id: strength_n for one, _ in pairs for fixing in one.fixings}
    return {point.fixing: point for point in weak_points(standing, stems, strengths)}


def test_a_neighbour_swings_to_before_plus_twice_the_rise() -> None:
    """A load put on at once (textbook): F = before + 2 (after - before), here of the clip before the lost one."""
    one, grown = tiered()
    standing = season(one)
    stem_now = stems_on(standing, outlook({"a": grown}), DAY)["a"]
    before = stem_now.borne.clips["a4"].mid_n
    after = stem_loads(stem_now.ready, without={"a5"}).clips["a4"].mid_n
    assert after > before
    swing = before + 2 * (after - before)
    found = points((one, grown), strength_n=swing * 0.99)
    assert found["a5"].first_over == "clip of W1-a on string 4"
    assert found["a5"].first_over_share == pytest.approx(1 / 0.99)


def test_strong_clips_leave_only_long_free_stretches_to_tell() -> None:
    """Without the first clip 1.52 m hang free from the root; without the hook the head."""
    one, grown = tiered()
    found = points((one, grown), strength_n=1000.0)
    assert found
    assert all(point.drops == ("W1-a",) and point.first_over == "" for point in found.values())
    assert "a4" not in found


def test_an_upright_stem_on_one_hook_drops_with_it() -> None:
    found = points((leader(hook_u_m=0.58), stem(1.9, 1.9, ((1.5, 1.0),))))
    assert found["W1-a hook"].drops == ("W1-a",)


def test_its_only_clip_gone_a_head_drops() -> None:
    only = clip("a", "only", 1.0, 0.58, on="head")
    found = points((leader(fixings=(only,), hook_u_m=0.58), stem(1.9, 1.9, ((1.5, 1.0),))))
    assert found["only"].drops == ("W1-a",)
    twisted = leader(fixings=(only,), hook_u_m=0.58, twisted_in_on=DAY)
    assert "only" not in points((twisted, stem(1.9, 1.9, ((1.5, 1.0),))))


def test_a_stretch_of_over_a_metre_and_a_half_counts_as_dropped() -> None:
    """Clips at 0.95, 1.7 and 2.6 m and the head from 3.2 m: without the second and third 2.25 m hang free."""
    fixings = (
        clip("a", "one", 0.95, 1.1, string="W1/2"),
        clip("a", "two", 1.95, 2.1, string="W1/4", z_m=0.9),
        clip("a", "head", 3.2, 3.0, on="head"),
    )
    standing = leader(fixings=fixings, hook_u_m=3.0)
    found = points((standing, stem(3.9, 1.85, ((2.2, 0.4), (2.5, 0.4)), leaves=8.0)), strength_n=1e6)
    assert found["two"].drops == ("W1-a",)
    assert found["two"].first_over == ""


def test_a_cascade_goes_on_until_nothing_is_over() -> None:
    """Clips that hardly bear what they have: one gone, all go, and the stem with them."""
    one, grown = tiered()
    standing = season(one)
    most = max(c.mid_n for c in stems_on(standing, outlook({"a": grown}), DAY)["a"].borne.clips.values())
    found = points((one, grown), strength_n=most * 1.02)
    assert found["a5"].drops == ("W1-a",)


def test_a_string_takes_every_stem_on_it() -> None:
    one, two = tiered("a", 0.58), tiered("b", 1.13)
    found = points(one, two, strength_n=14.0)
    assert found["W1/5"].leader == ""
    alone = points(one, strength_n=14.0)
    assert found["W1/5"].first_over_share >= alone["W1/5"].first_over_share


def test_a_dropped_stem_lands_on_the_clip_below() -> None:
    """Two stems on string 4, the upper held there alone. Its clip gone, it falls on the lower one's clip, which
    bears its own and twice what fell."""
    upper = leader("u", 1.6, (clip("u", "up", 1.5, 2.2, string="W1/4", z_m=1.2),), None)
    lower = leader("v", 1.6, (clip("v", "low", 1.2, 2.2, string="W1/4", z_m=0.7),), 3.0)
    heavy = stem(2.0, 1.6, ((1.7, 1.5),), leaves=6.0)
    light = stem(2.9, 1.8, ((2.0, 0.1),), leaves=4.0)
    standing = season(upper, lower)
    stems = stems_on(standing, outlook({"u": heavy, "v": light}), DAY)
    fell = stems["u"].borne.clips["up"].mid_n
    own = stems["v"].borne.clips["low"].mid_n
    found = points((upper, heavy), (lower, light), strength_n=10.0)
    assert found["up"].drops[0] == "W1-u"
    assert found["up"].first_over == "clip of W1-v on string 4"
    assert found["up"].first_over_share == pytest.approx((own + 2 * fell) / 10.0)


def test_most_drops_first() -> None:
    one, two = tiered("a", 0.58), tiered("b", 1.13)
    standing = season(one[0], two[0])
    stems = stems_on(standing, outlook({"a": one[1], "b": two[1]}), DAY)
    found = weak_points(standing, stems, {f.id: 14.0 for standing_ in (one[0], two[0]) for f in standing_.fixings})
    drops = [len(point.drops) for point in found]
    assert drops == sorted(drops, reverse=True)


def test_lost_fixings_are_told_apart_by_what_they_hold() -> None:
    """One clip less to begin with makes its neighbour's loss worse."""
    one, grown = tiered()
    fewer = replace(one, fixings=tuple(f for f in one.fixings if f.id != "a3"))
    full, thin = points((one, grown), strength_n=20.0), points((fewer, grown), strength_n=20.0)
    assert full["a5"].first_over_share != pytest.approx(thin["a5"].first_over_share)
