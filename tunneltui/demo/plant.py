"""The laws by which the made-up stems grow. They differ on purpose from those of ``growth/``.

Nodes come by the hour along a broken line of temperature, light is turned into dry matter, fruit, leaves and stem
share it by what each could take, fruit swells along a logistic curve of thermal time. A stem that carries much
fruit stretches less. Magnitudes are those of unheated crops; the constants are the simulator's own (common
practice, no source) and no forecast may read them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise
from math import exp
from random import Random

from tunneltui.demo.weather import DemoDay
from tunneltui.holding.model import FruitKind

_NODE_LINE = ((0.0, 0.0), (8.0, 0.0), (13.0, 0.56), (27.0, 1.0), (34.0, 0.75), (45.0, 0.0))
_NODES_A_DAY = 0.485
_RIPENING_BASE_C, _RIPENING_CAP_C = 6.0, 27.0
_NODES_TO_FLOWER = 2.2
_LEAF_AREA_M2, _STEMS_A_M2, _CATCH = 0.055, 2.4, 0.7
_DRY_G_A_MJ_PAR = 2.9
_NODE_DRY_G = 2.6
_LUCK_SHAPE = 6.0
_LOGISTIC_STEEP, _LOGISTIC_MIDDLE = 8.5, 0.45
RIPE_AT = (0.97, 1.0, 1.05)
"""Development at which each third of a truss is ripe."""


@dataclass(frozen=True, slots=True)
class TrialLine:
    """What a trial line is made of, hidden from every forecast."""

    internode_m: float
    flowers: float
    fruit_dry_g: float
    dry_share: float
    ripening_degree_days: float
    pace: float = 1.0
    """Nodes made, against the common line."""


LINES: dict[FruitKind, TrialLine] = {
    "cherry": TrialLine(0.075, 14.0, 1.45, 0.086, 745.0, 1.03),
    "cocktail": TrialLine(0.073, 9.0, 2.8, 0.072, 760.0),
    "plum": TrialLine(0.071, 7.0, 4.4, 0.060, 780.0),
    "standard": TrialLine(0.072, 6.2, 5.0, 0.056, 780.0),
    "beef": TrialLine(0.071, 4.3, 10.4, 0.052, 815.0, 0.98),
}


def season_line(kind: FruitKind, rng: Random) -> TrialLine:
    """A line as it does in one season: near its kind, never the same."""
    common = LINES[kind]
    return TrialLine(
        common.internode_m * exp(rng.gauss(0, 0.04)),
        common.flowers * exp(rng.gauss(0, 0.05)),
        common.fruit_dry_g * exp(rng.gauss(0, 0.07)),
        common.dry_share,
        common.ripening_degree_days * exp(rng.gauss(0, 0.025)),
        common.pace * exp(rng.gauss(0, 0.025)),
    )


@dataclass(frozen=True, slots=True)
class Drive:
    """What one day of a tunnel's air does to every stem in it."""

    day: date
    nodes: float
    degree_days: float
    photosynthesis: float
    par_mj: float
    set_share: float


def drive(air: DemoDay) -> Drive:
    """A day's hours as the plants feel them."""
    hours = air.hours_c
    nodes = sum(_along(_NODE_LINE, hour) for hour in hours) / len(hours) * _NODES_A_DAY
    warm = sum(min(hour, _RIPENING_CAP_C) - _RIPENING_BASE_C for hour in hours if hour > _RIPENING_BASE_C)
    too_hot = sum(hour > 32.0 for hour in hours)
    too_cold = sum(hour < 10.0 for hour in hours)
    day_hours = hours[8:20]
    photosynthesis = sum(_along(((5, 0), (18, 1), (30, 1), (42, 0)), hour) for hour in day_hours) / len(day_hours)
    set_share = max(0.25, 0.95 - 0.05 * too_hot - 0.025 * too_cold)
    return Drive(air.day, nodes, warm / len(hours), photosynthesis, 0.5 * air.light_mj, set_share)


def _along(line: tuple[tuple[float, float], ...], at: float) -> float:
    """Height of a broken line."""
    if at <= line[0][0]:
        return line[0][1]
    for (x0, y0), (x1, y1) in pairwise(line):
        if at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return line[-1][1]


@dataclass(slots=True)
class Truss:
    number: int
    node: float
    s_m: float
    flowered: date | None = None
    ripened: date | None = None
    z: float = 0.0
    fruits: int = 0
    dry_g: float = 0.0
    """Of all the fruits it ever bore; what is picked stays counted."""
    thirds_picked: int = 0
    slow: float = 1.0

    @property
    def thirds_ripe(self) -> int:
        return sum(self.z >= at for at in RIPE_AT)

    @property
    def picked_clean(self) -> bool:
        return self.thirds_picked == len(RIPE_AT)


@dataclass(slots=True)
class Plant:
    """One stem as it truly is. ``length_m`` is counted from the soil line."""

    line: TrialLine
    vigour: float
    length_m: float
    nodes: float
    next_truss_node: float
    lowest_leaf: float = 2.0
    reserve_g: float = 4.0
    growing: bool = True
    trusses: list[Truss] = field(default_factory=list)

    @property
    def leaves(self) -> float:
        return max(0.0, self.nodes - self.lowest_leaf)

    def fruit_kg(self, truss: Truss) -> float:
        """What hangs on a truss now."""
        left = 1 - truss.thirds_picked / len(RIPE_AT)
        return left * truss.dry_g / self.line.dry_share / 1000

    @property
    def flowering_truss(self) -> int:
        return sum(truss.flowered is not None for truss in self.trusses)

    @property
    def lowest_unpicked(self) -> Truss | None:
        return next((truss for truss in self.trusses if not truss.picked_clean), None)


def young_plant(line: TrialLine, vigour: float, rng: Random) -> Plant:
    """A plant as it comes from its pot, its first truss about to open."""
    nodes = rng.gauss(9.3, 0.4)
    return Plant(line, vigour, max(0.2, rng.gauss(0.34, 0.025)), nodes, nodes - 0.6 + abs(rng.gauss(0, 0.5)))


def grow(plant: Plant, today: Drive, rng: Random) -> float:
    """One day of life. Returns what the stem grew, in metres."""
    new_nodes = today.nodes * plant.line.pace * (0.5 + 0.5 * plant.vigour) if plant.growing else 0.0
    fed = _share_out(plant, today, new_nodes)
    stretch = 0.70 + 0.30 * min(1.25, fed)
    # Days differ from stem to stem for reasons no one sees (open registrations: sd about 3 cm a week for each
    # stem, ten stems in Ohio 2024); a gamma keeps growth above zero.
    luck = rng.gammavariate(_LUCK_SHAPE, 1 / _LUCK_SHAPE)
    grown_m = new_nodes * plant.line.internode_m * (0.35 + 0.65 * plant.vigour) * stretch * luck
    plant.nodes += new_nodes
    plant.length_m += grown_m
    _new_trusses(plant, grown_m, new_nodes, rng)
    for truss in plant.trusses:
        if truss.flowered is None and plant.nodes >= truss.node + _NODES_TO_FLOWER:
            truss.flowered = today.day
            flowers = max(1, round(rng.gauss(plant.line.flowers, 0.12 * plant.line.flowers)))
            truss.fruits = max(1, sum(rng.random() < today.set_share for _ in range(flowers)))
    return grown_m


def _share_out(plant: Plant, today: Drive, new_nodes: float) -> float:
    """Dry matter made today given to fruit, leaves and stem; returns how much of their want was met."""
    area = plant.leaves * _LEAF_AREA_M2 * _STEMS_A_M2
    caught = 1 - exp(-_CATCH * area)
    made_g = _DRY_G_A_MJ_PAR * today.par_mj * caught * today.photosynthesis * plant.vigour / _STEMS_A_M2
    wants = [(truss, _want_g(plant, truss, today)) for truss in plant.trusses if truss.flowered and truss.z < 1]
    want_g = new_nodes * _NODE_DRY_G + sum(want for _, want in wants)
    have_g = made_g + 0.25 * plant.reserve_g
    fed = min(1.15, have_g / want_g) if want_g > 0 else 1.15
    plant.reserve_g = min(15.0, max(0.0, plant.reserve_g + made_g - fed * want_g))
    for truss, want in wants:
        truss.dry_g += want * fed
    for truss in plant.trusses:
        if truss.flowered is not None and not truss.picked_clean:
            truss.z += today.degree_days * truss.slow / plant.line.ripening_degree_days
            if truss.ripened is None and truss.z >= 1:
                truss.ripened = today.day
    return fed


def _want_g(plant: Plant, truss: Truss, today: Drive) -> float:
    z_next = min(1.0, truss.z + today.degree_days * truss.slow / plant.line.ripening_degree_days)
    return truss.fruits * plant.line.fruit_dry_g * (_swollen(z_next) - _swollen(truss.z))


def _swollen(z: float) -> float:
    """Share of its full dry mass that a fruit could have, a logistic curve cut to run from 0 to 1."""
    low = 1 / (1 + exp(_LOGISTIC_STEEP * _LOGISTIC_MIDDLE))
    high = 1 / (1 + exp(-_LOGISTIC_STEEP * (1 - _LOGISTIC_MIDDLE)))
    return (1 / (1 + exp(-_LOGISTIC_STEEP * (z - _LOGISTIC_MIDDLE))) - low) / (high - low)


def _new_trusses(plant: Plant, grown_m: float, new_nodes: float, rng: Random) -> None:
    while plant.nodes >= plant.next_truss_node:
        beyond = plant.nodes - plant.next_truss_node
        back_m = grown_m * beyond / new_nodes if new_nodes > beyond else 0.05 * beyond
        number = len(plant.trusses) + 1
        slow = exp(rng.gauss(0, 0.025))
        plant.trusses.append(Truss(number, plant.next_truss_node, plant.length_m - back_m, slow=slow))
        plant.next_truss_node += rng.choice((2.9, 3.0, 3.0, 3.1))
