"""Entries about feed, water, air, cover and health."""

from __future__ import annotations

from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, Len
from msgspec import Struct

DegC = Annotated[float, Ge(-60), Le(80)]
Percent = Annotated[float, Ge(0), Le(100)]


class Fed(Struct, frozen=True):
    what: str = ""
    cans: Annotated[float, Ge(0), Le(100_000)] | None = None
    litres: Annotated[float, Ge(0), Le(1_000_000)] | None = None
    home_made: bool = False
    """Of unknown strength: counted by volume only."""


class BedDressed(Struct, frozen=True):
    """Compost, manure, straw or a base dressing put on a bed; ``about`` is the tunnel."""

    bed: Annotated[str, Len(1, 200)]
    what: str
    kg: Annotated[float, Ge(0), Le(1_000_000)] | None = None
    litres: Annotated[float, Ge(0), Le(1_000_000)] | None = None


class BucketTested(Struct, frozen=True):
    """Water given to and drained from some plants, weighed over the days that end the day before the entry's.

    ``about`` is the row, the tunnel or ''.
    """

    plants: Annotated[int, Ge(1), Le(10_000)]
    given_l: Annotated[float, Gt(0), Le(1_000_000)]
    drained_l: Annotated[float, Ge(0), Le(1_000_000)] = 0.0
    days: Annotated[int, Ge(2), Le(31)] = 7


class Watered(Struct, frozen=True):
    litres: Annotated[float, Ge(0), Le(1_000_000)] | None = None
    minutes: Annotated[float, Ge(0), Le(1440)] | None = None
    timer: bool = False
    """A timer is set to this and gives it every day from now on, until it is set anew."""
    as_proposed: bool = False
    """Ticked, not measured: water is given as it is asked, day by day."""


class Air(Struct, frozen=True):
    """One local day's air; ``about`` is the tunnel or ''. The entry's day is the day spoken of."""

    source: Literal["sensor", "hand", "estimate"] = "hand"
    min_c: DegC | None = None
    max_c: DegC | None = None
    mean_c: DegC | None = None
    hours_c: tuple[DegC | None, ...] = ()
    """Mean of each local hour, oldest first: 23, 24 or 25 of them; None where nothing was read."""
    hours_rh: tuple[Percent | None, ...] = ()
    readings: Annotated[int, Ge(0), Le(1_000_000)] | None = None
    """How many readings the day rests on."""


class Forecast(Struct, frozen=True):
    """Weather issued for coming days, the first being the entry's day."""

    issued: str
    """ISO day on which it was issued."""
    min_c: tuple[DegC | None, ...] = ()
    max_c: tuple[DegC | None, ...] = ()


class Fleece(Struct, frozen=True):
    on: bool
    layers: Annotated[int, Ge(1), Le(4)] = 1
    """That are on now."""


class Frosted(Struct, frozen=True):
    """What a frost inside did; ``about`` is the tunnel or ''."""

    took_crop: bool


class Doors(Struct, frozen=True):
    open: bool


class Shade(Struct, frozen=True):
    on: bool


class Scouted(Struct, frozen=True):
    found: str = ""
    leaders: tuple[str, ...] = ()
    """Suspects: last in every walk that handles plants."""
    over: bool = False
    """The suspicion is over."""


class Treated(Struct, frozen=True):
    what: str
    reentry_hours: Annotated[float, Ge(0), Le(10_000)] = 0.0
    pick_days: Annotated[float, Ge(0), Le(400)] = 0.0


KINDS: dict[str, type] = {
    "fed": Fed,
    "watered": Watered,
    "bed_dressed": BedDressed,
    "bucket_tested": BucketTested,
    "air": Air,
    "forecast": Forecast,
    "fleece": Fleece,
    "frosted": Frosted,
    "doors": Doors,
    "shade": Shade,
    "scouted": Scouted,
    "treated": Treated,
}
