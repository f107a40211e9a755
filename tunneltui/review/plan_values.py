"""A plan for next season as plain values: what each cultivar's records say, and what an arrangement would bear.

Lengths in metres, masses in kg, forces in newtons. ``None`` is unknown, never nought.
"""

from __future__ import annotations

from datetime import date
from typing import Literal, NamedTuple

from msgspec import Struct

from tunneltui.chores.batches import Batch, BenchWeek
from tunneltui.growth.outlook import Band
from tunneltui.holding.setting_out import SettingOut
from tunneltui.loads.result import HoopLoad, LineLoad, WireLoad

RowKind = Literal["as_they_are", "single", "double"]


class Wishes(Struct, frozen=True):
    """What the grower chose; what is left out the plan works out."""

    end: date | None = None
    """Last pick."""
    until_frost: bool = False
    """Until frost takes it, whatever end the holding names."""
    plant: date | None = None
    """None: when the soil is warm in the typical year."""
    leaders: Literal[1, 2] | None = None
    """Per plant; None: as many as there are."""
    rows: RowKind = "as_they_are"
    """Each row for itself, or two neighbours looped as a double row."""


class CultivarRecord(Struct, frozen=True):
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
    truss_intercept: float | None = None
    """Of the truss rate, as the season's counts tell it."""
    planted_truss: float | None = None
    """The truss in flower on the day of planting, as counts since then tell it."""

    @property
    def defaults(self) -> tuple[str, ...]:
        """What had to be taken from defaults."""
        return (() if self.stems else ("vigour",)) + (() if self.yield_kg is not None else ("yield",))


class LoopFit(Struct, frozen=True):
    """Whether the stems of one loop can be housed."""

    loop: str
    longest_m: Band
    holds_m: float
    """Longest stem that leaves ``limits.head_least_m`` of head at the flattest slope the tiers allow."""
    first_clip_m: float
    slope: float
    tier_gap_m: float
    """From one lying stem to the one above it: slope x spacing."""
    head_m: float
    """What still hangs between bend and tip of the longest likely stem on its last day."""
    tiers: float
    """Lying stems one above the other: leaders x lying length / loop length."""
    fits: bool
    way_m: float = 0.0
    """Length of the loop."""
    needed_way_m: float | None = None
    """What the longest stem wants of it where it is too short; None where it is long enough."""


class Peak(Struct, frozen=True):
    """The greatest of each load over the days looked at."""

    day: date
    """Day of the fullest string."""
    string: str
    string_n: Band
    wire: str
    wire_n: float
    hoop: str
    hoop_n: float
    hook: str
    """Leader of the fullest hook."""
    hook_n: Band
    hanging_kg: dict[str, float]
    """By row, on its heaviest day."""
    heaviest_on: dict[str, date]
    """That day, by row."""
    on_soil_kg: float
    """Fruit of trusses that hang on the soil in a low bend on any of the days: it rots."""
    held_back_m: float
    """How much further along the wire hooks would hang if no head ahead stood in their way, on the worst day. That
    much stem hangs low in its bend, and its strings bear less for it."""
    faults: int
    """Stems whose path could not be drawn, or gaps in what is known of wires."""
    strings: tuple[tuple[date, LineLoad], ...] = ()
    """Every string on its fullest day, in the order of the holding."""
    wires: tuple[tuple[date, WireLoad], ...] = ()
    hoops: tuple[tuple[date, HoopLoad], ...] = ()


class PlannedCrop(Struct, frozen=True):
    cultivar: str
    row: str
    kg: Band


class Hours(Struct, frozen=True):
    """From planting out to clearing. Made by ``plan_hours.hours``."""

    band: Band
    """Likely by the minutes of the round; from the smaller to the larger of that and the published figures."""
    published: Band
    timed: tuple[str, ...]
    """Kinds of work that the grower timed."""


class Dates(Struct, frozen=True):
    sow: date
    pot_on: date
    harden: date
    plant: date
    tip_out: date | None
    """None: nothing that still ripens is lost by letting it run."""
    last_pick: date | None
    assumed_end: bool
    """No end was chosen: until frost takes it, by the typical year."""


class SowingGoneBy(NamedTuple):
    day: date


class SoilTooCold(NamedTuple):
    """On the planting day, by the typical year; ``warm`` is the first day on which it is as warm as wanted."""

    day: date
    soil_c: float
    needed_c: float
    warm: date


class PlantedTooLate(NamedTuple):
    """The typical year has grown too cold by then."""

    day: date


class NothingRipe(NamedTuple):
    """Of what is planted on that day, by the last pick."""

    day: date
    last_pick: date | None


class EndTooLate(NamedTuple):
    """From ``cold`` on the typical year is under ``limit_c``."""

    last_pick: date
    cold: date
    limit_c: float


Conflict = SowingGoneBy | SoilTooCold | PlantedTooLate | NothingRipe | EndTooLate
"""A planned day that cannot be kept."""


class TradeOffs(NamedTuple):
    """What a plan gives up against what stands now; nought, '' and () where it gives up nothing."""

    moves: bool = False
    """Cultivars stand elsewhere than as planted."""
    as_planted: bool = False
    """It is what stands now."""
    less_kg: float = 0.0
    more_hours: int = 0
    heavier_row: str = ""
    heavier_kg: float = 0.0
    held_back_m: float = 0.0
    string_n: float = 0.0
    on_soil_kg: float = 0.0
    more_leaders: bool = False
    one_leader: tuple[str, ...] = ()
    """Cultivars whose plants had two, where others keep them."""
    parted: tuple[str, ...] = ()
    """Rows whose heads have only their own row to travel."""
    paired: tuple[str, ...] = ()
    """Rows whose heads turn the corner between them."""
    laid_down: tuple[str, ...] = ()
    """Rows whose stems were tiered."""


class ToBuy(Struct, frozen=True):
    """What a plan asks for of one thing, and what of it will be in store once this season is cleared."""

    item: str
    kind: str
    needed: float
    in_store: float
    unit: str
    """``m``, or what is counted."""
    spare_m: float | None = None
    """Twine to load on each hook."""
    turns: int | None = None
    """The same in turns of the hook, where its kind says what a turn is."""
    strings: int = 0
    """That hang from the wire, for which twine is wanted beside the hooks."""
    spool_unknown: bool = False
    """Twine is in store and not counted: the holding does not say how long a spool is."""
    spare_share: float = 0.0
    """Of the seed."""

    @property
    def buy(self) -> float:
        return max(0.0, self.needed - self.in_store)


class Plan(Struct, frozen=True):
    name: str
    setting: SettingOut
    spacing_m: dict[str, float]
    """Mean distance of neighbours along each row with two plants or more."""
    cost_m: float
    """See ``plan_order.cost_m``."""
    fits: tuple[LoopFit, ...]
    peak: Peak | None
    crops: tuple[PlannedCrop, ...]
    hours: Hours
    spare_m: float
    """Twine that a hook must carry beyond what hangs."""
    turns: int | None
    """The same in turns of the hook; None: its turn is not known."""
    buy: tuple[ToBuy, ...]
    batches: tuple[Batch, ...]
    bench: tuple[BenchWeek, ...]
    trade_offs: TradeOffs

    @property
    def cultivar_of(self) -> dict[str, str]:
        """By place, in walking order; '' leaves the place empty."""
        return self.setting.cultivar_of
