"""Trays of a coming season by batch: what is sown when, so that the bench has room for it, and the bench by week.

Pots stand on the warm bench from potting on until they are put out by day to harden. Where they do not all find
room, a second batch is sown so much later that the first has left the bench when it is potted on.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from math import ceil

from msgspec import Struct

UP_AFTER_DAYS = 8
"""Emergence takes 6 to 8 days at 18 to 29 degC (Iowa State University Extension, on raising plants)."""
POT_ON_AFTER_DAYS = 14
"""From emergence to two true leaves (common practice, no source)."""
HARDEN_AT_DAYS = 35
"""From sowing: plants go out at five to eight weeks (Horticulturae 2020, 6(4):94, and growers' guides), a week
after they are put to harden."""
HARDENED_IN_DAYS = 7
RAISED_IN_DAYS = HARDEN_AT_DAYS + HARDENED_IN_DAYS
ON_THE_BENCH_DAYS = HARDEN_AT_DAYS - UP_AFTER_DAYS - POT_ON_AFTER_DAYS
SEED_SPARE = 0.2
"""A fifth more is sown than is planted. Common practice, no source."""


class Batch(Struct, frozen=True):
    """One cultivar's tray of one sowing."""

    tray: str
    cultivar: str
    plants: int
    seeds: int
    """Plants and a fifth spare."""
    sow: date
    pot_on: date
    harden: date
    plant: date


class BenchWeek(Struct, frozen=True):
    """Pots on the warm bench on the fullest day of a week."""

    monday: date
    pots: int
    room: int | None
    """None: never noted."""


def batches(plants_of: Mapping[str, int], plant: date, bench_pots: int | None) -> tuple[Batch, ...]:
    """Batches for so many plants of each cultivar, the first planted on ``plant``.

    The bench is filled with the cultivars in the order given; spare seedlings are potted on too.
    """
    seeds_left = {cultivar: seeds_for(plants) for cultivar, plants in plants_of.items() if plants > 0}
    plants_left = dict(plants_of)
    trays: list[Batch] = []
    number = 0
    while any(seeds_left.values()):
        number += 1
        room = sum(seeds_left.values()) if bench_pots is None else bench_pots
        for cultivar, left in seeds_left.items():
            seeds = min(left, room)
            plants = min(plants_left[cultivar], ceil(seeds / (1 + SEED_SPARE) - 1e-9))
            if seeds:
                trays.append(_batch(cultivar, plants, seeds, number, plant))
            seeds_left[cultivar] -= seeds
            plants_left[cultivar] -= plants
            room -= seeds
    return tuple(trays)


def seeds_for(plants: int) -> int:
    """Seeds to sow for so many plants."""
    return ceil(plants * (1 + SEED_SPARE) - 1e-9)


def _batch(cultivar: str, plants: int, seeds: int, number: int, first: date) -> Batch:
    plant = first + timedelta(days=(number - 1) * ON_THE_BENCH_DAYS)
    sow = plant - timedelta(days=RAISED_IN_DAYS)
    return Batch(
        f"{cultivar} {plant.year} {number}",
        cultivar,
        plants,
        seeds,
        sow,
        sow + timedelta(days=UP_AFTER_DAYS + POT_ON_AFTER_DAYS),
        sow + timedelta(days=HARDEN_AT_DAYS),
        plant,
    )


def bench_weeks(trays: tuple[Batch, ...], room: int | None) -> tuple[BenchWeek, ...]:
    """Every week from the first potting on to the last hardening."""
    if not trays:
        return ()
    first = min(batch.pot_on for batch in trays)
    monday = first - timedelta(days=first.weekday())
    weeks = []
    while monday < max(batch.harden for batch in trays):
        days = [monday + timedelta(days=n) for n in range(7)]
        fullest = max(sum(b.seeds for b in trays if b.pot_on <= day < b.harden) for day in days)
        weeks.append(BenchWeek(monday, fullest, room))
        monday += timedelta(days=7)
    return tuple(weeks)
