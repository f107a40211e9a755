"""Fair comparisons of two groups of plants or blocks: what the difference may be, and what could not be seen.

The unit is the plant only where it was treated by itself; where a whole row was, the row is, and one row each
allows no inference. All tests are two-sided at 5 %, made stricter by the number of comparisons looked at (Holm).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations
from random import Random
from statistics import fmean, variance

from msgspec import Struct

from tunneltui.review.student import t_quantile, t_tail

LEVEL = 0.05
EXACT_MOST = 200_000
"""Arrangements up to which every one is tried; beyond it, as many random ones."""


class Unit(Struct, frozen=True):
    """One plant's or block's outcome; ``block`` is the row within which plants may be shuffled."""

    value: float
    block: str = ""


class Comparison(Struct, frozen=True):
    """``a`` less ``b``."""

    difference: float
    low: float
    high: float
    """Welch's interval, 95 % where one pair was looked at, wider where more were (``level``)."""
    welch_p: float
    permutation_p: float
    detectable: float
    """Smallest true difference that so many units would show four times in five."""
    n_a: int
    n_b: int
    level: float = LEVEL
    """5 % shared among the comparisons looked at (Bonferroni), for interval and detectable difference."""


def welch(
    a: Sequence[float], b: Sequence[float], level: float = LEVEL
) -> tuple[float, float, float, float, float]:
    """(t, degrees of freedom, p, low, high) of mean(a) - mean(b), Welch 1947. Needs two of each.

    Raises:
        ValueError: fewer than two values, or no spread at all.
    """
    if min(len(a), len(b)) < 2:
        raise ValueError("two units on each side are the least that shows a spread")
    va, vb = variance(a) / len(a), variance(b) / len(b)
    if va + vb == 0:
        raise ValueError("all units are equal: no spread to judge by")
    df = (va + vb) ** 2 / (va**2 / (len(a) - 1) + vb**2 / (len(b) - 1))
    sd = math.sqrt(va + vb)
    gap = fmean(a) - fmean(b)
    half = t_quantile(level, df) * sd
    return gap / sd, df, t_tail(gap / sd, df), gap - half, gap + half


def permutation_p(a: Sequence[Unit], b: Sequence[Unit], random: Random) -> float:
    """Share of arrangements of the same plants, shuffled within their rows, that differ at least as much.

    Exact where the arrangements can all be tried, else by a random sample that counts the one seen.
    """
    blocks = sorted({unit.block for unit in (*a, *b)})
    pools = [
        ([u.value for u in a if u.block == block], [u.value for u in b if u.block == block]) for block in blocks
    ]
    shuffled = [(x, y) for x, y in pools if x and y]
    if not shuffled:
        return 1.0
    seen = abs(_gap(sum(sum(x) for x, _ in pools), sum(sum(y) for _, y in pools), len(a), len(b)))
    fixed = sum(sum(x) for x, y in pools if not y)
    total = sum(u.value for u in (*a, *b))
    ways = math.prod(math.comb(len(x) + len(y), len(x)) for x, y in shuffled)
    sums = _every_sum(shuffled) if ways <= EXACT_MOST else _random_sums(shuffled, random)
    as_far = [abs(_gap(fixed + s, total - fixed - s, len(a), len(b))) >= seen * (1 - 1e-12) for s in sums]
    if ways <= EXACT_MOST:
        return sum(as_far) / len(as_far)
    return (1 + sum(as_far)) / (1 + len(as_far))


def _gap(sum_a: float, sum_b: float, n_a: int, n_b: int) -> float:
    return sum_a / n_a - sum_b / n_b


def _every_sum(pools: Sequence[tuple[list[float], list[float]]]) -> list[float]:
    sums = [0.0]
    for x, y in pools:
        choices = [sum(picked) for picked in combinations([*x, *y], len(x))]
        sums = [s + c for s in sums for c in choices]
    return sums


def _random_sums(pools: Sequence[tuple[list[float], list[float]]], random: Random) -> list[float]:
    return [sum(sum(random.sample([*x, *y], len(x))) for x, y in pools) for _ in range(9_999)]


def detectable(a: Sequence[float], b: Sequence[float], level: float = LEVEL) -> float:
    """Smallest true difference that a two-sided test of so many units shows with 80 % power.

    Normal power about the t quantile, which for eight a side gives 1.51 standard deviations.
    """
    df = len(a) + len(b) - 2
    pooled = math.sqrt(((len(a) - 1) * variance(a) + (len(b) - 1) * variance(b)) / df)
    return (t_quantile(level, df) + t_quantile(0.4, df)) * pooled * math.sqrt(1 / len(a) + 1 / len(b))


def compare(a: Sequence[Unit], b: Sequence[Unit], random: Random, looked_at: int = 1) -> Comparison:
    """Welch's interval and the permutation test of two groups, one of ``looked_at`` pairs. Raises as ``welch``."""
    va, vb = [u.value for u in a], [u.value for u in b]
    level = LEVEL / looked_at
    _, _, p, low, high = welch(va, vb, level)
    return Comparison(
        fmean(va) - fmean(vb),
        low,
        high,
        p,
        permutation_p(a, b, random),
        detectable(va, vb, level),
        len(a),
        len(b),
        level,
    )


def holm(p_values: Sequence[float]) -> list[float]:
    """p values made stricter for having looked at all of them (Holm 1979), in the order given."""
    order = sorted(range(len(p_values)), key=lambda i: p_values[i])
    strict = [0.0] * len(p_values)
    highest = 0.0
    for rank, i in enumerate(order):
        highest = max(highest, min(1.0, (len(p_values) - rank) * p_values[i]))
        strict[i] = highest
    return strict
