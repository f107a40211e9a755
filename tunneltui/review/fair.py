"""Which cultivars, rows or ways of training differ in kg a plant, from the units the records really allow.

The plant is the unit only where picks were weighed plant by plant (marked leaders); else the row is. A way of
training is given to whole rows, so that the row is always its unit. The demanding one of two tests decides.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from random import Random
from typing import Literal

from tunneltui.holding.trouble import Trouble
from tunneltui.review.compare import LEVEL, Comparison, Unit, compare, holm, verdict
from tunneltui.review.record import PickRecord, Record
from tunneltui.season.state import Season

What = Literal["cultivar", "row", "training"]
UNIT_OF = "kg a plant"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two groups; ``found`` and ``strict_p`` are None where nothing can be inferred, which ``says`` explains."""

    names: tuple[str, str]
    unit: Literal["plant", "row"]
    n: tuple[int, int]
    found: Comparison | None
    strict_p: float | None
    says: str


def fair(written: Record, season: Season, what: What, names: Sequence[str], random: Random) -> list[Pair]:
    """Every pair of the groups named.

    Raises:
        Trouble: fewer than two groups, a name that is unknown or could be two, picks before planting.
    """
    chosen = [_named(_known(written, what), what, name) for name in names]
    if len(set(chosen)) < 2 or len(set(chosen)) < len(chosen):
        raise Trouble("A comparison needs two or more different names.", f"Give two {what}s.")
    for name in chosen:
        _weighed(written, what, name)
    of_plant = {name: _plant_units(written, season, what, name) for name in chosen}
    by_plant = what != "training" and all(len(units) > 1 for units in of_plant.values())
    units = of_plant if by_plant else {name: _row_units(written, what, name) for name in chosen}
    return judged(units, "plant" if by_plant else "row", random)


def judged(units: dict[str, list[Unit]], unit: Literal["plant", "row"], random: Random) -> list[Pair]:
    """The verdict of every pair, made stricter by how many there are."""
    pairs = list(combinations(units, 2))
    found = [_compared(units[a], units[b], random) for a, b in pairs]
    decided = [max(one.welch_p, one.permutation_p) for one in found if not isinstance(one, str)]
    strict = iter(holm(decided))
    lines = []
    for (a, b), one in zip(pairs, found, strict=True):
        n = len(units[a]), len(units[b])
        if isinstance(one, str):
            lines.append(Pair((a, b), unit, n, None, None, f"{a} and {b}: {one} Nothing can be inferred."))
            continue
        p = next(strict)
        says = verdict(one, p, (a, b), UNIT_OF, len(decided))
        if _least_p(units[a], units[b]) * len(decided) > LEVEL:
            says = f"{a} and {b}: {n[0]} and {n[1]} {unit}s are too few to show any difference, however large."
        lines.append(Pair((a, b), unit, n, one, p, says))
    return lines


def _compared(a: Sequence[Unit], b: Sequence[Unit], random: Random) -> Comparison | str:
    """The comparison, or why there is none."""
    if not a or not b:
        return "no weighed picks on one side."
    try:
        return compare(a, b, random)
    except ValueError as why:
        return f"{len(a)} against {len(b)}; {why}."


def _least_p(a: Sequence[Unit], b: Sequence[Unit]) -> float:
    """The smallest p that shuffling within rows can give, however large the difference."""
    ways, mirrored = 1, True
    for block in {unit.block for unit in (*a, *b)}:
        n_a, n_b = (sum(unit.block == block for unit in side) for side in (a, b))
        ways *= math.comb(n_a + n_b, n_a)
        mirrored = mirrored and n_a == n_b
    return min(1.0, (2 if mirrored else 1) / ways)


def _known(written: Record, what: What) -> set[str]:
    if what == "cultivar":
        grown = {plant.cultivar for plant in written.plants} | {pick.cultivar for pick in written.picks}
        return (grown | set(written.layout.cultivars)) - {""}
    if what == "row":
        return set(written.layout.rows)
    return {row.training for _, row in written.layout.rows.values()}


def _named(known: Iterable[str], what: str, name: str) -> str:
    names = sorted(known)
    alike = [one for one in names if one.casefold() == name.casefold()]
    if name in names and len(alike) == 1:
        return name
    if len(alike) > 1:
        raise Trouble(f"{name!r} may be {' or '.join(alike)}: two of one name.", "Give one of them another name.")
    if not alike:
        raise Trouble(f"No {what} is called {name!r}.", f"There are: {', '.join(names) or 'none'}.")
    return alike[0]


def _group(written: Record, what: What, cultivar: str, row: str) -> str:
    if what == "cultivar":
        return cultivar
    if what == "row":
        return row
    return written.layout.rows[row][1].training if row in written.layout.rows else ""


def _weighed(written: Record, what: What, name: str) -> list[PickRecord]:
    """Raises ``Trouble`` where something was picked before its like was planted."""
    picks = [
        p for p in written.picks if p.kg is not None and _group(written, what, p.cultivar, p.site.row) == name
    ]
    for pick in picks:
        planted = [
            plant.planted_on
            for plant in written.plants
            if plant.cultivar == pick.cultivar and pick.site.row in ("", plant.site.row)
        ]
        if planted and pick.day < min(planted):
            raise Trouble(
                f"{pick.cultivar} was picked on {pick.day}, before it was planted ({min(planted)}).",
                "Put the day right: cross the pick out and write it again.",
            )
    return picks


def _plant_units(written: Record, season: Season, what: What, name: str) -> list[Unit]:
    """kg of every plant weighed by itself. Rows compared are no blocks of their own."""
    leaders = {**season.gone, **season.leaders}
    kg: dict[str, float] = defaultdict(float)
    rows: dict[str, str] = {}
    for pick in _weighed_leaders(written, season, what, name):
        leader = leaders[pick.leader]
        kg[leader.plant] += pick.kg or 0.0
        rows[leader.plant] = leader.row
    return [Unit(kg[plant], "" if what == "row" else rows[plant]) for plant in sorted(kg)]


def _weighed_leaders(written: Record, season: Season, what: What, name: str) -> list[PickRecord]:
    leaders = {**season.gone, **season.leaders}
    noted = [pick for pick in written.picks if pick.kg is not None and pick.leader in leaders]
    return [
        pick
        for pick in noted
        if _group(written, what, leaders[pick.leader].cultivar, leaders[pick.leader].row) == name
    ]


def _row_units(written: Record, what: What, name: str) -> list[Unit]:
    """kg a plant of every row that was weighed, all its plants of the group counted."""
    kg: dict[str, float] = defaultdict(float)
    for pick in _weighed(written, what, name):
        if pick.site.row:
            kg[pick.site.row] += pick.kg or 0.0
    units = []
    for row in sorted(kg):
        stood = [p for p in written.plants if p.site.row == row and _group(written, what, p.cultivar, row) == name]
        if stood:
            units.append(Unit(kg[row] / len(stood)))
    return units
