"""How the made-up stems are held: hooks, clips, the lean, the run along the strings, the bend and the head.

Places are ``u_m`` along the loop, heights ``z_m`` above the soil, ``s_m`` along the stem. Lying stems follow one
slope. The geometry is that of a stem of given length between its last clip and its tip (derived; rounded bend by
the length a fillet saves); growth and weights are the simulator's own.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from math import atan, hypot, pi, sqrt, tan
from random import Random

from tunneltui.demo.plant import Plant
from tunneltui.holding.layout import StandingString
from tunneltui.holding.model import Limits, Training

SLACK = 1.02
"""Stem laid along a straight metre of run: it must not be drawn tight."""
REST_M = 0.05
"""Height of the rests under laid-down stems."""
BEND_CLEAR_M = 0.30
"""A stem is not clipped to a string until its hook is this far past it, else the bend does not fit."""
BEND_RADIUS_M = 0.15
LOOSE_HEAD_M = 0.24
_STEM_KG_M, _LEAF_KG, _G = 0.10, 0.042, 9.81


@dataclass(slots=True)
class DemoClip:
    """``string`` '' for one on the head's own twine."""

    id: str
    kind: str
    s_m: float
    closed: date
    strength_n: float
    string: str = ""
    u_m: float = 0.0
    z_m: float = 0.0


@dataclass(slots=True)
class TrainedStem:
    """A plant with its place and all that holds it."""

    id: str
    name: str
    place: str
    row: str
    loop: str
    cultivar: str
    training: Training
    root_u_m: float
    limit_z_m: float
    """Height of the wire."""
    planted: date
    plant: Plant
    luck: Random
    """Of its growth."""
    clip_luck: Random
    """Of how strong its clips turn out and what pulls at them."""
    tip_z_m: float
    hook_u_m: float
    weak: bool = False
    marked: bool = False
    run: list[DemoClip] = field(default_factory=list)
    head: list[DemoClip] = field(default_factory=list)
    let_out_m: float = 0.0
    read_at_m: float | None = None
    """Length at its last reading."""
    counted_to: int = 0

    @property
    def length_m(self) -> float:
        return self.plant.length_m

    @property
    def upright(self) -> bool:
        return self.hook_u_m - self.root_u_m < 0.10


@dataclass(frozen=True, slots=True)
class DemoBend:
    """Where the run turns up into the head; for an upright stem, the soil."""

    z_m: float
    s_m: float


def layer_z_m(limits: Limits, root_u_m: float, u_m: float) -> float:
    """Height at which a stem of that root lies at a place along the loop."""
    return limits.first_tier_m + limits.run_slope * (u_m - root_u_m)


def saved_by_round_bend_m(slope: float) -> float:
    turn = pi / 2 - atan(max(-0.3, min(0.8, slope)))
    return BEND_RADIUS_M * (2 * tan(turn / 2) - turn)


def last_held(stem: TrainedStem) -> tuple[float, float, float]:
    """(u, z, s) of the last clip of the run, else of the root."""
    if stem.run:
        last = stem.run[-1]
        return last.u_m, last.z_m, last.s_m
    return stem.root_u_m, 0.0, 0.0


def bend(stem: TrainedStem) -> DemoBend:
    """Where the stem turns up, from its length and its tip's height."""
    if stem.upright:
        return DemoBend(0.0, 0.0)
    u1, z1, s1 = last_held(stem)
    spare = (stem.length_m - s1) - (stem.tip_z_m - z1)
    along = stem.hook_u_m - u1
    slope = 0.17
    rise = 0.0
    for _ in range(6):
        q = spare + saved_by_round_bend_m(slope)
        rise = (along**2 - q**2) / (2 * q)
        slope = rise / along
    return DemoBend(z1 + rise, s1 + hypot(along, rise))


def hook_place_u_m(stem: TrainedStem, limits: Limits, let_out_m: float) -> float:
    """Where the hook goes so that, that much let out, the stem lies on its own slope."""
    u1, z1, s1 = last_held(stem)
    laid_down = stem.training == "laid_down"
    slope = 0.0 if laid_down else limits.run_slope
    line_z = REST_M if laid_down else layer_z_m(limits, stem.root_u_m, u1)
    q = (stem.length_m - s1) - (stem.tip_z_m - let_out_m - z1) + saved_by_round_bend_m(slope)
    above = max(0.0, line_z - z1)
    return u1 + slope * q + sqrt(slope**2 * q**2 + q**2 + 2 * q * above)


def strings_to_clip(stem: TrainedStem, strings: list[StandingString]) -> list[StandingString]:
    """Strings that the run has come past and is not yet clipped to."""
    if stem.training != "tiered" or stem.upright:
        return []
    behind_u = stem.run[-1].u_m if stem.run else stem.root_u_m
    return [s for s in strings if behind_u + 0.01 < s.u_m <= stem.hook_u_m - BEND_CLEAR_M]


def place_on_string(
    stem: TrainedStem, string: StandingString, limits: Limits, luck: Random
) -> tuple[float, float]:
    """(z, s) at which the stem meets a string, with the slack a careful hand leaves."""
    u1, z1, s1 = last_held(stem)
    z = layer_z_m(limits, stem.root_u_m, string.u_m)
    slack = max(1.004, luck.gauss(SLACK, 0.006))
    return z, s1 + hypot(string.u_m - u1, z - z1) * slack


def borne_n(stem: TrainedStem, clip: DemoClip) -> float:
    """Weight that a run clip bears: half of what lies to either side of it along the stem."""
    at = stem.run.index(clip)
    below = stem.run[at - 1].s_m if at else 0.0
    above = stem.run[at + 1].s_m if at + 1 < len(stem.run) else bend(stem).s_m
    low, high = (below + clip.s_m) / 2, (clip.s_m + above) / 2
    plant = stem.plant
    bare_m = plant.length_m * min(1.0, plant.lowest_leaf / plant.nodes)
    leafy_m = max(0.0, high - max(low, bare_m))
    leaves_kg = _LEAF_KG * plant.leaves * leafy_m / max(0.1, plant.length_m - bare_m)
    fruit_kg = sum(plant.fruit_kg(truss) for truss in plant.trusses if low <= truss.s_m < high)
    return _G * (_STEM_KG_M * (high - low) + leaves_kg + fruit_kg)
