"""One stem as it truly stands: its length, its head, its hook, its clips, its trusses."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from math import hypot, sqrt
from random import Random

TIP_M = 0.05
"""Of a head that nothing can hold: the growing point itself."""
FLOWERS_UNDER_TIP_M = 0.12
FOLDS_OVER_WIRE_M = 0.50
"""No tip stands further over its wire: it falls over."""


@dataclass(slots=True)
class Clip:
    """A clip that is closed on the stem. ``u_m`` None: on the head's own twine."""

    s_m: float
    u_m: float | None
    strength_n: float
    closed_on: date
    fixing: str = ""
    """Id of the entry that noted it; '' where nobody did."""
    holds: bool = True
    seen: bool = True
    """False: it failed and nobody has seen it yet."""


@dataclass(slots=True)
class Truss:
    number: int
    s_m: float
    full_kg: float
    """What it weighs once ripe."""
    light_mj: float = 0.0
    days: int = 0
    way: float = 0.0
    """0 at flower, 1 ripe."""
    ripe_on: date | None = None
    kg: float = 0.0
    """Hanging now."""


@dataclass(slots=True)
class Stem:
    """A leader. Heights from the soil, ``u_m`` along its loop, ``s_m`` along the stem."""

    name: str
    place: str
    row: str
    loop: str
    cultivar: str
    fruit: str
    cucumber: bool
    training: str
    root_u_m: float
    wire_m: float
    reach_m: float
    week_cm: float
    vigour: float
    truss_kg: float
    ripens_by: float
    """Factor on the speed of ripening."""
    planted_on: date
    length_m: float
    growth_luck: Random
    flower_luck: Random
    """Each its own draws, so that what one grower does moves no other draw."""
    id: str = ""
    """In the journal, once it is known there."""
    plant: str = ""
    hook_u_m: float | None = None
    laid_m: float = 0.0
    """Of its length, what no longer stands up: the tip hangs so much lower than the stem is long."""
    held_s_m: float = 0.0
    """Twisted round its twine up to here."""
    clips: list[Clip] = field(default_factory=list)
    trusses: list[Truss] = field(default_factory=list)
    flowering: float = -0.6
    """Trusses that have come to flower; from below nought at planting."""
    spell: float = 0.0
    stopped_on: date | None = None
    """Its tip was taken out."""
    snapped_on: date | None = None
    resumes_on: date | None = None
    snapped_seen: bool = True
    kinked_on: date | None = None
    kinked_seen: bool = True
    dropped_on: date | None = None
    dropped_seen: bool = True
    dead_on: date | None = None
    dead_seen: bool = True
    removed_on: date | None = None
    shoots_on: date | None = None
    leaves_on: date | None = None
    leaves: float = 6.0
    thirst_days: float = 0.0
    marked_length_m: float | None = None
    marked_flowering: float = 0.0

    @property
    def stands(self) -> bool:
        return self.dead_on is None and self.removed_on is None

    @property
    def grows(self) -> bool:
        return self.stands and self.stopped_on is None

    @property
    def limit_m(self) -> float:
        """How high its tip may hang: the wire or the grower's reach; up to the wire where it is stopped there."""
        return self.wire_m if self.training == "pinched_at_wire" else min(self.wire_m, self.reach_m)

    @property
    def travel_m(self) -> float:
        return 0.0 if self.hook_u_m is None else abs(self.hook_u_m - self.root_u_m)

    @property
    def tip_m(self) -> float:
        """Height of the tip: what is not laid down stands up, but no stem is shorter than the way to its hook."""
        return max(0.0, min(self.stood_m, self.wire_m + FOLDS_OVER_WIRE_M))

    @property
    def stood_m(self) -> float:
        """Height the tip would have, did it not fold over."""
        away_m = min(self.travel_m, self.length_m * 0.98)
        return min(self.length_m - self.laid_m, sqrt(max(0.0, self.length_m**2 - away_m**2)))

    @property
    def holds_at_m(self) -> float:
        """Highest place on the stem at which its head is held."""
        clipped = max((clip.s_m for clip in self.clips if clip.holds and clip.u_m is None), default=0.0)
        return max(self.held_s_m, clipped)

    @property
    def loose_m(self) -> float:
        return max(0.0, self.length_m - self.holds_at_m - TIP_M)

    @property
    def over_m(self) -> float:
        """How far the tip stands over its limit; negative under it."""
        return self.stood_m - self.limit_m

    @property
    def over_wire_m(self) -> float:
        return self.stood_m - self.wire_m

    @property
    def coiled_m(self) -> float:
        """Laid down with nowhere to go: it lies in a coil."""
        return max(0.0, self.laid_m - 1.03 * self.travel_m - 0.25)

    @property
    def hanging_kg(self) -> float:
        return sum(truss.kg for truss in self.trusses)

    def can_hold_s_m(self) -> float:
        """The highest place that twine can hold: nothing over the wire can be held."""
        return max(0.0, self.length_m - TIP_M - max(0.0, self.over_wire_m))

    def s_at(self, u_m: float) -> float:
        """Where on the stem the place ``u_m`` along the loop is: along the run from one hold to the next."""
        holds = sorted((clip.u_m, clip.s_m) for clip in self.clips if clip.holds and clip.u_m is not None)
        before = [one for one in holds if abs(one[0] - self.root_u_m) <= abs(u_m - self.root_u_m)]
        from_u, from_s = max(before, key=lambda one: one[1], default=(self.root_u_m, 0.55))
        return min(self.length_m - 0.2, from_s + 1.02 * hypot(u_m - from_u, 0.17 * (u_m - from_u)))
