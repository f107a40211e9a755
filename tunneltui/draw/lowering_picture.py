"""One head of a lowering from the side: its stem as it will hang, over where it hangs, and the stems beside it."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tunneltui.draw.canvas import Canvas, CanvasRow, View
from tunneltui.draw.row_picture import HOOK, HOOK_ASSUMED, TIP, TURNING_Z, labels, truss_sign
from tunneltui.draw.row_scene import RowScene, StemSeen

METRES_A_COLUMN = 0.06
LEAST_M = 2.4
MARGIN_M = 0.8
"""Drawn at least beside both places of the hook."""
ABOVE_M = 0.06


def lowering_picture(
    scene_now: RowScene, scene_after: RowScene, done: Collection[str], leader: str, columns: int, rows: int
) -> list[CanvasRow]:
    """``scene_now`` is the loop before the lowering, ``scene_after`` after all of it. Leaders in ``done``
    stand as lowered, the others as they hang; ``leader`` as it will, over where it hangs.

    Rows from the top: the strings' numbers, the hook now where it moves, then the view under the wire.
    """
    before, after = _stem(scene_now, leader), _stem(scene_after, leader)
    if before is None or after is None or columns < 8 or rows < 6:
        return []
    canvas = Canvas(columns, rows - 2, _view(scene_now, before, after, columns))
    for string in scene_now.strings:
        canvas.line([(string.u_m, string.top_z_m), (string.u_m, string.foot_z_m)], "string", every=4)
    for stem in _others(scene_now, scene_after, done, leader):
        canvas.line(stem.points, "rule", every=2)
    for wire in scene_now.wires:
        canvas.line(wire, "quiet")
    _hangs(canvas, scene_now, before, "quiet", every=4)
    _hangs(canvas, scene_after, after, "chosen")
    dot_m = (canvas.view.top - canvas.view.bottom) / (4 * canvas.height)
    canvas.line([(u_m, z_m - dot_m) for u_m, z_m in after.points], "chosen", owns=True)
    for truss in after.trusses:
        style = "fruit" if truss.ripeness >= TURNING_Z else "stem"
        canvas.mark(truss.u_m, truss.z_m - 3 * dot_m, truss_sign(truss), style, 3)
    canvas.mark(*after.points[-1], TIP, "chosen", 4)
    numbers = labels(canvas, [(string.u_m, str(string.number), "quiet") for string in scene_now.strings])
    # ``j`` over the place the hook leaves, if it leaves it.
    at = [hook.u_m for scene in (scene_now, scene_after) for hook in scene.hooks if hook.leader == leader]
    moves = len(at) == 2 and canvas.column(at[0]) != canvas.column(at[1])
    hook_now = labels(canvas, [(at[0], HOOK_ASSUMED.glyph, "quiet")] if moves else [])
    return [numbers, hook_now, *canvas.rows()]


def _stem(scene: RowScene, leader: str) -> StemSeen | None:
    return next((stem for stem in scene.stems if stem.leader == leader), None)


def _others(scene_now: RowScene, scene_after: RowScene, done: Collection[str], leader: str) -> Iterator[StemSeen]:
    for scene, is_done in ((scene_now, False), (scene_after, True)):
        yield from (stem for stem in scene.stems if stem.leader != leader and (stem.leader in done) is is_done)


def _view(scene_now: RowScene, before: StemSeen, after: StemSeen, columns: int) -> View:
    hooks = (before.points[-1][0], after.points[-1][0])
    wide_m = max(LEAST_M, columns * METRES_A_COLUMN, abs(hooks[1] - hooks[0]) + 2 * MARGIN_M)
    # More is to be seen of the lying stem than of what comes after the hook.
    left = (hooks[0] + hooks[1]) / 2 - 0.6 * wide_m
    tips = (before.points[-1][1], after.points[-1][1])
    return View(left, left + wide_m, 0.0, max(scene_now.top_m, *tips) + ABOVE_M)


def _hangs(canvas: Canvas, scene: RowScene, stem: StemSeen, style: str, every: int = 1) -> None:
    canvas.line(stem.points, style, every=every, owns=every == 1)
    for hook in scene.hooks:
        if hook.leader == stem.leader:
            canvas.line([(hook.u_m, hook.z_m), (hook.u_m, hook.tip_z_m)], style, every=max(every, 2))
            if every == 1:
                canvas.mark(hook.u_m, hook.z_m, HOOK, style, 4)
