"""The growers' work on shoots, leaves and fruit, and the weekly measuring of marked plants."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import groupby

from tunneltui.demo.house import EVENING, MORNING, House, due, near
from tunneltui.demo.plant import Truss
from tunneltui.demo.trellis import TrainedStem
from tunneltui.journal.body import Answers
from tunneltui.journal.kinds_crop import (
    Deleafed,
    FruitLost,
    Picked,
    Pollinated,
    SideShooted,
    TipTakenOut,
    TrussPruned,
)
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.journal.kinds_standing import Measured, TrussCounted

_LEAST_PICK_KG = 0.15
_MISTYPED, _NOT_WEIGHED = 0.02, 0.02
_TIP_OUT_UNDER_WIRE_M = 0.06


def pick(house: House, day: date) -> None:
    """All ripe fruit of every row, weighed by cultivar."""
    house.diary.at(day, 7.0, MORNING)
    for row in house.rows():
        stems = sorted(house.in_row(row), key=lambda stem: stem.cultivar)
        for cultivar, group in groupby(stems, key=lambda stem: stem.cultivar):
            _pick_one(house, row, cultivar, list(group), day)


def _pick_one(house: House, row: str, cultivar: str, stems: list[TrainedStem], day: date) -> None:
    ripe = [
        (stem, truss) for stem in stems for truss in stem.plant.trusses if truss.thirds_ripe > truss.thirds_picked
    ]
    kg = sum(_third_kg(stem, truss) * (truss.thirds_ripe - truss.thirds_picked) for stem, truss in ripe)
    if kg < _LEAST_PICK_KG:
        return
    for _, truss in ripe:
        truss.thirds_picked = truss.thirds_ripe
    house.diary.act()
    split_kg = 0.05 * kg if house.luck.random() < 0.12 else 0.0
    house.picked_kg[day, row, cultivar] = kg - split_kg
    weighed = near(max(0.05, (kg - split_kg) * house.luck.gauss(1, 0.01)), 0.05)
    tick = due("pick", f"{row} {cultivar}", day)
    slip = house.luck.random()
    if slip < _MISTYPED:
        _mistype(house, row, Picked(cultivar, near(10 * weighed, 0.5)), tick)
    house.diary.write(Picked(cultivar, None if slip > 1 - _NOT_WEIGHED else weighed), row, tick)
    if split_kg >= 0.05:
        house.diary.write(FruitLost(cultivar, near(split_kg, 0.05), why="split"), row)


def _mistype(house: House, row: str, wrong: Picked, tick: Answers) -> None:
    """A point forgotten, seen at once and crossed out; the right weight follows."""
    house.diary.write(wrong, row, tick)
    house.diary.alone(CrossedOut(house.diary.this_act))
    house.diary.act()


def _third_kg(stem: TrainedStem, truss: Truss) -> float:
    return truss.dry_g / stem.plant.line.dry_share / 1000 / 3


def side_shoot(house: House, row: str, day: date) -> None:
    """The whole row side in one pass."""
    leaders = tuple(stem.id for stem in house.in_row(row))
    house.diary.alone(SideShooted(leaders), row, due("side_shoot", row, day))


def deleaf(house: House, row: str, day: date) -> None:
    """Leaves below the lowest truss that still ripens, up to four a visit, listed by how many were taken."""
    limits = house.layout.holding.limits
    taken: dict[int, list[str]] = {}
    for stem in house.in_row(row):
        lowest = stem.plant.lowest_unpicked
        spare = int(lowest.node - stem.plant.lowest_leaf) if lowest else 0
        leaves = min(limits.leaves_a_visit, spare, int(stem.plant.leaves) - limits.leaves_kept)
        if leaves > 0:
            stem.plant.lowest_leaf += leaves
            taken.setdefault(leaves, []).append(stem.id)
    if taken:
        house.diary.act()
        for leaves, leaders in sorted(taken.items()):
            house.diary.write(Deleafed(tuple(leaders), leaves), row, due("deleaf", row, day))


def prune_trusses(house: House, row: str, day: date) -> None:
    """Set fruit over the cultivar's target is taken off ten days after flowering."""
    for stem in house.in_row(row):
        target = house.layout.cultivars[stem.cultivar].truss_target
        for truss in stem.plant.trusses:
            ready = truss.flowered is not None and 7 <= (day - truss.flowered).days < 21
            if target and ready and truss.fruits > target:
                truss.dry_g *= target / truss.fruits
                truss.fruits = target
                body = TrussPruned(stem.id, truss.number, target)
                house.diary.alone(body, stem.place, due("truss_prune", stem.name, day))


def take_tips_out(house: House, row: str, day: date) -> None:
    """In a row that ends at the wire."""
    for stem in house.in_row(row):
        near_wire = stem.limit_z_m - stem.tip_z_m <= _TIP_OUT_UNDER_WIRE_M
        if stem.training == "pinched_at_wire" and near_wire and stem.plant.growing:
            stem.plant.growing = False
            house.diary.alone(TipTakenOut(stem.id), stem.place, due("tip_out", stem.name, day))


def pollinate(house: House, row: str, day: date) -> None:
    """In cool weeks the flowering trusses are shaken at midday."""
    house.diary.at(day, 12.5, MORNING)
    leaders = tuple(stem.id for stem in house.in_row(row))
    house.diary.alone(Pollinated(leaders), row, due("pollinate", row, day))


def measure(house: House, day: date) -> None:
    """The weekly reading of the marked plants: growth since the last mark, trusses, and where the tip hangs."""
    house.diary.at(day, 18.0, EVENING)
    for stem in house.stems:
        if not stem.marked or stem.planted >= day:
            continue
        house.diary.act()
        house.diary.write(_reading(house, stem), stem.place)
        if day.isocalendar().week % 2 == 0:
            # Fruit set on the trusses that flowered two weeks ago or more and were not counted yet.
            for truss in stem.plant.trusses:
                old_enough = truss.flowered is not None and truss.flowered <= day - timedelta(days=14)
                if old_enough and truss.number > stem.counted_to and truss.thirds_picked == 0:
                    house.diary.write(TrussCounted(stem.id, truss.number, truss.fruits), stem.place)
                    stem.counted_to = truss.number


def _reading(house: House, stem: TrainedStem) -> Measured:
    luck = house.luck
    seen_m = stem.length_m + luck.gauss(0, 0.004)
    before_m, stem.read_at_m = stem.read_at_m, seen_m
    lowest = stem.plant.lowest_unpicked
    return Measured(
        stem.id,
        length_m=near(seen_m, 0.01) if before_m is None else None,
        growth_m=None if before_m is None else near(seen_m - before_m, 0.01),
        tip_under_wire_m=near(stem.limit_z_m - stem.tip_z_m + luck.gauss(0, 0.01), 0.01),
        diameter_mm=near(luck.gauss(10.5, 0.5), 0.5) if luck.random() < 0.2 else None,
        flowering_truss=float(stem.plant.flowering_truss),
        lowest_truss=float(lowest.number if lowest else len(stem.plant.trusses) + 1),
        leaves=float(int(stem.plant.leaves)) if luck.random() < 0.3 else None,
    )
