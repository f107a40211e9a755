"""Where a stem runs: own simulation, and paths worked by hand."""

from __future__ import annotations

from itertools import pairwise
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loads.made import clip, holding, leader, row, season, stem, tiered
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Limits
from tunneltui.loads.path import bend, hook_across_m, layer_z_m, saving_m, spare_m, stem_path
from tunneltui.values import replace

# Last hold (3.00, .81, s 3.36), L 4.80, tip 1.88, let out .35.
FREE, RISE, OUT = 4.80 - 3.36, 1.88 - 0.81, 0.35


@pytest.mark.parametrize(
    ("slope", "radius", "saved", "hook", "rise"),
    [
        (0.17, 0.0, 0.0, 3.852730, 0.144964),
        (0.17, 0.15, 0.042943, 3.903590, 0.153610),
        (0.0, 0.20, 0.0858, 3.805841, 0.0),
    ],
)
def test_planned_hook(slope: float, radius: float, saved: float, hook: float, rise: float) -> None:
    across = hook_across_m(FREE - RISE + OUT, slope, radius)
    assert 3.0 + across == pytest.approx(hook, abs=1e-6)
    assert slope * across == pytest.approx(rise, abs=1e-6)
    assert saving_m(slope, radius) == pytest.approx(saved, abs=5e-5)
    # Asked the other way round, the same hook gives the same bend.
    back = bend(FREE + OUT, RISE, across, radius)
    assert back is not None
    assert back.slope == pytest.approx(slope, abs=1e-5)
    assert back.rise_m == pytest.approx(rise, abs=1e-5)


def test_first_lowering_leans() -> None:
    """Hold (0, .30, .30), L 2.5, tip 1.85, out .40, slope .17, R .15: hook 1.294424, u .220052."""
    across = hook_across_m((2.5 - 0.30) - (1.85 - 0.30) + 0.40, 0.17, 0.15)
    assert across == pytest.approx(1.294424, abs=1e-6)
    assert 0.17 * across == pytest.approx(0.220052, abs=1e-6)


def test_bend_below_its_last_fixing() -> None:
    """D .5, l 1.6, c 1.0: sharp -.183333, -.091667; R .15 -.378506, -.189253."""
    sharp, round_ = bend(1.6, 1.0, 0.5, 0.0), bend(1.6, 1.0, 0.5, 0.15)
    assert sharp is not None
    assert round_ is not None
    assert (sharp.slope, sharp.rise_m) == pytest.approx((-0.183333, -0.091667), abs=1e-6)
    assert (round_.slope, round_.rise_m) == pytest.approx((-0.378506, -0.189253), abs=1e-6)


@pytest.mark.parametrize(
    ("radius", "level", "sloped", "drooping"), [(0.15, 0.064, 0.043, 0.124), (0.20, 0.086, 0.057, 0.165)]
)
def test_stem_saved_by_a_round_bend(radius: float, level: float, sloped: float, drooping: float) -> None:
    """D_R table of section 3, three decimals."""
    found = [saving_m(slope, radius) for slope in (0.0, 0.17, -0.3)]
    assert found == pytest.approx([level, sloped, drooping], abs=6e-4)


def test_hook_on_a_layer_line_above_the_fixing() -> None:
    """Section 4, rule 2: D = a q + sqrt(a^2 q^2 + q^2 + 2 q z_l), checked by closing the path with it."""
    a, q, line = 0.17, 0.6, 0.1
    across = hook_across_m(q, a, 0.0, line)
    up = line + a * across
    assert hypot(across, up) - up == pytest.approx(q, abs=1e-12)


@given(st.floats(0.05, 1.5), st.floats(0.0, 0.4), st.floats(0.3, 1.5))
def test_a_bend_closes_its_path(spare: float, slope: float, rise: float) -> None:
    """Sharp bends: run to the bend and head above it make up the stem."""
    across = hook_across_m(spare, slope, 0.0)
    turn = bend(rise + spare, rise, across, 0.0)
    if turn is not None:
        whole = hypot(across, turn.rise_m) + rise - turn.rise_m
        assert whole == pytest.approx(rise + spare, abs=1e-9)


def test_conditioning() -> None:
    """Below r = 0.5 (slope above 0.75) a bend's height is not shown."""
    shown, hidden = bend(0.5 * 1.01 + 1.0, 1.0, 1.0, 0.0), bend(0.5 * 0.99 + 1.0, 1.0, 1.0, 0.0)
    assert shown is not None
    assert shown.shown
    assert hidden is not None
    assert not hidden.shown


def test_parallel_lines_never_cross() -> None:
    limits = Limits()
    gap = [layer_z_m(0.0, u, limits) - layer_z_m(0.58, u, limits) for u in (0.6, 1.5, 4.0)]
    assert gap == pytest.approx([0.17 * 0.58] * 3)


def test_a_tiered_stem() -> None:
    standing, grown = tiered()
    path = stem_path(standing, grown, layout(holding()))
    assert path.fault == ""
    assert path.points[0] == (0.58, 0.0, 0.0)
    assert path.points[-1] == pytest.approx((3.2, grown.tip_z_m.mid, 3.9))
    assert path.bend_z_m == pytest.approx(path.points[-2][1])
    between = [hypot(b[0] - a[0], b[1] - a[1]) - (b[2] - a[2]) for a, b in pairwise(path.points)]
    # Only the bend, drawn sharp, is longer than the stem: by what its rounding saves.
    assert max(between[:-1]) < 1e-9
    assert 0.0 < between[-1] < saving_m(-0.1, 0.15)


def test_an_upright_stem_is_no_fault() -> None:
    path = stem_path(leader(hook_u_m=0.58), stem(1.6, 1.58), layout(holding()))
    assert path.fault == ""
    assert path.bend_z_m is None
    assert path.points == ((0.58, 0.0, 0.0), (0.58, 1.58, 1.6))


def test_first_leans_have_no_corner() -> None:
    """0.30 m on and nearly no stem to spare: r = 0.1/0.3, so steep that no corner can be told."""
    path = stem_path(leader(hook_u_m=0.88), stem(1.70, 1.60), layout(holding()))
    assert path.bend_z_m is None
    assert path.fault == ""
    assert path.points[-1] == pytest.approx((0.88, 1.60, 1.70))


def test_a_clip_above_the_tip_is_named_and_left_out() -> None:
    fixing = clip("a", "the clip", 3.0, 1.1, string="W1/2")
    path = stem_path(leader(fixings=(fixing,), hook_u_m=0.58), stem(1.5, 1.5), layout(holding()))
    assert path.fault == (
        "W1-a: clip on string W1/2 (entry the clip) at 3.00 m would be above its tip, the stem is 1.50 m;"
        " it is left out."
    )
    assert len(path.points) == 2


def test_a_stem_shorter_than_its_path_is_named() -> None:
    fixing = clip("a", "far", 1.0, 3.0, string="W1/5")
    path = stem_path(leader(fixings=(fixing,), hook_u_m=5.0), stem(2.0, 1.8), layout(holding()))
    assert path.fault.count("shorter than the path") == 2
    assert "W1-a" in path.fault


def test_a_forecast_length_is_given_its_own_spread() -> None:
    """10 cm short is a fault of a measured stem, and none of one forecast to within 8 cm."""
    fixing = clip("a", "c", 1.2, 1.1, string="W1/2", z_m=0.8)
    standing = leader(fixings=(fixing,), hook_u_m=2.1)
    grown = stem(1.2 + hypot(1.0, 0.9) - 0.10, 1.7)
    loose = stem(1.2 + hypot(1.0, 0.9) - 0.10, 1.7, half=0.08)
    assert stem_path(standing, grown, layout(holding())).fault
    assert not stem_path(standing, loose, layout(holding())).fault


def test_a_laid_down_stem_lies_then_rises() -> None:
    standing = leader(hook_u_m=2.0, training="laid_down")
    path = stem_path(standing, stem(3.3, 1.8), layout(holding()))
    assert path.bend_z_m == pytest.approx(0.05)
    assert path.bend_s_m == pytest.approx(3.3 - 1.75)
    assert [point[1] for point in path.points] == pytest.approx([0.0, 0.05, 0.05, 1.8])


def test_a_pinched_stem_stands_at_its_place() -> None:
    fixings = tuple(clip("a", f"c{i}", 0.4 * i, 0.58, string="W1/1") for i in range(1, 5))
    standing = leader(fixings=fixings, hook_u_m=0.58, training="pinched_at_wire")
    path = stem_path(standing, stem(1.95, 1.95), layout(holding()))
    assert path.fault == ""
    assert {point[0] for point in path.points} == {0.58}


def test_round_a_row_end() -> None:
    """Two rows of 8 m, 1 m apart, closed: a stem rooted near the end counts on past it, by hand 17.5 + 1.5."""
    first = row(1, loop_with=2, across_m=1.0, closed_loop=True, corner="end_bar")
    second = row(2, loop_with=1, across_m=2.0, closed_loop=True, corner="end_bar")
    stands = holding(first, second)
    places = layout(stands)
    loop = places.loops["W1"]
    assert loop.length_m == pytest.approx(18.0)
    over_the_end = clip("a", "c", 1.4, 0.55, string="W1/1")
    standing = leader(u_m=17.5, fixings=(over_the_end,), hook_u_m=1.0, row="W2")
    path = stem_path(standing, stem(3.0, 1.8), places)
    assert path.hook_u_m == pytest.approx(19.0)
    assert path.points[1][0] == pytest.approx(18.55)
    assert path.points[1][1] == pytest.approx(0.70 + 0.17 * 1.05)
    assert path.fault == ""


def test_spare_stem_says_that_lowering_was_not_noted() -> None:
    places = layout(holding())
    upright = leader(hook_u_m=0.58)
    assert spare_m(upright, stem(1.6, 1.6), places) == pytest.approx(0.0)
    assert spare_m(upright, stem(3.0, 3.0), places) == pytest.approx(1.0)
    standing, grown = tiered()
    assert abs(spare_m(standing, grown, places)) < 0.06
    longer = replace(grown, length_m=stem(4.5, 1.0).length_m)
    assert spare_m(standing, longer, places) > 0.5


def test_two_clips_a_hand_apart_are_one_turn_of_the_path() -> None:
    standing, grown = tiered()
    last = [f for f in standing.fixings if f.on == "string"][-1]
    second = replace(last, id="second", s_m=last.s_m + 0.08)
    doubled = replace(standing, fixings=tuple(sorted((*standing.fixings, second), key=lambda f: f.s_m)))
    places = layout(holding())
    assert len(stem_path(doubled, grown, places).points) == len(stem_path(standing, grown, places).points)


def test_a_leader_without_hook_or_clip_just_stands() -> None:
    path = stem_path(leader(), stem(0.8, 0.8), season(leader()).layout)
    assert path.points == ((0.58, 0.0, 0.0), (0.58, 0.8, 0.8))
