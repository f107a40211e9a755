"""A grid of characters to draw on: dots two wide and four high in each (braille), signs and words over them.

What is drawn is kept twice: as rows of text for a terminal or a page of print, and as strokes and words in
fractions of the canvas, for SVG. Coordinates of the drawing functions are those of the ``View``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

BRAILLE = 0x2800
_BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""Bit of a dot by column and row within its character (The Unicode Standard, chapter 21.1, braille patterns)."""
_ACROSS = (0x09, 0x12, 0x24, 0xC0)
"""Both dots of each of the four rows."""


class View(NamedTuple):
    """The part of the world that is drawn."""

    left: float
    right: float
    bottom: float
    top: float


class Sign(NamedTuple):
    """One character, and what stands for it where only ASCII can be shown."""

    glyph: str
    ascii: str


class Run(NamedTuple):
    """A stretch of one row in one style; '' is the plain style."""

    text: str
    style: str


CanvasRow = tuple[Run, ...]
Point = tuple[float, float]


class Stroke(NamedTuple):
    """A line as drawn: points in fractions of the canvas's width and height, from its upper left corner."""

    points: tuple[Point, ...]
    style: str
    dotted: bool


class DrawnWords(NamedTuple):
    """A sign or words as drawn; ``x`` and ``y`` of their middle, in fractions of the canvas."""

    x: float
    y: float
    text: str
    style: str


class Canvas:
    """Made, drawn on, then read out by ``rows``. Later marks lie over earlier ones of the same or a lower rank."""

    def __init__(self, columns: int, rows: int, view: View) -> None:
        self.columns = max(columns, 1)
        self.height = max(rows, 1)
        self.view = view
        self.strokes: list[Stroke] = []
        self.words: list[DrawnWords] = []
        self._dots = [[0] * self.columns for _ in range(self.height)]
        self._styles = [[""] * self.columns for _ in range(self.height)]
        self._owners: dict[tuple[int, int], str] = {}
        """Style of the line that a cell belongs to."""
        self._signs: dict[tuple[int, int], tuple[Sign, str, int]] = {}

    # Where a point of the view lies

    def dot(self, x: float, y: float) -> tuple[int, int]:
        """The dot nearest to a point, counted from the upper left corner; it may lie outside."""
        across, down = self._fraction(x, y)
        return round(across * (2 * self.columns - 1)), round(down * (4 * self.height - 1))

    def cell(self, x: float, y: float) -> tuple[int, int]:
        """Column and row of the character that holds the point's dot."""
        across, down = self.dot(x, y)
        return across // 2, down // 4

    def column(self, x: float) -> int:
        return self.cell(x, self.view.top)[0]

    def _fraction(self, x: float, y: float) -> Point:
        left, right, bottom, top = self.view
        return (x - left) / ((right - left) or 1.0), (top - y) / ((top - bottom) or 1.0)

    # Drawing

    def line(self, points: Sequence[Point], style: str = "", *, every: int = 1, owns: bool = False) -> None:
        """A line through the points; ``every`` 3 sets each third dot only. What lies outside is left away.

        A line that ``owns`` its cells clears the dots of other styles there and lets none in later: a cell has one
        style, and theirs would take it.
        """
        count = 0
        for start, end in pairwise(points):
            inside = _clipped(start, end, self.view)
            if inside is None:
                continue
            self.strokes.append(Stroke(tuple(self._fraction(*point) for point in inside), style, every > 1))
            for across, down in _dots_between(self.dot(*inside[0]), self.dot(*inside[1])):
                if count % every == 0:
                    self._set(across, down, style, owns=owns)
                count += 1

    def bar(self, left: float, right: float, bottom: float, top: float, style: str = "") -> None:
        """A filled box."""
        first, upper = self.dot(left, top)
        last, lower = self.dot(right, bottom)
        corners = ((left, bottom), (left, top), (right, top), (right, bottom), (left, bottom))
        self.strokes.append(Stroke(tuple(self._fraction(*corner) for corner in corners), style, False))
        for across in range(first, last + 1):
            for down in range(upper, lower + 1):
                self._set(across, down, style)

    def mark(self, x: float, y: float, sign: Sign, style: str = "", rank: int = 0) -> bool:
        """A sign over the dot nearest to the point; False where it lies outside or under a higher one."""
        column, row = self.cell(x, y)
        if not self._put(column, row, sign, style, rank):
            return False
        self.words.append(DrawnWords(*self._fraction(x, y), sign.glyph, style))
        return True

    def label(self, x: float, y: float, text: str, style: str = "", rank: int = 0) -> bool:
        """Words that begin at the point's character; moved left where they would run out, False where they would
        cover what is there already."""
        column, row = self.cell(x, y)
        column = max(0, min(column, self.columns - len(text)))
        places = [(column + number, row) for number in range(len(text))]
        if any(place in self._signs and self._signs[place][2] >= rank for place in places):
            return False
        if not 0 <= row < self.height or len(text) > self.columns:
            return False
        for place, character in zip(places, text, strict=True):
            shown = character if character.isprintable() else " "
            self._put(*place, Sign(shown, shown if shown.isascii() else "?"), style, rank)
        self.words.append(
            DrawnWords((column + len(text) / 2) / self.columns, self._fraction(x, y)[1], text, style)
        )
        return True

    def _put(self, column: int, row: int, sign: Sign, style: str, rank: int) -> bool:
        if not (0 <= column < self.columns and 0 <= row < self.height):
            return False
        held = self._signs.get((column, row))
        if held is not None and held[2] > rank:
            return False
        self._signs[column, row] = (sign, style, rank)
        return True

    def _set(self, across: int, down: int, style: str, *, owns: bool = False) -> None:
        column, row = across // 2, down // 4
        if 0 <= column < self.columns and 0 <= row < self.height:
            owner = self._owners.get((column, row))
            if owns and owner != style:
                self._dots[row][column] = 0
                self._owners[column, row] = style
            elif owner is not None and owner != style:
                return
            self._dots[row][column] |= _BITS[across % 2][down % 4]
            self._styles[row][column] = style

    # Reading out

    def rows(self, *, ascii_only: bool = False) -> list[CanvasRow]:
        """The rows as runs of one style."""
        return [
            runs_of([self._cell(column, row, ascii_only) for column in range(self.columns)])
            for row in range(self.height)
        ]

    def text(self, *, ascii_only: bool = False) -> list[str]:
        """The rows as plain text without trailing blanks."""
        return [row_text(row).rstrip() for row in self.rows(ascii_only=ascii_only)]

    def _cell(self, column: int, row: int, ascii_only: bool) -> Run:
        held = self._signs.get((column, row))
        if held is not None:
            sign, style, _ = held
            return Run(sign.ascii if ascii_only else sign.glyph, style)
        dots = self._dots[row][column]
        if not dots:
            return Run(" ", "")
        return Run(ascii_of_dots(dots) if ascii_only else chr(BRAILLE + dots), self._styles[row][column])


def runs_of(cells: Iterable[Run]) -> CanvasRow:
    """Characters joined into runs of one style."""
    grouped = groupby(cells, key=lambda cell: cell.style)
    return tuple(Run("".join(cell.text for cell in group), style) for style, group in grouped)


def row_text(row: CanvasRow) -> str:
    return "".join(run.text for run in row)


def ascii_of_dots(dots: int) -> str:
    """``-`` for dots side by side, ``|`` for dots one above the other, else ``*``; a single dot is ``.``."""
    if dots.bit_count() == 1:
        return "."
    if any(dots & across == dots for across in _ACROSS):
        return "-"
    left, right = dots & 0x47, dots & 0xB8
    return "|" if not left or not right else "*"


def _clipped(start: Point, end: Point, view: View) -> tuple[Point, Point] | None:
    """The part of a line inside the view (Liang and Barsky, ACM Transactions on Graphics 3(1), 1984)."""
    (x0, y0), (x1, y1) = start, end
    enters, leaves = 0.0, 1.0
    for step, room in (
        (x0 - x1, x0 - view.left),
        (x1 - x0, view.right - x0),
        (y0 - y1, y0 - view.bottom),
        (y1 - y0, view.top - y0),
    ):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            enters = max(enters, room / step)
        else:
            leaves = min(leaves, room / step)
    if enters > leaves:
        return None
    return (
        (x0 + enters * (x1 - x0), y0 + enters * (y1 - y0)),
        (x0 + leaves * (x1 - x0), y0 + leaves * (y1 - y0)),
    )


def _dots_between(start: tuple[int, int], end: tuple[int, int]) -> Iterable[tuple[int, int]]:
    """Dots of a straight line, both ends included."""
    steps = max(abs(end[0] - start[0]), abs(end[1] - start[1])) or 1
    for step in range(steps + 1):
        share = step / steps
        yield round(start[0] + share * (end[0] - start[0])), round(start[1] + share * (end[1] - start[1]))
