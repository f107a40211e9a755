"""Loads on one stem's clips: bands, groups and rules, each against a sum done by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loads.made import DAY, clip, holding, leader, stem, tiered
from tunneltui.growth.outlook import StemOn
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Cultivar
from tunneltui.loads.clips import (
    MASS_HIGH,
    Carried,
    StemLoads,
    carried,
    ready,
    shared_close,
    shared_upright,
    stem_loads,
)
from tunneltui.loads.masses import GRAVITY_M_PER_S2, Weights, lumps, weights
from tunneltui.loads.path import Along, stem_path
from tunneltui.loads.result import Lump
from tunneltui.season.state import Leader, Prop

PLACES = layout(holding())
ROUND = PLACES.cultivars["round"]


def borne(standing: Leader, grown: StemOn, weighed: bool = True) -> StemLoads:
    path = stem_path(standing, grown, PLACES)
    return stem_loads(ready(standing, path, weights(grown, ROUND), weighed=weighed))


def total_n(grown: StemOn) -> float:
    return weights(grown, ROUND).total_n


def test_stem_mass_per_metre() -> None:
    """A round stem of 950 kg/m3, worked by hand: d 8/10/12/15/18 mm weigh .048/.075/.107/.168/.242 kg/m."""
    for diameter, kg in ((8, 0.048), (10, 0.075), (12, 0.107), (15, 0.168), (18, 0.242)):
        thick = Cultivar("thick", stem_diameter_mm=float(diameter))
        found = weights(stem(2.0, 2.0), thick).base_n_per_m / GRAVITY_M_PER_S2
        assert found == pytest.approx(kg, abs=5e-4)


def test_leaves_hang_above_the_bare_stem_only() -> None:
    """15 leaves of 42 g in the upper 1.2 m of 4 m; the lower stem is bare."""
    grown = stem(4.0, 1.9, leaves=15.0, bare_below_m=2.8)
    found = weights(grown, ROUND)
    assert found.leaves_n_per_m == pytest.approx(15 * 0.042 * GRAVITY_M_PER_S2 / 1.2)
    leafless = weights(replace(grown, leaves=0.0), ROUND)
    assert found.total_n - leafless.total_n == pytest.approx(15 * 0.042 * GRAVITY_M_PER_S2)


def test_points_weigh_what_the_stem_weighs_and_where() -> None:
    """A cone from 12 to 10 mm over 4 m by its integral: mean of (1 - s/24)^2 and of s (1 - s/24)^2."""
    cone = Weights(4.0, 1.0, 0.0, 0.0, (Lump(3.0, 5.0),))
    points = lumps(cone, [1.0, 2.5])
    fall = 1 / 24
    mass = 4 - fall * 16 + fall**2 * 64 / 3
    turning = 8 - 2 * fall * 64 / 3 + fall**2 * 64
    assert sum(n for _, n in points) == pytest.approx(mass + 5.0, rel=1e-12)
    assert sum(s * n for s, n in points) == pytest.approx(turning + 15.0, rel=1e-12)
    assert cone.total_n == pytest.approx(mass + 5.0, rel=1e-12)


def test_the_band_widens_with_its_ends() -> None:
    """m +- 1.645 hypot(d/2, 0.10 m, 0.7) by hand for ends 10 and 14 N: s = hypot(2, 1.2, .7) = 2.4352."""
    band = carried(10.0, 14.0)
    assert band.mid_n == 12.0
    assert band.sd_n == pytest.approx(2.43516, abs=1e-5)
    assert band.low_n == pytest.approx(12 - 1.645 * 2.43516, abs=1e-4)
    assert carried(0.0, 0.0).low_n == 0.0


def test_head_rules() -> None:
    whole = Carried(10.0, 12.0, 15.0, 1.5)
    assert shared_upright(whole, 1) == whole
    two, four = shared_upright(whole, 2), shared_upright(whole, 4)
    assert (two.low_n, two.mid_n, two.high_n) == (0.0, 6.0, 15.0)
    assert (four.low_n, four.mid_n, four.high_n) == pytest.approx((0.0, 3.0, 12.0))


def test_a_second_clip_carries_between_a_third_and_two_thirds() -> None:
    whole = Carried(10.0, 12.0, 15.0, 1.5)
    pair = shared_close(whole, 2)
    assert (pair.low_n, pair.mid_n, pair.high_n) == pytest.approx((3.5, 6.0, 9.75))
    three = shared_close(whole, 3)
    assert three.mid_n == pytest.approx(4.0)
    assert three.high_n < pair.high_n


def test_an_upright_stem_stands_or_hangs() -> None:
    """Two complete sets: the root bears all, or the hook all above the lowest clip (at 0.5 m). Likely half of it.

    Stem without leaves, one truss of 0.5 kg at 1.2 m: above 0.5 m hang 0.5 kg and 1.1 m of stem."""
    fixings = tuple(clip("a", f"h{i}", s, 0.58, on="head") for i, s in enumerate((0.5, 0.9, 1.3)))
    grown = stem(1.6, 1.6, ((1.2, 0.5),), leaves=0.0)
    found = borne(leader(fixings=fixings, hook_u_m=0.58), grown)
    above_n = weights(grown, ROUND).stem_n(0.5, 1.6) + 0.5 * GRAVITY_M_PER_S2
    assert found.hook is not None
    assert found.hook.mid_n == pytest.approx(above_n / 2, rel=1e-9)
    assert [found.clips[f"h{i}"].mid_n for i in range(3)] == pytest.approx([above_n / 6] * 3)
    assert found.clips["h0"].high_n == pytest.approx(0.8 * found.hook.high_n)
    assert found.hook.high_n >= above_n * 0.95


def test_a_hanging_head_is_all_on_its_hook() -> None:
    """Head clips share what the hook has; the hook's likely load is theirs together."""
    standing, grown = tiered()
    found = borne(standing, grown)
    assert found.hook is not None
    heads = [found.clips[f"ah{i}"].mid_n for i in range(3)]
    assert sum(heads) == pytest.approx(found.hook.mid_n)


def test_two_string_clips_by_hand() -> None:
    """A level weightless stem rooted at 0.58 m, clips at 1.1 and 2.1 m along strings (heights noted), a truss of
    1 kg midway in each span and the head clipped just above its bend: every span's weight halves by the lever,
    and the beam of two equal spans with midspan loads gives 5/16, 22/16, 5/16 (Hicks; Roark)."""
    g = GRAVITY_M_PER_S2
    fixings = (
        clip("a", "own", 1.0, 1.1, string="W1/2", z_m=0.9),
        clip("a", "mid", 2.0, 2.1, string="W1/4", z_m=0.9),
        clip("a", "head", 3.2, 3.1, on="head"),
    )
    grown = stem(4.0, 1.9, ((1.5, 1.0), (2.5, 1.0)), leaves=0.0)
    thin = replace(ROUND, stem_diameter_mm=0.01)
    standing = leader(u_m=1.0, fixings=fixings, hook_u_m=3.1)
    # Bend at the same height: l = 4 - 2, c = 1.9 - .9, D = 1; sharp, so that u = (1 - 1)/2 = 0.
    sharp = layout(replace(holding(), limits=replace(holding().limits, bend_radius_m=1e-6)))
    path = stem_path(standing, grown, sharp)
    assert path.bend_z_m == pytest.approx(0.9, abs=1e-5)
    found = stem_loads(ready(standing, path, weights(grown, thin)))
    beam, lever = 22 / 16 * g, g
    assert found.clips["mid"].mid_n == pytest.approx((beam + lever) / 2, rel=1e-4)
    assert found.hook is not None
    assert found.hook.mid_n == pytest.approx((5 / 16 * g + g / 2) / 2, rel=1e-4)
    # The own clip beside the root: hanging it has its half-span, standing nothing; the likely is half.
    assert found.clips["own"].mid_n == pytest.approx((5 / 16 * g + g / 2) / 2 / 2, rel=1e-4)


def test_likely_loads_sum_to_the_weight_less_what_root_bears() -> None:
    standing, grown = tiered()
    found = borne(standing, grown)
    assert found.hook is not None
    on_strings = sum(found.clips[f.id].mid_n for f in standing.fixings if f.on == "string")
    assert on_strings + found.hook.mid_n == pytest.approx(found.held_n)
    # The first stretch is no steeper than 60 degrees, so the root is a support of its own: the lever's half of
    # that stretch less what the beam holds down.
    first = standing.fixings[0]
    below = weights(grown, ROUND).stem_n(0.0, first.s_m)
    root = total_n(grown) - found.held_n
    assert root < below
    assert root > -0.05 * total_n(grown)


def test_a_first_clip_close_to_the_root_shares_with_it() -> None:
    """A first stretch steeper than 60 degrees: half of that support stands on the root, half hangs on its clip."""
    own = clip("a", "own", 0.95, 0.85, string="W1/2")
    standing = leader(u_m=0.58, fixings=(own,), hook_u_m=1.7)
    grown = stem(2.9, 1.85, ((1.2, 0.5), (1.5, 0.5), (1.8, 0.4)), leaves=10.0, bare_below_m=1.0)
    found = borne(standing, grown)
    below = weights(grown, ROUND).stem_n(0.0, 0.95)
    assert found.clips["own"].mid_n > 1.0
    assert total_n(grown) - found.held_n == pytest.approx(below + found.clips["own"].mid_n)


def test_a_laid_down_stem_leaves_its_run_to_the_soil() -> None:
    """The hook has at least the head above the bend, at most that and a rest's length of run."""
    standing = leader(hook_u_m=2.6, training="laid_down")
    grown = stem(3.6, 1.8, ((2.2, 0.4), (2.6, 0.4), (3.0, 0.3)), leaves=12.0, bare_below_m=2.1)
    found = borne(standing, grown)
    weight = weights(grown, ROUND)
    head = weight.stem_n(3.6 - 1.75, 2.1) + weight.stem_n(2.1, 3.6) + 1.1 * GRAVITY_M_PER_S2
    assert found.hook is not None
    assert head - 1e-9 <= found.hook.mid_n <= head + weight.base_n_per_m * 0.30
    assert found.held_n == pytest.approx(found.hook.mid_n)


def test_a_pinched_stem_on_its_string() -> None:
    """Five clips up one string and no hook: standing or hanging, so likely a fifth each of half of it."""
    fixings = tuple(clip("a", f"c{i}", 0.3 + 0.35 * i, 0.55, string="W1/1") for i in range(5))
    standing = leader(u_m=0.55, fixings=fixings, training="pinched_at_wire")
    grown = stem(1.95, 1.95, ((1.0, 0.6), (1.4, 0.5)), leaves=0.0)
    found = borne(standing, grown)
    above = weights(grown, ROUND).stem_n(0.3, 1.95) + 1.1 * GRAVITY_M_PER_S2
    assert [c.mid_n for c in found.clips.values()] == pytest.approx([above / 10] * 5)
    assert found.hook is None


def test_unweighed_trusses_widen_the_high_end_only() -> None:
    standing, grown = tiered()
    known, guessed = borne(standing, grown), borne(standing, grown, weighed=False)
    assert guessed.clips["a4"].mid_n == known.clips["a4"].mid_n
    assert guessed.clips["a4"].high_n == pytest.approx(known.clips["a4"].high_n * MASS_HIGH)


def test_one_truss_more_and_one_clip_less_show() -> None:
    standing, grown = tiered()
    base = borne(standing, grown)
    last = max((f for f in standing.fixings if f.on == "string"), key=lambda f: f.s_m)
    heavier = replace(grown, trusses=(*grown.trusses, grown.trusses[0]._replace(number=9, s_m=last.s_m + 0.1)))
    assert borne(standing, heavier).clips[last.id].mid_n > base.clips[last.id].mid_n + 1.0
    fewer = replace(standing, fixings=tuple(f for f in standing.fixings if f.id != "a4"))
    assert borne(fewer, grown).clips[last.id].mid_n != pytest.approx(base.clips[last.id].mid_n, abs=0.1)


def test_a_second_clip_brings_the_larger_below_seven_tenths() -> None:
    standing, grown = tiered()
    base = borne(standing, grown).clips
    fullest = max((f for f in standing.fixings if f.on == "string"), key=lambda f: base[f.id].mid_n)
    second = replace(fullest, id="second", s_m=fullest.s_m + 0.08)
    pair = replace(standing, fixings=tuple(sorted((*standing.fixings, second), key=lambda f: f.s_m)))
    after = borne(pair, grown).clips
    assert max(after[fullest.id].mid_n, after["second"].mid_n) < 0.7 * base[fullest.id].mid_n
    assert max(after[fullest.id].high_n, after["second"].high_n) < 0.7 * base[fullest.id].high_n


@given(
    st.floats(2.6, 4.6),
    st.lists(st.floats(0.05, 1.2), min_size=1, max_size=9),
    st.floats(0.4, 1.0),
    st.integers(0, 2),
)
def test_no_clip_pushes_and_nothing_is_borne_twice(length: float, kgs: list[float], tip: float, lost: int) -> None:
    standing, grown = tiered(length_m=3.9)
    trusses = tuple((length * (i + 1) / (len(kgs) + 1), kg) for i, kg in enumerate(kgs))
    grown = stem(length, 1.0 + tip, trusses, leaves=12.0, bare_below_m=length / 2, day=DAY)
    fixings = tuple(f for i, f in enumerate(standing.fixings) if i != lost)
    found = borne(replace(standing, fixings=fixings), grown)
    for load in found.clips.values():
        assert 0.0 <= load.low_n <= load.mid_n <= load.high_n
    # The root may hold the beam down a little, which clips then bear on top of the weight.
    assert found.held_n < 1.1 * total_n(grown)


def test_order_of_fixings_of_a_turned_back_stem() -> None:
    """A stem that runs on and comes back has its places by the way along it, not by the row."""
    fixings = (
        clip("a", "on", 1.2, 1.65, string="W1/3", z_m=0.6),
        clip("a", "back", 2.2, 0.85, string="W1/1", z_m=0.6),
    )
    grown = stem(3.5, 1.9, ((1.7, 0.5), (2.6, 0.5)), leaves=6.0, bare_below_m=1.5)
    found = borne(leader(fixings=fixings, hook_u_m=0.85), grown)
    assert found.clips["back"].mid_n > 0
    assert found.clips["on"].mid_n > 0


def test_a_prop_bears_what_a_clip_there_would() -> None:
    """Midway between two clips a prop takes the span's load as a clip in its place does, and the clips beside it
    carry less than without."""
    standing, grown = tiered()
    on_strings = [f for f in standing.fixings if f.on == "string"]
    middle = on_strings[-2]
    clipped = borne(standing, grown)
    bare = replace(standing, fixings=tuple(f for f in standing.fixings if f is not middle))
    without = borne(bare, grown)
    # The path goes through a clip and not over a prop, so that the prop stands where the straight stem is.
    path = stem_path(bare, grown, layout(holding()))
    z_m = Along(path).z_m(middle.s_m)
    propped = replace(bare, props=(Prop("under it", middle.s_m, z_m, DAY),))
    found = borne(propped, grown)
    assert found.hook is not None
    assert clipped.hook is not None
    for beside in (on_strings[-3], on_strings[-1]):
        assert found.clips[beside.id].mid_n < without.clips[beside.id].mid_n - 1.0
        assert found.clips[beside.id].mid_n == pytest.approx(clipped.clips[beside.id].mid_n, abs=0.3)
    assert found.held_n == pytest.approx(clipped.held_n - clipped.clips[middle.id].mid_n, abs=0.3)
    assert found.hook.mid_n == pytest.approx(clipped.hook.mid_n, abs=0.3)


def test_a_prop_only_pushes_and_one_under_a_hanging_head_changes_nothing() -> None:
    standing, grown = tiered()
    over = replace(standing, props=(Prop("under the head", grown.length_m.mid - 0.3, 1.2, DAY),))
    assert borne(over, grown) == borne(standing, grown)
    for s_m in (0.3, 0.9, 1.6, 2.2, 2.9):
        found = borne(replace(standing, props=(Prop("p", s_m, 0.8, DAY),)), grown)
        assert found.held_n <= borne(standing, grown).held_n + 1e-9


def test_a_prop_under_a_head_without_a_hook_shares_it_with_the_last_clip() -> None:
    standing, grown = tiered()
    last = [f for f in standing.fixings if f.on == "string"][-1]
    loose = replace(standing, hook=None, fixings=tuple(f for f in standing.fixings if f.on == "string"))
    propped = replace(loose, props=(Prop("p", last.s_m + 0.4, 1.2, DAY),))
    assert borne(propped, grown).clips[last.id].mid_n == pytest.approx(
        borne(loose, grown).clips[last.id].mid_n / 2
    )


def test_a_head_without_its_hook_hangs_from_the_last_clip() -> None:
    """Level weightless stem from 1.0 m with clips at 1.1 and 2.1 m, a truss of 1 kg 0.7 m past the last and the
    hook at 3.1 m. Its hook lost, the last clip bears the truss and no lever of it: 1 kg, and the other nothing."""
    fixings = (
        clip("a", "own", 1.0, 1.1, string="W1/2", z_m=0.9),
        clip("a", "last", 2.0, 2.1, string="W1/4", z_m=0.9),
        clip("a", "head", 3.2, 3.1, on="head"),
    )
    grown = stem(4.0, 1.9, ((2.7, 1.0),), leaves=0.0)
    thin = replace(ROUND, stem_diameter_mm=0.01)
    standing = leader(u_m=1.0, fixings=fixings, hook_u_m=3.1)
    path = stem_path(standing, grown, PLACES)
    made_ready = ready(standing, path, weights(grown, thin))
    hung, lost = stem_loads(made_ready), stem_loads(made_ready, hooked=False)
    assert hung.hook is not None
    assert hung.clips["last"].mid_n < GRAVITY_M_PER_S2 < hung.clips["last"].mid_n + hung.hook.mid_n + 1.0
    assert lost.hook is None
    assert lost.clips["last"].mid_n == pytest.approx(GRAVITY_M_PER_S2, rel=1e-3)
    assert lost.clips["own"].mid_n == pytest.approx(0.0, abs=1e-3)
