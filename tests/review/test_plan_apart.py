"""Stems set apart within a loop: against the exact answer on small loops, and what is never done."""

from __future__ import annotations

from datetime import date
from itertools import permutations
from random import Random

from tests.loads import made
from tests.review.plan_made import borne, by_length, by_vigour, house, housed
from tunneltui.holding.model import Place
from tunneltui.review.plan_apart import HELD_MORE_M, LIKE, WORTH
from tunneltui.review.plan_loads import planned_loads, stems_on
from tunneltui.review.plan_stems import hung_along, loop_held_back_m
from tunneltui.review.plan_values import Peak
from tunneltui.season.state import Season
from tunneltui.values import replace

SEPTEMBER = date(2027, 9, 20)
PLACES = 6


def _short_row() -> Season:
    places = tuple(Place(f"W1-{i:02d}", 0.58 * i) for i in range(1, PLACES + 1))
    stands = house().holding
    row = made.row(strings=8, places=places, length_m=4.0)
    return made.season(stands=replace(stands, tunnels=(replace(stands.tunnels[0], rows=(row,)),)))


def _shares(peak: Peak, was: Peak) -> float:
    return peak.string_n.mid / (was.string_n.mid or 1.0) + peak.wire_n / was.wire_n


def _exact(season: Season, order: str, vigour: dict[str, float], was: Peak) -> float:
    """The least sum of shares over every order that holds back and lays on the soil no more than allowed."""
    tried = (borne(season, "".join(one), vigour, SEPTEMBER) for one in set(permutations(order)))
    allowed = [
        peak
        for peak in tried
        if peak.held_back_m <= was.held_back_m + HELD_MORE_M * PLACES and peak.on_soil_kg <= was.on_soil_kg + 1e-6
    ]
    return min(_shares(peak, was) for peak in allowed)


def test_near_the_exact_answer_on_small_loops() -> None:
    """Within two steps' worth of it on at least 8 of 10 random loops, never dearer than the order of length."""
    random, season, near = Random(5), _short_row(), 0
    for _ in range(10):
        vigour = {"v": random.uniform(0.12, 0.20), "m": random.uniform(0.12, 0.20)}
        order = "".join(random.choice("vm") for _ in range(PLACES))
        was = borne(season, by_length(season, order, vigour), vigour, SEPTEMBER)
        found = _shares(borne(season, by_vigour(season, order, vigour, SEPTEMBER), vigour, SEPTEMBER), was)
        exact = _exact(season, order, vigour, was)
        assert exact - 1e-6 <= found <= 2.0 + 1e-6
        near += found <= exact + 2 * WORTH
    assert near >= 8


def test_stems_that_would_meet_at_the_last_string_are_set_apart() -> None:
    """Six strong ones among eighteen weaker: a change of places takes half off the fullest string (this model's
    figure, no source outside; of 71 random houses most gain nothing by it, this one the most)."""
    season, vigour = house(2), {"v": 0.195, "m": 0.115, "w": 0.123}
    order, days = "wvwmmvvmmwwwmvmwwwvmmwww", (date(2027, 8, 12), date(2027, 9, 30))
    was, now = (
        borne(season, one(season, order, vigour, *days), vigour, *days)
        for one in (lambda s, o, v, *_: by_length(s, o, v), by_vigour)
    )
    assert now.string_n.mid < 0.77 * was.string_n.mid
    assert now.wire_n <= 1.02 * was.wire_n


def test_a_stem_less_than_half_as_long_stays_where_it_is() -> None:
    season, vigour = house(), {"v": 0.15, "w": 0.06}
    assert LIKE * 0.15 > 0.06
    order = "vvvvvvvvwvvv"
    assert by_vigour(season, order, vigour, SEPTEMBER) == by_length(season, order, vigour) == "w" + "v" * 11


def test_heads_go_round_a_closed_loop() -> None:
    """Stems of one length travel one way round it, those of the last places past its end, and no
    path is at fault."""
    first = made.row(1, loop_with=2, across_m=1.0, closed_loop=True, corner="end_bar")
    second = made.row(2, loop_with=1, across_m=2.0, closed_loop=True, corner="end_bar")
    stands = replace(made.holding(first, second), latitude_deg=51.0, cultivars=house().holding.cultivars)
    closed = housed(made.season(stands=stands), "v" * 24, {"v": 0.15})
    (loop,) = closed.season.layout.loops.values()
    assert loop.closed
    stems = stems_on(closed, SEPTEMBER)
    hooks = {name: one.hook for name, one in hung_along(closed.season, loop, stems, SEPTEMBER).items()}
    travelled = [hook.u_m - closed.season.leaders[name].u_m for name, hook in hooks.items() if hook is not None]
    assert len(travelled) == 24
    assert min(travelled) > 1.5
    assert max(travelled) - min(travelled) < 0.5  # where the strings are decides that
    assert sum(loop_held_back_m(closed.season, loop, stems, SEPTEMBER).values()) < 1.0
    assert any(hook is not None and hook.u_m > loop.length_m for hook in hooks.values())
    assert all(not path.fault for path in planned_loads(closed.season, stems, SEPTEMBER).paths.values())
