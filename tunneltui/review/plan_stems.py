"""Where planned stems would hang: slope of the loop, strings, clips and hooks, in the order heads keep.

Each stem lies at the loop's slope to the last string that leaves it a bend, its tip ``limits.tip_margin_m``
under the wire. Heads keep their order along the loop: one that would pass the head ahead stays ``HEAD_GAP_M``
behind it, none goes past the loop's end, and what a stem is longer hangs in its bend.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import hypot

from tunneltui.growth.outlook import StemOn
from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Limits
from tunneltui.loads.path import hook_across_m, layer_z_m
from tunneltui.loads.room import wire_m
from tunneltui.season.state import Fixing, Hook, HungString, Leader, Season

HEAD_GAP_M = 0.10
"""A head stays this far behind the one ahead that holds it back. Assumed."""
HEAD_CLIPS_M = (0.15, 0.45, 0.75)
"""Head clips below the tip: one every 30 cm, the first under the tender tip. Common practice, no source."""
FIRST_STRING_M = 0.20
"""A string nearer to the root than this is passed by. Assumed."""


@dataclass(frozen=True, slots=True)
class _Room:
    """What one loop offers its stems."""

    loop: Loop
    strings: tuple[HungString, ...]
    limits: Limits
    tip_z_m: float


def held_back_m(season: Season, stems: Mapping[str, StemOn], slopes: Mapping[str, float], day: date) -> float:
    """How much further the hooks of all stems would hang if no head ahead stood in their way."""
    kept, free = hung(season, stems, slopes, day), hung(season, stems, slopes, day, in_order=False)
    return sum(_hook_u_m(free.leaders[name]) - _hook_u_m(kept.leaders[name]) for name in season.leaders)


def _hook_u_m(leader: Leader) -> float:
    return leader.u_m if leader.hook is None else leader.hook.u_m


def hung(
    season: Season,
    stems: Mapping[str, StemOn],
    slopes: Mapping[str, float],
    day: date,
    *,
    in_order: bool = True,
) -> Season:
    """The season with clips, hooks and head clips as a grower would have set them by that day.

    ``in_order`` False: heads pass each other freely, for comparison only.
    """
    leaders: dict[str, Leader] = {}
    for loop in season.layout.loops.values():
        limits = replace(season.holding.limits, run_slope=slopes.get(loop.id, season.holding.limits.run_slope))
        strings = tuple(sorted((s for s in season.strings.values() if s.loop == loop.id), key=lambda s: s.u_m))
        room = _Room(loop, strings, limits, wire_m(season, loop) - limits.tip_margin_m)
        ahead_u_m = loop.length_m + HEAD_GAP_M
        mine = sorted(season.leaders_of_loop(loop.id), key=lambda leader: -leader.u_m)
        for leader in mine:
            leaders[leader.id] = _hung(leader, stems[leader.id], room, ahead_u_m - HEAD_GAP_M, day)
            if in_order:
                ahead_u_m = _hook_u_m(leaders[leader.id])
    ordered = {name: leaders[name] for name in season.leaders}
    return replace(season, day=day, leaders=ordered)


def _hung(leader: Leader, stem: StemOn, room: _Room, most_u_m: float, day: date) -> Leader:
    length_m = stem.length_m.mid
    lying = _lying(leader, length_m, room, most_u_m, day) if leader.training == "tiered" else []
    s_m, u_m, z_m = (lying[-1].s_m, lying[-1].u_m, lying[-1].z_m or 0.0) if lying else (0.0, leader.u_m, 0.0)
    spare_m = length_m - s_m - (room.tip_z_m - z_m)
    across_m = hook_across_m(spare_m, room.limits.run_slope, room.limits.bend_radius_m)
    hook_u_m = max(leader.u_m, min(u_m + across_m, most_u_m))
    head = [
        _clip(leader, f"head{i}", length_m - below_m, hook_u_m, "", day)
        for i, below_m in enumerate(HEAD_CLIPS_M)
        if length_m - below_m > s_m + 0.2
    ]
    fixings = tuple(sorted((*lying, *head), key=lambda fixing: fixing.s_m))
    hook = Hook(1, hook_u_m, None, "", day, assumed=True)
    return replace(leader, fixings=fixings, hook=hook, picked_clean_on=None)


def tip_z_m(season: Season, leader: Leader, length_m: float) -> float:
    """Where the tip of a planned stem hangs: under the wire, or as high as a short stem reaches."""
    return min(length_m, wire_m(season, season.layout.loops[leader.loop]) - season.holding.limits.tip_margin_m)


def _lying(leader: Leader, length_m: float, room: _Room, most_u_m: float, day: date) -> list[Fixing]:
    """Clips from the first string past the root to the last that leaves the stem its bend and its head room."""
    limits = room.limits
    fixings: list[Fixing] = []
    s_m, u_m, z_m = 0.0, leader.u_m, 0.0
    for string in room.strings:
        if string.u_m < leader.u_m + FIRST_STRING_M or (fixings and string.u_m - u_m < limits.string_span_m - 0.1):
            continue
        next_z_m = layer_z_m(leader.u_m, string.u_m, limits)
        next_s_m = s_m + hypot(string.u_m - u_m, next_z_m - z_m)
        spare_m = length_m - next_s_m - (room.tip_z_m - next_z_m)
        if (
            spare_m < limits.bend_radius_m
            or string.u_m > most_u_m
            or next_z_m > room.tip_z_m - limits.head_least_m
        ):
            break
        s_m, u_m, z_m = next_s_m, string.u_m, next_z_m
        fixings.append(replace(_clip(leader, string.id, s_m, u_m, string.id, day), z_m=z_m))
    return fixings


def _clip(leader: Leader, name: str, s_m: float, u_m: float, string: str, day: date) -> Fixing:
    return Fixing(
        id=f"{leader.id} {name}",
        leader=leader.id,
        on="string" if string else "head",
        string=string,
        u_m=u_m,
        z_m=None,
        s_m=s_m,
        tie=False,
        clip_kind="",
        hung_on=day,
        assumed=True,
        seen_on=(day,),
    )
