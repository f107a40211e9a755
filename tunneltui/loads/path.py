"""Where a stem runs: up from its root, along the strings, round the bend under its hook, up to its tip.

Form: own simulation. From the last fixing of the lying stem: ``free_m`` the stem from
there to the tip (l), ``rise_m`` the height from there to the tip (c), ``across_m`` the way to the hook (D),
``slope`` of the last span (a), and the stem a round bend saves against a sharp one (D_R).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from itertools import pairwise
from math import atan, hypot, pi, sqrt, tan

from msgspec import Struct

from tunneltui.cells import cm, joined, m, say
from tunneltui.growth.outlook import StemOn
from tunneltui.holding.layout import Layout, Loop
from tunneltui.holding.model import Limits
from tunneltui.loads.result import StemPath
from tunneltui.season.state import Fixing, Leader

REST_M = 0.05
"""Height of a stem laid down on the ground or on rests."""
ONE_SUPPORT_M = 0.15
"""Fixings of one stem on one string nearer than this along the stem are one support."""
UPRIGHT_M = 0.05
"""A hook nearer than this to the last fixing, and a stem this near to its rise, make an upright stem."""
SLACK_M = 0.05
"""A stem may be this much shorter than its path before that is a fault: notes are made by hand's breadth."""
LEAST_RATIO = 0.5
"""Below this (stem free less rise)/(way across) 2 cm of tape move the bend by 5 cm or more: not shown."""
_SLOPE_LEAST, _SLOPE_MOST = -0.3, 0.8
"""A round bend is only reckoned between these slopes."""


class Bend(Struct, frozen=True):
    slope: float
    rise_m: float
    """Height of the bend above the last fixing, drawn sharp."""
    saving_m: float
    """Stem that the round bend saves."""
    shown: bool
    """False for a stem so near upright that the bend's height cannot be told."""


class Along:
    """Horizontal way from the root, and height, of any place along a stem."""

    __slots__ = ("s", "x", "z")

    def __init__(self, path: StemPath) -> None:
        self.s = [s_m for _, _, s_m in path.points]
        self.z = [z_m for _, z_m, _ in path.points]
        self.x = [0.0]
        for before, after in pairwise(path.points):
            self.x.append(self.x[-1] + abs(after[0] - before[0]))

    def x_m(self, s_m: float) -> float:
        return self._at(self.x, s_m)

    def z_m(self, s_m: float) -> float:
        return self._at(self.z, s_m)

    def placed(self, weights: Iterable[tuple[float, float]]) -> list[tuple[float, float, float]]:
        """(``s_m``, horizontal way, newton) of (``s_m``, newton) pairs from the root up."""
        placed = []
        s, x, i, last = self.s, self.x, 0, len(self.s) - 1
        for s_m, newton in weights:
            while i < last and s[i] <= s_m:
                i += 1
            if i == 0 or s_m >= s[-1]:
                placed.append((s_m, x[i], newton))
            else:
                share = (s_m - s[i - 1]) / (s[i] - s[i - 1])
                placed.append((s_m, x[i - 1] + share * (x[i] - x[i - 1]), newton))
        return placed

    def _at(self, values: list[float], s_m: float) -> float:
        i = min(bisect_right(self.s, s_m), len(self.s) - 1)
        if i == 0 or s_m >= self.s[-1]:
            return values[i]
        share = (s_m - self.s[i - 1]) / (self.s[i] - self.s[i - 1])
        return values[i - 1] + share * (values[i] - values[i - 1])


def layer_z_m(root_u_m: float, u_m: float, limits: Limits) -> float:
    """Height at which a stem rooted at ``root_u_m`` lies at a place on its loop: one slope for all."""
    return limits.first_tier_m + limits.run_slope * (u_m - root_u_m)


def saving_m(slope: float, radius_m: float) -> float:
    """Stem saved by a bend of this radius from a span of this slope up to the vertical."""
    turn = pi / 2 - atan(min(max(slope, _SLOPE_LEAST), _SLOPE_MOST))
    return radius_m * (2 * tan(turn / 2) - turn)


def bend(free_m: float, rise_m: float, across_m: float, radius_m: float) -> Bend | None:
    """The bend of a stem whose hook hangs ``across_m`` on; None where the stem is shorter than its path.

    A hook nearer than two radii leaves no room for the round bend, which is then reckoned sharp.
    """
    if across_m <= 0:
        return None
    radius_m = radius_m if across_m >= 2 * radius_m else 0.0
    saved_m, slope = 0.0, 0.0
    for _ in range(10):
        ratio = (free_m + saved_m - rise_m) / across_m
        if ratio <= 0:
            return None
        slope = (1 - ratio * ratio) / (2 * ratio)
        saved_m = saving_m(slope, radius_m)
    if slope * across_m > rise_m + SLACK_M:
        return None
    return Bend(slope, slope * across_m, saved_m, ratio >= LEAST_RATIO)


def hook_across_m(spare_m: float, slope: float, radius_m: float, drop_m: float = 0.0) -> float:
    """How far past the last fixing the hook belongs, for a bend on the sloping layer line.

    ``spare_m`` is stem free less rise, with what is let out (q without the bend's saving). ``drop_m`` is how far
    the layer line lies above the last fixing at its own place (z_l); 0 if the fixing is on the line. 0 m for a
    stem no longer than its rise.
    """
    q = spare_m + saving_m(slope, radius_m)
    if spare_m <= 0:
        return 0.0
    return slope * q + sqrt(slope * slope * q * q + q * q + 2 * q * drop_m)


def onward_u_m(u_m: float, root_u_m: float, loop: Loop | None) -> float:
    """A place on the loop as the stem reaches it: past the end of a closed loop it counts on."""
    if loop is not None and loop.closed and u_m < root_u_m - loop.length_m / 2:
        return u_m + loop.length_m
    return u_m


def hook_u_m(leader: Leader, loop: Loop | None) -> float:
    """Where the head hangs: at its hook, else where its highest head clip was noted, else over its root."""
    if leader.hook is not None:
        return onward_u_m(leader.hook.u_m, leader.u_m, loop)
    heads = [fixing for fixing in leader.fixings if fixing.on == "head"]
    return onward_u_m(heads[-1].u_m, leader.u_m, loop) if heads else leader.u_m


def lying_fixings(leader: Leader, length_m: float) -> list[Fixing]:
    """Fixings of the lying stem, root to tip, without those noted above the tip."""
    lying = [fixing for fixing in leader.fixings if fixing.on != "head" and fixing.s_m <= length_m + SLACK_M]
    return sorted(lying, key=lambda fixing: fixing.s_m)


def lying_holds(leader: Leader, length_m: float) -> list[list[Fixing]]:
    """The lying stem's fixings, those within a hand of each other on one string together."""
    holds: list[list[Fixing]] = []
    for fixing in lying_fixings(leader, length_m):
        first = holds[-1][0] if holds else None
        if (
            first is not None
            and (first.on, first.string) == (fixing.on, fixing.string)
            and fixing.s_m - first.s_m <= ONE_SUPPORT_M
        ):
            holds[-1].append(fixing)
        else:
            holds.append([fixing])
    return holds


def hold_s_m(hold: list[Fixing], length_m: float) -> float:
    """Where along the stem a hold is: at its lowest fixing. Those beside it move nothing."""
    return min(hold[0].s_m, length_m)


def fixing_z_m(fixing: Fixing, leader: Leader, u_m: float, limits: Limits, wire_z_m: float) -> float:
    """Noted height of a lying stem's fixing, else the wire's, the rest's or the layer's."""
    if fixing.z_m is not None:
        return fixing.z_m
    if fixing.on == "wire":
        return wire_z_m
    if leader.training == "laid_down":
        return REST_M
    if leader.training == "pinched_at_wire" or abs(u_m - leader.u_m) < UPRIGHT_M:
        return min(fixing.s_m, wire_z_m)
    return min(layer_z_m(leader.u_m, u_m, limits), wire_z_m)


def stem_path(leader: Leader, stem: StemOn, layout: Layout) -> StemPath:
    """A leader's path on one day. Never fails: what does not fit is in ``fault``, the rest is drawn."""
    loop = layout.loops.get(leader.loop)
    limits = layout.holding.limits
    wire_z_m = _wire_z_m(leader, layout)
    length_m, tip_z_m = stem.length_m.mid, stem.tip_z_m.mid
    loose_m = SLACK_M + (stem.length_m.high - stem.length_m.low) / 2
    points = [(leader.u_m, 0.0, 0.0)]
    faults = _above_tip(leader, length_m)
    for hold in lying_holds(leader, length_m):
        u_m = onward_u_m(hold[0].u_m, leader.u_m, loop)
        hold_at = (u_m, fixing_z_m(hold[0], leader, u_m, limits, wire_z_m), hold_s_m(hold, length_m))
        before = points[-1]
        missing_m = hypot(hold_at[0] - before[0], hold_at[1] - before[1]) - (hold_at[2] - before[2])
        if missing_m > loose_m:
            to, thing = say("{}", m(hold_at[2], 2)), f"its {_fixing_words(hold[0])}"
            faults.append(_shorter(leader, missing_m, before[2], to, thing))
        points.append(hold_at)
    hook_m = hook_u_m(leader, loop)
    if leader.training == "laid_down" and len(points) == 1:
        end = _up_from_the_ground(points, hook_m, tip_z_m, length_m)
    else:
        end = _up_to_the_tip(leader, points, hook_m, tip_z_m, length_m, limits, loose_m)
    points += end.points
    fault = joined(" ", [*faults, *end.faults])
    return StemPath(tuple(points), hook_m, end.bend_z_m, end.bend_s_m, fault=fault)


def spare_m(leader: Leader, stem: StemOn, layout: Layout) -> float:
    """Stem that its noted fixings and hook do not account for, were the bend on its layer line and the tip no
    higher than the wire. Positive: more was let out than was noted, or lowering is overdue."""
    loop, limits = layout.loops.get(leader.loop), layout.holding.limits
    wire_z_m = _wire_z_m(leader, layout)
    length_m = stem.length_m.mid
    lying = lying_fixings(leader, length_m)
    u_m, z_m, s_m = leader.u_m, 0.0, 0.0
    if lying:
        u_m, s_m = onward_u_m(lying[-1].u_m, leader.u_m, loop), lying[-1].s_m
        z_m = fixing_z_m(lying[-1], leader, u_m, limits, wire_z_m)
    across_m = abs(hook_u_m(leader, loop) - u_m)
    rise_m = max(0.0, min(stem.tip_z_m.mid, wire_z_m) - z_m)
    slope = 0.0 if leader.training == "laid_down" else limits.run_slope
    up_m = min(slope * across_m, rise_m)
    return length_m - leader.coiled_m - s_m - (hypot(across_m, up_m) + rise_m - up_m)


class _UpperStem(Struct, frozen=True):
    points: list[tuple[float, float, float]]
    bend_z_m: float | None = None
    bend_s_m: float | None = None
    faults: tuple[str, ...] = ()


def _up_to_the_tip(
    leader: Leader,
    points: list[tuple[float, float, float]],
    hook_m: float,
    tip_z_m: float,
    length_m: float,
    limits: Limits,
    loose_m: float,
) -> _UpperStem:
    u_m, z_m, s_m = points[-1]
    free_m, rise_m, across_m = length_m - s_m, tip_z_m - z_m, abs(hook_m - u_m)
    tip = (hook_m, tip_z_m, length_m)
    if free_m <= 1e-6:
        return _UpperStem([])
    if leader.hook is None and not any(fixing.on == "head" for fixing in leader.fixings):
        # Nothing holds the head: it stands on or hangs over from its last fixing.
        return _UpperStem([(u_m, z_m + min(free_m, max(rise_m, 0.0)), length_m)])
    missing_m = hypot(across_m, rise_m) - free_m
    if missing_m > loose_m:
        moved = [move for move in leader.lowerings if move.hook_u_m is not None]
        hook = f"its hook, hung on {moved[-1].day} (entry {moved[-1].id})," if moved else "its hook"
        return _UpperStem([tip], faults=(_shorter(leader, missing_m, s_m, "its tip", hook),))
    if across_m < UPRIGHT_M or missing_m > 0:
        return _UpperStem([tip])
    # A coil on the ground under the hook is past the bend.
    turn = bend(free_m - leader.coiled_m, rise_m, across_m, limits.bend_radius_m)
    if turn is None or not turn.shown:
        return _UpperStem([tip])
    bend_z_m = max(z_m + turn.rise_m, REST_M)
    bend_s_m = min(s_m + hypot(across_m, bend_z_m - z_m), length_m)
    return _UpperStem([(hook_m, bend_z_m, bend_s_m), tip], bend_z_m, bend_s_m)


def _up_from_the_ground(
    points: list[tuple[float, float, float]], hook_m: float, tip_z_m: float, length_m: float
) -> _UpperStem:
    """A laid-down stem without fixings: along the rests, then straight up under its hook."""
    u_m, _, _ = points[-1]
    rise_m = max(0.0, min(tip_z_m, length_m) - REST_M)
    lying_m = max(0.0, length_m - rise_m - REST_M)
    tip = (hook_m, tip_z_m, length_m)
    if abs(hook_m - u_m) < UPRIGHT_M or lying_m < UPRIGHT_M:
        return _UpperStem([tip])
    bend_s_m = length_m - rise_m
    return _UpperStem([(u_m, REST_M, REST_M), (hook_m, REST_M, bend_s_m), tip], REST_M, bend_s_m)


def _above_tip(leader: Leader, length_m: float) -> list[str]:
    most_s_m = length_m + SLACK_M
    above = [(fixing.s_m, _fixing_words(fixing)) for fixing in leader.fixings if fixing.s_m > most_s_m]
    above += [
        (prop.s_m, say("prop of {} (entry {})", prop.day.isoformat(), prop.id))
        for prop in leader.props
        if prop.s_m > most_s_m
    ]
    if not above:
        return []
    things = joined(", ", (say("{} at {}", what, m(s_m, 2)) for s_m, what in sorted(above)))
    left_out = "it is" if len(above) == 1 else "they are"
    return [
        say(
            "{}: {} would be above its tip, the stem is {}; {} left out.",
            leader.name,
            things,
            m(length_m, 2),
            left_out,
        )
    ]


def _fixing_words(fixing: Fixing) -> str:
    what = "tie" if fixing.tie else "clip"
    on = say("string {}", fixing.string) if fixing.string else say("the {}", fixing.on)
    return say("{} on {} (entry {})", what, on, fixing.id)


def _shorter(leader: Leader, missing_m: float, from_s_m: float, to: str, thing: str) -> str:
    last = leader.readings[-1] if leader.readings else None
    read = f" or its reading of {last.day} (entry {last.id})" if last is not None else ""
    return say(
        "{}: between {} along the stem and {} the stem is {} shorter than the path noted for it; {}{} is not as "
        "it was noted.",
        leader.name,
        m(from_s_m, 2),
        to,
        cm(missing_m),
        thing,
        read,
    )


def _wire_z_m(leader: Leader, layout: Layout) -> float:
    wire_z_m = layout.rows.get(leader.row)
    return wire_z_m[1].wire_height_m if wire_z_m else 2.0
