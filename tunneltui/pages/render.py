"""A page as the lines of a list, as 80-column text, as what a reader says, as HTML. Pure; see ``page``.

Every renderer takes the units the grower reads; only quantities follow them.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from html import escape
from typing import NamedTuple

from tunneltui.cells import METRIC, Band, Cell, Mark, Quantity, Sentence, Text, Units, localized, scale
from tunneltui.pages.page import Column, Item, Page, Section

WIDTH = 80
GAP = 2
"""Cells between columns."""


class Span(NamedTuple):
    """A stretch of a line in one role; ``room`` 0: as long as it is."""

    text: str
    role: str = ""
    room: int = 0


class ListLine(NamedTuple):
    """One line of a list."""

    key: str
    spans: tuple[Span, ...]
    heading: bool = False


def list_lines(page: Page, width: int, units: Units = METRIC) -> list[ListLine]:
    """Every section under its heading, for ``width`` cells: columns by rank, words in the widest length that fits.

    Only what a grower wrote may be longer than that; the list cuts it.
    """
    lines: list[ListLine] = []
    for section in page.sections:
        if section.title:
            lines.append(
                ListLine(
                    f"section {section.key}", (Span(localized(section.title, units), "heading"),), heading=True
                )
            )
        kept, rooms = _layout(section, width, units)
        heads = [_head(section.columns[n], units) for n in kept]
        if any(heads):
            spans = [
                Span(_aligned(head, room, section.columns[n]), "quiet", room + GAP)
                for head, n, room in zip(heads, kept, rooms, strict=True)
            ]
            lines.append(ListLine(f"heads {section.key}", tuple(spans), heading=True))
        for item in section.items:
            lines.append(_list_line(section, item, kept, rooms, width, units))
    return lines


def _list_line(
    section: Section, item: Item, kept: Sequence[int], rooms: Sequence[int], width: int, units: Units
) -> ListLine:
    spans: list[Span] = []
    for n, room in zip(kept, rooms, strict=True):
        column = section.columns[n]
        cell = item.cells[n] if n < len(item.cells) else ""
        spans += _in_column(cell, column, room, units)
    left = width - sum(rooms) - GAP * len(rooms)
    spans += _spans(fitting(item.lengths, left, units), units)
    return ListLine(item.key, tuple(spans))


def fitting(lengths: Sequence[str], width: int, units: Units = METRIC) -> str:
    """The first of the lengths that fits, the shortest where none does."""
    return next(
        (words for words in lengths if len(localized(words, units)) <= width), lengths[-1] if lengths else ""
    )


def _layout(section: Section, width: int, units: Units) -> tuple[list[int], list[int]]:
    """Which columns stay, and the room each has."""
    columns = section.columns
    rooms = [
        max(
            column.room,
            len(_head(column, units)),
            *(len(_cell(item.cells[n], column, units)) for item in section.items if n < len(item.cells)),
            0,
        )
        for n, column in enumerate(columns)
    ]
    words = max(
        (min(len(localized(x, units)) for x in item.lengths) for item in section.items if item.lengths), default=0
    )
    kept = list(range(len(columns)))
    while sum(rooms[n] + GAP for n in kept) + words > width:
        goes = min((n for n in kept if columns[n].rank), key=lambda n: (columns[n].rank, -n), default=None)
        if goes is None:
            break
        kept.remove(goes)
    return kept, [rooms[n] for n in kept]


def _head(column: Column, units: Units) -> str:
    unit = scale(column.unit, units).name if column.unit else ""
    return " ".join(filter(None, (column.head, unit)))


def _cell(cell: str, column: Column, units: Units) -> str:
    return "".join(_shown(one, column, units) for one in _cells_of(cell))


def _cells_of(text: str) -> tuple[Cell, ...]:
    return text.cells if isinstance(text, Sentence) else (Text(text),)


def _shown(cell: Cell, column: Column | None, units: Units) -> str:
    if column is not None and column.unit and isinstance(cell, Quantity | Band) and cell.unit == column.unit:
        return cell.figure(units)
    return cell.shown(units)


def _aligned(text: str, room: int, column: Column) -> str:
    return f"{text:>{room}}" if column.right else text


def _in_column(cell: str, column: Column, room: int, units: Units) -> list[Span]:
    """The cell's stretches by role, filled up to the room and the gap after it."""
    spans = [Span(_shown(one, column, units), one.role) for one in _cells_of(cell)]
    missing = room - sum(len(span.text) for span in spans)
    if column.right and missing > 0:
        spans.insert(0, Span(" " * missing))
        missing = 0
    if not spans:
        return [Span("", "", room + GAP)]
    *before, last = spans
    used = sum(len(span.text) for span in before)
    return [*before, last._replace(room=max(room + GAP - used, 1))]


def _spans(text: str, units: Units) -> list[Span]:
    spans: list[Span] = []
    for cell in _cells_of(text):
        shown = cell.shown(units)
        if spans and spans[-1].role == cell.role:
            spans[-1] = spans[-1]._replace(text=spans[-1].text + shown)
        elif shown:
            spans.append(Span(shown, cell.role))
    return spans


def plain_text(page: Page, units: Units = METRIC) -> str:
    """The page for a pipe or paper: at most 80 columns, what does not fit is wrapped."""
    lines = [*wrapped(page.title, units=units)] if page.title else []
    for section in page.sections:
        if section.title:
            lines += [*([""] if lines else []), *wrapped(section.title, units=units)]
        lines += _table(section, units)
    for words in page.foot:
        lines += wrapped(words, units=units)
    return "\n".join(line.rstrip() for line in lines) + "\n" if lines else ""


def _table(section: Section, units: Units) -> Iterator[str]:
    kept, rooms = _layout(section, WIDTH - 2, units)
    heads = [_head(section.columns[n], units) for n in kept]
    if any(heads) and section.items:
        yield "  " + _row(heads, [section.columns[n] for n in kept], rooms)
    for item in section.items:
        cells = [_cell(item.cells[n], section.columns[n], units) if n < len(item.cells) else "" for n in kept]
        row = _row(cells, [section.columns[n] for n in kept], rooms)
        words = localized(item.lengths[0], units) if item.lengths else ""
        indent = "  " + " " * (min(len(row), 24) if row else 2)
        yield from wrapped(f"{row}{words}", "  ", indent, keep_gaps=True)
        for more in item.more:
            yield from wrapped(more, "      ", "      ", units=units)


def _row(cells: Sequence[str], columns: Sequence[Column], rooms: Sequence[int]) -> str:
    return "".join(
        f"{_aligned(cell, room, column):<{room + GAP}}"
        for cell, column, room in zip(cells, columns, rooms, strict=True)
    )


def wrapped(
    text: str, first: str = "", rest: str = "  ", *, keep: str = "", units: Units = METRIC, keep_gaps: bool = False
) -> list[str]:
    """Lines of at most 80 columns; ``keep`` stands at the right end of the first."""
    room = WIDTH - len(keep) - 2 if keep else WIDTH
    shown = localized(text, units)
    if keep_gaps and len(first) + len(shown.rstrip()) <= room:
        lines = [first + shown.rstrip()]
    else:
        lines = textwrap.wrap(shown, room, initial_indent=first, subsequent_indent=rest) or [first.rstrip()]
    if keep:
        lines[0] = f"{lines[0]:<{room}}  {keep}"
    return lines


def reader_lines(page: Page, units: Units = METRIC) -> list[str]:
    """One thing a line, its facts with commas between them, each cell of a table after its head; no signs."""
    lines = [spoken(page.title, units)] if page.title else []
    for section in page.sections:
        if section.title:
            lines.append(f"{spoken(section.title, units)}:")
        for item in section.items:
            facts = [
                " ".join(filter(None, (column.head, spoken(cell, units))))
                for column, cell in zip(section.columns, item.cells, strict=False)
                if spoken(cell, units)
            ]
            facts += [spoken(item.lengths[0], units)] if item.lengths else []
            lines.append(", ".join(facts))
            lines += [spoken(more, units) for more in item.more]
    return [*lines, *(spoken(words, units) for words in page.foot)]


def spoken(text: str, units: Units = METRIC) -> str:
    """With the word of every sign in place of the sign."""
    return "".join(cell.word if isinstance(cell, Mark) else cell.shown(units) for cell in _cells_of(text)).strip()


def html(page: Page, units: Units = METRIC) -> str:
    """The page as a fragment: headings, tables and paragraphs. Everything a grower wrote is escaped."""
    out = [f"<h1>{escape(localized(page.title, units))}</h1>"] if page.title else []
    for section in page.sections:
        if section.title:
            out.append(f"<h2>{escape(localized(section.title, units))}</h2>")
        out += _html_table(section, units) if section.columns else _html_words(section, units)
    out += [f"<p>{escape(localized(words, units))}</p>" for words in page.foot]
    return "\n".join(out)


def _html_table(section: Section, units: Units) -> list[str]:
    words = any(item.lengths or item.more for item in section.items)
    heads = [escape(_head(column, units)) for column in section.columns] + ([""] if words else [])
    out = ["<table>"]
    if any(heads):
        out.append(f"<tr>{''.join(f'<th>{head}</th>' for head in heads)}</tr>")
    for item in section.items:
        cells = [
            escape(_cell(cell, column, units)) for cell, column in zip(item.cells, section.columns, strict=False)
        ]
        if words:
            cells.append("<br>".join(escape(localized(said, units)) for said in (*item.lengths[:1], *item.more)))
        out.append(f"<tr>{''.join(f'<td>{cell}</td>' for cell in cells)}</tr>")
    return [*out, "</table>"]


def _html_words(section: Section, units: Units) -> list[str]:
    return [
        f"<p>{'<br>'.join(escape(localized(said, units)) for said in (*item.lengths[:1], *item.more))}</p>"
        for item in section.items
    ]
