"""A tunnel seen from above: beds, rows, loops, places with what is to do at each, and which way heads travel."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby

from tunneltui.cells import bed_words
from tunneltui.draw.canvas import Canvas, Row, Sign, View
from tunneltui.holding.layout import Layout, row_id
from tunneltui.holding.model import Row as Standing
from tunneltui.holding.model import Tunnel

FORWARDS, BACKWARDS = Sign("›", ">"), Sign("‹", "<")
EMPTY = Sign("○", "o")
CHOSEN = Sign("↓", "v")
"""Above the chosen place: it is told from the others without colour."""
NAME_CELLS = 12
"""Columns on the left for names of rows and how much is to do in each."""


def plan_picture(
    layout: Layout,
    tunnel: Tunnel,
    columns: int,
    rows: int,
    due: Mapping[str, int],
    chosen: str = "",
    *,
    ascii_only: bool = False,
) -> list[Row]:
    """``due`` is the number of chores by place and by row, ``chosen`` the name of a place.

    The door is on the left; along the tunnel it is drawn to scale, across it every row has the same room.
    """
    names_m = tunnel.length_m * NAME_CELLS / max(columns - NAME_CELLS, 1)
    canvas = Canvas(columns, rows, View(-names_m, tunnel.length_m, -1, 1))
    canvas.line([(0, -1), (0, 1), (tunnel.length_m, 1), (tunnel.length_m, -1), (0, -1)], "rule")
    lanes = _lanes(tunnel)
    _beds(canvas, lanes)
    _turns(canvas, layout, tunnel, lanes)
    for row, y in lanes:
        _row(canvas, layout, row_id(tunnel, row), row, y, due, chosen)
    return canvas.rows(ascii_only=ascii_only)


def rows_across(tunnel: Tunnel) -> list[Standing]:
    """Rows from the left wall to the right one, as seen from the door: downwards in the picture."""
    return sorted(tunnel.rows, key=lambda row: row.across_m)


def _lanes(tunnel: Tunnel) -> list[tuple[Standing, float]]:
    """Each row with its height in the picture."""
    across = rows_across(tunnel)
    return [(row, 1 - 2 * (number + 0.5) / len(across)) for number, row in enumerate(across)]


def _beds(canvas: Canvas, lanes: list[tuple[Standing, float]]) -> None:
    """A bed lies under its rows and ends a little beyond them; beside each other in it, they share one frame."""
    half = 0.7 / max(len(lanes), 1)
    for bed, group in groupby(lanes, key=lambda lane: lane[0].bed):
        within = list(group)
        if bed:
            left = min(row.start_m for row, _ in within)
            right = max(row.start_m + row.length_m for row, _ in within)
            top, bottom = within[0][1] + half, within[-1][1] - half
            canvas.line([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], "rule", every=2)
            canvas.label(left, bottom, f" {bed_words(bed)} ", "quiet", 1)


def _turns(canvas: Canvas, layout: Layout, tunnel: Tunnel, lanes: list[tuple[Standing, float]]) -> None:
    """Where heads pass from one row of a loop into the other."""
    lane = {row_id(tunnel, row): (row, y) for row, y in lanes}
    for loop in layout.loops.values():
        if len(loop.stretches) != 2 or loop.stretches[0].row not in lane:
            continue
        first, second = loop.stretches
        for forwards in (True, False) if loop.closed else (True,):
            ends = [
                _end(*lane[stretch.row], towards=stretch.direction * way)
                for stretch, way in ((first, 1 if forwards else -1), (second, -1 if forwards else 1))
            ]
            canvas.line(ends, "chosen")


def _end(row: Standing, y: float, *, towards: int) -> tuple[float, float]:
    return (row.start_m + row.length_m if towards > 0 else row.start_m), y


def _row(
    canvas: Canvas,
    layout: Layout,
    name: str,
    row: Standing,
    y: float,
    due: Mapping[str, int],
    chosen: str,
) -> None:
    style = "chosen" if any(place.name == chosen for place in row.places) else "quiet"
    start, end = row.start_m, row.start_m + row.length_m
    canvas.line([(start, y), (end, y)], "" if style == "quiet" else "chosen", every=3)
    canvas.label(canvas.view.left, y, f"{name} {due.get(name, 0) or 'none'}", style, 3)
    for place in row.places:
        # Where two places share a character, the one with more to do is shown; nine stands for nine or more.
        count = min(due.get(place.name, 0), 9)
        sign = Sign(str(count), str(count)) if count else EMPTY
        canvas.mark(start + place.x_m, y, sign, "must" if count else style, 2 + count)
    for x in _chosen_x(row, chosen):
        above = (canvas.view.top - canvas.view.bottom) / canvas.height
        canvas.mark(x, y + above, CHOSEN, "chosen", 12)
    loop = layout.loop_of_row[name]
    forwards = next(stretch.direction for stretch in loop.stretches if stretch.row == name) > 0
    canvas.mark(end if forwards else start, y, FORWARDS if forwards else BACKWARDS, "chosen", 1)


def _chosen_x(row: Standing, chosen: str) -> Iterator[float]:
    return (row.start_m + place.x_m for place in row.places if place.name == chosen)
