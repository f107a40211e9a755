"""Entries about what stands and how it came there: holding, raising, planting, measuring."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, Len
from msgspec import Struct

from tunneltui.holding.model import Training

Tray = Annotated[str, Len(1, 100)]
Count = Annotated[int, Ge(0), Le(100_000)]
TrussNumber = Annotated[float, Ge(0), Le(100)]
Sighted = Literal["rule", "eye", "word"]
"""How a length or a tip was read: with a rule; by eye in passing, the length by the path it lies along; or only in
a word, well under or over what was shown. By eye and word tell where a stem is and never teach growth."""


class HoldingSet(Struct, frozen=True):
    toml: str
    """The whole holding; the one in force on the day governs."""


class PlanAdopted(Struct, frozen=True):
    """Next season as it was chosen: its days, and how it sets the holding out (``holding.setting_out``)."""

    name: Annotated[str, Len(1, 100)]
    sow: date
    """Of the first batch."""
    plant: date
    """Of the first batch."""
    places: tuple[str, ...]
    cultivars: tuple[str, ...]
    leaders: tuple[int, ...]
    rows: tuple[str, ...]
    trainings: tuple[Training, ...]
    partners: tuple[int, ...]
    first_tier_m: Annotated[float, Ge(0), Le(2)]
    run_slope: Annotated[float, Ge(0), Le(1)]
    last_pick: date | None = None
    """None: until frost takes it."""
    tip_out: date | None = None
    turns: Annotated[int, Ge(0), Le(500)] = 0
    """Turns of spare twine to load each hook with; 0: a turn's length is not known."""
    spare_m: Annotated[float, Ge(0), Le(100)] = 0.0
    """The same spare twine in metres."""


class Sown(Struct, frozen=True):
    tray: Tray
    cultivar: str
    seeds: Count


class Germinated(Struct, frozen=True):
    tray: Tray
    count: Count


class PottedOn(Struct, frozen=True):
    tray: Tray
    count: Count


class Hardened(Struct, frozen=True):
    tray: Tray


class BedMade(Struct, frozen=True):
    bed: str
    how: str


class Planted(Struct, frozen=True):
    """``about`` is the place. Makes a plant and its leaders a, b, ...: the first has this entry's id, the
    second this id followed by ``+b`` and so on."""

    cultivar: str
    leaders: Annotated[int, Ge(1), Le(4)] = 1
    tray: str = ""
    buried_m: Annotated[float, Ge(0), Le(2)] = 0.0
    came_up_m: Annotated[float, Ge(0), Le(500)] | None = None
    """``x_m`` where the stem leaves the soil, if not at the place."""
    training: Training | None = None
    """None: the row's."""


class PlantedAbout(Struct, frozen=True):
    """A plant noted in mid season stood before: planted about that day, within a fortnight."""

    plant: str
    on: date


class TrainingChanged(Struct, frozen=True):
    plant: str
    training: Training


class Measured(Struct, frozen=True):
    """A reading of one leader; which of the fields were read is up to the grower."""

    leader: str
    length_m: Annotated[float, Ge(-5), Le(60)] | None = None
    growth_m: Annotated[float, Ge(-5), Le(60)] | None = None
    """Growth since the last reading."""
    tip_under_wire_m: Annotated[float, Ge(-3), Le(6)] | None = None
    diameter_mm: Annotated[float, Gt(0), Le(60)] | None = None
    flowering_truss: TrussNumber | None = None
    """Number of the youngest truss with an open flower."""
    flowering_since: Annotated[float, Ge(-100), Le(100)] | None = None
    """Trusses that came to flower since the last reading."""
    lowest_truss: TrussNumber | None = None
    """Number of the lowest truss not yet picked clean."""
    trusses_hanging: Annotated[int, Ge(0), Le(100)] | None = None
    """Trusses on the stem from the lowest not yet picked clean to the one in flower."""
    leaves: Annotated[float, Ge(0), Le(200)] | None = None
    """Leaves left on the stem."""
    stems: Annotated[int, Ge(1), Le(10_000)] = 1
    """Stems the figures are the mean of."""
    by: Sighted = "rule"


class TrussCounted(Struct, frozen=True):
    leader: str
    truss: Annotated[int, Ge(1), Le(100)]
    fruits: Annotated[int, Ge(0), Le(500)]


class MarkedPlant(Struct, frozen=True):
    leader: str
    marked: bool = True


KINDS: dict[str, type] = {
    "holding_set": HoldingSet,
    "plan_adopted": PlanAdopted,
    "sown": Sown,
    "germinated": Germinated,
    "potted_on": PottedOn,
    "hardened": Hardened,
    "bed_made": BedMade,
    "planted": Planted,
    "planted_about": PlantedAbout,
    "training_changed": TrainingChanged,
    "measured": Measured,
    "truss_counted": TrussCounted,
    "marked_plant": MarkedPlant,
}
