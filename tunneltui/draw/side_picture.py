"""One stem from the side, large, its neighbours dim: where it lies, how full its clips are, what it bears."""

from __future__ import annotations

from tunneltui.draw.canvas import Canvas, CanvasRow, Run, View
from tunneltui.draw.row_picture import (
    CLIP,
    CLIP_ASSUMED,
    HOOK,
    HOOK_ASSUMED,
    PROP,
    TIP,
    TURNING_Z,
    labels,
    truss_sign,
)
from tunneltui.draw.row_scene import RowScene, StemSeen

AROUND_M = 1.3
"""Of its neighbours beside the stem."""
ABOVE_M = 0.06
HEAD_CELLS = 9
NEARER = (0.5, 0.7, 1.0, 1.4, 2.0, 3.0, 5.0)
"""How many times nearer it is looked at; 1: the stem and a little beside it."""
SIGNS = (
    "trusses: ▼ ripe  ▽ turning  ▿ green  ✻ flower; ● clip, ○ not seen yet; J hook, j not seen yet; ↑ tip; ⊥ prop"
)


def side_picture(
    scene: RowScene,
    columns: int,
    rows: int,
    chosen: str,
    nearer: float = 1.0,
    *,
    alone: bool = False,
    ascii_only: bool = False,
) -> list[CanvasRow]:
    """The stem ``chosen`` (id of its leader) with the strings' numbers on top. ``alone``: without its neighbours,
    where there is one ink to draw them in; [] where it has no path."""
    stem = next((stem_seen for stem_seen in scene.stems if stem_seen.leader == chosen), None)
    if stem is None or columns < 8 or rows < 4:
        return []
    us = [u_m for u_m, _ in stem.points]
    middle, wide_m = (min(us) + max(us)) / 2, (max(us) - min(us) + 2 * AROUND_M) / nearer
    top = max([scene.top_m, *(z_m for _, z_m in stem.points)]) + ABOVE_M
    canvas = Canvas(columns, rows - 1, View(middle - wide_m / 2, middle + wide_m / 2, 0.0, top))
    view = canvas.view
    canvas.line([(view.left, 0.0), (view.right, 0.0)], "rule")
    for string in scene.strings:
        canvas.line([(string.u_m, string.top_z_m), (string.u_m, string.foot_z_m)], "string", every=4)
    if not alone:
        _neighbours(canvas, scene, chosen)
    for wire in scene.wires:
        canvas.line(wire, "quiet")
    _stem(canvas, scene, stem)
    numbers = [(string.u_m, str(string.number), "quiet") for string in scene.strings]
    head = labels(canvas, numbers)
    if all(run.text == " " for run in head[:HEAD_CELLS]):
        head = (*(Run(sign, "quiet") for sign in " string".ljust(HEAD_CELLS)), *head[HEAD_CELLS:])
    return [head, *canvas.rows(ascii_only=ascii_only)]


def _neighbours(canvas: Canvas, scene: RowScene, chosen: str) -> None:
    for neighbour in scene.stems:
        if neighbour.leader != chosen:
            canvas.line(neighbour.points, "rule", every=2)
            canvas.mark(*neighbour.points[-1], TIP, "rule")
    for hook in scene.hooks:
        if hook.leader != chosen:
            canvas.line([(hook.u_m, hook.z_m), (hook.u_m, hook.tip_z_m)], "rule", every=3)


def _stem(canvas: Canvas, scene: RowScene, stem: StemSeen) -> None:
    dot_m = (canvas.view.top - canvas.view.bottom) / (4 * canvas.height)
    canvas.line(stem.points, "chosen", owns=True)
    # Two dots thick: it is the one that is followed.
    canvas.line([(u_m, z_m + dot_m) for u_m, z_m in stem.points], "chosen", owns=True)
    for hook in scene.hooks:
        if hook.leader == stem.leader:
            canvas.line([(hook.u_m, hook.z_m), (hook.u_m, hook.tip_z_m)], "chosen", every=2)
            canvas.mark(hook.u_m, hook.z_m, HOOK_ASSUMED if hook.assumed else HOOK, "chosen", 6)
    for truss in stem.trusses:
        ink = "fruit" if truss.ripeness >= TURNING_Z else "stem"
        canvas.mark(truss.u_m, truss.z_m - 3 * dot_m, truss_sign(truss), ink, 3)
    canvas.mark(*stem.points[-1], TIP, "chosen", 5)
    cell_m = (canvas.view.right - canvas.view.left) / canvas.columns
    at_head = False
    for clip in sorted(scene.clips, key=lambda clip: -clip.share):
        if clip.leader == stem.leader:
            canvas.mark(clip.u_m, clip.z_m, CLIP_ASSUMED if clip.assumed else CLIP, clip.warn, 4)
            hangs = abs(clip.u_m - stem.points[-1][0]) < cell_m
            if not (hangs and at_head):
                # Of those at the head the fullest: they hang one over the other.
                canvas.label(clip.u_m - 2 * cell_m, clip.z_m + 4 * dot_m, f"{clip.share:.0%}", clip.warn, 4)
            at_head |= hangs
    for u_m, z_m in scene.props:
        canvas.mark(u_m, z_m, PROP, "", 2)
