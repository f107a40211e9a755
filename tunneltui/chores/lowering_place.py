"""Where a let-out leaves a stem: hook, bend and new string clips on the loop's one slope, and what forbids it.

Forms of loads-forms.md sections 3 and 4; the letters are those of ``loads.path``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import atan, hypot, pi, tan

from tunneltui.chores.lowering_head import Head, Hold
from tunneltui.chores.lowering_move import StringClip
from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Limits
from tunneltui.loads.path import REST_M, bend, hook_across_m, layer_z_m
from tunneltui.season.state import HungString, Season

SLACK = 1.02
"""Stem laid along a straight metre of run (loads-forms.md section 2)."""
SOIL_M = 0.35
"""A bend lower than this puts fruit on the soil (loads-forms.md section 3, no solution 3)."""
FIRST_LEAST_M = 0.30
"""An upright stem waits until this much can be let out at once (loads-forms.md section 4)."""
HEADS_A_CORNER = 2
"""Heads taken round one corner on one visit."""
AT_A_CORNER_M = 0.35
"""Clips on strings this near to a row's end are doubled: the stem pulls sideways there."""
DOUBLED_M = 0.08
"""Between a clip and its double, along the stem."""
SAME_STRING_M = 0.05


@dataclass(frozen=True, slots=True)
class Placing:
    hook_u_m: float
    bend_z_m: float
    bend_s_m: float
    clips: tuple[StringClip, ...]
    bad: str
    """The limit it breaks, else ''."""


def placed(
    season: Season, head: Head, let_out_m: float, crossed: Mapping[int, int], at_u_m: float | None = None
) -> Placing:
    """Where so much let out leaves the stem; ``at_u_m`` hangs the hook elsewhere than on the slope's line.

    ``crossed`` counts the heads already taken round each corner on this visit. A hook is never moved back.
    """
    limits, hold = season.holding.limits, head.hold
    on_line_m = hold.u_m + _across_m(head, let_out_m, limits)
    hook_m = round(max(on_line_m, head.hook_u_m) if at_u_m is None else at_u_m, 3)
    clips = _clips_passed(season, head, hook_m)
    last = Hold(clips[-1].u_m, clips[-1].z_m, clips[-1].s_m) if clips else hold
    run_m = hook_m - last.u_m
    rise_m = head.tip_z_m - let_out_m - last.z_m
    turn = bend(head.length_m - last.s_m, rise_m, run_m, limits.bend_radius_m)
    bend_z_m = last.z_m + (turn.rise_m if turn else 0.0)
    bend_s_m = last.s_m + hypot(run_m, bend_z_m - last.z_m)
    fits = _Fit(let_out_m, hook_m, run_m, bend_z_m, bend_s_m)
    return Placing(hook_m, bend_z_m, bend_s_m, clips, _broken_limit(season, head, fits, crossed))


def _across_m(head: Head, let_out_m: float, limits: Limits) -> float:
    """Way from the last hold to the hook that puts the bend on the layer's line."""
    laid_down = head.leader.training == "laid_down"
    slope = 0.0 if laid_down else limits.run_slope
    line_z_m = REST_M if laid_down else layer_z_m(head.leader.u_m, head.hold.u_m, limits)
    free_m, rise_m = head.length_m - head.hold.s_m, head.tip_z_m - head.hold.z_m
    # An upright stem reads a little longer or shorter than its rise: only what is let out is spare then.
    spare_m = max(0.0, free_m - rise_m) + let_out_m
    return hook_across_m(spare_m, slope, limits.bend_radius_m, max(0.0, line_z_m - head.hold.z_m))


def _clips_passed(season: Season, head: Head, hook_m: float) -> tuple[StringClip, ...]:
    """Strings to clip to: those the hook is two bend radii past, at the span asked for, doubled at corners."""
    if head.leader.training != "tiered":
        return ()
    limits = season.holding.limits
    clear_m = hook_m - 2 * limits.bend_radius_m
    clips: list[StringClip] = []
    at = head.hold
    while string := next_string(head.strings, at.u_m, clear_m, limits.string_span_m):
        z_m = layer_z_m(head.leader.u_m, string.u_m, limits)
        s_m = at.s_m + SLACK * hypot(string.u_m - at.u_m, z_m - at.z_m)
        clips.append(StringClip(string.id, string.number, string.u_m, z_m, round(s_m, 2)))
        if _is_at_a_corner(season, head.loop, string):
            clips.append(StringClip(string.id, string.number, string.u_m, z_m, round(s_m + DOUBLED_M, 2)))
        at = Hold(string.u_m, z_m, s_m)
    return tuple(clips)


def next_string(
    strings: tuple[HungString, ...], from_u_m: float, to_u_m: float, span_m: float
) -> HungString | None:
    """The farthest string within a span, else the next one: every string or every second one, by their spacing."""
    beyond = [s for s in strings if from_u_m + SAME_STRING_M < s.u_m <= to_u_m + 1e-9]
    within = [s for s in beyond if s.u_m - from_u_m <= span_m + 1e-9]
    return within[-1] if within else next(iter(beyond), None)


def _is_at_a_corner(season: Season, loop: Loop, string: HungString) -> bool:
    if len(loop.stretches) < 2:
        return False
    length_m = season.layout.rows[string.row][1].length_m
    ends = [length_m, 0.0] if loop.closed else [length_m if loop.stretches[0].direction > 0 else 0.0]
    return any(abs(string.x_m - end_m) <= AT_A_CORNER_M for end_m in ends)


@dataclass(frozen=True, slots=True)
class _Fit:
    let_out_m: float
    hook_m: float
    run_m: float
    bend_z_m: float
    bend_s_m: float


def half_bend_m(limits: Limits) -> float:
    """Stem that a round bend takes up on either side of its corner."""
    return limits.bend_radius_m * tan((pi / 2 - atan(limits.run_slope)) / 2)


def _broken_limit(season: Season, head: Head, fit: _Fit, crossed: Mapping[int, int]) -> str:
    limits = season.holding.limits
    room_m = half_bend_m(limits)
    if fit.run_m < 2 * limits.bend_radius_m - 1e-9:
        return "the bend: the hook would hang too near its last clip"
    if head.own_string and fit.let_out_m < FIRST_LEAST_M - 1e-9:
        return f"the bend: an upright stem waits until {round(FIRST_LEAST_M * 100)} cm can be let out"
    if min(head.length_m - fit.bend_s_m, head.tip_z_m - fit.let_out_m - fit.bend_z_m) < room_m:
        return "the bend: too little head would be left above it"
    if head.leader.training == "tiered" and fit.bend_z_m < SOIL_M:
        return "the soil: its fruit would lie on it"
    if not head.loop.closed and fit.hook_m > head.loop.length_m + 1e-9:
        return "the end of the wire"
    return _broken_corner(season, head, fit.hook_m, crossed)


def _broken_corner(season: Season, head: Head, hook_m: float, crossed: Mapping[int, int]) -> str:
    for corner in corners_passed(season, head.loop, head.hook_u_m, hook_m):
        if season.layout.rows[head.loop.stretches[0].row][1].corner == "nothing":
            return "the corner: nothing is overhead between the wires"
        if crossed.get(corner, 0) >= HEADS_A_CORNER:
            return f"the corner: {HEADS_A_CORNER} heads a visit"
    return ""


def corners_passed(season: Season, loop: Loop, from_u_m: float, to_u_m: float) -> list[int]:
    """Numbers of the row ends between two hook places of a loop of two rows."""
    if len(loop.stretches) < 2:
        return []
    turning = loop.stretches if loop.closed else loop.stretches[:1]
    ends = [stretch.u_start_m + season.layout.rows[stretch.row][1].length_m for stretch in turning]
    return [number for number, end_m in enumerate(ends) if from_u_m <= end_m < to_u_m]
