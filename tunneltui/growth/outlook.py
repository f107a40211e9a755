"""What the forecasts say, as plain values. Made by ``growth.forecast``.

A ``Band`` is a likely value with the two ends of a 90 % interval. Lengths in metres, heights above the soil,
masses in kg. Mappings by day run from the outlook's own day to 14 days on unless said otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct

from tunneltui.growth.ripening import RipeningFactor

if TYPE_CHECKING:
    from tunneltui.growth.forecast import Basis


CULTIVAR_SD = 0.12
"""How far off, as a share, all fruit of a cultivar is whose weight is as well known as can be (assumed)."""


class Band(Struct, frozen=True):
    low: float
    mid: float
    high: float


class TrussOn(NamedTuple):
    """One truss on one day."""

    number: int
    s_m: float
    """Where its stalk leaves the stem."""
    z: float
    """Development, 0 at flowering, 1 ripe (De Koning 1994)."""
    fruits: float
    kg: float
    """Mass on the stem today, stalk included."""
    ripe_on: date | None
    """None: beyond what the outlook reaches."""
    counted: bool
    """Its fruits were counted by the grower."""


class StemOn(Struct, frozen=True):
    """One leader on one day: all that loads and chores ask of growth."""

    day: date
    length_m: Band
    tip_z_m: Band
    """Height of the tip, if nothing is lowered from the outlook's day on."""
    trusses: tuple[TrussOn, ...]
    """Trusses on the stem that flower, swell or are ripe, lowest first."""
    flowering_truss: float
    """Its whole part is the number of the youngest truss with an open flower."""
    leaves: float
    bare_below_m: float
    """``s_m`` below which no leaves are left."""
    flowering_sd: float = 0.0
    """Standard deviation of ``flowering_truss``."""
    fruit_sd: float = CULTIVAR_SD
    """How far off, as a share, all its fruit may be together: what a truss weighs, and which of them hang."""


class LeftOut(Struct, frozen=True):
    """A reading that makes no sense: nothing is learned from it."""

    day: date
    why: str
    """What was read and what is wrong with it."""
    sentence: str
    """The same as a plain sentence with the leader and the day."""


class LeaderOutlook(Struct, frozen=True):
    leader: str
    days: dict[date, StemOn]
    measured_on: date | None
    """Last day its length or tip was read; None: never, it follows its group."""
    growth_m_per_week: Band
    trusses_per_week: Band
    """New flowering trusses in the coming seven days."""
    at_wire: tuple[date | None, date | None, date | None]
    """Day its tip reaches the wire or what is lower: early, likely, late; None: not within the outlook."""
    flagged: tuple[LeftOut, ...] = ()
    """Readings left out of learning."""
    doubted: LeftOut | None = None
    """The last of them where nothing read or noted since has settled it."""

    def on(self, day: date) -> StemOn:
        """A day of the outlook; beyond its end the last day stands in."""
        return self.days[min(day, max(self.days))]


class PickOutlook(Struct, frozen=True):
    cultivar: str
    row: str
    day: date
    kg: Band
    trusses: float
    blind: bool
    """No pick of this cultivar weighed yet: known to a factor of three, and to be shown so."""


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    day: date
    leaders: dict[str, LeaderOutlook]
    picks: tuple[PickOutlook, ...]
    """Next pick days, by cultivar, row and day."""
    air_typical: bool
    """The coming or past air rests on typical values, not on readings."""
    flagged: tuple[str, ...] = ()
    """Days of air left out, each a plain sentence; a leader's own readings are flagged with it."""
    ripening: Mapping[str, RipeningFactor] = field(default_factory=dict)
    """By cultivar, how its fruit departs from the published ripening, as learned."""
    ripe_today: tuple[PickOutlook, ...] = ()
    """What hangs ripe today by cultivar and row, whether or not today is a pick day."""
    basis: Basis | None = None
    """What was learned for it."""
    unmeasured_heat: bool = False
    """Fruit ripens in air so warm that how fast it does was never measured."""

    def stem(self, leader: str, day: date) -> StemOn:
        return self.leaders[leader].on(day)
