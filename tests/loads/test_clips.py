"""Loads on one stem's clips: bands, groups and rules, each against a sum done by hand."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import linalg

from tests.loads.made import DAY, clip, holding, leader, stem, tiered
from tunneltui.growth.outlook import StemOn
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Cultivar
from tunneltui.loads.clips import (
    HEAD_LN,
    LASTING_LN,
    UPRIGHT_LN,
    Carried,
    StemLoads,
    WeighedOff,
    carried,
    ready,
    shared_close,
    shared_upright,
    stem_loads,
)
from tunneltui.loads.column import root_most_n
from tunneltui.loads.masses import GRAVITY_M_PER_S2, Weights, lumps, weights
from tunneltui.loads.path import Along, stem_path
from tunneltui.loads.result import Lump, StemPath
from tunneltui.season.state import Leader, Prop
from tunneltui.values import replace

PLACES = layout(holding())
ROUND = PLACES.cultivars["round"]


def borne(standing: Leader, grown: StemOn) -> StemLoads:
    path = stem_path(standing, grown, PLACES)
    return stem_loads(ready(standing, path, weights(grown, ROUND)))


def total_n(grown: StemOn) -> float:
    return weights(grown, ROUND).total_n


def as_known(weigh: Weights) -> Weights:
    return replace(weigh, unsure=(), fruit_sd=0.0, green_sd=0.0)


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


def test_the_band_widens_with_its_ends_and_by_what_hangs_there() -> None:
    """m +- 1.645 s by hand for ends 10 and 14 N, d = 2: hypot(d/sqrt 3, .13 x 12, .4) = 1.9817 of weights that are
    known; with 9 N of fruit off by .3 in all and 2 N by its trusses, and 3 N of stem off by .12: hypot(1.9817, 2,
    2.7, .36) = 3.9175."""
    known, guessed = carried(10.0, 14.0), carried(10.0, 14.0, off=WeighedOff(9.0, 2.0, 0.3, 0.12))
    for band, sd in ((known, 1.98165), (guessed, 3.91747)):
        assert band.mid_n == 12.0
        assert band.sd_n == pytest.approx(sd, abs=1e-4)
        assert band.low_n == pytest.approx(12 - 1.645 * sd, abs=1e-3)
    assert [carried(10.0, 14.0, back).lasting_ln for back in range(4)] == [*LASTING_LN, LASTING_LN[-1]]
    # A fruit weight that weighed picks would tell better stays off as long as the clip hangs.
    assert guessed.lasting_ln == pytest.approx(hypot(0.17, sqrt(0.3**2 - 0.12**2) * 9 / 12))
    assert carried(0.0, 0.0).low_n == 0.0


def test_a_truss_about_to_be_picked_may_be_gone_and_the_one_below_still_there() -> None:
    """By hand: at z .95, .06 off, the lowest is gone with Phi(-.833) = .2023, all or nothing: sd .4018 of its 8 N,
    beside .20 of every truss by itself; one z .10 further down (1.05) is still there with the same chance. The
    next one up, at .85, is gone with Phi(-2.5) = .0062, sd .0786."""
    grown = stem(2.4, 1.9, ((0.8, 8 / GRAVITY_M_PER_S2), (1.04, 6 / GRAVITY_M_PER_S2)), leaves=0.0)
    lowest, above = grown.trusses
    old = (lowest._replace(number=3, z=0.95), above._replace(number=4, z=0.85))
    off = weights(replace(grown, trusses=old), ROUND).unsure
    assert [truss.s_m for truss in off] == pytest.approx([0.56, 0.8, 1.04])
    assert [truss.newton for truss in off] == pytest.approx([0.0, 8.0, 6.0])
    sds_n = [3.2143, hypot(1.6, 3.2143), 6 * hypot(0.2, 0.0786)]
    assert [truss.sd_n for truss in off] == pytest.approx(sds_n, rel=1e-3)


def test_holds_back_from_the_hook_are_known_less_well() -> None:
    standing, grown = tiered()
    found = borne(standing, grown).clips
    lying = [found[f.id].lasting_ln for f in standing.fixings if f.on == "string"]
    assert lying[-2:] == [0.30, 0.17]
    assert set(lying[:-2]) == {0.38}
    assert {found[f.id].lasting_ln for f in standing.fixings if f.on == "head"} == {HEAD_LN}


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


def evenly(n_per_m: float, from_m: float, to_m: float) -> list[tuple[float, float]]:
    step = 0.0005
    count = round((to_m - from_m) / step)
    return [(from_m + (i + 0.5) * step, n_per_m * step) for i in range(count)]


U1 = evenly(7, 0, 2)
U2 = [*evenly(1, 0, 0.6), *evenly(6, 0.6, 2), (0.65, 5.4), (0.9, 5), (1.15, 4), (1.4, 2), (1.65, 0.7)]
U3 = [*evenly(6, 0, 1), (0.5, 0.5), (0.75, 0.2)]


@pytest.mark.parametrize(
    ("loads", "most_n", "finite_elements_n"),
    [(U1, 6.611, 6.66), (U2, 6.150, 7.26), (U3, 6.351, 5.88)],
)
def test_what_a_root_bears_at_most(
    loads: list[tuple[float, float]], most_n: float, finite_elements_n: float
) -> None:
    """Three stems of 0.15 N.m2, and the buckling load by own finite elements, which lie 0.97 (sd 0.10) off. U1 by
    hand: the cube root of .15 x 49 is 1.9443, x 3.4 = 6.611 N."""
    assert root_most_n(loads, 0.15) == pytest.approx(most_n, abs=6e-4)
    assert root_most_n(loads, 0.15) / finite_elements_n == pytest.approx(0.97, abs=0.17)


def test_a_swaying_head_lets_its_root_bear_less() -> None:
    """2.338 x 1.9443 = 4.546 N (first zero of Airy's function)."""
    assert root_most_n(U1, 0.15, steadied=False) == pytest.approx(4.546, abs=1e-3)


def test_a_column_by_eigenvalues_here_and_now() -> None:
    """An even column fixed at its root and held sideways at its head, net axial force w z - R: the least R at
    which the stiffness matrix is singular, by finite elements of 2 cm (cubic beams with their geometric
    stiffness)."""
    for n_per_m, height_m in ((7.0, 2.0), (4.0, 2.4)):
        found = _buckles_n(n_per_m, height_m, 0.15)
        assert root_most_n(evenly(n_per_m, 0, height_m), 0.15) == pytest.approx(found, rel=0.03)


def _buckles_n(n_per_m: float, height_m: float, stiffness: float) -> float:
    """``R`` is borne by the root, the rest hangs: axial tension at z is w z - R."""
    count = round(height_m / 0.02)
    size = height_m / count
    k, load, pull = (np.zeros((2 * count + 2, 2 * count + 2)) for _ in range(3))
    bend = (
        np.array(
            [
                [12, 6 * size, -12, 6 * size],
                [6 * size, 4 * size**2, -6 * size, 2 * size**2],
                [-12, -6 * size, 12, -6 * size],
                [6 * size, 2 * size**2, -6 * size, 4 * size**2],
            ]
        )
        * stiffness
        / size**3
    )
    turn = (
        np.array(
            [
                [36, 3 * size, -36, 3 * size],
                [3 * size, 4 * size**2, -3 * size, -(size**2)],
                [-36, -3 * size, 36, -3 * size],
                [3 * size, -(size**2), -3 * size, 4 * size**2],
            ]
        )
        / 30
        / size
    )
    for i in range(count):
        at = slice(2 * i, 2 * i + 4)
        k[at, at] += bend
        load[at, at] += turn
        pull[at, at] += turn * n_per_m * (i + 0.5) * size
    free = [i for i in range(2, 2 * count + 2) if i != 2 * count]
    values = linalg.eigh((k + pull)[np.ix_(free, free)], load[np.ix_(free, free)], eigvals_only=True)
    return float(min(values))


def test_an_upright_stem_hangs_save_what_its_root_can_bear() -> None:
    """U1 in the program: 7 N/m, 2 m high, its hook straight above: 14 - .75 x 6.611 = 9.04 N on the hook, 14 -
    1.2 x 6.611 = 6.07 to 14 - .25 x 6.611 = 12.35; a third each on its three head clips, at most 0.8 of it."""
    fixings = tuple(clip("a", f"h{i}", s, 0.58, on="head") for i, s in enumerate((0.5, 0.9, 1.3)))
    standing = leader(fixings=fixings, hook_u_m=0.58)
    even = Weights(2.0, 0.0, 7.0, 0.0, ())
    found = stem_loads(ready(standing, stem_path(standing, stem(2.0, 2.0), PLACES), even))
    assert found.hook is not None
    assert (found.hook.low_n, found.hook.mid_n, found.hook.high_n) == pytest.approx((6.07, 9.04, 12.35), abs=0.03)
    assert [found.clips[f"h{i}"].mid_n for i in range(3)] == pytest.approx([found.hook.mid_n / 3] * 3)
    assert found.clips["h0"].low_n == 0.0
    assert found.clips["h0"].high_n == pytest.approx(0.8 * found.hook.high_n)
    assert found.root_n == pytest.approx(0.75 * 6.611, abs=0.03)


def test_a_short_stem_may_stand_by_itself() -> None:
    """U3: T 0 to 5.11 N, likely 1.94."""
    standing = leader(fixings=(clip("a", "h", 0.5, 0.58, on="head"),), hook_u_m=0.58)
    even = Weights(1.0, 0.0, 6.0, 0.0, (Lump(0.5, 0.5), Lump(0.75, 0.2)))
    found = stem_loads(ready(standing, stem_path(standing, stem(1.0, 1.0), PLACES), even)).clips["h"]
    assert (found.low_n, found.mid_n, found.high_n) == pytest.approx((0.0, 1.94, 5.11), abs=0.03)


def test_a_tall_vine_is_not_halved() -> None:
    """A vine of 1.9 m and 33 N, fruit from 0.6 m up: its root bears a few newtons and no half of it."""
    grown = stem(1.9, 1.9, tuple((0.6 + 0.2 * i, 0.55 - 0.08 * i) for i in range(6)), leaves=16.0)
    fixings = tuple(clip("a", f"h{i}", s, 0.58, on="head") for i, s in enumerate((0.5, 0.9, 1.3)))
    found = borne(leader(fixings=fixings, hook_u_m=0.58), grown)
    assert found.hook is not None
    assert found.hook.mid_n > 0.7 * total_n(grown)
    known = as_known(weights(grown, ROUND))
    standing = leader(fixings=fixings, hook_u_m=0.58)
    weighed = stem_loads(ready(standing, stem_path(standing, grown, PLACES), known)).hook
    assert weighed is not None
    assert weighed.low_n > 0.6 * total_n(grown)


def test_what_a_stem_weighs_is_known_no_better_than_its_fruit_and_leaves() -> None:
    """By hand: a leafless, all but weightless stem with trusses of 6 and 8 N is off by hypot(.12 x 14, .20 x 6,
    .20 x 8) = 2.61 N of 14; an upright stem's twine takes all of that, its root none."""
    thin = Cultivar("thin", stem_diameter_mm=0.1)
    grown = stem(1.9, 1.9, ((0.8, 6 / GRAVITY_M_PER_S2), (1.2, 8 / GRAVITY_M_PER_S2)), leaves=0.0, ripe_z=0.5)
    weigh = weights(grown, thin)
    standing = leader(hook_u_m=0.58)
    path = stem_path(standing, grown, PLACES)
    told = stem_loads(ready(standing, path, weigh)).hook
    known = stem_loads(ready(standing, path, as_known(weigh))).hook
    assert told is not None
    assert known is not None
    assert told.mid_n == known.mid_n
    for of, its in ((told.high_n, known.high_n), (told.low_n, known.low_n)):
        assert abs(of - told.mid_n) == pytest.approx(hypot(its - told.mid_n, 1.645 * 2.6122), abs=2e-3)


@pytest.mark.parametrize(
    ("u", "d", "own", "lever", "clip_n", "s_n"),
    [(0.10, 0.60, 0.40, 6.05, 10.39, 2.46), (0.30, 0.60, 0.58, 8.33, 9.15, 2.30)],
)
def test_a_stem_just_leaned(u: float, d: float, own: float, lever: float, clip_n: float, s_n: float) -> None:
    """Own below the clip, its lever share of the stretch to the hook, and the bending of that stretch: by hand
    .7 x .40 + 1.05 x 6.05 + 9.4 x .60 x (1 - .1/.3) = 10.39 N, s = hypot(.18 x 10.39, 1.6) = 2.46 (simulated
    rods bore 11.25 and 9.18 N)."""
    root, head = 0.58, 3.0
    held = clip("a", "own", 0.9, root + u, string="W1/2", z_m=0.85)
    standing = leader(fixings=(held, clip("a", "head", 2.0, root + u + d, on="head")), hook_u_m=root + u + d)
    path = StemPath(
        ((root, 0.0, 0.0), (root + u, 0.85, 0.9), (root + u + d, 1.5, 1.9), (root + u + d, 2.2, 2.6)),
        root + u + d,
        1.5,
        1.9,
    )
    # Midway between clip and hook a weight of twice the lever share; above the head clip all hangs on the hook.
    middle = Lump(1.4, 2 * lever)
    weigh = Weights(2.6, 0.0, 0.0, 0.0, (Lump(0.4, own), middle, Lump(2.3, head)))
    found = stem_loads(ready(standing, path, weigh))
    assert found.clips["own"].mid_n == pytest.approx(clip_n, abs=0.006)
    assert found.clips["own"].sd_n == pytest.approx(s_n, abs=0.006)
    assert found.clips["own"].lasting_ln == UPRIGHT_LN
    assert found.hook is not None
    assert found.hook.mid_n == pytest.approx(lever + head)
    assert found.hook.sd_n == pytest.approx(hypot(0.10 * (lever + head), 0.7))
    # What clip and hook bear beyond the weight, the root pulls down.
    assert found.root_n == pytest.approx(own + lever - clip_n, abs=0.006)
    assert found.root_n < 0


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
    # The own clip beside the root has its half-span: the root takes nothing off it.
    assert found.clips["own"].mid_n == pytest.approx((5 / 16 * g + g / 2) / 2, rel=1e-4)


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


def test_a_steep_stretch_does_not_merge_a_clip_with_the_hook() -> None:
    """A just leaned stem as it is noted, fruit above its only string clip: the clip bears more than its lever
    share, not what is left of an upright stem shared with the head clips."""
    own = clip("a", "own", 0.95, 0.85, string="W1/2")
    heads = tuple(clip("a", f"h{i}", 1.7 + 0.25 * i, 1.05, on="head") for i in range(3))
    grown = stem(2.33, 2.1, ((1.2, 0.6), (1.4, 0.5), (1.6, 0.4)), leaves=10.0, bare_below_m=1.0)
    found = borne(leader(u_m=0.58, fixings=(own, *heads), hook_u_m=1.05), grown)
    assert found.hook is not None
    assert found.clips["own"].low_n > 0.0
    between_n = weights(grown, ROUND).stem_n(0.95, 1.7) + 1.5 * GRAVITY_M_PER_S2
    assert found.clips["own"].mid_n > 0.3 * between_n
    assert found.clips["h0"].mid_n == pytest.approx(found.hook.mid_n / 3)


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
    """Five clips up one string and no hook: a fifth each of what its root cannot bear."""
    fixings = tuple(clip("a", f"c{i}", 0.3 + 0.35 * i, 0.55, string="W1/1") for i in range(5))
    standing = leader(u_m=0.55, fixings=fixings, training="pinched_at_wire")
    grown = stem(1.95, 1.95, ((1.0, 0.6), (1.4, 0.5)), leaves=0.0)
    found = borne(standing, grown)
    assert found.root_n > 0
    assert [c.mid_n for c in found.clips.values()] == pytest.approx([(total_n(grown) - found.root_n) / 5] * 5)
    assert found.hook is None


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
    # What the root pulls down, fixings and hook bear on top of the weight, and nothing else.
    on_all = sum(load.mid_n for i, load in found.clips.items() if not i.startswith("ah"))
    on_all += found.hook.mid_n if found.hook is not None else 0.0
    assert on_all == pytest.approx(found.held_n)
    assert found.held_n <= total_n(grown) + max(0.0, -found.root_n) + 1e-9


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
