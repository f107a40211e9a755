"""What hangs over the end of a looped pair of rows, and how hard it pulls the two end frames together.

Between the two wires an end bar carries heads by bending. A cross wire carries them as any wire does, by its pull
along itself, which is sideways on the end frames; it is reckoned as drawn of the first row's wire and as tight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from tunneltui.holding.layout import Layout, Loop, Stretch
from tunneltui.loads.clips import StemLoads
from tunneltui.loads.path import hook_u_m
from tunneltui.loads.result import CornerLoad
from tunneltui.loads.wire import hang, wire_of
from tunneltui.season.state import Season
from tunneltui.values import replace


def corner_loads(season: Season, borne: Mapping[str, StemLoads]) -> list[CornerLoad]:
    """Every row end that heads go round, in walking order, save those with nothing overhead and no head."""
    corners = []
    for loop in season.layout.loops.values():
        first = season.layout.rows[loop.stretches[0].row][1]
        for stretch in turning(loop):
            heads = dict(_heads(season, loop, stretch, borne))
            if first.corner == "nothing" and not heads:
                continue
            side_n = None
            if first.corner == "end_bar":
                side_n = 0.0
            elif first.corner == "cross_wire":
                side_n = side_pull_n(season.layout, loop, stretch, list(heads.values()))
            names = tuple(season.leaders[leader].name for leader in heads)
            total_n = sum(newton for _, newton in heads.values())
            corners.append(CornerLoad(loop.id, stretch.row, first.corner, names, total_n, side_n))
    return corners


def turning(loop: Loop) -> tuple[Stretch, ...]:
    """The rows at whose far end heads turn into the other row."""
    if len(loop.stretches) < 2:
        return ()
    return loop.stretches if loop.closed else loop.stretches[:1]


def side_pull_n(layout: Layout, loop: Loop, stretch: Stretch, loads: Sequence[tuple[float, float]]) -> float:
    """Pull of a cross wire under (way across, newton) loads, on either end frame. N."""
    tunnel, row = layout.rows[loop.stretches[0].row]
    across_m = stretch.length_m - layout.rows[stretch.row][1].length_m
    if across_m <= 0:
        return 0.0
    return hang(
        wire_of(replace(row, length_m=across_m, sag_unloaded_m=None), tunnel), [0.0, across_m], loads
    ).pull_n


def _heads(
    season: Season, loop: Loop, stretch: Stretch, borne: Mapping[str, StemLoads]
) -> Iterator[tuple[str, tuple[float, float]]]:
    """Heads that hang between the two rows, by leader id: how far across, and their weight."""
    end_m = stretch.u_start_m + season.layout.rows[stretch.row][1].length_m
    to_m = stretch.u_start_m + stretch.length_m
    for leader in season.leaders_of_loop(loop.id):
        hook = borne[leader.id].hook if leader.id in borne else None
        at_m = hook_u_m(leader, loop) % loop.length_m if loop.closed else hook_u_m(leader, loop)
        if hook is not None and end_m < at_m < to_m:
            yield leader.id, (at_m - end_m, hook.mid_n)
