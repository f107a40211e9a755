"""Reactions of stems as beams: against published tables, stored frame-library answers and PyNiteFEA itself."""

from __future__ import annotations

import json
import random
from itertools import combinations, pairwise
from math import sqrt
from pathlib import Path
from typing import Any

import pytest

from tunneltui.loads.beam import continuous, hinged, pull_only
from tunneltui.loads.clips import carried

CASES = json.loads((Path(__file__).parents[2] / "fixtures" / "loads" / "beam.json").read_text())["cases"]
BY_ID = {case["id"]: case for case in CASES}
RIGID = [
    case["id"] for case in CASES if case["support_spring_N_per_m"] is None and case["fixed_rotation_at_m"] is None
]
STORED_N = 1e-6
"""The file gives six decimals."""

GAUSS = (0.5 - sqrt(1 / 12), 0.5 + sqrt(1 / 12))


def spread(start: float, end: float, per_m: float, supports: list[float]) -> list[tuple[float, float]]:
    """An even load as two points a span: exact, for a beam's influence lines are cubic between supports."""
    edges = [start, *sorted(s for s in supports if start < s < end), end]
    return [(a + g * (b - a), per_m * (b - a) / 2) for a, b in pairwise(edges) for g in GAUSS]


def loads_of(case: dict[str, Any]) -> list[tuple[float, float]]:
    points = [(load["x_m"], load["P_N"]) for load in case["point_loads"]]
    for even in case["udl"]:
        points += spread(even["start_m"], even["end_m"], even["w_N_per_m"], case["supports_m"])
    return points


@pytest.mark.parametrize("name", RIGID)
def test_stored_cases(name: str) -> None:
    case = BY_ID[name]
    assert continuous(case["supports_m"], loads_of(case)) == pytest.approx(case["reactions_N"], abs=STORED_N)


def test_a_built_in_root_is_half_of_a_beam_mirrored_about_it() -> None:
    """X03: rotation fixed at x = 0. A beam mirrored about that support does not turn there."""
    case = BY_ID["X03"]
    away = case["supports_m"]
    mirrored = [-x for x in reversed(away[1:])] + away
    points = loads_of(case)
    both = continuous(mirrored, points + [(-x, newton) for x, newton in points])
    middle = len(away) - 1
    ours = [both[middle] / 2, *both[middle + 1 :]]
    assert ours == pytest.approx(case["reactions_N"], abs=STORED_N)


def test_twine_that_stretches_moves_loads_less_than_the_least_spread_we_show() -> None:
    """X01 is B07 on drop-lines of 2000 N/m. The model has rigid ones; the file says what that costs."""
    stiff = continuous(BY_ID["B07"]["supports_m"], loads_of(BY_ID["B07"]))
    gap = max(abs(a - b) for a, b in zip(stiff, BY_ID["X01"]["reactions_N"], strict=True))
    assert 0.01 < gap < 0.05


@pytest.mark.parametrize(
    ("spans", "fractions"),
    [
        # Hicks, Civil Engineering Formulas, Table 2.1, p. 50: shares of w L.
        (1, [1 / 2, 1 / 2]),
        (2, [3 / 8, 10 / 8, 3 / 8]),
        (3, [4 / 10, 11 / 10, 11 / 10, 4 / 10]),
        (4, [11 / 28, 32 / 28, 26 / 28, 32 / 28, 11 / 28]),
        (5, [15 / 38, 43 / 38, 37 / 38, 37 / 38, 43 / 38, 15 / 38]),
        (6, [n / 104 for n in (41, 118, 100, 106, 100, 118, 41)]),
        (7, [n / 142 for n in (56, 161, 137, 143, 143, 137, 161, 56)]),
    ],
)
def test_equal_spans_of_the_printed_table(spans: int, fractions: list[float]) -> None:
    supports = [0.6 * i for i in range(spans + 1)]
    points = spread(0.0, supports[-1], 7.0, supports)
    assert continuous(supports, points) == pytest.approx([f * 7.0 * 0.6 for f in fractions], rel=1e-9)


# Own simulation, six decimals.
L1 = ([0.0, 0.55, 1.10, 1.65], [(0.85, 5.4), (1.05, 5.2), (1.27, 4.6), (1.49, 3.9)])
L2 = ([0.0, 0.55, 1.10, 1.65, 2.20], [(1.30, 5.5), (1.52, 5.3), (1.75, 4.9), (1.98, 4.2)])


def test_case_l1() -> None:
    supports, trusses = L1
    points = [*spread(0.0, 1.65, 0.9, supports), *trusses]
    stiff, limp = pull_only(supports, points), hinged(supports, points)
    assert stiff == pytest.approx([-0.073718, 2.685851, 14.916952, 3.055915], abs=1e-6)
    assert limp == pytest.approx([0.2475, 3.42227, 12.48045, 4.43477], abs=1e-5)
    likely = [carried(b, h).mid_n for b, h in zip(stiff, limp, strict=True)]
    assert likely[1:] == pytest.approx([3.0541, 13.6987, 3.7453], abs=5e-5)


def test_case_l2_lifts_off_its_first_hold() -> None:
    supports, trusses = L2
    points = [*spread(0.0, 2.2, 0.9, supports), *trusses]
    assert continuous(supports, points) == pytest.approx(
        [0.31772, -0.173822, 4.90513, 14.642142, 2.188829], abs=1e-5
    )
    stiff, limp = pull_only(supports, points), hinged(supports, points)
    assert stiff == pytest.approx([0.253482, 0.0, 4.738866, 14.710159, 2.177493], abs=1e-6)
    assert limp == pytest.approx([0.2475, 0.495, 5.24773, 12.23136, 3.65841], abs=1e-5)
    first, third = carried(stiff[1], limp[1]), carried(stiff[3], limp[3])
    assert (first.mid_n, first.low_n, third.mid_n) == pytest.approx((0.2475, 0.0, 13.4708), abs=5e-5)


def test_u01_takes_out_the_support_that_lifts() -> None:
    """U01 is B08 without the support at 0 m, which B08 would have to push; here the root may not hold down."""
    case = BY_ID["U01"]
    points = loads_of(case)
    ours = pull_only([0.0, *case["supports_m"]], points, root_first=False)
    assert ours == pytest.approx([0.0, *case["reactions_N"]], abs=STORED_N)


def random_stem(rng: random.Random) -> tuple[list[float], list[tuple[float, float]]]:
    """Holds 0.3 to 1.1 m apart, stem weight every 10 cm, up to nine trusses in the upper part, sometimes a tip
    beyond. Places on whole 5 cm, so that no member of the frame is so short that rounding tells."""
    fives = [0]
    for _ in range(rng.randint(2, 7)):
        fives.append(fives[-1] + rng.randint(6, 22))
    per_m = rng.uniform(0.5, 3.0)
    points = [(five / 20, per_m / 10) for five in range(1, fives[-1], 2)]
    trusses = range(rng.randint(1, 9))
    points += [(rng.randint(fives[-1] // 3, fives[-1]) / 20, rng.uniform(1.0, 12.0)) for _ in trusses]
    if rng.random() < 0.3:
        points.append(((fives[-1] + rng.randint(1, 10)) / 20, rng.uniform(0.5, 6.0)))
    return [five / 20 for five in fives], points


def frame_of(supports: list[float], points: list[tuple[float, float]], slope: float = 0.0) -> Any:
    """The same stem in PyNiteFEA, lying at a slope: root held both ways, every clip a one-way support spring.

    One-way *support* springs come back to life in PyNite 3.2.0, tension-only members do not (own
    trial). Springs of 1e8 N/m yield too little to tell, and enough for their force to survive
    rounding.
    """
    from Pynite import FEModel3D

    model = FEModel3D()
    model.add_material("stem", 1e8, 4e7, 0.3, 1000.0)
    # EI 0.1 N.m2; EA so large that stretching along a sloped stem does not enter.
    model.add_section("round", 10.0, 1e-9, 1e-9, 2e-9)
    places = sorted({*supports, *(place for place, _ in points)})
    for i, x in enumerate(places):
        model.add_node(f"N{i}", x, slope * x, 0.0)
        model.def_support(f"N{i}", x == supports[0], x == supports[0], True, True, True, False)
        if x in supports[1:]:
            model.def_support_spring(f"N{i}", "DY", 1e8, "-")
    for i in range(len(places) - 1):
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "stem", "round")
    for place, newton in points:
        model.add_node_load(f"N{places.index(place)}", "FY", -newton)
    return model


def by_frame_library(supports: list[float], points: list[tuple[float, float]], slope: float = 0.0) -> list[float]:
    model = frame_of(supports, points, slope)
    model.analyze(check_stability=False, max_iter=60)
    at = {round(node.X, 9): node.RxnFY["Combo 1"] for node in model.nodes.values()}
    return [at[round(x, 9)] for x in supports]


def check_random_stems(count: int) -> None:
    rng = random.Random(20)
    lifted = 0
    for _ in range(count):
        supports, points = random_stem(rng)
        slope = rng.choice((0.0, 0.17, rng.uniform(-0.3, 1.0)))
        ours = pull_only(supports, points)
        lifted += any(reaction == 0.0 for reaction in ours[1:])
        total = sum(newton for _, newton in points)
        # Vertical loads and twines: a straight sloped stem bears on the same holds as a level one.
        assert ours == pytest.approx(by_frame_library(supports, points, slope), abs=1e-6 * total), (
            supports,
            points,
        )
    assert lifted > 0


def test_random_stems_against_a_frame_library() -> None:
    check_random_stems(12)


@pytest.mark.long
def test_two_hundred_random_stems_against_a_frame_library() -> None:
    check_random_stems(200)


def all_active_sets(supports: list[float], points: list[tuple[float, float]]) -> list[float]:
    """Pull-only by trying every set of holds: the one where none pushes and the stem sinks below none."""
    others = range(1, len(supports))
    for size in range(len(supports) - 1, 0, -1):
        for kept in combinations(others, size):
            active = [0, *kept]
            reactions = continuous([supports[i] for i in active], points)
            if min(reactions[1:]) < -1e-9:
                continue
            # A hold left out must carry nothing if it is put back as the only further one.
            if all(_stays_slack(supports, points, active, i) for i in others if i not in kept):
                found = [0.0] * len(supports)
                for i, reaction in zip(active, reactions, strict=True):
                    found[i] = reaction
                return found
    raise AssertionError("no consistent set")


def _stays_slack(supports: list[float], points: list[tuple[float, float]], active: list[int], i: int) -> bool:
    more = sorted([*active, i])
    return continuous([supports[j] for j in more], points)[more.index(i)] <= 1e-9


def test_active_set_equals_enumeration() -> None:
    rng = random.Random(7)
    lifted = 0
    for _ in range(150):
        supports, points = random_stem(rng)
        ours = pull_only(supports, points)
        lifted += any(reaction == 0.0 for reaction in ours[1:])
        assert ours == pytest.approx(all_active_sets(supports, points), abs=1e-6)
    assert lifted > 10


def test_both_sets_sum_to_the_load_and_no_clip_pushes() -> None:
    rng = random.Random(3)
    for _ in range(300):
        supports, points = random_stem(rng)
        total = sum(newton for _, newton in points)
        for reactions in (pull_only(supports, points), hinged(supports, points)):
            assert sum(reactions) == pytest.approx(total, abs=1e-9)
            assert min(reactions[1:]) >= 0.0
        turning = sum(newton * place for place, newton in points)
        held = sum(r * x for r, x in zip(pull_only(supports, points), supports, strict=True))
        assert held == pytest.approx(turning, abs=1e-8)


def test_an_overhang_by_hand() -> None:
    """B09 by hand: span 1.2 m, overhang 0.5 m, 5 N/m and 5 N at the tip: R2 = (8.5 x 0.85 + 5 x 1.7)/1.2."""
    points = [*spread(0.0, 1.7, 5.0, [0.0, 1.2]), (1.7, 5.0)]
    assert continuous([0.0, 1.2], points)[1] == pytest.approx((8.5 * 0.85 + 5 * 1.7) / 1.2, rel=1e-12)
