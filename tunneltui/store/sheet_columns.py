"""Which column of a sheet holds what, and what a row says of its day and its numbers."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from tunneltui.holding.user_error import UserError
from tunneltui.store.read_table import Table
from tunneltui.store.sheet_days import (
    WEEK_SAID,
    DateOrder,
    DayOrder,
    clock_reader,
    date_order,
    is_a_day,
    moment,
    needs_year,
)
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_file import SheetLine
from tunneltui.store.sheet_numbers import CellFault, unit_behind, value_of
from tunneltui.store.sheet_words import IN_BASE, SheetKind, meaning, names, plain

TEMPERATURES = ("temp", "min", "max", "mean")
DEGREES = frozenset({"C", "F"})
"""Units of temperature."""
NONE = "none"
"""What a grower maps to a meaning that no column shall have."""
_WEAK: Mapping[str, Collection[str]] = {
    # They may be a running number.
    "label": ("no", "nr", "n", "number", "nummer", "id", "sample", "sample no"),
    # They may count trusses in fruit, or all there were.
    "flowering": (
        *("trusses", "truss", "truss number", "truss no", "trusses set", "new trusses", "tros", "trossen"),
        *("trosnummer", "rispe", "rispen", "rispennummer", "traube", "trauben", "bouquet", "bouquets"),
        *("racimo", "racimos", "grappolo", "grappoli", "palco", "palchi"),
    ),
}
"""Headings that hold what is meant only where no better one stands beside them."""


def columns_of(table: Table, kind: SheetKind, mapped: Mapping[str, str]) -> dict[str, str]:
    """Which of the table's columns holds what: as mapped, else by its heading.

    Raises:
        UserError: a mapping names no column, or nothing that is looked for.
        Doubt: two columns that differ claim to hold the same.
    """
    known_names = names(kind)
    for what, column in mapped.items():
        if what not in known_names:
            raise UserError(f"--map knows no {what!r}.", f"It knows {', '.join(known_names)}.")
        if column not in table.columns and column != NONE and column != "*":
            raise UserError(f"{table.file} has no column {column!r}.", f"It has {listed(table)}.")
    mapped = {what: column for what, column in mapped.items() if column != "*"}
    claims: dict[str, list[str]] = {}
    taken = set(mapped.values())
    for column in table.columns:
        what = meaning(kind, column) if column not in taken else ""
        if what in TEMPERATURES and table.units.get(column, "C") not in DEGREES:
            continue
        if what and what not in mapped and any(table.cell(line, column) for line in table.lines):
            claims.setdefault(what, []).append(column)
    _part_day_and_clock(table, claims, "time" if kind == "air" else "day", mapped)
    chosen = {what: column for what, column in mapped.items() if column != NONE}
    for what, columns in claims.items():
        chosen[what] = columns[0] if len(columns) == 1 else _one_of(table, what, columns)
    return {what: chosen[what] for what in known_names if what in chosen}


def _part_day_and_clock(table: Table, claims: dict[str, list[str]], day: str, mapped: Mapping[str, str]) -> None:
    """Of columns called date, day or time, those that hold days and the one that holds the time of day."""
    columns = [*claims.get(day, ()), *claims.get("clock", ())]
    if not columns:
        return

    def share(column: str, test: Callable[[str], bool]) -> float:
        cells = [cell for line in table.lines[:60] if (cell := table.cell(line, column))]
        return sum(map(test, cells)) / len(cells) if cells else 0.0

    days = [column for column in columns if share(column, is_a_day) > 0.5]
    others = [column for column in columns if column not in days]
    if not days and day not in mapped:
        # Serial days, or days without a year: the column called by the day's name.
        days, others = columns[:1], columns[1:]
    clocks = [c for c in others if clock_reader([table.cell(line, c) for line in table.lines[:200]])]
    claims.pop(day, None)
    claims.pop("clock", None)
    if days and day not in mapped:
        claims[day] = days
    if clocks and "clock" not in mapped:
        claims["clock"] = clocks[:1]


def _one_of(table: Table, what: str, columns: list[str]) -> str:
    """Of columns that claim to hold the same: the one that stands out, else the grower is asked."""
    strong = [column for column in columns if plain(column) not in _WEAK.get(what, ())]
    if len(strong) == 1:
        return strong[0]
    first, *others = columns
    if all(all(table.cell(line, first) == table.cell(line, other) for line in table.lines) for other in others):
        return first
    raise Doubt(
        f"{table.file}: {', '.join(repr(column) for column in columns)} may each be the {what}.",
        "map",
        tuple((column, "") for column in columns),
        what,
    )


def listed(table: Table) -> str:
    return ", ".join(repr(column) for column in table.columns)


@dataclass(frozen=True, slots=True)
class Days:
    """How the rows of a table tell their day and time."""

    column: str
    order: DateOrder
    notes: tuple[str, ...]
    year: int | None = None
    clock: str = ""
    since_midnight: Callable[[str], timedelta | None] | None = None

    def moment(self, table: Table, line: SheetLine) -> datetime:
        """When the row was read.

        Raises:
            CellFault: it does not tell.
        """
        at = moment(table.cell(line, self.column), self.column, self.order, self.year)
        if not self.clock or self.since_midnight is None:
            return at
        cell = table.cell(line, self.clock)
        since = self.since_midnight(cell)
        if since is None:
            raise CellFault(f"{self.clock}: {cell[:40]!r} is no time of a day")
        return at + since


def days_of(table: Table, columns: Mapping[str, str], day: str, stated: DayOrder | None, year: int | None) -> Days:
    """How a table's rows tell their day; ``day`` is the meaning that holds it, or the week where none does.

    Raises:
        UserError: no column tells it, or orders are mixed.
        Doubt: the order, or the year, is open.
    """
    weekly = day not in columns and "week" in columns
    if day not in columns and not weekly:
        raise UserError(
            f"{table.file} has no column of days among {listed(table)}.", f"Say which it is: --map {day}='Column'."
        )
    column = columns["week"] if weekly else columns[day]
    cells = [(line.number, cell) for line in table.lines if (cell := table.cell(line, column))]
    if "year" in columns and weekly:
        year = _only_year(table, columns["year"])
    texts = {cell for _, cell in cells}
    if year is None and (
        needs_year(texts)
        or (
            weekly
            and not any(plain(text).isdigit() and len(plain(text)) == 4 for text in texts)
            and any(text.replace(".0", "").isdigit() for text in texts)
        )
    ):
        raise Doubt(f"{table.file}: the days in {column} do not name their year.", "year")
    if weekly:
        order: DateOrder = "week"
        notes = [WEEK_SAID]
    else:
        groups = (
            [table.cell(line, columns["label"]) for line in table.lines if table.cell(line, column)]
            if "label" in columns
            else []
        )
        order, notes = date_order(table.file, column, cells, stated, groups)
        notes += [WEEK_SAID] if order == "week" else []
    clock = columns.get("clock", "")
    reader = clock_reader([table.cell(line, clock) for line in table.lines[:400]]) if clock else None
    if clock and reader is None:
        raise UserError(f"{table.file}: {clock} tells no time of day.", "Leave it out with --map clock=none.")
    return Days(column, order, tuple(notes), year, clock, reader)


def _only_year(table: Table, column: str) -> int | None:
    years = {cell for line in table.lines if (cell := table.cell(line, column))}
    if len(years) != 1:
        raise UserError(f"{table.file} has weeks of {len(years)} years.", "Import one year at a time.")
    year = years.pop().removesuffix(".0")
    return int(year) if year.isdigit() else None


def unit_for(table: Table, column: str, stated: str = "") -> str:
    """The unit of a column: as stated, by its heading or row of units, else the one that its cells name; '' where
    nothing tells."""
    if stated or (named := table.units.get(column, "")):
        return stated or named
    spelled = (unit_behind(table.cell(line, column)) for line in table.lines[:500])
    return next(filter(None, spelled), "")


def number(table: Table, line: SheetLine, column: str, unit: str = "") -> float | None:
    """A cell's number; None where it is blank. Lengths come in metres and weights in kilograms where the cell, or
    else ``unit``, names their unit; without either as they stand.

    Raises:
        CellFault: it is no number, or written with the other decimal sign.
    """
    value, own = value_of(table.cell(line, column), table.decimal, column)
    if value is None:
        return None
    return value * IN_BASE.get(own or unit, 1.0)
