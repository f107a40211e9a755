"""The truths a house may have: one law for all, or other laws with figures drawn anew for each house."""

from __future__ import annotations

from datetime import date
from math import exp, log
from random import Random
from typing import Literal, Protocol

from tests.seasons.truth import laws
from tests.seasons.truth.stem import Stem
from tests.seasons.truth.weather import Air, Spells, as_it_comes

Which = Literal["first", "other"]


class Nature(Protocol):
    """What the garden asks of its laws."""

    def begin(self, stem: Stem) -> None:
        """How a stem differs on the day of planting from what was drawn for it."""

    def stem_cm(self, stem: Stem, today: Air, light_mj: float, /) -> float:
        """Stem of a day without its own vigour and luck; ``light_mj`` is the mean of about a week to today."""

    def slack(self, hanging_kg: float) -> float:
        """Share of its growth that a stem makes under its fruit."""

    def trusses(self, stem: Stem, mean_c: float) -> float:
        """That come to flower in a day."""

    def ripening(self, mean_c: float, *, cucumber: bool) -> float:
        """Share of the way from flower to ripe, or to picking, of a day."""

    def truss_kg(self, stem: Stem, number: int, today: Air, /) -> float:
        """Ripe, under good light, of one that flowers today; of a stem of usual vigour."""

    def clip_strength_n(self, gauss: float) -> float: ...

    def clip_tires(self, weeks: float) -> float:
        """Share of its strength it has left."""

    def frost_chance(self, lowest_c: float) -> float: ...

    def pace(self, kind: str, /) -> float:
        """Of these hands at a kind of work, on the usual minutes."""

    def spells(self, day: date) -> Spells: ...


def nature(which: Which, seed: int) -> Nature:
    return First() if which == "first" else Other(seed)


class First:
    """The laws as they stand, the same in every house; all stems of a cultivar flower on one day."""

    def begin(self, stem: Stem) -> None:
        """As drawn."""

    def stem_cm(self, stem: Stem, today: Air, _light_mj: float) -> float:
        return laws.stem_cm(stem.week_cm, today.mean_c, today.light_mj)

    def slack(self, hanging_kg: float) -> float:
        return 1 - 0.10 * min(1.0, hanging_kg / 3.0)

    def trusses(self, stem: Stem, mean_c: float) -> float:
        return laws.trusses(mean_c, stem.cucumber)

    def ripening(self, mean_c: float, *, cucumber: bool) -> float:
        return laws.swelling(mean_c) if cucumber else laws.ripening(mean_c)

    def truss_kg(self, stem: Stem, _number: int, today: Air) -> float:
        well = laws.set_share(today.min_c, today.max_c) if not stem.cucumber else 0.85
        return stem.truss_kg * well * max(0.2, stem.flower_luck.gauss(1.0, 0.18))

    def clip_strength_n(self, gauss: float) -> float:
        return laws.clip_strength_n(gauss)

    def clip_tires(self, weeks: float) -> float:
        return max(0.1, 1 - laws.CLIP_TIRES_A_WEEK * weeks)

    def frost_chance(self, lowest_c: float) -> float:
        return laws.frost_chance(lowest_c)

    def pace(self, _kind: str) -> float:
        return 1.0

    def spells(self, day: date) -> Spells:
        return as_it_comes(day)


class Other:
    """Other laws than the first truth's and the forecasts'; what is not known of a tunnel is drawn for each house.

    Ranges without a source are a judgement of what growers see.
    """

    def __init__(self, seed: int) -> None:
        self.seed = seed
        luck = Random(f"other {seed}")
        # Nodes come with leaves, three to a truss; the slower at 2.3 in five weeks of 16 degC, the faster at 4.
        self.nodes_factor = luck.uniform(0.85, 1.20)
        # Stems stretch with warmth from a base of 8 to 12 degC (thermal time, from memory), level off in heat.
        self.base_c, self.top_c = luck.uniform(6.0, 11.0), luck.uniform(22.0, 30.0)
        # From light hardly felt to growth half in its proportion.
        self.by_light = luck.uniform(-0.10, 0.45)
        # Summer's fruit takes its share of growth: stems of Ohio 2024 went from 30 to 17 cm a week under load.
        self.fruit_takes = luck.uniform(0.05, 0.35)
        # Seedlings of 5 to 9 leaves; the first truss comes after 7 to 12 (Papadopoulos 1991), 12 to 35 days on.
        self.first_days = luck.uniform(12.0, 35.0)
        # One cultivar's plants flower within 3 to 8 days of each other.
        self.apart_days = luck.uniform(3.0, 8.0) / 4
        self.planted_m = luck.uniform(0.18, 0.42)
        # Degree-days: base 4 to 8 degC, 48 to 60 days at 20 degC, no faster above 24 to 28 (940 over base 4 and
        # 1,000 over nought are rules in use).
        self.ripe_base_c, self.ripe_top_c = luck.uniform(4.0, 8.0), luck.uniform(24.0, 28.0)
        self.ripe_sum = luck.uniform(48.0, 60.0) * (20.0 - self.ripe_base_c)
        self.size_days = luck.uniform(11.0, 18.0)
        # Trusses lose 0 to 4 % of their weight from one to the next; plants differ by 8 to 20 %.
        self.falls_a_truss, self.plants_apart = luck.uniform(0.0, 0.04), luck.uniform(0.08, 0.20)
        # Flowers drop in days over 32 to 36 degC, fruit is misshapen after nights under 8 to 11.
        self.hot_c, self.cold_c = luck.uniform(32.0, 36.0), luck.uniform(8.0, 11.0)
        # Clips of 25 to 55 N, from even to uneven ones; the sun takes up to 1.5 % a week.
        self.clip_n, self.clip_ln_sd = luck.uniform(25.0, 55.0), luck.uniform(0.20, 0.50)
        self.clip_tires_a_week = luck.uniform(0.0, 0.015)
        self.frost_c = luck.uniform(-2.0, -0.3)
        # A spring 0 to 3 K too cool, a hot fortnight or none, a summer of 0.75 to 1.1 of its sun.
        self.spring_k, self.summer_light = luck.uniform(-3.0, 0.5), luck.uniform(0.75, 1.10)
        self.hot_k, self.hot_from = luck.choice((0.0, 4.0, 6.0)), luck.randint(175, 225)

    def _of(self, what: str) -> Random:
        return Random(f"other {self.seed} {what}")

    def begin(self, stem: Stem) -> None:
        own, kind = self._of(f"stem {stem.name}"), self._of(f"kind {stem.cultivar}")
        stem.length_m = max(0.10, self.planted_m + own.gauss(0.0, 0.03))
        stem.truss_kg *= exp(kind.gauss(0.0, 0.20)) * max(0.4, own.gauss(1.0, self.plants_apart))
        days = self.first_days * (0.5 if stem.cucumber else 1.0) + kind.gauss(0.0, 3.0)
        # Three days' worth is lost to rooting.
        stem.flowering = 1 - self.trusses(stem, 15.0) * (days + own.gauss(0.0, self.apart_days) - 3.0)
        stem.leaves = own.uniform(5.0, 9.0)

    def stem_cm(self, stem: Stem, today: Air, light_mj: float) -> float:
        warm = max(0.0, min(today.mean_c, self.top_c) - self.base_c) / (20.0 - self.base_c)
        return float(stem.week_cm / 7 * warm * (max(light_mj, 1.0) / 10.0) ** self.by_light)

    def slack(self, hanging_kg: float) -> float:
        return 1 - self.fruit_takes * min(1.0, hanging_kg / 3.0)

    def trusses(self, stem: Stem, mean_c: float) -> float:
        """A third of the nodes of a day: half a node times a line in warmth (Jones, Kenig and Vallejos 1999, with
        its slopes from memory), nought at 6 degC; a cucumber's flower at every node."""
        kind = 1 + 0.08 * self._of(f"nodes {stem.cultivar}").gauss(0.0, 1.0)
        line = max(0.0, min(1.0, 0.25 + 0.025 * mean_c, 2.5 - 0.05 * mean_c))
        nodes = 0.5 * line * min(1.0, max(0.0, mean_c - 6.0) / 6.0) * self.nodes_factor * kind
        return 1.3 * nodes * max(0.0, mean_c - 10.0) / 10.0 if stem.cucumber else nodes / 3

    def ripening(self, mean_c: float, *, cucumber: bool) -> float:
        if cucumber:
            return max(0.0, min(mean_c, 27.0) - 9.0) / 11.0 / self.size_days
        return max(0.0, min(mean_c, self.ripe_top_c) - self.ripe_base_c) / self.ripe_sum

    def truss_kg(self, stem: Stem, number: int, today: Air) -> float:
        harmed = 0.06 * max(0.0, today.max_c - self.hot_c) + 0.05 * max(0.0, self.cold_c - today.min_c)
        if stem.flower_luck.random() < min(0.5, 0.5 * harmed):
            return 0.02 * stem.truss_kg
        kg = stem.truss_kg * (1 - min(0.6, harmed)) * max(0.2, stem.flower_luck.gauss(1.0, 0.22))
        return kg * max(0.5, 1.1 - self.falls_a_truss * number) if not stem.cucumber else 0.85 * kg

    def clip_strength_n(self, gauss: float) -> float:
        return exp(log(self.clip_n) + self.clip_ln_sd * gauss)

    def clip_tires(self, weeks: float) -> float:
        return max(0.1, 1 - self.clip_tires_a_week * weeks)

    def frost_chance(self, lowest_c: float) -> float:
        return 1 / (1 + exp(min(200.0, (lowest_c - self.frost_c) / 0.2)))

    def pace(self, kind: str) -> float:
        return exp(self._of(f"pace {kind}").gauss(0.0, 0.15))

    def spells(self, day: date) -> Spells:
        """Warmer outside by so much, and of the sun so much."""
        doy = day.timetuple().tm_yday
        cool = self.spring_k * max(0.0, min(1.0, (165 - doy) / 40))
        hot = self.hot_k if self.hot_from <= doy < self.hot_from + 14 else 0.0
        return Spells(cool + hot, self.summer_light if 152 <= doy < 244 and not hot else 1.0)
