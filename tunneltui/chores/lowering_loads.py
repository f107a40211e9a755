"""What a planned lowering would bear: clips that would carry too much once the stem lies further on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tunneltui.chores.lowering_head import Head
from tunneltui.loads.clips import Carried
from tunneltui.loads.kinds import known
from tunneltui.loads.lowered import DOUBLED_M, Laid, StringClip, let_down, lowered
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.loads.stem import stem_on
from tunneltui.loads.strength import Strength
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
    hangs: bool
    """It is closed already: whether a new one is doubled its chance decides (``loads.doubles``)."""


@dataclass(frozen=True, slots=True, eq=False)
class Bearing:
    """What hangs in the house, looked up clip by clip."""

    clips: Mapping[str, ClipLoad]
    learned: Mapping[str, Strength]
    """By kind of clip."""


def bearing_of(loads: Loads) -> Bearing:
    return Bearing({clip.id: clip for clip in loads.clips}, loads.workings.learned if loads.workings else {})


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
        if now is not None:
            strength_n = now.strength_n
        else:
            strength_n = known(season, bearing.learned, fixing.clip_kind).quantile_n()
        if would.mid_n >= amber_share * strength_n:
            found.append(TooMuch(_beside(season, fixing), would, strength_n, hangs=now is not None))
    return found


def _is_doubled(leader: Leader, fixing: Fixing) -> bool:
    return sum(f.string == fixing.string and f.on == fixing.on for f in leader.fixings) > 1


def _beside(season: Season, fixing: Fixing) -> StringClip:
    string = season.strings[fixing.string]
    return StringClip(string.id, string.number, fixing.u_m, fixing.z_m or 0.0, round(fixing.s_m + DOUBLED_M, 2))
