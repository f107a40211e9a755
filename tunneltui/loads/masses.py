"""What a stem weighs, and where along it: the stem itself, its leaves, and its trusses.

The distributed part (stem and leaves) is handed out as three Gauss points for every straight piece: stem weight is
quadratic along the stem and a beam's influence lines are cubic between supports, so three points are exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import hypot, pi, sqrt
from typing import NamedTuple

from msgspec import Struct

from tunneltui.growth.outlook import StemOn, TrussOn
from tunneltui.holding.crops import kind_of
from tunneltui.holding.model import Cultivar, FruitKind
from tunneltui.loads.result import Lump
from tunneltui.loads.trials import phi

GRAVITY_M_PER_S2 = 9.80665
STEM_KG_PER_M3 = 950.0
"""Green stem, 900 to 1000 (from memory)."""
TIP_DIAMETER_SHARE = 10 / 12
"""Diameter at the tip over that at the base: 12 to 10 mm (assumed)."""

STEM_MM: dict[FruitKind, float] = {
    "cherry": 10.0,
    "cocktail": 10.5,
    "plum": 11.0,
    "standard": 12.0,
    "beef": 14.0,
    "long": 11.0,
    "short": 10.0,
}
"""Base diameter where the cultivar gives none. Assumed."""
LEAF_G: dict[FruitKind, float] = {
    "cherry": 36.0,
    "cocktail": 38.0,
    "plum": 40.0,
    "standard": 42.0,
    "beef": 50.0,
    "long": 40.0,
    "short": 30.0,
}
"""Mass of a leaf where the cultivar gives none. Assumed; full leaves weigh 30 to 80 g
(from memory); others assumed."""

TRUSS_SD, LEAVES_SD, STEM_SD = 0.20, 0.20, 0.12
"""How far off masses are, as shares: each truss beside what all fruit of the cultivar is (pruning, what is left on
it), the leaves, and the stem by 6 % of its diameter (all assumed)."""
RIPE_SD = 0.06
"""How far off a truss's development is when it is about to be picked: ripening is known to 5 % of its time, and
some days pass between picks (assumed). One that far from ripe may be gone, one that far past it still there."""

_GAUSS = ((0.5 - sqrt(0.15), 5 / 18), (0.5, 8 / 18), (0.5 + sqrt(0.15), 5 / 18))


class Unsure(NamedTuple):
    s_m: float
    newton: float
    """0 for one that is taken to be gone."""
    sd_n: float
    """By how much it may weigh more or less by itself."""


class Weights(Struct, frozen=True):
    """A stem's weight on one day, in newtons and metres along the stem."""

    length_m: float
    base_n_per_m: float
    """Of the stem itself at the soil; it tapers to the tip."""
    leaves_n_per_m: float
    bare_below_m: float
    """Leaves hang above this only, spread evenly."""
    trusses: tuple[Lump, ...]
    unsure: tuple[Unsure, ...] = ()
    """The same trusses with how far off each is, and below them one that may not be picked yet; none where they
    are known."""
    fruit_sd: float = 0.0
    """How far off all fruit is together, as a share."""
    green_sd: float = 0.0
    """How far off stem and leaves are, as a share of both."""

    def stem_n(self, from_m: float, to_m: float) -> float:
        """Weight of stem and leaves between two places on it, without trusses."""
        return sum(newton for _, newton in _points(self, from_m, to_m))

    @property
    def total_n(self) -> float:
        whole = self.stem_n(0.0, self.bare_below_m) + self.stem_n(self.bare_below_m, self.length_m)
        return whole + sum(truss.newton for truss in self.trusses)


def weights(stem: StemOn, cultivar: Cultivar | None) -> Weights:
    """A stem's weight on its day: by diameter, leaves still on, and what each truss weighs."""
    kind = kind_of(cultivar.crop, cultivar.fruit) if cultivar else "standard"
    diameter_mm = (cultivar.stem_diameter_mm if cultivar else None) or STEM_MM[kind]
    leaf_g = (cultivar.leaf_g if cultivar else None) or LEAF_G[kind]
    length_m = stem.length_m.mid
    bare_m = min(max(stem.bare_below_m, 0.0), length_m)
    leaves_n = stem.leaves * leaf_g / 1000 * GRAVITY_M_PER_S2
    leafy_m = length_m - bare_m
    base_n_per_m = pi / 4 * (diameter_mm / 1000) ** 2 * STEM_KG_PER_M3 * GRAVITY_M_PER_S2
    hanging = [truss for truss in stem.trusses if truss.kg > 0]
    trusses = tuple(Lump(min(truss.s_m, length_m), truss.kg * GRAVITY_M_PER_S2) for truss in hanging)
    stem_n = base_n_per_m * length_m
    green_n = stem_n + leaves_n
    return Weights(
        length_m=length_m,
        base_n_per_m=base_n_per_m,
        leaves_n_per_m=leaves_n / leafy_m if leafy_m > 0.01 else 0.0,
        bare_below_m=bare_m,
        trusses=trusses,
        unsure=_unsure(hanging, trusses),
        fruit_sd=stem.fruit_sd,
        green_sd=hypot(STEM_SD * stem_n, LEAVES_SD * leaves_n) / green_n if green_n > 0 else 0.0,
    )


def _unsure(trusses: Sequence[TrussOn], weigh: Sequence[Lump]) -> tuple[Unsure, ...]:
    unsure = [
        Unsure(lump.s_m, lump.newton, lump.newton * hypot(TRUSS_SD, _there_or_not_sd(truss.z)))
        for truss, lump in zip(trusses, weigh, strict=True)
    ]
    if len(trusses) > 1 and trusses[0].number > 1:
        below_z = 2 * trusses[0].z - trusses[1].z
        below_m = max(0.0, 2 * weigh[0].s_m - weigh[1].s_m)
        unsure.insert(0, Unsure(below_m, 0.0, weigh[0].newton * _there_or_not_sd(below_z)))
    return tuple(unsure)


def _there_or_not_sd(z: float) -> float:
    """Of a truss that hangs with the chance that it is not ripe: all or nothing of its weight."""
    ripe = phi((z - 1) / RIPE_SD)
    return sqrt(ripe * (1 - ripe))


def lumps(weights: Weights, breaks_m: Iterable[float] = ()) -> list[tuple[float, float]]:
    """All weights as points (``s_m``, newton), exact for a beam supported at ``breaks_m``.

    ``breaks_m`` are the places along the stem where it is held or turns. Plain pairs, for they are many.
    """
    length_m = weights.length_m
    inner = {s for s in (*breaks_m, weights.bare_below_m) if 0.0 < s < length_m}
    ends = [0.0, *sorted(inner), length_m]
    points = [point for left, right in pairwise(ends) for point in _points(weights, left, right)]
    points += [(truss.s_m, truss.newton) for truss in weights.trusses]
    return points


def _points(weights: Weights, from_m: float, to_m: float) -> list[tuple[float, float]]:
    piece_m = to_m - from_m
    if piece_m <= 0:
        return []
    leaves = weights.leaves_n_per_m if from_m >= weights.bare_below_m - 1e-9 else 0.0
    taper_per_m = (1 - TIP_DIAMETER_SHARE) / weights.length_m
    base_n_per_m = weights.base_n_per_m
    return [
        (s_m := from_m + place * piece_m, (base_n_per_m * (1 - taper_per_m * s_m) ** 2 + leaves) * share * piece_m)
        for place, share in _GAUSS
    ]
