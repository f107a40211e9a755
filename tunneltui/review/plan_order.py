"""Which cultivar where: vigorous and short stems share no loop, and no shorter stem stands ahead of a longer one.

The cost, in metres of stem: for every loop the difference between its longest and its shortest stem times its
places, and for every two neighbours what the one behind is longer than the one ahead, for heads keep their order
along the wire and a head that stays holds back the longer stem behind it.

The search is a heuristic: stems are sorted by length and dealt to the loops in every order of loops (up to six
loops; else from the smallest), shortest first along the way round, then places are swapped as long as that helps.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise, permutations

LOOPS_TRIED = 6
"""Up to this many loops every order of dealing is tried."""


def cost_m(loops: Sequence[Sequence[str]], length_m: Mapping[str, float]) -> float:
    """Cost of an arrangement: cultivars of each loop by ``u_m``, '' for a place left empty."""
    return sum(_loop_cost_m([length_m[cultivar] for cultivar in loop if cultivar]) for loop in loops)


def _loop_cost_m(lengths_m: Sequence[float]) -> float:
    if not lengths_m:
        return 0.0
    held_back_m = sum(max(0.0, behind - ahead) for behind, ahead in pairwise(lengths_m))
    return (max(lengths_m) - min(lengths_m)) * len(lengths_m) + held_back_m


def arrange(places: Sequence[int], cultivars: Sequence[str], length_m: Mapping[str, float]) -> list[list[str]]:
    """Cultivars for loops of so many places each, along the way round.

    Raises:
        ValueError: there are not as many cultivars as places.
    """
    if sum(places) != len(cultivars):
        raise ValueError("one cultivar for every place")
    by_length = sorted(cultivars, key=lambda cultivar: (length_m[cultivar], cultivar))
    dealt = [_dealt(places, order, by_length) for order in _orders(places)]
    best = min(dealt, key=lambda loops: cost_m(loops, length_m))
    return _swapped(best, length_m)


def _orders(places: Sequence[int]) -> Iterator[tuple[int, ...]]:
    if len(places) <= LOOPS_TRIED:
        yield from permutations(range(len(places)))
    else:
        smallest_first = tuple(sorted(range(len(places)), key=lambda loop: places[loop]))
        yield smallest_first
        yield smallest_first[::-1]


def _dealt(places: Sequence[int], order: Sequence[int], by_length: Sequence[str]) -> list[list[str]]:
    loops: list[list[str]] = [[] for _ in places]
    start = 0
    for loop in order:
        loops[loop] = list(by_length[start : start + places[loop]])
        start += places[loop]
    return loops


def _swapped(loops: list[list[str]], length_m: Mapping[str, float]) -> list[list[str]]:
    """Swaps between loops, each loop put in order of length again, until none helps."""
    best = cost_m(loops, length_m)
    while True:
        for first, other in combinations(range(len(loops)), 2):
            better = _better_swap(loops, first, other, length_m, best)
            if better is not None:
                loops, best = better, cost_m(better, length_m)
                break
        else:
            return loops


def _better_swap(
    loops: list[list[str]], first: int, other: int, length_m: Mapping[str, float], best: float
) -> list[list[str]] | None:
    for mine in dict.fromkeys(loops[first]):
        for theirs in dict.fromkeys(loops[other]):
            tried = [list(loop) for loop in loops]
            tried[first][tried[first].index(mine)] = theirs
            tried[other][tried[other].index(theirs)] = mine
            for loop in (first, other):
                tried[loop].sort(key=lambda cultivar: (length_m[cultivar], cultivar))
            if cost_m(tried, length_m) < best - 1e-9:
                return tried
    return None
