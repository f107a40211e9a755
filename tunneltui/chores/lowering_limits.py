"""What forbids a lowering: the bend, the soil, the end of the wire, a corner (own simulation)."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from tunneltui.cells import cm, say
from tunneltui.chores.lowering_head import Head
from tunneltui.holding.layout import Loop
from tunneltui.journal.kinds_holding_up import RoomWay
from tunneltui.loads.lowered import Laid, half_bend_m
from tunneltui.season.state import Season

SOIL_M = 0.35
"""A bend lower than this puts fruit on the soil (own simulation)."""
FIRST_LEAST_M = 0.30
"""An upright stem waits until this much can be let out at once (own simulation)."""
HEADS_A_CORNER = 2
"""Heads taken round one corner on one visit."""


THE_END = "the end of the wire"
TOO_LITTLE_HEAD = "the bend: too little head would be left above it"
THE_SOIL = "the soil: its fruit would lie on it"
NOTHING_OVERHEAD = "the corner: nothing is overhead between the wires"
NO_ROOM = frozenset({THE_END, TOO_LITTLE_HEAD, THE_SOIL, NOTHING_OVERHEAD})
"""What no waiting mends: the head is let out all the same and its stem coiled on the ground."""


SEASON_DAYS = 250
"""What was decided for a loop holds for the season it was decided in."""


def room_way(season: Season, loop: str) -> RoomWay | None:
    """What was decided this season for stems with no room left along the wire; None: nothing yet."""
    rows = {stretch.row for stretch in season.layout.loops[loop].stretches}
    since = season.day - timedelta(days=SEASON_DAYS)
    ways = [body.way for day, row, body in season.room_decisions if row in rows and day >= since]
    return ways[-1] if ways else None


def broken_limit(season: Season, head: Head, to: Laid, crossed: Mapping[int, int]) -> str:
    """What a let-out would break, else ''. ``crossed`` counts the heads already taken round each corner on this
    visit."""
    limits = season.limits_of(head.leader)
    room_m = half_bend_m(limits)
    if to.run_m < 2 * limits.bend_radius_m - 1e-9:
        return "the bend: the hook would hang too near its last clip"
    if head.hangs.own_string and to.let_out_m < FIRST_LEAST_M - 1e-9:
        return say("the bend: an upright stem waits until {} can be let out", cm(FIRST_LEAST_M))
    if min(head.hangs.length_m - to.bend_s_m, head.tip_z_m - to.let_out_m - to.bend_z_m) < room_m:
        return TOO_LITTLE_HEAD
    if head.leader.training == "tiered" and to.bend_z_m < SOIL_M:
        return THE_SOIL
    if not head.loop.closed and to.hook_u_m > head.loop.length_m + 1e-9:
        return THE_END
    return _broken_corner(season, head, to.hook_u_m, crossed)


def _broken_corner(season: Season, head: Head, hook_m: float, crossed: Mapping[int, int]) -> str:
    for corner in corners_passed(season, head.loop, head.hook_u_m, hook_m):
        if season.layout.rows[head.loop.stretches[0].row][1].corner == "nothing":
            return NOTHING_OVERHEAD
        if crossed.get(corner, 0) >= HEADS_A_CORNER:
            return say("the corner: {} heads a visit", HEADS_A_CORNER)
    return ""


def corners_passed(season: Season, loop: Loop, from_u_m: float, to_u_m: float) -> list[int]:
    """Numbers of the row ends between two hook places of a loop of two rows."""
    if len(loop.stretches) < 2:
        return []
    turning = loop.stretches if loop.closed else loop.stretches[:1]
    ends = [stretch.u_start_m + season.layout.rows[stretch.row][1].length_m for stretch in turning]
    return [number for number, end_m in enumerate(ends) if from_u_m <= end_m < to_u_m]
