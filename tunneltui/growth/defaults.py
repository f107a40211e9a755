"""What is assumed of a kind of fruit until the holding or the grower's own readings say otherwise.

Each value has a source; "trade practice, no source" means just that. The holding's cultivar overrides every one.
"""

from __future__ import annotations

from math import log, sqrt

from msgspec import Struct

from tunneltui.growth.response import STEM_CAP_C, truss_rate
from tunneltui.holding.crops import USUAL, Crop, crop_of, kind_of
from tunneltui.holding.model import Cultivar, FruitKind

PRACTICE = "trade practice, no source"
STALK_CHERRY = "open data: 734 small cherry trusses, Cornell 2021, stalk 15.4% of truss mass"


class _FruitKind(Struct, frozen=True):
    fruit_g: float
    fruits: float
    stalk_share: float
    fruit_source: str
    stalk_source: str
    ripening: float = 1.0
    """Time from flower to ripe, over the published one."""
    pace: float = 1.0
    """Of its stems over its crop's."""


# The crop's pace was read on cherries (two open crops, 28 to 31 cm a week in summer). Beef is let down a turn a
# week where cherries and trusses of round fruit are let down one and a half (Greenhouse Grower, its guide to
# high-wire growing). Where nothing is read only half of that difference is believed, as turns are no readings.
_KINDS: dict[FruitKind, _FruitKind] = {
    "cherry": _FruitKind(18.0, 14.0, 0.154, "open data: Ohio 2024, 17 to 21 g and 8 to 13 a truss", STALK_CHERRY),
    "cocktail": _FruitKind(40.0, 8.0, 0.06, PRACTICE, PRACTICE),
    "plum": _FruitKind(90.0, 6.0, 0.04, PRACTICE, PRACTICE),
    "standard": _FruitKind(100.0, 5.5, 0.04, PRACTICE, PRACTICE),
    # Big fruit takes a little longer. Assumed; two cherry crops fit the published time.
    "beef": _FruitKind(250.0, 3.6, 0.04, PRACTICE, PRACTICE, 1.08, pace=0.7),
    # Half of the fruits that come at a node are kept.
    "long": _FruitKind(350.0, 0.5, 0.0, PRACTICE, PRACTICE),
    "short": _FruitKind(120.0, 0.8, 0.0, PRACTICE, PRACTICE),
}

COOLER_SHARE = 0.86
"""Of its crop's pace that is taken of a stem nobody has read, where no lamp and no cultivar's own figure is given.
The paces were read at 23 and 24 degC: 18 and 20 cm a truss (Ohio 2024; Buck et al. 2008). With the trusses of 20
degC (Heuvelink 1996) that is 2.6 to 2.9 cm a day, of which the upper end and a little more is taken, for a head
over its wire costs more than a go too soon. Plans keep the whole: they must find room for long stems."""

PLANTED_LENGTH_M = 0.35
"""Stem above the soil on the day of planting. Assumed."""
PLANTED_LENGTH_SD_M = 0.12
PLANTED_TRUSS = -0.5
"""Flowering truss on the day of planting. Planted with a truss that shows, it opens in a fortnight of cool spring;
some are in flower when they are planted, small ones flower after five weeks (common practice, no source). Below
nought so many trusses' time is still to go."""
PLANTED_TRUSS_SD = 1.0
STILL_DAYS = 21
"""Until a shoot has taken over from a tip that snapped: till then nothing grows and no truss follows. Common
practice, no source."""
TIP_ABOVE_TRUSS_M = 0.12
"""Tip to flowering truss. Open data: Ohio 2024, weekly means 4 to 16 cm."""
LEAVES_PER_TRUSS = USUAL.leaves_per_truss
"""Papadopoulos 1991; open data 2.8."""
LEAVES_BELOW_FIRST = 9.0
"""Papadopoulos 1991: usually 7 to 12 leaves below the first truss."""


_SEASON_TRUSS_KG: dict[FruitKind, float] = {
    "cherry": 0.16,
    "cocktail": 0.22,
    "plum": 0.32,
    "standard": 0.35,
    "beef": 0.45,
}
"""Ripe kilograms a truss over a whole season, lost and green fruit left out. Cherries: 0.11 to 0.25 in three open
records (Ohio 2024; Hemming et al. 2020; Buck et al. 2008); the others by the size of their fruit, assumed. With
the trusses that ripen in an unheated tunnel it comes to about 4 kg a plant of standard fruit (common practice, no
source)."""


def season_truss_kg(cultivar: Cultivar | None) -> float:
    """What a truss gives over a season in an unheated tunnel, before the grower has weighed any."""
    given = cultivar or Cultivar(key="unknown")
    kind = kind_of(given.crop, given.fruit)
    usual = _KINDS[kind]
    whole = (given.fruits_per_truss or usual.fruits) * (given.fruit_g or usual.fruit_g) / 1000
    kg = _SEASON_TRUSS_KG.get(kind, BY_SIZE_SHARE * usual.fruits * usual.fruit_g / 1000)
    return kg * whole / (usual.fruits * usual.fruit_g / 1000)


BY_SIZE_SHARE = 0.6
"""Of the fruit at a node that is picked by size and kept, over a season. Assumed."""


class Traits(Struct, frozen=True):
    """One cultivar's values in force, with where each comes from."""

    fruit_g: float
    fruits_per_truss: float
    """As set at a good temperature, after pruning to the target where there is one."""
    stalk_share: float
    """Of the truss's whole mass."""
    truss_intercept: float
    stem_cm_a_day: float
    """At 20 degC and 12 h."""
    sources: dict[str, str]
    crop: Crop = USUAL
    days_to_pick: float | None = None
    """At 20 degC, for a crop picked by size; None: the published course to ripeness."""
    ripening: float = 1.0
    """Time from flower to ripe, over the published one."""
    planted_truss: float = PLANTED_TRUSS
    unread_share: float = 1.0
    """Of its pace that is taken of stems nobody has read."""

    @property
    def truss_kg(self) -> float:
        """Ripe fruit of one truss, without its stalk."""
        return self.fruits_per_truss * self.fruit_g / 1000

    @property
    def ln_stem_rate(self) -> float:
        """Before anything is read."""
        return log(self.stem_cm_a_day * self.unread_share)


def traits(cultivar: Cultivar | None, *, lit: bool = False) -> Traits:
    """The values in force for a cultivar; an unknown one is the usual crop's usual kind. ``lit``: it grows
    under lamps."""
    given = cultivar or Cultivar(key="unknown")
    crop = crop_of(given.crop)
    kind = _KINDS[kind_of(given.crop, given.fruit)]
    fruits = given.fruits_per_truss or kind.fruits
    if given.truss_target is not None:
        fruits = min(fruits, float(given.truss_target))
    intercept = given.truss_rate_intercept
    sources = {
        "fruit_g": kind.fruit_source,
        "fruits_per_truss": kind.fruit_source,
        "stalk_share": kind.stalk_source,
        "truss_rate_intercept": crop.flowering_source,
        "stem_m_per_week": crop.stem_source,
    }
    own_pace = given.stem_m_per_week is not None or given.stem_per_truss_m is not None
    return Traits(
        given.fruit_g or kind.fruit_g,
        fruits,
        kind.stalk_share,
        crop.flowering_intercept if intercept is None else intercept,
        _stem_cm_a_day(given, crop, lit),
        sources | _own_sources(given),
        crop,
        None if crop.days_to_pick is None else given.days_to_pick or crop.days_to_pick,
        kind.ripening,
        PLANTED_TRUSS if given.planted_truss is None else given.planted_truss,
        1.0 if lit or own_pace else COOLER_SHARE / sqrt(kind.pace),
    )


def _stem_cm_a_day(cultivar: Cultivar, crop: Crop, lit: bool) -> float:
    if cultivar.stem_m_per_week is not None:
        return cultivar.stem_m_per_week * 100 / 7
    if cultivar.stem_per_truss_m is not None:
        intercept = cultivar.truss_rate_intercept or crop.flowering_intercept
        rate = truss_rate(STEM_CAP_C, intercept, crop.flowering_slope)
        return max(0.5, cultivar.stem_per_truss_m * 100 * rate)
    usual = crop.lit_stem_cm_a_day if lit and crop.lit_stem_cm_a_day is not None else crop.stem_cm_a_day
    return usual * _KINDS[kind_of(cultivar.crop, cultivar.fruit)].pace


def _own_sources(cultivar: Cultivar) -> dict[str, str]:
    names = (
        "fruit_g",
        "fruits_per_truss",
        "truss_rate_intercept",
        "planted_truss",
        "stem_m_per_week",
        "stem_per_truss_m",
    )
    given = [name for name in names if getattr(cultivar, name) is not None]
    return {name: cultivar.sources.get(name, "the holding") for name in given}
