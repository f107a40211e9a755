"""A sheet's rows as a table: where its heading is, what its columns are called and measured in, where it ends.

Titles and notes stand above many a heading, a second heading row or a row of units below it, totals at the end.
What was passed over is told; nothing is guessed in silence.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tunneltui.cells import say
from tunneltui.holding.user_error import UserError
from tunneltui.pages.sheets import HEADING
from tunneltui.store.sheet_days import is_a_day
from tunneltui.store.sheet_file import Grid, SheetLine, read_grid
from tunneltui.store.sheet_numbers import DecimalSign, decimal_sign, is_a_number
from tunneltui.store.sheet_words import known_anywhere, plain, sums_up, unit_in, unit_of
from tunneltui.values import replace

LOOKED_FOR_HEADING = 40
"""Rows in which a heading is looked for."""


@dataclass(frozen=True, slots=True)
class RefusedRow:
    """One row, or one value of it, that was not taken."""

    line: int
    why: str


@dataclass(frozen=True, slots=True)
class Table:
    file: str
    """Name to show."""
    columns: tuple[str, ...]
    lines: tuple[SheetLine, ...]
    decimal: DecimalSign | None
    """The sign before decimals; None where no cell tells and none needs to."""
    title: str = ""
    """What stands above the heading."""
    units: Mapping[str, str] = field(default_factory=dict)
    """Units by column, from its heading or a row of units."""
    notes: tuple[str, ...] = ()
    """What was found out about the sheet, each a sentence."""
    left_out: tuple[RefusedRow, ...] = ()
    """Rows that sum up others."""
    groups: tuple[tuple[str, str], ...] = ()
    """Of a sheet with two heading rows, what stands in the upper and in the lower, column by column."""
    places: Mapping[str, int] = field(default_factory=dict)
    """Where each column is."""
    below: tuple[Table, ...] = ()
    """Tables of the same heading that stand below this one, each with a title of its own."""

    @property
    def shape(self) -> str:
        """What files of one kind have in common: their headings in order."""
        return ",".join(self.columns)

    def cell(self, line: SheetLine, column: str) -> str:
        place = self.places[column]
        return line.cells[place].strip() if place < len(line.cells) else ""


def read_table(
    path: Path, *, sheet: str | None = None, skip: int | None = None, decimal: DecimalSign | None = None
) -> Table:
    """The table in a file; ``skip`` is how many of its lines stand above the heading.

    Raises:
        UserError: it cannot be opened or holds no table.
        Doubt: it has several sheets, or its numbers may be read in two ways.
    """
    return table_of(read_grid(path, sheet), skip, decimal)


def table_of(grid: Grid, skip: int | None = None, decimal: DecimalSign | None = None) -> Table:
    """The table in the rows of a sheet."""
    rows = grid.rows if skip is None else tuple(row for row in grid.rows if row.number > skip)
    at = 0 if skip is not None else _heading_at(rows)
    if len(rows) < at + 2:
        raise UserError(
            f"{grid.file} holds no rows below a heading.",
            "The first line names the columns; --skip N says how many lines stand above it.",
        )
    head = [cell.strip() for cell in rows[at].cells]
    top, below, groups, unit_row = at, at + 1, [], list[str]()
    if at and skip is None and _is_upper(rows[at - 1], rows[at]):
        groups = _grouped(rows[at - 1], head)
        top -= 1
    elif len(rows) > at + 2 and _is_lower(rows[at], rows[at + 1]):
        groups = _grouped(rows[at], [cell.strip() for cell in rows[at + 1].cells])
        below += 1
    if len(rows) > below + 1 and _is_unit_row(rows[below]):
        unit_row = [unit_of(cell) for cell in rows[below].cells]
        below += 1
    columns = _named([f"{upper} {lower}".strip() for upper, lower in groups] if groups else head)
    body, left_out = _without_totals(rows[below:])
    body, blocks = _blocks(rows[at], body)
    if not body:
        raise UserError(f"{grid.file} holds no rows below a heading.", "The first line names the columns.")
    units = {
        column: unit
        for place, column in enumerate(columns)
        if (unit := unit_in(column) or (unit_row[place] if place < len(unit_row) else ""))
    }
    title = " ".join(cell.strip() for row in rows[:top] for cell in row.cells if cell.strip())
    notes = [say(HEADING, rows[at].number)] if top else []
    in_title = unit_in(title)
    units_at = [units.get(column, in_title) for column in columns]
    sign = decimal or decimal_sign(grid.file, body, units_at, by_point=grid.delimiter in ("", ","))
    return Table(
        grid.file,
        columns,
        body,
        sign,
        title=title,
        units=units,
        notes=tuple(notes),
        left_out=tuple(left_out),
        groups=tuple(groups),
        places={column: place for place, column in reversed(list(enumerate(columns)))},
        below=tuple(
            table_of(replace(grid, rows=block), 0 if skip is not None else None, sign) for block in blocks
        ),
    )


def _blocks(
    heading: SheetLine, body: Sequence[SheetLine]
) -> tuple[tuple[SheetLine, ...], list[tuple[SheetLine, ...]]]:
    """The rows of the first table, and those of every further one under the same heading with its own title; where
    the heading only stands again, as on each page of a print, it is passed over."""
    names = [cell.strip().casefold() for cell in heading.cells]
    again = [n for n, row in enumerate(body) if [cell.strip().casefold() for cell in row.cells] == names]
    begins = [n for n in again if n and _filled(body[n - 1]) == 1 < _filled(heading)]
    ends = [*(n - 1 for n in begins), len(body)]
    rows = tuple(row for n, row in enumerate(body[: ends[0]]) if n not in again)
    return rows, [tuple(body[n - 1 : end]) for n, end in zip(begins, ends[1:], strict=True)]


def _heading_at(rows: Sequence[SheetLine]) -> int:
    """The row that names the columns: of the first rows, the one with the most headings that are known and figures
    or days below it; where none is known, the first as wide as most."""
    looked = rows[:LOOKED_FOR_HEADING]
    counts = [_known(row) if _names_columns(rows, place) else 0 for place, row in enumerate(looked)]
    if max(counts, default=0):
        return counts.index(max(counts))
    widths = Counter(_filled(row) for row in rows[: LOOKED_FOR_HEADING * 2])
    usual = max(widths, key=lambda width: (widths[width], width), default=0)
    return next((place for place, row in enumerate(looked) if _filled(row) >= min(usual, 2)), 0)


def _filled(row: SheetLine) -> int:
    return sum(1 for cell in row.cells if cell.strip())


def _known(row: SheetLine) -> int:
    return len({cell for cell in row.cells if cell.strip() and not is_a_number(cell) and known_anywhere(cell)})


def _names_columns(rows: Sequence[SheetLine], place: int) -> bool:
    """Whether the row may be a heading: figures or days stand below it, and it is no title."""
    filled = _filled(rows[place])
    if filled < 2 and any(_filled(row) > 1 for row in rows[place + 1 : place + 4]):
        return False
    if is_a_day(rows[place].cells[0]):
        return False
    return any(
        any(is_a_number(cell) or is_a_day(cell) for cell in row.cells) for row in rows[place + 1 : place + 6]
    )


def _is_words(row: SheetLine) -> bool:
    return all(not is_a_number(cell) and not is_a_day(cell) for cell in row.cells if cell.strip())


def _is_upper(upper: SheetLine, head: SheetLine) -> bool:
    """Whether the row above names groups of the heading's columns: more than a title fills it."""
    over = [cell.strip() for cell in upper.cells]
    under = [cell.strip() for cell in head.cells]
    filled = [place for place, cell in enumerate(over) if cell]
    if upper.number + 1 != head.number or len(filled) < 2 or filled[-1] >= len(under):
        return False
    repeated = len(set(filter(None, under))) < len(list(filter(None, under)))
    return repeated or not under[0]


def _is_lower(head: SheetLine, lower: SheetLine) -> bool:
    """Whether the row below completes the heading: words stand where the heading has gaps."""
    over = [cell.strip() for cell in head.cells]
    numbers_plants = (
        bool(over[0]) and not lower.cells[0].strip() and not any(is_a_day(cell) for cell in lower.cells)
    )
    if lower.number != head.number + 1 or not (_is_words(lower) or numbers_plants) or _is_unit_row(lower):
        return False
    gaps = [
        place for place, cell in enumerate(lower.cells) if cell.strip() and (place >= len(over) or not over[place])
    ]
    return bool(gaps) and _filled(lower) >= 2


def _grouped(upper: SheetLine, lower: Sequence[str]) -> list[tuple[str, str]]:
    """Group and heading of each column; a group reaches to the next."""
    over = [cell.strip() for cell in upper.cells]
    group, pairs = "", []
    for place, name in enumerate(lower):
        group = (over[place] if place < len(over) else "") or group
        own = over[place] if place < len(over) else ""
        pairs.append((group if name else own, name))
    return pairs


def _is_unit_row(row: SheetLine) -> bool:
    filled = [cell for cell in row.cells if cell.strip() and cell.strip() not in "-–"]
    return (
        bool(filled)
        and all(unit_of(cell) or plain(cell) in _NO_UNIT for cell in filled)
        and any(map(unit_of, filled))
    )


_NO_UNIT = frozenset(
    {"", "no", "nr", "n", "date", "dd mm yyyy", "yyyy mm dd", "d m y", "number", "count", "text", "h", "hh mm"}
)
"""What a row of units says of columns that have none."""


def _named(columns: Sequence[str]) -> tuple[str, ...]:
    """The columns' names, each once: one that stands again, and says nothing by itself, gets a number."""
    seen: Counter[str] = Counter()
    names = []
    for place, column in enumerate(columns, 1):
        name = column.strip().strip("%").strip() or f"column {place}"
        seen[name] += 1
        names.append(name if seen[name] == 1 else f"{name} ({seen[name]})")
    return tuple(names)


def _without_totals(rows: Sequence[SheetLine]) -> tuple[tuple[SheetLine, ...], list[RefusedRow]]:
    """The rows without those at the end that sum up the others, and notes behind the table."""
    end = len(rows)
    while end > 1:
        first = next((cell for cell in rows[end - 1].cells if cell.strip()), "")
        if not (
            sums_up(first) or (_filled(rows[end - 1]) == 1 and _filled(rows[0]) > 1 and _is_words(rows[end - 1]))
        ):
            break
        end -= 1
    why = "it sums up the rows above it, or is a note below them"
    return tuple(rows[:end]), [RefusedRow(row.number, f"left out: {why}") for row in rows[end:]]
