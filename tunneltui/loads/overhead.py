"""From strings, hooks and stems tied up there to each row's wire, and from the wires to the hoops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tunneltui.cells import Range, say
from tunneltui.loads.clips import StemLoads
from tunneltui.loads.hoops import Pull, hoop_loads
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
