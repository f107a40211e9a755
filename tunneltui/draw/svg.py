"""A canvas as SVG to stand inside an HTML page: its strokes and words, with nothing fetched from anywhere."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape

from tunneltui.draw.canvas import Canvas, CanvasRow, row_text

CELL_WIDTH, CELL_HEIGHT = 8, 16
"""Pixels of one character of the canvas."""
INK = "#111111"


def svg(canvas: Canvas, colours: Mapping[str, str], title: str, below: Sequence[CanvasRow] = ()) -> str:
    """As wide as the page lets it be. ``colours`` by style; a style without one is drawn in ink.

    ``title`` is what a screen reader says; ``below`` are rows of words under the canvas, cell by cell.
    """
    width, drawn = canvas.columns * CELL_WIDTH, canvas.height * CELL_HEIGHT
    height = drawn + len(below) * CELL_HEIGHT
    parts = [f'<svg viewBox="0 0 {width} {height}" width="100%" role="img" aria-label="{escape(title)}">']
    for stroke in canvas.strokes:
        points = " ".join(f"{x * width:.1f},{y * drawn:.1f}" for x, y in stroke.points)
        dashes = ' stroke-dasharray="2 4"' if stroke.dotted else ""
        colour = colours.get(stroke.style, INK)
        parts.append(f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="1.5"{dashes}/>')
    parts += [_words(w.x * width, w.y * drawn, w.text, colours.get(w.style, INK)) for w in canvas.words]
    for number, row in enumerate(below):
        y = drawn + (number + 0.5) * CELL_HEIGHT
        parts += [_words(cell * CELL_WIDTH, y, word, INK) for cell, word in _words_of(row)]
    return "\n".join([*parts, "</svg>"]) + "\n"


def _words(x: float, y: float, text: str, colour: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="monospace" font-size="12" '
        f'text-anchor="middle" dominant-baseline="middle" fill="{colour}">{escape(text)}</text>'
    )


def _words_of(row: CanvasRow) -> Iterator[tuple[float, str]]:
    """Every word of a row with the cell of its middle."""
    text = row_text(row)
    at = 0
    for word in text.split():
        at = text.index(word, at)
        yield at + len(word) / 2, word
        at += len(word)
