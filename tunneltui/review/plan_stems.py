"""Where planned stems would hang: slope of the loop, strings, clips and hooks, in the order heads keep.

Each stem in tiers lies at the loop's slope to the last string that leaves it a bend, its tip
``limits.tip_margin_m`` under the wire. Heads keep their order along the loop: one that would pass the head ahead
stays ``HEAD_GAP_M`` behind it, none goes past the end of a loop that is not closed, and what a stem is longer
hangs in its bend.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from math import hypot

from msgspec import Struct

from tunneltui.growth.outlook import StemOn
from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Limits
from tunneltui.loads.path import hook_across_m, layer_z_m
from tunneltui.loads.room import wire_m
from tunneltui.season.state import Fixing, Hook, HungString, Leader, Season
from tunneltui.values import replace

HEAD_GAP_M = 0.10
"""A head stays this far behind the one ahead that holds it back. Assumed."""
HEAD_CLIPS_M = (0.15, 0.45, 0.75)
"""Head clips below the tip: one every 30 cm, the first under the tender tip. Common practice, no source."""
FIRST_STRING_M = 0.20
"""A string nearer to the root than this is passed by. Assumed."""


class _Room(Struct, frozen=True):
    """What one loop offers its stems."""

    loop: Loop
    strings: tuple[HungString, ...]
    limits: Limits
    wire_m: float


def held_back_m(season: Season, stems: Mapping[str, StemOn], day: date) -> float:
    """How much further the hooks of all stems would hang if no head ahead stood in their way."""
    return sum(sum(loop_held_back_m(season, loop, stems, day).values()) for loop in season.layout.loops.values())


def loop_held_back_m(season: Season, loop: Loop, stems: Mapping[str, StemOn], day: date) -> dict[str, float]:
    """The same of each of one loop's stems."""
    kept, free = hung_along(season, loop, stems, day), hung_along(season, loop, stems, day, in_order=False)
    return {name: _hook_u_m(free[name]) - _hook_u_m(kept[name]) for name in kept}


def _hook_u_m(leader: Leader) -> float:
    return leader.u_m if leader.hook is None else leader.hook.u_m


def hung(season: Season, stems: Mapping[str, StemOn], day: date) -> Season:
    """The season with clips, hooks and head clips as a grower would have set them by that day."""
    leaders: dict[str, Leader] = {}
    for loop in season.layout.loops.values():
        leaders |= hung_along(season, loop, stems, day)
    kind = season.holding.clips[0].key if season.holding.clips else ""
    clipped = {
        name: replace(leaders[name], fixings=tuple(replace(f, clip_kind=kind) for f in leaders[name].fixings))
        for name in season.leaders
    }
    return replace(season, day=day, leaders=clipped)


def hung_along(
    season: Season, loop: Loop, stems: Mapping[str, StemOn], day: date, *, in_order: bool = True
) -> dict[str, Leader]:
    """One loop's leaders, each behind the head ahead of it; ``in_order`` False: heads pass each other freely, for
    comparison only."""
    limits = season.holding.limits
    once = sorted(season.strings_of_loop(loop.id), key=lambda s: s.u_m)
    # A closed loop's a second time, for stems that run on past its end.
    again = [replace(s, u_m=s.u_m + loop.length_m) for s in once] if loop.closed else []
    room = _Room(loop, (*once, *again), limits, wire_m(season, loop))
    free = {
        standing.id: _hung(standing, stems[standing.id], room, _end_u_m(loop, standing), day)
        for standing in season.leaders_of_loop(loop.id)
    }
    if not in_order:
        return free
    kept: dict[str, Leader] = {}
    ahead: Leader | None = None
    for leader in _front_first(loop, list(free.values())):
        most_u_m = _end_u_m(loop, leader)
        if ahead is not None:
            lap_m = loop.length_m if ahead.u_m < leader.u_m else 0.0
            most_u_m = min(most_u_m, _hook_u_m(ahead) + lap_m - HEAD_GAP_M)
        fits = _hook_u_m(leader) <= most_u_m
        ahead = leader if fits else _hung(season.leaders[leader.id], stems[leader.id], room, most_u_m, day)
        kept[leader.id] = ahead
    return kept


def _front_first(loop: Loop, leaders: Sequence[Leader]) -> list[Leader]:
    """Against the way round. On a closed loop the head that travels least begins: none holds it back."""
    ordered = sorted(leaders, key=lambda leader: -leader.u_m)
    if not loop.closed or not ordered:
        return ordered
    first = min(range(len(ordered)), key=lambda n: _hook_u_m(ordered[n]) - ordered[n].u_m)
    return ordered[first:] + ordered[:first]


def _end_u_m(loop: Loop, leader: Leader) -> float:
    """How far a head may hang: to the loop's end, around a closed loop once to its own root."""
    return leader.u_m + loop.length_m if loop.closed else loop.length_m


def _hung(leader: Leader, stem: StemOn, room: _Room, most_u_m: float, day: date) -> Leader:
    length_m = stem.length_m.mid
    lying = _lying(leader, length_m, room, most_u_m, day) if leader.training == "tiered" else []
    s_m, u_m, z_m = (lying[-1].s_m, lying[-1].u_m, lying[-1].z_m or 0.0) if lying else (0.0, leader.u_m, 0.0)
    tip_z_m = room.wire_m - _under_wire_m(leader, room.limits)
    spare_m = length_m - s_m - (tip_z_m - z_m)
    # A stem laid down lies straight along its rests.
    across_m = max(0.0, spare_m)
    if leader.training != "laid_down":
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
    top_m = wire_m(season, season.layout.loops[leader.loop]) - _under_wire_m(leader, season.holding.limits)
    return min(length_m, top_m)


def _under_wire_m(leader: Leader, limits: Limits) -> float:
    """A stem that is stopped at the wire ends there; a tip that grows on is kept a margin under it."""
    return 0.0 if leader.training == "pinched_at_wire" else limits.tip_margin_m


def _lying(leader: Leader, length_m: float, room: _Room, most_u_m: float, day: date) -> list[Fixing]:
    """Clips from the first string past the root to the last that leaves the stem its bend and its head room."""
    limits = room.limits
    tip_z_m = room.wire_m - _under_wire_m(leader, limits)
    fixings: list[Fixing] = []
    s_m, u_m, z_m = 0.0, leader.u_m, 0.0
    for string in room.strings:
        if string.u_m < leader.u_m + FIRST_STRING_M or (fixings and string.u_m - u_m < limits.string_span_m - 0.1):
            continue
        next_z_m = layer_z_m(leader.u_m, string.u_m, limits)
        next_s_m = s_m + hypot(string.u_m - u_m, next_z_m - z_m)
        spare_m = length_m - next_s_m - (tip_z_m - next_z_m)
        if spare_m < limits.bend_radius_m or string.u_m > most_u_m or next_z_m > tip_z_m - limits.head_least_m:
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
