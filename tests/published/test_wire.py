"""The top wire against exact large-sag solutions, the parabola, and steel-wire tables."""

from __future__ import annotations

import json
from math import sqrt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loads.made import row
from tunneltui.holding.model import Tunnel
from tunneltui.loads.wire import WARMING_PER_K, Wire, hang, wire_of

CASES = json.loads((Path(__file__).parents[2] / "fixtures" / "loads" / "wire.json").read_text())["cases"]
EA_25 = 981747.704
"""2.5 mm steel, E 200 GPa (textbook)."""
THREE = [(0.75, 60.0), (1.5, 60.0), (2.25, 60.0)]


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["id"]))
def test_exact_cases(case: dict[str, object]) -> None:
    """The shallow form is 0.04 to 0.2 % above the exact pull (own simulation), 0.5 % on a slack wire."""
    ea, span = float(case["EA_N"]), float(case["span_m"])  # type: ignore[arg-type]
    straight = float(case["pretension_N"])  # type: ignore[arg-type]
    tolerance = 0.002
    if "unstressed_length_m" in case:
        straight, tolerance = ea * (span / float(case["unstressed_length_m"]) - 1), 0.005  # type: ignore[arg-type]
    points = [(load["x_m"], load["P_N"]) for load in case["loads"]]  # type: ignore[attr-defined]
    wire = hang(Wire(ea, 0.0, straight), [0.0, span], points)
    exact: dict[str, float] = case["result"]  # type: ignore[assignment]
    assert wire.pull_n == pytest.approx(exact["H_N"], rel=tolerance)
    assert wire.spans[0].tension_n == pytest.approx(exact["max_tension_N"], rel=tolerance)
    assert wire.spans[0].sag_m == pytest.approx(exact["max_sag_below_chord_m"], rel=tolerance)
    assert wire.spans[0].left_n == pytest.approx(exact["end_vertical_left_N"], abs=0.03)


def test_the_form_itself_to_its_digits() -> None:
    """Three wires worked by own simulation: S, H and sag as printed, and the cubic of one load at midspan."""
    w02 = hang(Wire(EA_25, 0.0, 300.0), [0.0, 3.0], THREE)
    assert w02.pull_n == pytest.approx(1410.418, abs=5e-4)
    assert w02.spans[0].sag_m == pytest.approx(0.06381, abs=5e-6)
    w03 = next(case for case in CASES if case["id"] == "W03")
    six = hang(Wire(EA_25, 0.0, 500.0), [0.0, 2.0], [(load["x_m"], load["P_N"]) for load in w03["loads"]])
    assert six.pull_n == pytest.approx(1836.993, abs=5e-4)
    assert six.spans[0].sag_m == pytest.approx(0.04682, abs=5e-6)
    w01 = hang(Wire(EA_25, 0.0, 300.0), [0.0, 3.0], [(1.5, 100.0)])
    assert w01.pull_n == pytest.approx(1180.539515, abs=1e-5)


def test_warming_and_yielding_ends() -> None:
    """Own simulation, exact elastic wire: 1302.8 N at +25 K, 529.3 N and 168.2 mm on 20 kN/m ends."""
    warm = hang(Wire(EA_25, 0.0, 300.0 - EA_25 * WARMING_PER_K * 25), [0.0, 3.0], THREE)
    assert warm.pull_n == pytest.approx(1302.8, rel=0.002)
    giving = row(length_m=3.0, end_stiffness_n_per_m=20_000.0, pretension_n=300.0)
    wire = wire_of(giving, Tunnel("W", "west", 10.0, 5.0))
    soft = hang(Wire(wire.ea_n, 0.0, wire.straight_n), [0.0, 3.0], THREE)
    assert soft.pull_n == pytest.approx(529.3, rel=0.005)
    assert soft.spans[0].sag_m == pytest.approx(0.1682, rel=0.01)
    # 25 K warmer by the holding's own wire: EA x 12e-6 x 25 less to begin with.
    plain = row(length_m=3.0, pretension_n=300.0)
    cold, hot = (wire_of(plain, Tunnel("W", "west", 10.0, 5.0), warming_k=k) for k in (0.0, 25.0))
    assert cold.straight_n - hot.straight_n == pytest.approx(EA_25 * 12e-6 * 25, rel=1e-6)


@pytest.mark.parametrize(
    ("pretension", "rigid", "giving", "sag"),
    # own simulation: 54 N/m over 3.5 m of 2.5 mm wire; ends rigid, then of 50 kN/m, and its sag in mm.
    [(0.0, 1135, 493, 167), (100.0, 1169, 528, 156), (300.0, 1244, 616, 134), (600.0, 1374, 791, 104)],
)
def test_end_stiffness_decides(pretension: float, rigid: float, giving: float, sag: float) -> None:
    even = [(0.035 + 0.07 * i, 54 * 0.07) for i in range(50)]
    stiff = hang(Wire(EA_25, 0.0, pretension), [0.0, 3.5], even)
    soft = hang(Wire(1 / (1 / EA_25 + 2 / (50_000 * 3.5)), 0.0, pretension), [0.0, 3.5], even)
    assert stiff.pull_n == pytest.approx(rigid, abs=1.0)
    assert soft.pull_n == pytest.approx(giving, abs=1.0)
    assert soft.spans[0].sag_m * 1000 == pytest.approx(sag, abs=1.0)


def test_even_load_hangs_as_the_parabola() -> None:
    """H = w L^2 / 8 d and T = H sqrt(1 + 16 d^2/L^2): 120 N/m, 4 m, 0.15 m give 1600.0 and 1617.9 N
    (parabolic cable, textbook). The wire's own weight is its even load here; its straight length is chosen to
    hang that deep."""
    # S of an even load is w^2 L^3 / 12, so that H = 1600 needs T0' = H - EA S / (2 L H^2).
    ea = 5e5
    straight = 1600.0 - ea * (120.0**2 * 4.0**3 / 12) / (2 * 4.0 * 1600.0**2)
    wire = hang(Wire(ea, 120.0, straight), [0.0, 4.0], [])
    assert wire.pull_n == pytest.approx(1600.0, rel=1e-9)
    assert wire.spans[0].sag_m == pytest.approx(0.15, rel=1e-9)
    assert wire.spans[0].tension_n == pytest.approx(1600.0 * sqrt(1 + 16 * 0.15**2 / 16), rel=1e-9)
    assert wire.spans[0].tension_n == pytest.approx(1617.8999, abs=1e-3)


def test_general_cable_theorem() -> None:
    """LibreTexts 42969: span 20; 20, 30, 10 at 5, 10, 15; sag 2 at 10 means H 112.5; greatest moment 225."""
    wire = hang(Wire(1e6, 0.0, 0.0), [0.0, 20.0], [(5.0, 20.0), (10.0, 30.0), (15.0, 10.0)])
    assert wire.spans[0].sag_m * wire.pull_n == pytest.approx(225.0, rel=1e-12)
    assert wire.spans[0].left_n == pytest.approx(32.5, rel=1e-12)


@pytest.mark.parametrize(
    ("diameter", "ea_kn", "kg_per_m"),
    # steel wire: EA with E = 200 GPa, weight by 7850 kg/m3.
    [
        (1.6, 402.1, 0.0158),
        (2.0, 628.3, 0.0247),
        (2.5, 981.7, 0.0385),
        (3.15, 1558.6, 0.0612),
        (4.0, 2513.3, 0.0986),
    ],
)
def test_wire_table(diameter: float, ea_kn: float, kg_per_m: float) -> None:
    wire = wire_of(row(wire_diameter_mm=diameter), Tunnel("W", "west", 10.0, 5.0))
    assert wire.ea_n / 1000 == pytest.approx(ea_kn, abs=0.05)
    assert wire.own_n_per_m / 9.80665 == pytest.approx(kg_per_m, abs=5e-5)


def test_a_sag_noted_unloaded_is_what_hangs_unloaded() -> None:
    noted = row(length_m=8.0, hanger_every_m=4.0, sag_unloaded_m=0.02)
    wire = wire_of(noted, Tunnel("W", "west", 10.0, 5.0))
    unloaded = hang(wire, [0.0, 4.0, 8.0], [])
    assert unloaded.spans[0].sag_m == pytest.approx(0.02, rel=1e-9)


loads = st.lists(st.tuples(st.floats(0.0, 6.0), st.floats(0.1, 80.0)), min_size=1, max_size=12)


@given(loads, st.floats(1.01, 3.0), st.floats(0.0, 900.0))
def test_more_load_pulls_harder(points: list[tuple[float, float]], more: float, pretension: float) -> None:
    wire, hangers = Wire(EA_25, 0.4, pretension), [0.0, 2.0, 4.0, 6.0]
    light, heavy = hang(wire, hangers, points), hang(wire, hangers, [(x, n * more) for x, n in points])
    inside = any(0.05 < x % 2.0 < 1.95 for x, _ in points)
    assert heavy.pull_n >= light.pull_n - 1e-9
    if inside:
        assert heavy.pull_n > light.pull_n


@given(loads)
def test_hangers_bear_all_that_hangs(points: list[tuple[float, float]]) -> None:
    wire = hang(Wire(EA_25, 0.4, 300.0), [0.0, 2.0, 4.0, 6.0], points)
    total = sum(newton for _, newton in points) + 0.4 * 6.0
    assert sum(newton for _, newton in wire.hangers) == pytest.approx(total, rel=1e-9)


def test_one_pull_for_the_whole_wire_where_hangers_swing() -> None:
    """By hand: spans of 2 and 4 m, 60 N in the middle of each. V is 30 N: S = 900 x 6 = 5400, so that with
    T0 = 0, H = (EA 5400 / 12)^(1/3)."""
    wire = hang(Wire(EA_25, 0.0, 0.0), [0.0, 2.0, 6.0], [(1.0, 60.0), (4.0, 60.0)])
    assert wire.pull_n == pytest.approx((EA_25 * 5400 / 12) ** (1 / 3), rel=1e-9)
    assert wire.spans[1].sag_m == pytest.approx(2 * wire.spans[0].sag_m, rel=1e-9)
    assert [newton for _, newton in wire.hangers] == pytest.approx([30.0, 60.0, 30.0])
