"""The side view of a row: a scene drawn on a canvas, with shapes for every state so that none rests on colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from tunneltui.draw.canvas import Canvas, CanvasRow, Run, Sign, View
from tunneltui.draw.row_scene import RowScene, StemSeen, TrussSeen

CLIP, CLIP_ASSUMED = Sign("●", "O"), Sign("○", "o")
"""Seen closed; set by a tick and not seen yet."""
FLOWER, GREEN, TURNING, RIPE = Sign("✻", "f"), Sign("▿", "v"), Sign("▽", "y"), Sign("▼", "Y")
TURNING_Z = 0.85
"""Development from which a truss is drawn as turning (looks only)."""
TIP, HOOK, HOOK_ASSUMED = Sign("↑", "^"), Sign("J", "J"), Sign("j", "j")
WEAK, PROP = Sign("!", "!"), Sign("⊥", "_")
TRUSSES_BELOW_M = 0.06
"""Metres a dot below which every leader's trusses are drawn; wider, the chosen one's only."""
MARGIN_M = 0.4
LABEL_ROWS = 2


class Window(NamedTuple):
    """What of the loop is shown: its middle, and how many times it is drawn larger than whole."""

    middle_u_m: float
    zoom: float = 1.0


def truss_sign(truss: TrussSeen) -> Sign:
    if truss.ripeness < 0.1:
        return FLOWER
    if truss.ripeness < TURNING_Z:
        return GREEN
    return TURNING if truss.ripeness < 1.0 else RIPE


def window_view(scene: RowScene, window: Window) -> View:
    """The part of the scene that a window shows."""
    whole = scene.length_m + 2 * MARGIN_M
    width = whole / max(window.zoom, 1.0)
    left = min(max(window.middle_u_m - width / 2, -MARGIN_M), scene.length_m + MARGIN_M - width)
    tips = [z for stem in scene.stems for _, z in stem.points[-1:]]
    top = max([scene.top_m, scene.reach_m, *tips]) + 0.12
    return View(left, left + width, 0.0, top)


def draw_scene(scene: RowScene, columns: int, rows: int, window: Window, chosen: str = "") -> Canvas:
    """The scene without its labels; ``chosen`` is the id of the leader drawn bright."""
    canvas = Canvas(columns, rows, window_view(scene, window))
    view = canvas.view
    canvas.line([(view.left, 0.0), (view.right, 0.0)], "rule")
    canvas.line([(view.left, scene.reach_m), (view.right, scene.reach_m)], "rule", every=6)
    for string in scene.strings:
        canvas.line([(string.u_m, string.top_z_m), (string.u_m, string.foot_z_m)], "string", every=3)
    for hook in scene.hooks:
        style = "chosen" if hook.leader == chosen else "string"
        canvas.line([(hook.u_m, hook.z_m), (hook.u_m, hook.tip_z_m)], style, every=2)
    for stem in sorted(scene.stems, key=lambda stem: stem.leader == chosen):
        canvas.line(stem.points, "chosen" if stem.leader == chosen else "stem")
    for wire in scene.wires:
        canvas.line(wire, "quiet")
    _marks(canvas, scene, chosen)
    return canvas


def _marks(canvas: Canvas, scene: RowScene, chosen: str) -> None:
    metres_a_dot = (canvas.view.right - canvas.view.left) / (2 * canvas.columns)
    for stem in scene.stems:
        if stem.leader == chosen or metres_a_dot < TRUSSES_BELOW_M:
            for truss in stem.trusses:
                style = "fruit" if truss.ripeness >= TURNING_Z else "stem"
                canvas.mark(truss.u_m, truss.z_m, truss_sign(truss), style, 1 + 4 * (stem.leader == chosen))
        canvas.mark(
            *stem.points[-1], TIP, "chosen" if stem.leader == chosen else "stem", 2 + 4 * (stem.leader == chosen)
        )
    for hook in scene.hooks:
        sign = HOOK_ASSUMED if hook.assumed else HOOK
        style = "chosen" if hook.leader == chosen else "quiet"
        canvas.mark(hook.u_m, hook.z_m, sign, style, 2 + 4 * (hook.leader == chosen))
    for clip in sorted(scene.clips, key=lambda clip: clip.share):
        rank = 3 + 4 * (clip.leader == chosen)
        canvas.mark(clip.u_m, clip.z_m, CLIP_ASSUMED if clip.assumed else CLIP, clip.warn or "", rank)
    for u_m, z_m in scene.props:
        canvas.mark(u_m, z_m, PROP, "", 2)
    for string in scene.strings:
        if string.weak:
            canvas.mark(string.u_m, string.top_z_m - 0.1, WEAK, "must", 2)
    # A ``!`` beside each clip that would take something down.
    beside_m = 2 * (canvas.view.right - canvas.view.left) / (2 * canvas.columns)
    for clip in scene.clips:
        if clip.weak:
            canvas.mark(clip.u_m + beside_m, clip.z_m, WEAK, "must", 2)


def label_rows(canvas: Canvas, scene: RowScene, chosen: str = "") -> list[CanvasRow]:
    """Under the soil: numbers of the strings, then names of the stems where they come up; the chosen one first."""
    strings = [(string.u_m, str(string.number), "quiet") for string in scene.strings]
    stems = sorted(scene.stems, key=lambda stem: stem.leader != chosen)
    names = [(stem.points[0][0], _short(stem), "chosen" if stem.leader == chosen else "quiet") for stem in stems]
    return [labels(canvas, strings), labels(canvas, names)]


def _short(stem: StemSeen) -> str:
    return stem.name.rpartition("-")[2] or stem.name


def labels(canvas: Canvas, places: Iterable[tuple[float, str, str]]) -> CanvasRow:
    """Words at places of the view, each with its style; one that would touch another is left out."""
    cells = [Run(" ", "")] * canvas.columns
    for u_m, text, style in places:
        first = canvas.column(u_m) - len(text) // 2
        span = range(first - 1, first + len(text) + 1)
        free = all(not 0 <= at < canvas.columns or cells[at].text == " " for at in span)
        if free and first >= 0 and first + len(text) <= canvas.columns and text.isprintable():
            for number, character in enumerate(text):
                cells[first + number] = Run(character, style)
    return tuple(cells)


def row_picture(
    scene: RowScene,
    columns: int,
    rows: int,
    window: Window,
    chosen: str = "",
    *,
    ascii_only: bool = False,
) -> list[CanvasRow]:
    """The whole picture: rows on top with their names, the view, the labels under the soil."""
    canvas = draw_scene(scene, columns, rows - LABEL_ROWS - 1, window, chosen)
    names = [(u_m, f"row {row}", "quiet") for u_m, row in scene.rows]
    turns = [(u_m, "/", "quiet") for u_m in scene.turn_u_m]
    above = labels(canvas, [*turns, *names])
    return [above, *canvas.rows(ascii_only=ascii_only), *label_rows(canvas, scene, chosen)]


def plain_rows(rows: Sequence[CanvasRow]) -> list[str]:
    return ["".join(run.text for run in row).rstrip() for row in rows]
