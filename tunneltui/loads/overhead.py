"""From strings, hooks and stems tied up there to each row's wire, and from the wires to the hoops.

Hoops are held against the figure their maker allows for a crop: wind, snow and the tunnel's own weight are not
reckoned, and real hoops are neither semicircles nor pinned (two-hinged arch, textbook form). A load on one side
bends a hoop more than the same on both: that is called out.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from tunneltui.cells import Range, say
from tunneltui.holding.model import Tunnel
from tunneltui.loads.clips import StemLoads
from tunneltui.loads.masses import GRAVITY_M_PER_S2
from tunneltui.loads.result import HoopLoad, LineLoad, WireLoad
from tunneltui.loads.wire import HangingWire, hang, hangers_m, wire_of
from tunneltui.season.state import Season


def wires(season: Season, borne: Mapping[str, StemLoads], lines: Sequence[LineLoad]) -> dict[str, HangingWire]:
    """Every row's wire with what hangs from it today, by row."""
    on_wire: dict[str, list[tuple[float, float]]] = {row: [] for row in season.layout.rows}
    for line in lines:
        on_wire.setdefault(line.row, []).append((line.x_m, line.mid_n))
    for leader in season.leaders.values():
        loop = season.layout.loops.get(leader.loop)
        for fixing in leader.fixings:
            if fixing.on == "wire" and leader.id in borne and fixing.id in borne[leader.id].clips:
                row, x_m = loop.row_at(fixing.u_m) if loop else (leader.row, leader.x_m)
                on_wire.setdefault(row, []).append((x_m, borne[leader.id].clips[fixing.id].mid_n))
    return {
        name: hang(wire_of(row, tunnel), hangers_m(row, tunnel), on_wire[name])
        for name, (tunnel, row) in season.layout.rows.items()
    }


def wire_loads(season: Season, hanging: Mapping[str, HangingWire]) -> list[WireLoad]:
    """Each span of each wire, nearest to breaking first; where that is unknown, by tension."""
    spans = []
    for name, wire in hanging.items():
        breaking_n = season.layout.rows[name][1].wire_breaking_n
        for span in wire.spans:
            share = span.tension_n / breaking_n if breaking_n is not None else None
            between = say("{}", Range(span.start_m, span.end_m, "m"))
            spans.append(WireLoad(name, between, span.tension_n, span.sag_m, wire.pull_n, share))
    return sorted(spans, key=lambda load: (-(load.share or 0.0), -load.tension_n, load.row, load.span))


def hoops(season: Season, hanging: Mapping[str, HangingWire]) -> list[HoopLoad]:
    """Each hoop's crop load, nearest to its maker's figure first; where that is unknown, by load."""
    loaded = []
    for tunnel in season.holding.tunnels:
        pulls = [
            Pull(row.start_m + x_m, row.across_m, newton)
            for name, (stands_in, row) in season.layout.rows.items()
            if stands_in.key == tunnel.key
            for x_m, newton in hanging[name].hangers
        ]
        loaded += hoop_loads(tunnel, pulls)
    return sorted(
        loaded, key=lambda hoop: (-(hoop.load_n / hoop.allowed_n if hoop.allowed_n else 0.0), -hoop.load_n)
    )


def unknown_wires(season: Season, lines: Sequence[LineLoad]) -> list[str]:
    """A sentence for every wire that carries something and whose breaking force nobody noted."""
    loaded = {line.row for line in lines}
    return [
        f"Row {name}: the breaking force of its wire is not noted, so how full the wire is cannot be told."
        for name, (_, row) in season.layout.rows.items()
        if row.wire_breaking_n is None and name in loaded
    ]


ONE_SIDED_SHARE = 2 / 3
"""A hoop counts as loaded on one side when that side brings more than this of its load (assumed)."""


class Pull(Struct, frozen=True):
    """What one hanger passes down to the tunnel."""

    x_m: float
    """Along the tunnel from the door."""
    across_m: float
    """From the left wall; 0 where the holding does not say."""
    newton: float


def hoop_loads(tunnel: Tunnel, pulls: Iterable[Pull]) -> list[HoopLoad]:
    """Load of every hoop that gets any. A hanger between two hoops loads both by the lever."""
    count = int(tunnel.length_m / tunnel.hoop_every_m + 1e-9)
    places = [i * tunnel.hoop_every_m for i in range(count + 1)]
    left, right, unplaced = ([0.0] * len(places) for _ in range(3))
    for pull in pulls:
        sides = unplaced if pull.across_m <= 0 else left if pull.across_m < tunnel.width_m / 2 else right
        i = bisect_right(places, pull.x_m) - 1
        if i < 0 or i >= len(places) - 1:
            sides[max(0, i)] += pull.newton
            continue
        share = (pull.x_m - places[i]) / (places[i + 1] - places[i])
        sides[i] += (1 - share) * pull.newton
        sides[i + 1] += share * pull.newton
    allowed = tunnel.crop_allowed_kg_per_hoop
    allowed_n = allowed * GRAVITY_M_PER_S2 if allowed is not None else None
    hoops = []
    for x_m, left_n, right_n, somewhere in zip(places, left, right, unplaced, strict=True):
        load_n = left_n + right_n + somewhere
        if load_n > 0:
            one_sided = max(left_n, right_n) > ONE_SIDED_SHARE * load_n
            hoops.append(HoopLoad(tunnel.key, x_m, load_n, allowed_n, one_sided))
    return hoops
