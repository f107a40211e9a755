"""A sheet of weighed picks: day, cultivar, row or place, kg, and count or grade where it has them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from tunneltui.cells import say
from tunneltui.holding.user_error import UserError
from tunneltui.pages.sheets import NO_UNIT
from tunneltui.store.read_table import RefusedRow, Table
from tunneltui.store.sheet_columns import Days, columns_of, days_of, listed, number, unit_for
from tunneltui.store.sheet_days import DateOrder, DayOrder
from tunneltui.store.sheet_file import SheetLine
from tunneltui.store.sheet_numbers import CellFault
from tunneltui.store.sheet_wide import as_long
from tunneltui.store.sheet_words import WEIGHTS

MOST_KG = 20_000.0


@dataclass(frozen=True, slots=True)
class PickRow:
    """One row; names are still as the file writes them."""

    line: int
    day: date
    cultivar: str
    about: str
    kg: float
    count: int | None
    grade: str


@dataclass(frozen=True, slots=True)
class PicksFile:
    source: str
    """The file's shape: its columns, not its name."""
    columns: Mapping[str, str]
    order: DateOrder
    decided: tuple[str, ...]
    picks: tuple[PickRow, ...]
    refused: tuple[RefusedRow, ...]
    unit_known: bool = True
    """The file, or the grower, names the unit of its weights."""
    table: Table | None = None
    """One row a pick, as it was understood."""


def read_picks(
    table: Table,
    *,
    mapped: Mapping[str, str] | None = None,
    dates: DayOrder | None = None,
    year: int | None = None,
    units: Mapping[str, str] | None = None,
) -> PicksFile:
    """The table's picks in the order of its lines.

    Raises:
        UserError: no column of days or weights, or mixed date orders.
        Doubt: something is open that only the grower can tell.
    """
    mapped = mapped or {}
    table = as_long(table, "picks", mapped)
    columns = columns_of(table, "picks", mapped)
    if "kg" not in columns:
        raise UserError(
            f"{table.file} has no column for kg among {listed(table)}.", "Say which: --map kg='Column'."
        )
    days = days_of(table, columns, "day", dates, year)
    unit = unit_for(table, columns["kg"], (units or {}).get("kg", ""))
    if unit not in ("", *WEIGHTS):
        raise UserError(
            f"{table.file}: {columns['kg']} is in {unit}, which is no weight.", "Say --map kg='Column'."
        )
    picks: list[PickRow] = []
    refused: list[RefusedRow] = []
    for line in table.lines:
        try:
            picks.append(_pick(table, line, columns, days, unit))
        except CellFault as fault:
            refused.append(RefusedRow(line.number, str(fault)))
    if not picks:
        first = f"Line {refused[0].line}: {refused[0].why}." if refused else ""
        raise UserError(f"{table.file} has no pick that can be taken.", first)
    unit_words = f"{columns['kg']} is in {unit}." if unit else say(NO_UNIT, columns["kg"])
    return PicksFile(
        f"picks: {table.shape}",
        columns,
        days.order,
        (*table.notes, *days.notes, unit_words),
        tuple(picks),
        tuple(sorted([*refused, *table.left_out], key=lambda row: row.line)),
        bool(unit),
        table,
    )


def _pick(table: Table, line: SheetLine, columns: Mapping[str, str], days: Days, unit: str) -> PickRow:
    day = days.moment(table, line).date()
    weight = number(table, line, columns["kg"], unit)
    if weight is None:
        raise CellFault(f"{columns['kg']} is empty: nothing was weighed")
    kg = round(weight, 6)
    if not 0 <= kg <= MOST_KG:
        raise CellFault(f"{columns['kg']}: {table.cell(line, columns['kg'])} is no weight of a pick")
    count = number(table, line, columns["count"]) if "count" in columns else None
    if count is not None and (count < 0 or count != int(count)):
        raise CellFault(f"{columns['count']}: {count:g} is no count of fruits")
    text = {
        name: table.cell(line, columns[name]) if name in columns else "" for name in ("cultivar", "row", "grade")
    }
    counted = None if count is None else int(count)
    return PickRow(line.number, day, text["cultivar"], text["row"], kg, counted, text["grade"])
