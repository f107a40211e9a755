"""How long a stem a row has room for: up to the first tier, along the rise, and a head that still hangs down."""

from __future__ import annotations

from math import hypot

from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Limits
from tunneltui.loads.path import REST_M
from tunneltui.season.state import Leader, Season


def most_travel_m(limits: Limits, wire_m: float, slope: float) -> float:
    """How far from its root a stem may lie, before its head would hang shorter than ``head_least_m``."""
    rise_m = wire_m - limits.tip_margin_m - limits.head_least_m - limits.first_tier_m
    return max(0.0, rise_m) / slope if slope > 0 else float("inf")


def held_m(limits: Limits, wire_m: float, slope: float, loop_m: float) -> float:
    """The longest stem a slope holds: up to the first tier, along within the loop, and the head that is left."""
    travel_m = min(most_travel_m(limits, wire_m, slope), loop_m)
    head_m = wire_m - limits.tip_margin_m - limits.first_tier_m - slope * travel_m
    return limits.first_tier_m + hypot(travel_m, slope * travel_m) + max(limits.head_least_m, head_m)


def way_m(limits: Limits, wire_m: float, slope: float, length_m: float) -> float:
    """How far from its root a stem of that length lies: first tier, way along the rise, head."""
    return max(0.0, length_m - (wire_m - limits.tip_margin_m)) / (hypot(1, slope) - slope)


def room_m(season: Season, leader: Leader) -> float:
    """The longest stem there is room for from its root on, to the end of the wire or around a closed loop."""
    loop, limits = season.layout.loops[leader.loop], season.limits_of(leader)
    way_left_m = loop.length_m if loop.closed else max(0.0, loop.length_m - leader.u_m)
    top_m = wire_m(season, loop)
    if leader.training == "laid_down":
        return REST_M + way_left_m + top_m - limits.tip_margin_m
    return held_m(limits, top_m, limits.run_slope, way_left_m)


def wire_m(season: Season, loop: Loop) -> float:
    """The lower of the wires over a loop."""
    return min(season.layout.rows[stretch.row][1].wire_height_m for stretch in loop.stretches)
