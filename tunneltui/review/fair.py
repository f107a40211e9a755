"""Which cultivars, rows, ways of training or seasons differ in kg a plant, from the units the records allow.

The plant is the unit only where picks were weighed plant by plant and some row holds plants of both groups; else
the row in a season is, and one each allows no inference. The demanding one of two tests decides. What the groups
are made of is in ``fair_units``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from datetime import date
from itertools import combinations
from random import Random
from statistics import fmean
from typing import Literal

from msgspec import Struct

from tunneltui.holding.user_error import UserError
from tunneltui.review.compare import LEVEL, Comparison, Unit, compare, holm
from tunneltui.review.fair_units import Grouped, UnitKind, What, grouped, known_names, weighed_names
from tunneltui.review.record import SeasonRecord
from tunneltui.review.yields import too_early
from tunneltui.season.state import Season

WhyNot = Literal["", "not weighed", "one alone", "all equal"]


class Pair(Struct, frozen=True):
    """Two groups; ``comparison`` and ``strict_p`` are None where nothing can be inferred."""

    names: tuple[str, str]
    unit: UnitKind
    n: tuple[int, int]
    comparison: Comparison | None
    strict_p: float | None
    why_not: WhyNot = ""
    """Why nothing can be inferred."""
    looked_at: int = 0
    """Comparisons that the verdict allows for; 0 where there is none, for the groups are too small for any."""


class Fair(Struct, frozen=True):
    what: What
    unit: UnitKind
    means: dict[str, float]
    """kg a plant of each group that was weighed, the mean over its units."""
    pairs: list[Pair]
    cautions: tuple[str, ...]
    """What these records cannot tell, each a sentence."""
    counted_to: date | None = None
    """Where a season still runs: every season is counted up to this day of the year."""

    @property
    def needed(self) -> int:
        """Units each group must have before the largest difference between two of them could show."""
        return next(n for n in range(2, 100) if 2 / math.comb(2 * n, n) * len(self.pairs) <= LEVEL)

    @property
    def undecided(self) -> list[Pair]:
        """Pairs of which nothing can be inferred."""
        return [pair for pair in self.pairs if not pair.looked_at]


def fair(written: SeasonRecord, season: Season, what: What, names: Sequence[str], random: Random) -> Fair:
    """Every pair of the groups named, of all that were weighed where none is.

    Raises:
        UserError: fewer than two groups, a name that is unknown or could be two, picks before planting.
    """
    every = known_names(written, what)
    chosen = [_named(every, what, name) for name in names] if names else weighed_names(written, what)
    if len(set(chosen)) < 2 or len(set(chosen)) < len(chosen):
        raise UserError("A comparison needs two or more different names.", f"Give two {what}s that were weighed.")
    for pick in too_early(written):
        raise UserError(
            f"{pick.cultivar} was picked on {pick.day}, before it was planted.",
            "Put the day right: cross the pick out and write it again.",
        )
    groups = grouped(written, season, what, chosen)
    means = {name: fmean(unit.value for unit in units) for name, units in groups.units.items() if units}
    return Fair(what, groups.unit, means, judged(groups, random), groups.cautions, groups.counted_to)


def judged(groups: Grouped, random: Random) -> list[Pair]:
    """The verdict of every pair, made stricter by how many there are."""
    units, unit = groups.units, groups.unit
    pairs = list(combinations(units, 2))
    why_not = [_no_spread(units[a], units[b]) for a, b in pairs]
    looked_at = why_not.count("")
    comparisons = [
        compare(units[a], units[b], random, looked_at) if not why else None
        for (a, b), why in zip(pairs, why_not, strict=True)
    ]
    strict = iter(
        holm(
            [
                max(comparison.welch_p, comparison.permutation_p)
                for comparison in comparisons
                if comparison is not None
            ]
        )
    )
    lines = []
    for (a, b), comparison, why in zip(pairs, comparisons, why_not, strict=True):
        n = len(units[a]), len(units[b])
        if comparison is None:
            lines.append(Pair((a, b), unit, n, None, None, why))
            continue
        too_few = _least_p(units[a], units[b]) * looked_at > LEVEL
        lines.append(Pair((a, b), unit, n, comparison, next(strict), looked_at=0 if too_few else looked_at))
    return lines


def _no_spread(a: Sequence[Unit], b: Sequence[Unit]) -> WhyNot:
    """Why there is nothing to compare by; '' where there is."""
    if not a or not b:
        return "not weighed"
    if min(len(a), len(b)) < 2:
        return "one alone"
    if len({unit.value for unit in a}) == 1 and len({unit.value for unit in b}) == 1:
        return "all equal"
    return ""


def _least_p(a: Sequence[Unit], b: Sequence[Unit]) -> float:
    """The smallest p that shuffling within rows can give, however large the difference."""
    ways, mirrored = 1, True
    for block in {unit.block for unit in (*a, *b)}:
        n_a, n_b = (sum(unit.block == block for unit in side) for side in (a, b))
        ways *= math.comb(n_a + n_b, n_a)
        mirrored = mirrored and n_a == n_b
    return min(1.0, (2 if mirrored else 1) / ways)


def _named(every: Iterable[str], what: str, name: str) -> str:
    names = sorted(every)
    alike = [like for like in names if like.casefold() == name.casefold()]
    if name in names and len(alike) == 1:
        return name
    if len(alike) > 1:
        raise UserError(
            f"{name!r} may be {' or '.join(alike)}: two of one name.", "Give one of them another name."
        )
    if not alike:
        raise UserError(f"No {what} is called {name!r}.", f"There are: {', '.join(names) or 'none'}.")
    return alike[0]
