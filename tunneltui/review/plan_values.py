"""A plan for next season as plain values: what each cultivar's records say, and what an arrangement would bear.

Lengths in metres, masses in kg, forces in newtons. ``None`` is unknown, never nought.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tunneltui.growth.outlook import Band


@dataclass(frozen=True, slots=True)
class CultivarRecord:
    """One cultivar's own records, or the defaults that stand in for them."""

    cultivar: str
    vigour_m_per_week: float
    """Stem growth in a week of 20 degC and 12 h days."""
    vigour_band: Band | None
    """90 % interval of the mean; None with fewer than two measured stems."""
    stems: int
    """Measured stems that the vigour rests on."""
    stem_spread: float
    """Half the 90 % interval of one coming stem, as a share of the mean."""
    yield_kg: float | None
    """Picked so far, per plant."""
    yield_band: Band | None
    """90 % interval of the mean over rows; None with fewer than two rows picked by name."""
    plants: int
    """Plants that the yield rests on."""

    @property
    def defaults(self) -> tuple[str, ...]:
        """What had to be taken from defaults."""
        return (() if self.stems else ("vigour",)) + (() if self.yield_kg is not None else ("yield",))


@dataclass(frozen=True, slots=True)
class LoopFit:
    """Whether the stems of one loop can be housed."""

    loop: str
    longest_m: Band
    holds_m: float
    """Longest stem that leaves ``limits.head_least_m`` of head at the flattest slope the tiers allow."""
    first_clip_m: float
    slope: float
    tiers: float
    """Lying stems one above the other: leaders x lying length / loop length."""
    fits: bool
    why: str


@dataclass(frozen=True, slots=True)
class Peak:
    """The greatest of each load over the days looked at."""

    day: date
    """Day of the fullest string."""
    string: str
    string_n: Band
    wire: str
    wire_n: float
    hoop: str
    hoop_n: float
    hanging_kg: dict[str, float]
    """By row, on its heaviest day."""
    held_back_m: float
    """How much further along the wire hooks would hang if no head ahead stood in their way, on the worst day. That
    much stem hangs low in its bend, and its strings bear less for it."""
    faults: int
    """Stems whose path could not be drawn, or gaps in what is known of wires."""


@dataclass(frozen=True, slots=True)
class Crop:
    cultivar: str
    row: str
    kg: Band


@dataclass(frozen=True, slots=True)
class Dates:
    sow: date
    pot_on: date
    harden: date
    plant: date
    tip_out: date | None
    """None: nothing that still ripens is lost by letting it run."""
    last_pick: date | None
    assumed_end: bool
    """No end was chosen: until frost takes it, by the typical year."""


@dataclass(frozen=True, slots=True)
class Plan:
    name: str
    cultivar_of: dict[str, str]
    """By place, in walking order; '' leaves the place empty."""
    cost_m: float
    """See ``plan_order.cost_m``."""
    fits: tuple[LoopFit, ...]
    peak: Peak | None
    crops: tuple[Crop, ...]
    hours: Band | None
    gives_up: str
