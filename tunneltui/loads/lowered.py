"""Where a let-out leaves a stem: hook, bend and new string clips on the loop's one slope.

One answer for the row's lowering and for what-if. Forms: own simulation; the letters are those
of ``loads.path``.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan, hypot, pi, tan

from msgspec import Struct

from tunneltui.growth.outlook import Band, StemOn
from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Limits
from tunneltui.journal.kinds_holding_up import OnWhat
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.path import (
    REST_M,
    bend,
    fixing_z_m,
    hold_s_m,
    hook_across_m,
    hook_u_m,
    layer_z_m,
    lying_holds,
    onward_u_m,
)
from tunneltui.season.state import Fixing, Hook, HungString, Leader, Season
from tunneltui.values import replace

SLACK = 1.02
"""Stem laid along a straight metre of run (own simulation)."""
OWN_STRING_M = 0.35
"""A string this near past the root holds the stem up into its tier."""
OWN_STRING_BELOW_TIP_M = 0.50
"""Stem there must be above that string before it is clipped to it (assumed)."""
AT_A_CORNER_M = 0.35
"""Clips on strings this near to a row's end are doubled: the stem pulls sideways there."""
DOUBLED_M = 0.08
"""Between a clip and its double, along the stem."""
SAME_STRING_M = 0.05
CLIP_UNDER_TIP_M = 0.15
"""A head clip goes under a strong leaf about this far below the growing point (Papadopoulos 1991; Resh, on
clips)."""


class Hold(Struct, frozen=True):
    """The last place at which a lying stem is held."""

    u_m: float
    z_m: float
    s_m: float


class StringClip(Struct, frozen=True):
    """A place at which a lying stem is clipped to a string."""

    string: str
    number: int
    u_m: float
    z_m: float
    s_m: float


class Hanging(Struct, frozen=True):
    """A leader as it hangs on the day it is to be lowered."""

    leader: Leader
    loop: Loop
    strings: tuple[HungString, ...]
    """Of its loop, as its stem reaches them."""
    stem: StemOn
    hook_u_m: float
    hold: Hold
    own_string: StringClip | None
    """To be clipped before the first lowering: support before letting out."""

    @property
    def length_m(self) -> float:
        return self.stem.length_m.mid

    @property
    def tip_z_m(self) -> float:
        return self.stem.tip_z_m.mid

    @property
    def is_upright(self) -> bool:
        """Not held by any string yet."""
        return self.own_string is not None or self.hold.s_m == 0.0


class Laid(Struct, frozen=True):
    """Where so much let out leaves a stem."""

    let_out_m: float
    hook_u_m: float
    run_m: float
    """From the last hold to the hook."""
    bend_z_m: float
    bend_s_m: float
    clips: tuple[StringClip, ...]
    """New ones, without the one on its own string."""


def hanging(season: Season, leader: Leader, stem: StemOn) -> Hanging:
    loop = season.layout.loops[leader.loop]
    strings = strings_along(season, leader, loop)
    hold = last_hold(season, leader, stem)
    own = _own_string(season, leader, strings, stem) if hold is None else None
    at = hold or (Hold(own.u_m, own.z_m, own.s_m) if own else Hold(leader.u_m, 0.0, 0.0))
    return Hanging(leader, loop, strings, stem, hook_u_m(leader, loop), at, own)


def after_let_out(season: Season, hangs: Hanging, let_out_m: float, at_u_m: float | None = None) -> Laid:
    """What letting out so much does; ``at_u_m`` hangs the hook elsewhere than on the slope's line.

    A hook is never moved back unless that is asked for.
    """
    limits, hold = season.limits_of(hangs.leader), hangs.hold
    on_line_m = hold.u_m + _across_m(hangs, let_out_m, limits)
    hook_m = round(max(on_line_m, hangs.hook_u_m) if at_u_m is None else at_u_m, 3)
    clips = _clips_passed(season, hangs, hook_m)
    last = hold
    if clips:
        # The last of the new holds is held at its lowest clip, as ``path.hold_s_m`` has it.
        lowest = next(clip for clip in clips if clip.string == clips[-1].string)
        last = Hold(lowest.u_m, lowest.z_m, lowest.s_m)
    run_m = hook_m - last.u_m
    rise_m = hangs.tip_z_m - let_out_m - last.z_m
    if hangs.leader.training == "laid_down":
        # It lies on its rests up to under the hook.
        return Laid(let_out_m, hook_m, run_m, REST_M, hangs.length_m - max(0.0, rise_m), clips)
    turn = bend(hangs.length_m - hangs.leader.coiled_m - last.s_m, rise_m, run_m, limits.bend_radius_m)
    bend_z_m = last.z_m + (turn.rise_m if turn else 0.0)
    return Laid(let_out_m, hook_m, run_m, bend_z_m, last.s_m + hypot(run_m, bend_z_m - last.z_m), clips)


def as_lowered(season: Season, hangs: Hanging, to: Laid, second: Sequence[StringClip] = ()) -> Leader:
    """The leader as it would be held: new string clips closed, ``second`` ones beside them, head clips in the bend
    open, one closed under the tip where that leaves none, hook moved."""
    leader = hangs.leader
    bent_to_m = to.bend_s_m + half_bend_m(season.limits_of(leader))
    kept = [f for f in leader.fixings if f.on != "head" or f.s_m >= bent_to_m]
    hook = leader.hook or Hook(0, to.hook_u_m, None, "", season.day, assumed=True)
    closed = [*((hangs.own_string,) if hangs.own_string else ()), *to.clips, *second]
    fixings = [
        *(replace(f, u_m=to.hook_u_m) if f.on == "head" else f for f in kept),
        *(_new_clip(season, leader, "string", clip.string, clip.u_m, clip.s_m) for clip in closed),
    ]
    if any(f.on == "head" for f in leader.fixings) and not any(f.on == "head" for f in kept):
        fixings.append(
            _new_clip(season, leader, "head", "", to.hook_u_m, round(hangs.length_m - CLIP_UNDER_TIP_M, 2))
        )
    return replace(
        leader,
        hook=replace(hook, u_m=to.hook_u_m),
        fixings=tuple(sorted(fixings, key=lambda f: (f.s_m, f.id))),
    )


def let_down(stem: StemOn, let_out_m: float) -> StemOn:
    tip = stem.tip_z_m
    return replace(stem, tip_z_m=Band(tip.low - let_out_m, tip.mid - let_out_m, tip.high - let_out_m))


def last_hold(season: Season, leader: Leader, stem: StemOn) -> Hold | None:
    """None for a stem held only by its head."""
    if leader.training == "laid_down":
        return Hold(leader.u_m, REST_M, REST_M)
    lying = lying_holds(leader, stem.length_m.mid)
    if not lying:
        return None
    last = lying[-1]
    wire_z_m = season.layout.rows[leader.row][1].wire_height_m
    u_m = onward_u_m(last[0].u_m, leader.u_m, season.layout.loops[leader.loop])
    z_m = fixing_z_m(last[0], leader, u_m, season.holding.limits, wire_z_m)
    return Hold(u_m, z_m, hold_s_m(last, stem.length_m.mid))


def strings_along(season: Season, leader: Leader, loop: Loop) -> tuple[HungString, ...]:
    """The strings of a leader's loop in the order its stem reaches them."""
    onward = (replace(s, u_m=onward_u_m(s.u_m, leader.u_m, loop)) for s in season.strings_of_loop(loop.id))
    return tuple(sorted(onward, key=lambda s: s.u_m))


def next_string(
    strings: tuple[HungString, ...], from_u_m: float, to_u_m: float, span_m: float
) -> HungString | None:
    """The farthest string within a span, else the next one: every string or every second one, by their spacing."""
    beyond = [s for s in strings if from_u_m + SAME_STRING_M < s.u_m <= to_u_m + 1e-9]
    within = [s for s in beyond if s.u_m - from_u_m <= span_m + 1e-9]
    return within[-1] if within else next(iter(beyond), None)


def half_bend_m(limits: Limits) -> float:
    """Stem that a round bend takes up on either side of its corner."""
    return limits.bend_radius_m * tan((pi / 2 - atan(limits.run_slope)) / 2)


def _across_m(hangs: Hanging, let_out_m: float, limits: Limits) -> float:
    """Way from the last hold to the hook that puts the bend on the layer's line."""
    laid_down = hangs.leader.training == "laid_down"
    slope = 0.0 if laid_down else limits.run_slope
    line_z_m = REST_M if laid_down else layer_z_m(hangs.leader.u_m, hangs.hold.u_m, limits)
    free_m = hangs.length_m - hangs.leader.coiled_m - hangs.hold.s_m
    rise_m = hangs.tip_z_m - hangs.hold.z_m
    # An upright stem reads a little longer or shorter than its rise: only what is let out is spare then, less what
    # leaning to its own string takes.
    leaning_m = hangs.hold.s_m - hangs.hold.z_m if hangs.own_string else 0.0
    spare_m = max(0.0, free_m + leaning_m - rise_m) - leaning_m + let_out_m
    return hook_across_m(spare_m, slope, limits.bend_radius_m, max(0.0, line_z_m - hangs.hold.z_m))


def _clips_passed(season: Season, hangs: Hanging, hook_m: float) -> tuple[StringClip, ...]:
    """Strings to clip to: those the hook is two bend radii past, at the span asked for, doubled at corners."""
    if hangs.leader.training != "tiered":
        return ()
    limits = season.limits_of(hangs.leader)
    clear_m = hook_m - 2 * limits.bend_radius_m
    clips: list[StringClip] = []
    at = hangs.hold
    while string := next_string(hangs.strings, at.u_m, clear_m, limits.string_span_m):
        z_m = layer_z_m(hangs.leader.u_m, string.u_m, limits)
        s_m = at.s_m + SLACK * hypot(string.u_m - at.u_m, z_m - at.z_m)
        clips.append(StringClip(string.id, string.number, string.u_m, z_m, round(s_m, 2)))
        if _is_at_a_corner(season, hangs.loop, string):
            clips.append(StringClip(string.id, string.number, string.u_m, z_m, round(s_m + DOUBLED_M, 2)))
        at = Hold(string.u_m, z_m, s_m)
    return tuple(clips)


def _is_at_a_corner(season: Season, loop: Loop, string: HungString) -> bool:
    if len(loop.stretches) < 2:
        return False
    length_m = season.layout.rows[string.row][1].length_m
    ends = [length_m, 0.0] if loop.closed else [length_m if loop.stretches[0].direction > 0 else 0.0]
    return any(abs(string.x_m - end_m) <= AT_A_CORNER_M for end_m in ends)


def _own_string(
    season: Season, leader: Leader, strings: tuple[HungString, ...], stem: StemOn
) -> StringClip | None:
    """A first hold in the leader's tier, so that the stem lies in it and not on the soil."""
    if leader.training != "tiered":
        return None
    for string in strings:
        if 0 <= string.u_m - leader.u_m <= OWN_STRING_M:
            z_m = layer_z_m(leader.u_m, string.u_m, season.holding.limits)
            s_m = hypot(string.u_m - leader.u_m, z_m)
            if s_m < stem.length_m.mid - OWN_STRING_BELOW_TIP_M:
                return StringClip(string.id, string.number, string.u_m, z_m, round(s_m, 2))
    return None


def _new_clip(season: Season, leader: Leader, on: OnWhat, string: str, u_m: float, s_m: float) -> Fixing:
    return Fixing(
        id=f"new clip {leader.name} {string or on} {s_m:.2f}",
        leader=leader.id,
        on=on,
        string=string,
        u_m=u_m,
        z_m=None,
        s_m=s_m,
        tie=False,
        clip_kind=clip_kind(season, leader),
        hung_on=season.day,
        assumed=True,
    )
