"""Entries about the work on shoots, leaves and fruit, the picks, and the end of plants."""

from __future__ import annotations

from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, Len
from msgspec import Struct

Leaders = tuple[str, ...]
"""Ids of leaders; a row pass lists those it took, its exceptions are simply absent."""
Kg = Annotated[float, Ge(0), Le(20_000)]


class SideShooted(Struct, frozen=True):
    leaders: Leaders


class LeaderKept(Struct, frozen=True):
    """A side shoot kept as a further leader, whose id is this entry's."""

    plant: str
    letter: Annotated[str, Len(1, 1)]
    s_m: Annotated[float, Ge(0), Le(60)] | None = None
    """Where on the plant's first leader it springs."""


class Deleafed(Struct, frozen=True):
    leaders: Leaders
    leaves: Annotated[int, Ge(0), Le(60)] | None = None
    """Leaves taken from each; None: not counted."""


class TrussPruned(Struct, frozen=True):
    leader: str
    truss: Annotated[int, Ge(1), Le(100)]
    fruits: Annotated[int, Ge(0), Le(500)]
    """Fruits left."""


class Pollinated(Struct, frozen=True):
    leaders: Leaders = ()


class Picked(Struct, frozen=True):
    """A pick of one cultivar in a row (``about`` the row), tunnel, or from one marked leader.

    Without a weight it clears the ripe fruit and never enters yields (rule 7).
    """

    cultivar: str
    kg: Annotated[float, Ge(0), Le(20_000)] | None = None
    count: Annotated[int, Ge(0), Le(1_000_000)] | None = None
    grade: str = ""
    clean: bool = True
    """Every ripe truss was picked clean."""
    leader: str = ""
    trusses: Annotated[float, Ge(0), Le(10_000)] | None = None
    colour_percent: Annotated[float, Ge(0), Le(100)] | None = None
    """Share of the skin that is coloured on most of them."""


class TrussLost(Struct, frozen=True):
    leader: str
    truss: Annotated[int, Ge(1), Le(100)]
    why: str = ""


class FruitLost(Struct, frozen=True):
    cultivar: str
    kg: Kg | None = None
    count: Annotated[int, Ge(0), Le(1_000_000)] | None = None
    why: str = ""


class PlantLost(Struct, frozen=True):
    plant: str
    why: str = ""


class TipTakenOut(Struct, frozen=True):
    leader: str


class LetItRun(Struct, frozen=True):
    """The choice not to take a tip out, remembered all season."""

    leader: str
    though_weak: bool = False
    """Only that a weak one is kept: its tip comes out with the others'."""


class Removed(Struct, frozen=True):
    """A plant cleared at its end."""

    plant: str


class GreenStripped(Struct, frozen=True):
    leaders: Leaders
    kg: Kg | None = None
    ripened_kg: Kg | None = None


class StrengthTested(Struct, frozen=True):
    """A bucket test of a clip."""

    clip_kind: str
    load_n: Annotated[float, Gt(0), Le(5000)]
    held: bool
    weeks_hung: Annotated[float, Ge(0), Le(520)] = 0.0


class Stocked(Struct, frozen=True):
    """Things bought, counted or thrown away; ``count`` negative for those that left."""

    item: Literal["clip", "twine", "hook", "fleece", "seed", "feed"]
    item_kind: str
    count: Annotated[float, Ge(-1_000_000), Le(1_000_000)]


class CropOver(Struct, frozen=True):
    """Whether the crop is over; ``about`` is the tunnel or ''."""

    over: bool = True


KINDS: dict[str, type] = {
    "side_shooted": SideShooted,
    "leader_kept": LeaderKept,
    "deleafed": Deleafed,
    "truss_pruned": TrussPruned,
    "pollinated": Pollinated,
    "picked": Picked,
    "truss_lost": TrussLost,
    "fruit_lost": FruitLost,
    "plant_lost": PlantLost,
    "tip_taken_out": TipTakenOut,
    "let_it_run": LetItRun,
    "removed": Removed,
    "green_stripped": GreenStripped,
    "crop_over": CropOver,
    "strength_tested": StrengthTested,
    "stocked": Stocked,
}
