"""What a cultivar's fruit weighs against what is assumed of it, as its weighed picks tell.

What hangs will come off like what was picked before it. Picks of a row are added up against the modelled trusses
that ripened meanwhile, and forget by half in a month, for fruit gets lighter as the days draw in.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp, inf, log, sqrt

from msgspec import Struct

from tunneltui.growth.defaults import Traits, season_truss_kg
from tunneltui.growth.leader import TrussDates
from tunneltui.growth.outlook import CULTIVAR_SD
from tunneltui.growth.pick_days import Picks, weighed_picks
from tunneltui.growth.picks import PICK_SD, found_ripe
from tunneltui.holding.model import Cultivar
from tunneltui.season.state import Season

HALF_LIFE_DAYS = 30.0
UNKNOWN_SD = 0.30
"""Before any pick, of a fruit weight that nobody gave. Two cherry crops gave 0.89 and 1.04 of what a truss was
assumed to bear (Ohio 2024; Buck et al. 2008), a season's picks in unheated tunnels are taken as half to two thirds
of it (``defaults.season_truss_kg``)."""
GIVEN_SD = 0.20
"""Of a weight that the holding gives: trusses set unevenly and fruit is as heavy as its light (assumed)."""
MODEL_SD = 0.10
"""Of how many trusses ripened, however long it was weighed (assumed)."""


class FruitMass(Struct, frozen=True):
    """``share`` of fruits times ``fruit_g`` is what a ripe truss likely weighs; ``sd_ln`` is its error."""

    share: float
    sd_ln: float


@dataclass(frozen=True, eq=False)
class CultivarFruit:
    """All trusses of a cultivar, and what was picked of them; worked out when it is asked for."""

    season: Season
    cultivar: str
    kind: Traits
    trusses: Mapping[str, TrussDates]
    """By leader."""

    @cached_property
    def ripe(self) -> dict[str, list[float]]:
        """When the trusses of each leader that were not lost are ripe, those picked long since included."""
        return {
            name: [
                day
                for number, day in enumerate(dates.ripe, start=1)
                if number not in dates.noted.lost and day < inf
            ]
            for name, dates in self.trusses.items()
        }

    @cached_property
    def picks(self) -> list[Picks]:
        """What was weighed."""
        return weighed_picks(self.season, self.cultivar, self.ripe)

    @cached_property
    def mass(self) -> FruitMass:
        """What the weighed picks tell of its fruit."""
        before_any = before_any_pick(self.kind, self.season.layout.cultivars.get(self.cultivar))
        if not self.picks:
            return before_any
        fruit_kg = self.kind.fruit_g / 1000
        ripening = (
            (day, fruits * fruit_kg)
            for truss in self.trusses.values()
            for day, fruits in zip(truss.ripe, truss.fruits, strict=True)
        )
        return fruit_mass(before_any, self.picks, ripening, self.season.day.toordinal())


def before_any_pick(kind: Traits, cultivar: Cultivar | None) -> FruitMass:
    """As the holding gives it; without a weight, halfway from a full truss to what a season's picks come to."""
    if kind.crop.picked_by_size or (cultivar is not None and cultivar.fruit_g is not None):
        return FruitMass(1.0, GIVEN_SD)
    return FruitMass(min(1.0, sqrt(season_truss_kg(cultivar) / kind.truss_kg)), UNKNOWN_SD)


def fruit_mass(
    before_any: FruitMass,
    past: Iterable[Picks],
    trusses: Iterable[tuple[float, float]],
    before: int,
) -> FruitMass:
    """From picks weighed before a day, ``past`` as ``pick_days.weighed_picks`` gives them.

    ``trusses``: (day it is ripe, kg it is assumed to bear ripe) of every truss of the cultivar. Today's picks
    teach from tomorrow on, so that weighing one row does not move what all the others bear in mid round.
    """
    share, sd = before_any.share, before_any.sd_ln
    ripening = sorted(trusses)
    weighed_kg = assumed_kg = weeks = 0.0
    for flow, stretches in past:
        of_this = 0.0
        for stretch in stretches:
            fade = 0.5 ** ((before - stretch.end) / HALF_LIFE_DAYS)
            if stretch.end < before:
                truss_kg = _mean_kg(ripening, stretch.start, stretch.end)
                weighed_kg += fade * stretch.kg
                ripened = flow.at(stretch.end) - flow.at(stretch.start)
                assumed_kg += fade * truss_kg * found_ripe(flow, stretch, ripened, before_any.share * truss_kg)
                of_this += fade * (stretch.end - stretch.start) / 7
        weeks = max(weeks, of_this)
    if weighed_kg <= 0 or assumed_kg <= 0:
        return before_any
    # What one pick leaves comes with the next: the error of their sum does not grow with it.
    seen2 = (PICK_SD / weeks) ** 2 + MODEL_SD**2
    gain = sd**2 / (sd**2 + seen2)
    ln_share = (1 - gain) * log(share) + gain * log(weighed_kg / assumed_kg)
    return FruitMass(exp(ln_share), max(CULTIVAR_SD, sd * sqrt(1 - gain)))


def _mean_kg(ripening: Sequence[tuple[float, float]], start: int, end: int) -> float:
    """Of the trusses that ripen in a stretch, or of the next one."""
    first, last = bisect_left(ripening, (start, 0.0)), bisect_left(ripening, (end, 0.0))
    some = ripening[first:last] or ripening[max(0, min(first, len(ripening) - 1)) :][:1]
    return sum(kg for _, kg in some) / len(some) if some else 0.0
