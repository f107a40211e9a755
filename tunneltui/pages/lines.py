"""A page as the lines of a list, for its width in cells. Pure; see ``page``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from tunneltui.cells import METRIC, Cell, Quantity, Range, Sentence, Text, Units, Words, localized, scale
from tunneltui.pages.page import Column, Item, Page, Section

REST_INDENT = 2
"""Cells by which what goes on of a line stands in."""
GAP = 2
"""Cells between columns."""


class Part(NamedTuple):
    """A stretch of a line in one ink."""

    text: str
    style: str = ""
    """A ``cells.Role``, ``bold``, or an ink of the pictures."""
    cells: int = 0
    """At least as wide; 0: as wide as it is."""
    shorter: tuple[str, ...] = ()
    """What says the same in less room, the longest first."""
    rank: int = 0
    """Where there is no room those of the lowest go first, all of them; 0 never goes."""
    right: bool = False
    """Stands at the right of its cells, as figures do."""
    own: bool = False
    """A grower's words, which may be cut in their middle."""


class Line(NamedTuple):
    """One line of a list."""

    key: str
    parts: tuple[Part, ...]
    heading: bool = False
    rest: bool = False
    """Goes on with what the line above says: chosen with it, never alone."""


def list_lines(page: Page, width: int, units: Units = METRIC) -> list[Line]:
    """Every section under its heading, for ``width`` cells: columns by rank, words in the widest length that fits.

    Words that fit in none go on in the lines below, which belong to the first.
    """
    lines: list[Line] = []
    for section in page.sections:
        if section.title:
            lines.append(
                Line(f"section {section.key}", (Part(localized(section.title, units), "heading"),), heading=True)
            )
        kept, rooms = layout(section, width, units)
        heads = [head_words(section.columns[n], units) for n in kept]
        if any(heads):
            parts = [
                Part(aligned(head, room, section.columns[n]), "quiet", room + GAP)
                for head, n, room in zip(heads, kept, rooms, strict=True)
            ]
            lines.append(Line(f"heads {section.key}", tuple(parts), heading=True))
        for item in section.items:
            lines += _item_lines(section, item, kept, rooms, width, units)
    return lines


def _item_lines(
    section: Section, item: Item, kept: Sequence[int], rooms: Sequence[int], width: int, units: Units
) -> list[Line]:
    if not item.cells:
        wrapped_parts = wrapped(_parts(fitting(item.lengths, width, units), units), width, REST_INDENT)
        return [Line(item.key, tuple(parts), rest=n > 0) for n, parts in enumerate(wrapped_parts)]
    parts: list[Part] = []
    for n, room in zip(kept, rooms, strict=True):
        column = section.columns[n]
        cell = item.cells[n] if n < len(item.cells) else ""
        parts += _in_column(cell, column, room, units)
    used = sum(rooms) + GAP * len(rooms)
    first, *rest = wrapped(_parts(fitting(item.lengths, width - used, units), units), width - used, 0)
    indent = Part(" " * used)
    return [
        Line(item.key, (*parts, *first)),
        *(Line(item.key, (indent, *more), rest=True) for more in rest),
    ]


def wrapped(parts: Sequence[Part], width: int, indent: int) -> list[list[Part]]:
    """The parts in lines of at most ``width`` cells, broken between words; those after the first are indented."""
    lines: list[list[Part]] = [[]]
    left = width
    for part in parts:
        for word in re.findall(r"\s*\S+|\s+$", part.text):
            if len(word) > left and lines[-1]:
                if not word.strip():
                    continue
                lines.append([Part(" " * indent)] if indent else [])
                left = width - indent
                word = word.lstrip()
            line = lines[-1]
            if line and line[-1].style == part.style and not line[-1].cells:
                line[-1] = line[-1]._replace(text=line[-1].text + word)
            else:
                line.append(part._replace(text=word))
            left -= len(word)
    return lines


def fitting(lengths: Sequence[str], width: int, units: Units = METRIC) -> str:
    """The first of the lengths that fits, the shortest where none does."""
    return next(
        (words for words in lengths if len(localized(words, units)) <= width), lengths[-1] if lengths else ""
    )


def layout(section: Section, width: int, units: Units, *, words_wrap: bool = False) -> tuple[list[int], list[int]]:
    """Which columns stay, and the room each has; words that wrap ask for none."""
    columns = section.columns
    rooms = [
        max(
            column.room,
            len(head_words(column, units)),
            *(len(cell_words(item.cells[n], column, units)) for item in section.items if n < len(item.cells)),
            0,
        )
        for n, column in enumerate(columns)
    ]
    words = max(
        (
            min(len(localized(x, units)) for x in item.lengths)
            for item in section.items
            if item.cells and item.lengths
        ),
        default=0,
    )
    kept = list(range(len(columns)))
    while sum(rooms[n] + GAP for n in kept) + (0 if words_wrap else words) > width:
        goes = min((n for n in kept if columns[n].rank), key=lambda n: (columns[n].rank, -n), default=None)
        if goes is None:
            break
        kept.remove(goes)
    return kept, [rooms[n] for n in kept]


def head_words(column: Column, units: Units) -> str:
    unit = scale(column.unit, units).name if column.unit else ""
    return " ".join(filter(None, (column.head, unit)))


def cell_words(cell: str, column: Column, units: Units) -> str:
    return "".join(_shown(mark, column, units) for mark in cells_of(cell))


def cells_of(text: str) -> tuple[Cell, ...]:
    return text.cells if isinstance(text, Sentence) else (Text(text),)


def _shown(cell: Cell, column: Column | None, units: Units) -> str:
    if column is not None and column.unit and isinstance(cell, Quantity | Range) and cell.unit == column.unit:
        return cell.figure(units)
    return cell.shown(units)


def aligned(text: str, room: int, column: Column) -> str:
    return f"{text:>{room}}" if column.right else text


def _in_column(cell: str, column: Column, room: int, units: Units) -> list[Part]:
    """The cell's stretches by role, filled up to the room and the gap after it."""
    parts = [Part(_shown(mark, column, units), mark.role, own=isinstance(mark, Text)) for mark in cells_of(cell)]
    missing = room - sum(len(part.text) for part in parts)
    if column.right and missing > 0:
        parts.insert(0, Part(" " * missing))
        missing = 0
    if not parts:
        return [Part("", "", room + GAP)]
    *before, last = parts
    used = sum(len(part.text) for part in before)
    return [*before, last._replace(cells=max(room + GAP - used, 1))]


def _parts(text: str, units: Units) -> list[Part]:
    parts: list[Part] = []
    for cell in text.cells if isinstance(text, Sentence) else (Words(text),):
        shown = cell.shown(units)
        if parts and parts[-1].style == cell.role and not parts[-1].own and not isinstance(cell, Text):
            parts[-1] = parts[-1]._replace(text=parts[-1].text + shown)
        elif shown:
            parts.append(Part(shown, cell.role, own=isinstance(cell, Text)))
    return parts
