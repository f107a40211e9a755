"""What strings and hooks carry: the sum of their clips' likely loads, against their twine's knotted strength."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from tunneltui.holding.layout import Layout
from tunneltui.loads.clips import NINETY, StemLoads
from tunneltui.loads.path import hook_u_m
from tunneltui.loads.result import LineLoad
from tunneltui.season.state import Leader, Season


def hook_id(leader: Leader) -> str:
    """Name of a leader's hook among the lines."""
    return f"{leader.name} hook"


def line_loads(season: Season, borne: Mapping[str, StemLoads]) -> list[LineLoad]:
    """Every string and hook that carries something, in walking order: strings, then hooks."""
    return [*_strings(season, borne), *_hooks(season, borne)]


def twine_strength_n(layout: Layout, twine: str, knot_share: float) -> float | None:
    """Rated x knot share x age share; None where the spool's figure is not known."""
    kind = next((kind for kind in layout.holding.twines if kind.key == twine), None)
    if kind is None or kind.breaking_n is None:
        return None
    return kind.breaking_n * knot_share * kind.age_share


def hook_strength_n(season: Season, leader: Leader) -> float | None:
    """Knotted strength of the twine on a leader's hook."""
    kind = next((kind for kind in season.holding.hooks if leader.hook and kind.key == leader.hook.kind), None)
    return twine_strength_n(season.layout, kind.twine, kind.knot_share) if kind is not None else None


def _strings(season: Season, borne: Mapping[str, StemLoads]) -> list[LineLoad]:
    on_string: dict[str, list[tuple[float, float]]] = {}
    for leader in season.leaders.values():
        clips = borne[leader.id].clips if leader.id in borne else {}
        for fixing in leader.fixings:
            if fixing.on == "string" and fixing.id in clips:
                carried = clips[fixing.id]
                on_string.setdefault(fixing.string, []).append((carried.mid_n, carried.sd_n))
    lines = []
    for string in season.strings.values():
        parts = on_string.get(string.id)
        if parts:
            strength_n = twine_strength_n(season.layout, string.twine, string.knot_share)
            mid_n, sd_n = sum(mid for mid, _ in parts), hypot(*(sd for _, sd in parts))
            low_n, high_n = max(0.0, mid_n - NINETY * sd_n), mid_n + NINETY * sd_n
            share = mid_n / strength_n if strength_n else None
            lines.append(LineLoad(string.id, string.row, string.x_m, low_n, mid_n, high_n, share))
    return lines


def _hooks(season: Season, borne: Mapping[str, StemLoads]) -> list[LineLoad]:
    lines = []
    for leader in season.leaders.values():
        hook = borne[leader.id].hook if leader.id in borne else None
        if hook is None:
            continue
        row, x_m = hook_place(leader, season.layout)
        strength_n = hook_strength_n(season, leader)
        share = hook.mid_n / strength_n if strength_n else None
        lines.append(LineLoad(hook_id(leader), row, x_m, hook.low_n, hook.mid_n, hook.high_n, share))
    return lines


def hook_place(leader: Leader, layout: Layout) -> tuple[str, float]:
    """Row and ``x_m`` of the wire a leader's head hangs from."""
    loop = layout.loops.get(leader.loop)
    return loop.row_at(hook_u_m(leader, loop)) if loop else (leader.row, leader.x_m)
