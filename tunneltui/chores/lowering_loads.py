"""What a planned lowering would bear: clips that would carry too much once the stem lies further on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import exp

from tunneltui.chores.fixings import clip_kind
from tunneltui.chores.lowering_head import Head
from tunneltui.chores.lowering_move import StringClip
from tunneltui.chores.lowering_place import DOUBLED_M, Placing, half_bend_m
from tunneltui.growth.outlook import Band, StemOn
from tunneltui.loads.clips import NINETY, Carried
from tunneltui.loads.result import Loads
from tunneltui.loads.stem import stem_on
from tunneltui.season.state import Fixing, Hook, Leader, Season

MORE_M = 0.20
"""A clip that would go over is worth so much more let-out, which brings the hook past the next string."""


@dataclass(frozen=True, slots=True)
class TooMuch:
    """A string clip that would carry more than its allowed share after the lowering, and did not before."""

    beside: StringClip
    """Where a second clip would go."""
    would: Carried
    strength_n: float


def too_much(season: Season, loads: Loads, head: Head, let_out_m: float, placing: Placing) -> list[TooMuch]:
    """String clips that the lowering would bring over ``limits.amber_share``; none for a doubled place."""
    strengths = {clip.id: clip.strength_n for clip in loads.clips}
    over_now = {clip.id for clip in loads.clips if clip.share >= season.holding.limits.amber_share}
    lowered = _lowered(season, head, placing)
    borne = stem_on(season, lowered, _let_down(head.stem, let_out_m)).borne.clips
    found = []
    for fixing in lowered.fixings:
        would = borne.get(fixing.id)
        if fixing.on != "string" or would is None or fixing.id in over_now or _is_doubled(lowered, fixing):
            continue
        strength_n = strengths.get(fixing.id, _new_clip_n(season, loads, fixing.clip_kind))
        if would.mid_n >= season.holding.limits.amber_share * strength_n:
            found.append(TooMuch(_beside(season, fixing), would, strength_n))
    return found


def _lowered(season: Season, head: Head, placing: Placing) -> Leader:
    """The leader as it would be held: new string clips closed, head clips in the bend open, hook moved."""
    leader = head.leader
    bent_to_m = placing.bend_s_m + half_bend_m(season.holding.limits)
    kept = [f for f in leader.fixings if f.on != "head" or f.s_m >= bent_to_m]
    hook = leader.hook or Hook(0, placing.hook_u_m, None, "", season.day, assumed=True)
    fixings = [
        *(replace(f, u_m=placing.hook_u_m) if f.on == "head" else f for f in kept),
        *_closed(season, head, placing),
    ]
    return replace(
        leader,
        hook=replace(hook, u_m=placing.hook_u_m),
        fixings=tuple(sorted(fixings, key=lambda f: (f.s_m, f.id))),
    )


def _closed(season: Season, head: Head, placing: Placing) -> Iterator[Fixing]:
    kind = clip_kind(season, head.leader)
    own = [head.own_string] if head.own_string else []
    for number, clip in enumerate([*own, *placing.clips]):
        yield Fixing(
            id=f"planned {number}",
            leader=head.leader.id,
            on="string",
            string=clip.string,
            u_m=clip.u_m,
            z_m=None,
            s_m=clip.s_m,
            tie=False,
            clip_kind=kind,
            hung_on=season.day,
            assumed=True,
        )


def _let_down(stem: StemOn, let_out_m: float) -> StemOn:
    tip = stem.tip_z_m
    return replace(stem, tip_z_m=Band(tip.low - let_out_m, tip.mid - let_out_m, tip.high - let_out_m))


def _is_doubled(leader: Leader, fixing: Fixing) -> bool:
    return sum(f.string == fixing.string and f.on == fixing.on for f in leader.fixings) > 1


def _new_clip_n(season: Season, loads: Loads, kind: str) -> float:
    """Load that 1 in 20 new clips of a kind does not bear: as learned from those that hang, else as assumed."""
    kinds = {f.id: f.clip_kind for leader in season.leaders.values() for f in leader.fixings if not f.tie}
    known = [clip.strength_n for clip in loads.clips if kinds.get(clip.id) == kind and clip.on != "head"]
    limits = season.holding.limits
    return max(known, default=limits.clip_median_n * exp(-NINETY * limits.clip_spread_ln))


def _beside(season: Season, fixing: Fixing) -> StringClip:
    string = season.strings[fixing.string]
    return StringClip(string.id, string.number, fixing.u_m, fixing.z_m or 0.0, round(fixing.s_m + DOUBLED_M, 2))
