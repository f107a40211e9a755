"""A canvas as SVG: its strokes and words, with nothing fetched from anywhere."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from tunneltui.draw.canvas import Canvas

CELL_WIDTH, CELL_HEIGHT = 8, 16
"""Pixels of one character of the canvas."""


def svg(canvas: Canvas, colours: Mapping[str, str], *, ground: str = "#ffffff", ink: str = "#111111") -> str:
    """``colours`` by style; a style without one is drawn in ``ink``."""
    width, height = canvas.columns * CELL_WIDTH, canvas.height * CELL_HEIGHT
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}">',
        f'<rect width="{width}" height="{height}" fill="{ground}"/>',
    ]
    for stroke in canvas.strokes:
        points = " ".join(f"{x * width:.1f},{y * height:.1f}" for x, y in stroke.points)
        dashes = ' stroke-dasharray="2 4"' if stroke.dotted else ""
        colour = colours.get(stroke.style, ink)
        parts.append(f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="1.5"{dashes}/>')
    for words in canvas.words:
        colour = colours.get(words.style, ink)
        parts.append(
            f'<text x="{words.x * width:.1f}" y="{words.y * height:.1f}" font-family="monospace" font-size="12" '
            f'text-anchor="middle" dominant-baseline="middle" fill="{colour}">{escape(words.text)}</text>'
        )
    return "\n".join([*parts, "</svg>"]) + "\n"
