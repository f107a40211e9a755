"""The simulator's laws are its own, but its numbers are those of real plants and real weather."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from random import Random

import pytest

from tunneltui.demo.make import saltmarsh
from tunneltui.demo.plant import LINES, Drive, Plant, drive, grow, young_plant
from tunneltui.demo.season import made_season
from tunneltui.demo.weather import DemoDay, inside, outside, sun_at_top_mj
from tunneltui.holding.model import FruitKind

DAY = date(2026, 6, 1)


def constant(temperature_c: float, light_mj: float = 14.0, day: date = DAY) -> Drive:
    return drive(DemoDay(day, (temperature_c,) * 24, (70.0,) * 24, light_mj))


def grown(kind: FruitKind, temperature_c: float, days: int, vigour: float = 1.0) -> Plant:
    """A plant kept for so many days at one temperature, leaves taken so that 18 stay."""
    rng = Random(5)
    plant = young_plant(LINES[kind], vigour, rng)
    for n in range(days):
        grow(plant, constant(temperature_c, day=DAY + timedelta(days=n)), rng)
        plant.lowest_leaf = max(plant.lowest_leaf, plant.nodes - 18)
    return plant


def test_sun_at_the_top_of_the_air_is_that_of_fao_56() -> None:
    """FAO Irrigation and Drainage Paper 56, examples 8 and 9: 3 September at 20 degrees south gives 32.2 MJ/m2
    and 11.7 h; printed to a tenth."""
    top_mj, day_length_h = sun_at_top_mj(date(2026, 9, 3), -20.0)
    assert top_mj == pytest.approx(32.2, abs=0.05)
    assert day_length_h == pytest.approx(11.7, abs=0.05)


@pytest.mark.parametrize(("temperature_c", "trusses_a_day"), [(17, 0.1216), (20, 0.1453), (23, 0.1656)])
def test_trusses_come_about_as_fast_as_published(temperature_c: float, trusses_a_day: float) -> None:
    """Heuvelink 1996, Ann. Bot. 77:71-80, eq. 2, after De Koning 1994. The law here is another one; lines of the
    open registrations lie up to 19 % from the equation (Heuvelink 1996, eq. 2), so 20 % is asked."""
    plant = grown("standard", temperature_c, 100)
    assert plant.flowering_truss / 100 == pytest.approx(trusses_a_day, rel=0.20)


@pytest.mark.parametrize(("temperature_c", "days"), [(18, 65), (22, 46), (26, 42)])
def test_fruit_ripens_about_as_fast_as_measured(temperature_c: float, days: int) -> None:
    """Adams, Cockshull and Cave 2001, Ann. Bot. 88:869-877: flower to ripe at constant temperature. Models of
    record miss observed times by 2 to 5 days in 51, lines differ; 15 % is asked."""
    plant = grown("standard", temperature_c, 90)
    first = plant.trusses[0]
    assert first.flowered is not None
    assert first.ripened is not None
    assert (first.ripened - first.flowered).days == pytest.approx(days, rel=0.15)


def test_cold_stops_growth() -> None:
    """Criddle 1997 (in Vanthoor 2011): no growth at a mean of 12 degC and below; here far less than at 20."""
    cold, warm = grown("standard", 9.0, 30), grown("standard", 20.0, 30)
    assert cold.length_m - 0.34 < 0.25 * (warm.length_m - 0.34)


def test_great_heat_costs_fruit() -> None:
    """Sato et al. 2000 (in Vanthoor 2011): set above 75 % at 28/22 degC, none at 32/26 in four of five lines."""
    assert constant(26.0).set_share > 0.75
    assert constant(34.0).set_share < 0.4


def test_more_fruit_means_a_shorter_stem_and_smaller_fruit() -> None:
    """The same plant in the same dull weather, every truss pruned to two fruits or left with its four."""

    def kept(most: int) -> tuple[float, float]:
        rng = Random(5)
        plant = young_plant(LINES["beef"], 1.0, rng)
        for n in range(80):
            grow(plant, constant(21.0, 8.0, DAY + timedelta(days=n)), rng)
            for truss in plant.trusses:
                truss.fruits = min(truss.fruits, most)
        first = plant.trusses[0]
        return plant.length_m, first.dry_g / first.fruits

    few, many = kept(2), kept(5)
    assert many[0] < few[0]
    assert many[1] < few[1]


def test_a_dull_week_fills_less_fruit() -> None:
    def dry_g(light_mj: float) -> float:
        rng = Random(3)
        plant = young_plant(LINES["beef"], 1.0, rng)
        for n in range(60):
            grow(plant, constant(20.0, light_mj, DAY + timedelta(days=n)), rng)
        return sum(truss.dry_g for truss in plant.trusses)

    assert dry_g(6.0) < 0.8 * dry_g(14.0)


def test_weather_keeps_part_of_yesterday() -> None:
    days = outside(date(2026, 5, 1), date(2026, 9, 30), 51.5, Random(1))
    level = sum(day.mean_c for day in days) / len(days)
    off = [day.mean_c - level for day in days]
    kept = sum(a * b for a, b in pairwise(off)) / sum(a * a for a in off)
    assert kept > 0.6


def test_a_tunnel_is_warmer_by_day_and_swings() -> None:
    rng = Random(2)
    for out in outside(date(2026, 6, 1), date(2026, 6, 30), 51.5, rng):
        air = inside(out, 0.75, 0.5, rng)
        assert air.mean_c > out.mean_c
        assert air.min_c < air.mean_c < air.max_c
        assert 0 < air.light_mj < out.sun_mj


def test_a_season_is_as_long_and_as_heavy_as_real_ones() -> None:
    """Stem growth: open registrations give 17 to 36 cm a week (open registrations of Ohio and Arizona). Yield:
    unheated tunnels 4.9 to
    8.5 kg a plant marketable, up to 9.8 total (trials of north central US 2014 to 2016 and Kansas 2016), here
    for plants of April up to mid October."""
    made = made_season(saltmarsh(), 4, date(2026, 10, 15))
    july, august = date(2026, 7, 1), date(2026, 8, 26)
    for stem in made.truth.leaders.values():
        if july in stem.length_m and stem.row != "E2" and stem.cultivar != "cherry 4":
            weekly_m = (stem.length_m[august] - stem.length_m[july]) / 8
            assert 0.17 < weekly_m < 0.36
    plants = {("W1", "beef 3"): 9, ("W2", "standard 2"): 9, ("E1", "standard 2"): 5, ("W1", "cherry 1"): 6}
    for (row, cultivar), count in plants.items():
        kg = sum(v for (_, r, c), v in made.truth.picked_kg.items() if (r, c) == (row, cultivar))
        assert 2.5 < kg / count < 10.0
