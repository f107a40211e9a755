"""A loop seen from the side, as plain values: where wire, strings, stems, clips and fruit are on one day."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from itertools import pairwise

from msgspec import Struct

from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.layout import Loop
from tunneltui.loads.lines import hook_id
from tunneltui.loads.result import ClipLoad, Loads, StemPath, WireLoad
from tunneltui.season.state import Leader, Season

SAG_STEPS = 12
"""Straight pieces of one span's sagging wire."""
STRING_FOOT_M = 0.25
"""Strings are drawn down to here where nothing hangs lower on them (looks only)."""
WORST = 5
"""Weak points of a loop that are marked."""


class TrussSeen(Struct, frozen=True):
    u_m: float
    z_m: float
    number: int
    ripeness: float
    """Development z: 0 at flowering, 1 ripe."""


class ClipSeen(Struct, frozen=True):
    id: str
    leader: str
    """Id of the leader."""
    u_m: float
    z_m: float
    share: float
    """Of its strength."""
    assumed: bool
    weak: bool
    """One of the loop's worst: if it lets go something drops, or another goes over its strength."""
    warn: str
    """'', amber or red, by the holding's limits."""


class StemSeen(Struct, frozen=True):
    leader: str
    name: str
    points: tuple[tuple[float, float], ...]
    trusses: tuple[TrussSeen, ...]
    fault: str


class StringSeen(Struct, frozen=True):
    id: str
    number: int
    u_m: float
    top_z_m: float
    foot_z_m: float
    weak: bool


class HookSeen(Struct, frozen=True):
    leader: str
    number: int
    u_m: float
    z_m: float
    tip_z_m: float
    """Its twine ends at the head's lowest clip or the tip."""
    assumed: bool
    weak: bool


class RowScene(Struct, frozen=True, eq=False):
    """One loop unrolled: ``u_m`` along it from left to right."""

    loop: str
    length_m: float
    top_m: float
    """Height of the highest wire."""
    reach_m: float
    wires: tuple[tuple[tuple[float, float], ...], ...]
    turn_u_m: tuple[float, ...]
    """Where one row of the loop ends and the next begins."""
    rows: tuple[tuple[float, str], ...]
    """Middle and name of each row."""
    strings: tuple[StringSeen, ...]
    stems: tuple[StemSeen, ...]
    """In the order of their hooks."""
    hooks: tuple[HookSeen, ...]
    clips: tuple[ClipSeen, ...]
    props: tuple[tuple[float, float], ...] = ()
    """``u_m`` and ``z_m`` of each place where a prop stands under a stem."""


def row_scene(season: Season, outlook: Outlook, bearing: Loads, loop_id: str) -> RowScene:
    """The loop on the day of ``bearing``."""
    loop = season.layout.loops[loop_id]
    leaders = sorted(
        season.leaders_of_loop(loop_id), key=lambda leader: _head_u(leader, bearing.paths.get(leader.id))
    )
    stems = tuple(_stem(leader, outlook, bearing) for leader in leaders if leader.id in bearing.paths)
    # Only the loop's few worst weak points: marking all of them would mark none.
    own = {string.id for string in season.strings_of_loop(loop_id)}
    own |= {fixing.id for leader in leaders for fixing in leader.fixings}
    own |= {hook_id(leader) for leader in leaders}
    weak = set([point.fixing for point in bearing.weak_points if point.fixing in own][:WORST])
    heights = {stretch.row: season.layout.rows[stretch.row][1].wire_height_m for stretch in loop.stretches}
    clips = tuple(_clips(season, bearing, leaders, weak))
    return RowScene(
        loop_id,
        loop.length_m,
        max(heights.values()),
        season.holding.work.reach_m,
        tuple(_wires(loop, heights, bearing.wires)),
        tuple(stretch.u_start_m for stretch in loop.stretches[1:]),
        tuple((s.u_start_m + s.length_m / 2, s.row) for s in loop.stretches),
        tuple(_strings(season, loop_id, heights, clips, weak)),
        stems,
        tuple(_hooks(loop, leaders, bearing.paths, heights, weak)),
        clips,
        tuple(
            place_at(bearing.paths[leader.id], prop.s_m)
            for leader in leaders
            if leader.id in bearing.paths
            for prop in leader.props
        ),
    )


def place_at(path: StemPath, s_m: float) -> tuple[float, float]:
    """``u_m`` and ``z_m`` of a place along a stem; beyond either end the end itself."""
    points = path.points
    if s_m <= points[0][2]:
        return points[0][:2]
    for (u0, z0, s0), (u1, z1, s1) in pairwise(points):
        if s_m <= s1:
            share = (s_m - s0) / ((s1 - s0) or 1.0)
            return u0 + share * (u1 - u0), z0 + share * (z1 - z0)
    return points[-1][:2]


def _head_u(leader: Leader, path: StemPath | None) -> float:
    return path.hook_u_m if path is not None else leader.u_m


def _stem(leader: Leader, outlook: Outlook, bearing: Loads) -> StemSeen:
    path = bearing.paths[leader.id]
    stem: StemOn | None = outlook.stem(leader.id, bearing.day) if leader.id in outlook.leaders else None
    trusses = tuple(
        TrussSeen(*place_at(path, truss.s_m), truss.number, truss.z) for truss in (stem.trusses if stem else ())
    )
    return StemSeen(leader.id, leader.name, tuple((u, z) for u, z, _ in path.points), trusses, path.fault)


def _clips(season: Season, bearing: Loads, leaders: Iterable[Leader], weak: set[str]) -> Iterable[ClipSeen]:
    loads: Mapping[str, ClipLoad] = {clip.id: clip for clip in bearing.clips}
    limits = season.holding.limits
    for leader in leaders:
        for fixing in leader.fixings:
            load = loads.get(fixing.id)
            if load is None:
                continue
            red = load.share >= limits.red_share or load.chance_7d >= limits.red_chance
            amber = load.share >= limits.amber_share or load.chance_7d >= limits.amber_chance
            warn = "must" if red else "near" if amber else ""
            yield ClipSeen(
                fixing.id, leader.id, load.u_m, load.z_m, load.share, fixing.assumed, fixing.id in weak, warn
            )


def _strings(
    season: Season, loop: str, heights: Mapping[str, float], clips: Iterable[ClipSeen], weak: set[str]
) -> Iterable[StringSeen]:
    lowest: dict[float, float] = {}
    for clip in clips:
        at = round(clip.u_m, 2)
        lowest[at] = min(lowest.get(at, clip.z_m), clip.z_m)
    for string in season.strings.values():
        if string.loop == loop:
            foot = min(lowest.get(round(string.u_m, 2), STRING_FOOT_M), STRING_FOOT_M)
            yield StringSeen(string.id, string.number, string.u_m, heights[string.row], foot, string.id in weak)


def _hooks(
    loop: Loop,
    leaders: Iterable[Leader],
    paths: Mapping[str, StemPath],
    heights: Mapping[str, float],
    weak: set[str],
) -> Iterable[HookSeen]:
    for leader in leaders:
        if leader.hook is not None and leader.id in paths:
            path = paths[leader.id]
            row, _ = loop.row_at(path.hook_u_m)
            yield HookSeen(
                leader.id,
                leader.hook.number,
                path.hook_u_m,
                heights[row],
                path.points[-1][1],
                leader.hook.assumed,
                hook_id(leader) in weak,
            )


def _wires(
    loop: Loop, heights: Mapping[str, float], loads: Iterable[WireLoad]
) -> Iterable[tuple[tuple[float, float], ...]]:
    """Each span as it sags; a row whose spans are not known is drawn straight."""
    spans: dict[str, list[tuple[float, float, float]]] = {}
    for load in loads:
        if (ends := span_ends(load.span)) is not None:
            spans.setdefault(load.row, []).append((*ends, load.sag_m))
    for stretch in loop.stretches:
        height = heights[stretch.row]
        if stretch.row not in spans:
            yield (stretch.u_start_m, height), (stretch.u_start_m + stretch.length_m, height)
        for start_m, end_m, sag_m in spans.get(stretch.row, ()):
            xs = [start_m + (end_m - start_m) * step / SAG_STEPS for step in range(SAG_STEPS + 1)]
            shares = [step / SAG_STEPS for step in range(SAG_STEPS + 1)]
            yield tuple(
                (loop.u_m(stretch.row, x_m), height - 4 * sag_m * share * (1 - share))
                for x_m, share in zip(xs, shares, strict=True)
            )


def span_ends(words: str) -> tuple[float, float] | None:
    """Ends of a span from its name, such as ``3.5 to 7.0 m``."""
    match = re.fullmatch(r"(-?[\d.]+) to (-?[\d.]+) m", words)
    return (float(match[1]), float(match[2])) if match else None
