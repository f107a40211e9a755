"""A sheet of weighed picks: day, cultivar, row or place, kg, and count or grade where it has them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from tunneltui.holding.trouble import Trouble
from tunneltui.store.read_air import column_names
from tunneltui.store.read_table import (
    CellFault,
    DateOrder,
    Line,
    Refused,
    Table,
    date_order,
    moment,
    number,
)

MOST_KG = 20_000.0
NAMES: dict[str, tuple[str, ...]] = {
    "day": ("date", "day", "time", "datum", "picked on"),
    "cultivar": ("cultivar", "variety", "kind", "crop", "line"),
    "row": ("row", "about", "where", "tunnel", "place", "bed"),
    "kg": ("kg", "weight", "weight kg", "total yield", "yield", "mass"),
    "count": ("count", "fruits", "number", "number of fruits"),
    "grade": ("grade", "class", "quality"),
}
"""What is looked for, with the headings it is known by; --map takes these names."""


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
    refused: tuple[Refused, ...]


def read_picks(
    table: Table, *, told: Mapping[str, str] | None = None, dates: DateOrder | None = None
) -> PicksFile:
    """The table's picks in the order of its lines.

    Raises:
        Trouble: no column of days or weights, or mixed date orders.
    """
    columns = column_names(table, NAMES, told or {})
    for needed in ("day", "kg"):
        if needed not in columns:
            raise Trouble(f"{table.file} has no column for {needed}.", f"Say which: --map {needed}='Column'.")
    order = date_order(table, columns["day"], dates)
    in_grams = bool(re.search(r"[(\[_ ](g|grams?)[)\]]?\s*$", columns["kg"].lower()))
    picks: list[PickRow] = []
    refused: list[Refused] = []
    for line in table.lines:
        try:
            picks.append(_pick(table, line, columns, order, 0.001 if in_grams else 1.0))
        except CellFault as fault:
            refused.append(Refused(line.number, str(fault)))
    if not picks:
        first = f"Line {refused[0].line}: {refused[0].why}." if refused else ""
        raise Trouble(f"{table.file} has no pick that can be taken.", first)
    decided = (f"{columns['kg']} is in {'g' if in_grams else 'kg'}.",)
    return PicksFile(f"picks: {table.shape}", columns, order, decided, tuple(picks), tuple(refused))


def _pick(table: Table, line: Line, columns: Mapping[str, str], order: DateOrder, to_kg: float) -> PickRow:
    day = moment(table, line, columns["day"], order).date()
    weight = number(table, line, columns["kg"])
    if weight is None:
        raise CellFault(f"{columns['kg']} is empty: nothing was weighed")
    kg = round(weight * to_kg, 6)
    if not 0 <= kg <= MOST_KG:
        raise CellFault(f"{columns['kg']}: {weight:g} is no weight of a pick")
    count = number(table, line, columns["count"]) if "count" in columns else None
    if count is not None and (count < 0 or count != int(count)):
        raise CellFault(f"{columns['count']}: {count:g} is no count of fruits")
    text = {
        name: table.cell(line, columns[name]) if name in columns else "" for name in ("cultivar", "row", "grade")
    }
    counted = None if count is None else int(count)
    return PickRow(line.number, day, text["cultivar"], text["row"], kg, counted, text["grade"])
