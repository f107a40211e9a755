"""The arrangement against the exact answer by enumeration, and against random order."""

from __future__ import annotations

from itertools import permutations
from random import Random

import pytest

from tunneltui.review.plan_order import arrange, cost_m


def _exact_m(places: list[int], cultivars: list[str], length_m: dict[str, float]) -> float:
    """The least cost over every arrangement there is."""
    best = float("inf")
    for order in set(permutations(cultivars)):
        loops, start = [], 0
        for n in places:
            loops.append(order[start : start + n])
            start += n
        best = min(best, cost_m(loops, length_m))
    return best


def _house(random: Random, most: int = 7) -> tuple[list[int], list[str], dict[str, float]]:
    count = random.randint(4, most)
    first = random.randint(1, count - 1)
    places = [first, count - first] if random.random() < 0.6 or first < 2 else [first - 1, 1, count - first]
    length_m = {name: random.uniform(2.0, 6.0) for name in ("a", "b", "c", "d")}
    return places, [random.choice("abcd") for _ in range(count)], length_m


def test_equals_the_exact_answer_on_small_houses() -> None:
    """Equal on at least 95 of 100 random houses of up to seven places, never more than a quarter worse."""
    random, equal = Random(20), 0
    for _ in range(100):
        places, cultivars, length_m = _house(random)
        found = cost_m(arrange(places, cultivars, length_m), length_m)
        exact = _exact_m(places, cultivars, length_m)
        assert found >= exact - 1e-9
        assert found <= exact * 1.25 + 1e-9
        equal += found <= exact + 1e-9
    assert equal >= 95


def test_never_dearer_than_random_order() -> None:
    random = Random(3)
    for _ in range(100):
        places = [random.randint(3, 12) for _ in range(random.randint(1, 4))]
        length_m = {name: random.uniform(2.0, 6.0) for name in "abcd"}
        cultivars = [random.choice("abcd") for _ in range(sum(places))]
        loops, start = [], 0
        for n in places:
            loops.append(cultivars[start : start + n])
            start += n
        arranged = arrange(places, cultivars, length_m)
        assert cost_m(arranged, length_m) <= cost_m(loops, length_m) + 1e-9
        assert sorted(c for loop in arranged for c in loop) == sorted(cultivars)
        assert [len(loop) for loop in arranged] == places


def test_cost_by_hand() -> None:
    """4, 2, 4 m: spread 2 m over 3 places is 6, and the first is held back by 2 m: 8."""
    assert cost_m([["v", "w", "v"]], {"v": 4.0, "w": 2.0}) == pytest.approx(8.0)
    assert arrange([2, 1], ["v", "w", "v"], {"v": 4.0, "w": 2.0}) == [["v", "v"], ["w"]]


def test_too_few_cultivars_is_refused() -> None:
    with pytest.raises(ValueError, match="every place"):
        arrange([3], ["v"], {"v": 1.0})
