"""A page for a pipe, for paper, for a reader, for a browser. Pure; see ``page``.

Every renderer takes the units the grower reads; only quantities follow them.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from datetime import date
from html import escape
from typing import TYPE_CHECKING

from tunneltui.cells import METRIC, Mark, Units, day_word, localized, one_line
from tunneltui.pages.lines import GAP, aligned, cell_words, cells_of, head_words, layout
from tunneltui.pages.page import Column, Page, Section
from tunneltui.pages.units import in_force, localize

if TYPE_CHECKING:
    from tunneltui.season.state import Season

WIDTH = 80
LONGEST = 20_000
"""Letters of one text that are printed."""


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
    kept, rooms = layout(section, WIDTH - 2, units, words_wrap=True)
    heads = [head_words(section.columns[n], units) for n in kept]
    if any(heads) and section.items:
        yield "  " + _row(heads, [section.columns[n] for n in kept], rooms)
    for item in section.items:
        if not item.cells:
            yield from wrapped(item.lengths[0] if item.lengths else "", "  ", "    ", units=units)
            for more in item.more:
                yield from wrapped(more, "    ", "      ", units=units)
            continue
        cells = [cell_words(item.cells[n], section.columns[n], units) if n < len(item.cells) else "" for n in kept]
        row = _row(cells, [section.columns[n] for n in kept], rooms)
        words = localized(item.lengths[0], units) if item.lengths else ""
        indent = "  " + " " * (min(len(row), 24) if row else 2)
        yield from wrapped(f"{row}{words}", "  ", indent, keep_gaps=True)
        for more in item.more:
            yield from wrapped(more, "      ", "      ", units=units)


def _row(cells: Sequence[str], columns: Sequence[Column], rooms: Sequence[int]) -> str:
    return "".join(
        f"{aligned(cell, room, column):<{room + GAP}}"
        for cell, column, room in zip(cells, columns, rooms, strict=True)
    )


def wrapped(
    text: str,
    first: str = "",
    rest: str = "  ",
    *,
    keep: str = "",
    units: Units | None = None,
    keep_gaps: bool = False,
) -> list[str]:
    """Lines of at most 80 columns, in the units in force unless others are given.

    ``keep`` stands at the right end of the first.
    """
    room = WIDTH - len(keep) - 2 if keep else WIDTH
    shown = one_line(localized(text, in_force() if units is None else units), LONGEST)
    if keep_gaps and len(first) + len(shown.rstrip()) <= room:
        lines = [first + shown.rstrip()]
    else:
        lines = textwrap.wrap(shown, room, initial_indent=first, subsequent_indent=rest) or [first.rstrip()]
    if keep:
        lines[0] = f"{lines[0]:<{room}}  {keep}"
    return lines


def printed(lines: Sequence[str]) -> str:
    """The lines as one text, in the units in force."""
    return "\n".join(localize(line).rstrip() for line in lines) + "\n" if lines else ""


def day_words(day: date) -> str:
    """Such as ``Thu 20 Aug 2026``; the names are English whatever the machine speaks."""
    return f"{day_word(day)} {day.year}"


def heading(season: Season) -> str:
    return f"{day_words(season.day)}  {season.holding.name}"


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


def beside(page: Page, key: str, units: Units = METRIC, width: int = 0) -> list[str]:
    """All of one line of a list, for beside it: its words in full, then what a list has no room for. Columns that
    a list ``width`` cells wide shows are not said again."""
    section, item = page.find(key)
    if item is None:
        return [localized(section.title, units)]
    shown = layout(section, width, units)[0] if width else ()
    facts = (
        " ".join((column.head, spoken(cell, units))).strip()
        for n, (column, cell) in enumerate(zip(section.columns, item.cells, strict=False))
        if spoken(cell, units) and n not in shown
    )
    sentences = [
        ", ".join(facts),
        *(localized(words, units) for words in (*item.lengths[:1], *item.more, *item.beside)),
    ]
    return [words for words in sentences if words]


def spoken(text: str, units: Units = METRIC) -> str:
    """With the word of every sign in place of the sign."""
    return "".join(cell.word if isinstance(cell, Mark) else cell.shown(units) for cell in cells_of(text)).strip()


def html(page: Page, units: Units = METRIC) -> str:
    """The page as a fragment: headings, tables and paragraphs. Everything a grower wrote is escaped."""
    out = [f"<h1>{_html(localized(page.title, units))}</h1>"] if page.title else []
    for section in page.sections:
        if section.title:
            out.append(f"<h2>{_html(localized(section.title, units))}</h2>")
        out += table_html(section, units) if section.columns else _html_words(section, units)
    out += [f"<p>{_html(localized(words, units))}</p>" for words in page.foot]
    return "\n".join(out)


def _html(text: str) -> str:
    return escape(one_line(text, LONGEST))


def table_html(section: Section, units: Units) -> list[str]:
    """A section of columns; what stands in none of them runs across."""
    words = any(item.lengths or item.more for item in section.items if item.cells)
    heads = [_html(head_words(column, units)) for column in section.columns] + ([""] if words else [])
    out = ["<table>"]
    if any(heads):
        out.append(f"<tr>{''.join(f'<th>{head}</th>' for head in heads)}</tr>")
    for item in section.items:
        if not item.cells:
            content = "<br/>".join(
                _html(localized(sentence, units)) for sentence in (*item.lengths[:1], *item.more)
            )
            out.append(f'<tr><td colspan="{len(heads)}">{content}</td></tr>')
            continue
        cells = [
            _html(cell_words(cell, column, units))
            for cell, column in zip(item.cells, section.columns, strict=False)
        ]
        if words:
            cells.append(
                "<br/>".join(_html(localized(sentence, units)) for sentence in (*item.lengths[:1], *item.more))
            )
        out.append(f"<tr>{''.join(f'<td>{cell}</td>' for cell in cells)}</tr>")
    return [*out, "</table>"]


def _html_words(section: Section, units: Units) -> list[str]:
    return [
        f"<p>{'<br/>'.join(_html(localized(sentence, units)) for sentence in (*item.lengths[:1], *item.more))}</p>"
        for item in section.items
    ]
