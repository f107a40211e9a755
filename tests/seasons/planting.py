"""A house's garden as it is planted: every stem with a vigour of its own."""

from __future__ import annotations

from datetime import timedelta
from math import exp
from random import Random

from tests.seasons.houses import LAST_DAY, House
from tests.seasons.truth import laws
from tests.seasons.truth.garden import Garden
from tests.seasons.truth.nature import nature
from tests.seasons.truth.stem import Stem
from tests.seasons.truth.weather import weather

LETTERS = "abcd"


def garden_of(house: House) -> Garden:
    """On the day of planting, a head with nothing that holds it, a hook over each."""
    luck = Random(f"stems {house.seed}")
    first = house.planted_on - timedelta(days=1)
    truth = nature(house.truth, house.seed)
    air = weather(house.seed, house.latitude_deg, first, LAST_DAY + timedelta(days=30), truth.spells)
    usual_kg = laws.FRUIT_KG_CUCUMBER if house.cucumber else laws.FRUIT_KG
    stems = []
    for name, standing in house.plan.places.items():
        sort = house.sorts[standing.place.cultivar]
        plant_vigour = exp(luck.gauss(0.0, 0.08))
        weak = 0.5 if luck.random() < 0.015 else 1.0
        for letter in LETTERS[: house.leaders]:
            vigour = plant_vigour * weak * exp(luck.gauss(0.0, 0.05)) * (0.92 if house.leaders > 1 else 1.0)
            stem = Stem(
                name=f"{name}{letter}",
                place=name,
                row=standing.row_id,
                loop=standing.loop.id,
                cultivar=sort.key,
                fruit=sort.fruit,
                cucumber=house.cucumber,
                training=standing.row.training,
                root_u_m=standing.u_m,
                wire_m=standing.row.wire_height_m,
                reach_m=house.plan.holding.work.reach_m,
                week_cm=sort.week_cm,
                vigour=vigour,
                truss_kg=usual_kg[sort.fruit] * sort.truss_factor * (0.8 if house.leaders > 1 else 1.0),
                ripens_by=sort.ripens_by,
                planted_on=house.planted_on,
                length_m=luck.uniform(0.25, 0.42),
                growth_luck=Random(f"growth {house.seed} {name}{letter}"),
                flower_luck=Random(f"flowers {house.seed} {name}{letter}"),
            )
            stem.hook_u_m = stem.root_u_m
            truth.begin(stem)
            stems.append(stem)
    return Garden(stems, air, house.seed, house.planted_on, truth)
