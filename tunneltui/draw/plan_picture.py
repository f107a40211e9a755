"""A tunnel seen from above: beds, rows, places with what is to do at each, and which way heads travel."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.draw.canvas import Canvas, Row, Sign, View
from tunneltui.holding.layout import Layout, row_id
from tunneltui.holding.model import Tunnel

FORWARDS, BACKWARDS = Sign("›", ">"), Sign("‹", "<")
EMPTY = Sign("·", ".")


def plan_picture(
    layout: Layout,
    tunnel: Tunnel,
    columns: int,
    rows: int,
    due: Mapping[str, int],
    chosen_row: str = "",
    *,
    ascii_only: bool = False,
) -> list[Row]:
    """``due`` is the number of chores by place and by row. The door is on the left, drawn not to scale across."""
    name_cells = 12
    canvas = Canvas(
        columns, rows, View(-tunnel.length_m * name_cells / max(columns - name_cells, 1), tunnel.length_m, -1, 1)
    )
    left, right = 0.0, tunnel.length_m
    canvas.line([(left, -1), (left, 1), (right, 1), (right, -1), (left, -1)], "soil")
    across = sorted(tunnel.rows, key=lambda row: row.across_m)
    for index, row in enumerate(across):
        name = row_id(tunnel, row)
        style = "bright" if name == chosen_row else "name"
        y = 1 - 2 * (index + 0.5) / len(across)
        start, end = row.start_m, row.start_m + row.length_m
        canvas.line([(start, y), (end, y)], "wire" if name != chosen_row else "bright", every=3)
        total = due.get(name, 0)
        canvas.label(canvas.view.left, y, f"{name} {total or 'none'}", style, 3)
        for place in row.places:
            count = due.get(place.name, 0)
            sign = Sign(str(min(count, 9)), str(min(count, 9))) if count else EMPTY
            canvas.mark(row.start_m + place.x_m, y, sign, "red" if count else style, 2)
        _way(canvas, layout, name, start, end, y)
    return canvas.rows(ascii_only=ascii_only)


def _way(canvas: Canvas, layout: Layout, name: str, start: float, end: float, y: float) -> None:
    """An arrow at the end towards which heads travel."""
    loop = layout.loop_of_row[name]
    forwards = next(stretch.direction for stretch in loop.stretches if stretch.row == name) > 0
    canvas.mark(end if forwards else start, y, FORWARDS if forwards else BACKWARDS, "hook", 1)
