"""What a planned lowering would bear: clips that would carry too much once the stem lies further on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp

from tunneltui.chores.lowering_head import Head
from tunneltui.loads.clips import NINETY, Carried
from tunneltui.loads.lowered import DOUBLED_M, Laid, StringClip, let_down, lowered
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.loads.stem import stem_on
from tunneltui.season.state import Fixing, Leader, Season

MORE_M = 0.20
"""A clip that would go over is worth so much more let-out, which brings the hook past the next string."""


@dataclass(frozen=True, slots=True)
class TooMuch:
    """A string clip that would carry more than its allowed share after the lowering, and did not before."""

    beside: StringClip
    """Where a second clip would go."""
    would: Carried
    strength_n: float


@dataclass(frozen=True, slots=True, eq=False)
class Bearing:
    """What hangs in the house, looked up clip by clip."""

    clips: Mapping[str, ClipLoad]
    new_clip_n: Mapping[str, float]
    """Load that 1 in 20 new clips of a kind does not bear, as learned from those that hang."""


def bearing_of(season: Season, loads: Loads) -> Bearing:
    kinds = {f.id: f.clip_kind for leader in season.leaders.values() for f in leader.fixings if not f.tie}
    new_clip_n: dict[str, float] = {}
    for clip in loads.clips:
        kind = kinds.get(clip.id)
        if kind is not None and clip.on != "head":
            new_clip_n[kind] = max(clip.strength_n, new_clip_n.get(kind, 0.0))
    return Bearing({clip.id: clip for clip in loads.clips}, new_clip_n)


def too_much(season: Season, bearing: Bearing, head: Head, to: Laid) -> list[TooMuch]:
    """String clips that the lowering would bring over ``limits.amber_share``; none for a doubled place."""
    amber_share = season.holding.limits.amber_share
    leader = lowered(season, head.hangs, to)
    borne = stem_on(season, leader, let_down(head.hangs.stem, to.let_out_m)).borne.clips
    found = []
    for fixing in leader.fixings:
        would = borne.get(fixing.id)
        now = bearing.clips.get(fixing.id)
        over_now = now is not None and now.share >= amber_share
        if fixing.on != "string" or would is None or over_now or _is_doubled(leader, fixing):
            continue
        strength_n = now.strength_n if now is not None else _new_clip_n(season, bearing, fixing.clip_kind)
        if would.mid_n >= amber_share * strength_n:
            found.append(TooMuch(_beside(season, fixing), would, strength_n))
    return found


def _is_doubled(leader: Leader, fixing: Fixing) -> bool:
    return sum(f.string == fixing.string and f.on == fixing.on for f in leader.fixings) > 1


def _new_clip_n(season: Season, bearing: Bearing, kind: str) -> float:
    """As learned, else as assumed."""
    limits = season.holding.limits
    return bearing.new_clip_n.get(kind, limits.clip_median_n * exp(-NINETY * limits.clip_spread_ln))


def _beside(season: Season, fixing: Fixing) -> StringClip:
    string = season.strings[fixing.string]
    return StringClip(string.id, string.number, fixing.u_m, fixing.z_m or 0.0, round(fixing.s_m + DOUBLED_M, 2))
