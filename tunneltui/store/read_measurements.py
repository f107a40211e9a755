"""A sheet of weekly measuring as readings of stems, with what cannot be a stem refused.

Columns are found by their headings and said back; ``sheet_meaning`` decides increments or totals. A value that
cannot be is refused with its line, the rest of its row is kept; a row without a day, a label or a stem is refused
whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from tunneltui.cells import many, say
from tunneltui.holding.user_error import Fault, UserError
from tunneltui.journal.kinds_standing import Measured
from tunneltui.pages.sheets import MEAN_OF_STEMS
from tunneltui.store.read_table import RefusedRow, Table
from tunneltui.store.sheet_columns import Days, columns_of, days_of, listed, number, unit_for
from tunneltui.store.sheet_days import DateOrder, DayOrder
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_file import SheetLine
from tunneltui.store.sheet_meaning import (
    FASTEST_M_A_DAY,
    CountedAs,
    ParsedRow,
    by_label,
    length_is,
    trusses_are,
    without_contradiction,
)
from tunneltui.store.sheet_numbers import CellFault
from tunneltui.store.sheet_wide import as_long
from tunneltui.store.sheet_words import IN_BASE, LENGTHS
from tunneltui.values import replace

THINNEST_MM, THICKEST_MM = 2.0, 30.0
"""A vine's stem near its head; beyond these it is a slip of the pen (common practice, no source)."""
LONGEST_M = 25.0
FEWER_TRUSSES = 1.0
"""Counts of a flowering truss differ by one between hands; more fewer than before is a slip."""
MOST_LEAVES, MOST_TRUSSES = 80.0, 60.0
WHOLE_FIRST = 2.0
"""A first value this many times the usual growth is the whole length at the first visit."""
MEAN_OF = 10
"""Stems that a sheet without a column of plants is taken to be the mean of. Common practice of registrations."""
CM_FROM_M = 10.0
"""A column without a unit that goes beyond this many metres is taken to be in cm."""

MOST_REFUSED = 0.5
"""Where more of the rows than this cannot be taken, the sheet was not understood."""
_STEM = ("length", "total", "tip", "flowering", "diameter")
_IN_METRES = ("length", "total", "tip")


@dataclass(frozen=True, slots=True)
class StemReading:
    """One row as it will be written; ``reading.leader`` is still the file's label."""

    line: int
    day: date
    label: str
    reading: Measured
    row: str = ""
    plant: str = ""
    """The row or block, and the plant in it, where the file tells both apart."""


@dataclass(frozen=True, slots=True)
class MeasurementsFile:
    source: str
    """The file's shape: its columns, not its name."""
    columns: Mapping[str, str]
    order: DateOrder
    decided: tuple[str, ...]
    """What was found out about columns, each a sentence."""
    readings: tuple[StemReading, ...]
    refused: tuple[RefusedRow, ...]
    cultivars: Mapping[str, str]
    """Cultivar by label, where the file names them."""
    visited: Mapping[str, date]
    """The first visit to every label: also one on which nothing was read, from which the next increment counts."""
    table: Table
    """One row a plant and visit, as it was understood."""
    length_unit_known: bool
    """The file, or the grower, names the unit of its lengths."""

    @property
    def labels(self) -> tuple[str, ...]:
        """Every plant or stem of the file, as in its first visit."""
        return tuple(dict.fromkeys(reading.label for reading in self.readings))


def read_measurements(
    table: Table,
    *,
    mapped: Mapping[str, str] | None = None,
    length_as: CountedAs | None = None,
    trusses_as: CountedAs | None = None,
    dates: DayOrder | None = None,
    stems: int | None = None,
    year: int | None = None,
    units: Mapping[str, str] | None = None,
) -> MeasurementsFile:
    """The table's readings, in order of day and line; ``stems`` is how many each row is the mean of, ``year`` that
    of days which name none, ``units`` those stated, by what a column holds.

    Raises:
        UserError: no day or stem column, or mixed date orders.
        Doubt: something is open that only the grower can tell.
    """
    mapped = mapped or {}
    table = as_long(table, "measurements", mapped)
    columns = columns_of(table, "measurements", mapped)
    if not any(name in columns for name in _STEM):
        raise UserError(
            f"{table.file} has no column that measures a stem among {listed(table)}.",
            "Say which: --map length='Column'.",
        )
    days = days_of(table, columns, "day", dates, year)
    parsed_rows, refused, visited = _rows_of(table, columns, days, units or {})
    stems, stems_why = _stems(table, columns, parsed_rows, stems)
    parsed_rows, units_why = _in_metres(table, parsed_rows, columns, units or {})
    parsed_rows, doubled = _once(parsed_rows)
    length, length_why = length_is(parsed_rows, columns, length_as)
    parsed_rows, parted = without_contradiction(parsed_rows, columns, length)
    trusses, trusses_why = trusses_are(parsed_rows, columns, trusses_as)
    readings: list[StemReading] = []
    for series in by_label(parsed_rows).values():
        readings += _readings(series, length, trusses, stems)
    kept, unlikely = _likely(sorted(readings, key=lambda reading: (reading.day, reading.line)), columns)
    left_out = sorted([*refused, *doubled, *unlikely, *table.left_out], key=lambda row: row.line)
    if not kept:
        raise UserError(f"{table.file} has no row that can be taken.", _first(left_out))
    rows = {line.number for line in table.lines}
    lost = rows - {reading.line for reading in kept}
    if len(lost) > MOST_REFUSED * len(rows):
        raise UserError(
            f"{len(lost)} of {len(rows)} rows of {table.file} could not be taken, so nothing was written.",
            f"{_first(left_out)} If the columns were misread, say --map.",
        )
    return MeasurementsFile(
        f"measurements: {table.shape}",
        columns,
        days.order,
        (*table.notes, *days.notes, *units_why, *length_why, *parted, *trusses_why, *stems_why),
        tuple(kept),
        tuple(left_out),
        {parsed.label: parsed.cultivar for parsed in parsed_rows if parsed.cultivar},
        visited,
        table,
        all(
            unit_for(table, columns[name], (units or {}).get(name, ""))
            for name in ("length", "total")
            if name in columns
        ),
    )


def growth_cm_a_day(readings: Sequence[StemReading]) -> float:
    """How fast the middle stem grew between visits; 0 where nothing tells."""
    rates = []
    last: dict[str, StemReading] = {}
    for reading in readings:
        before = last.get(reading.label)
        if before is not None and reading.day > before.day:
            grown = reading.reading.growth_m
            if grown is None and reading.reading.length_m is not None and before.reading.length_m is not None:
                grown = reading.reading.length_m - before.reading.length_m
            if grown is not None:
                rates.append(100 * grown / (reading.day - before.day).days)
        last[reading.label] = reading
    return median(rates) if rates else 0.0


def _stems(
    table: Table, columns: Mapping[str, str], parsed_rows: Sequence[ParsedRow], stated: int | None
) -> tuple[int, list[str]]:
    """How many stems a row is the mean of; a sheet of one row a visit that names no plant is usually a mean."""
    if stated is not None or "label" in columns:
        return stated or 1, []
    visits = {(row.label, row.day) for row in parsed_rows}
    if len(visits) < len(parsed_rows):
        raise Doubt(
            f"{table.file} names no plants and has several rows of one day: whose they are is not said.",
            "map",
            tuple((f"label={column}", "") for column in table.columns if column not in columns.values())[:4],
        )
    return MEAN_OF, [say(MEAN_OF_STEMS, MEAN_OF)]


def _first(refused: Sequence[RefusedRow]) -> str:
    return f"Line {refused[0].line}: {refused[0].why}." if refused else ""


def _rows_of(
    table: Table, columns: Mapping[str, str], days: Days, units: Mapping[str, str]
) -> tuple[list[ParsedRow], list[RefusedRow], dict[str, date]]:
    parsed_rows: list[ParsedRow] = []
    refused: list[RefusedRow] = []
    visited: dict[str, date] = {}
    for line in table.lines:
        try:
            day = days.moment(table, line).date()
            row, plant = _whose(table, line, columns)
        except CellFault as fault:
            refused.append(RefusedRow(line.number, str(fault)))
            continue
        label = place_label(row, plant)[:100]
        visited[label] = min(day, visited.get(label, day))
        values, faults = _values(table, line, columns, units)
        refused += [RefusedRow(line.number, fault) for fault in faults]
        cultivar = table.cell(line, columns["cultivar"])[:100] if "cultivar" in columns else ""
        if values:
            parsed_rows.append(ParsedRow(line.number, day, label, values, cultivar, row, plant))
        elif not faults:
            refused.append(RefusedRow(line.number, "nothing was read in this row"))
    return parsed_rows, refused, visited


def _whose(table: Table, line: SheetLine, columns: Mapping[str, str]) -> tuple[str, str]:
    """The row's own row or block ('' where none is named) and its plant; a sheet without plants speaks of one
    stem, or of the mean of several."""
    row = re.sub(r"\.0$", "", table.cell(line, columns["row"])) if "row" in columns else ""
    if "label" not in columns:
        return "", row or (table.cell(line, columns["cultivar"]) if "cultivar" in columns else "") or "1"
    plant = re.sub(r"\.0$", "", table.cell(line, columns["label"]))
    if not plant:
        raise CellFault(f"{columns['label']} is empty: whose reading is it?")
    return row, plant


def place_label(row: str, label: str) -> str:
    """One name for a plant that a sheet tells by row and number: ``B`` and ``3`` are ``B03``."""
    if not row or label.casefold().startswith(row.casefold()):
        return label
    number = label.zfill(2) if label.isdigit() else label
    return f"R{row}P{number}" if row[-1].isdigit() else f"{row}{number}"


def _values(
    table: Table, line: SheetLine, columns: Mapping[str, str], units: Mapping[str, str]
) -> tuple[dict[str, float], list[str]]:
    values: dict[str, float] = {}
    faults: list[str] = []
    for name, column in columns.items():
        if name in _TEXTS:
            continue
        unit = unit_for(table, column, units.get(name, "")) if name in _IN_METRES else ""
        try:
            value = number(table, line, column, unit)
            if name == "diameter" and value is not None:
                value *= _TO_MM.get(unit_for(table, column, units.get(name, "")), 1.0)
        except CellFault as fault:
            faults.append(str(fault))
            continue
        if value is not None:
            values[name] = value
    return values, faults


_TEXTS = frozenset({"day", "clock", "week", "year", "label", "cultivar", "row"})
_TO_MM = {unit: IN_BASE[unit] * 1000 for unit in LENGTHS}


def _in_metres(
    table: Table, rows: list[ParsedRow], columns: Mapping[str, str], units: Mapping[str, str]
) -> tuple[list[ParsedRow], list[str]]:
    """Lengths in metres where no unit was named: by what the whole sheet's lengths can be."""
    factor: dict[str, float] = {}
    words: list[str] = []
    for name in _IN_METRES:
        values = [abs(row.values[name]) for row in rows if name in row.values]
        if not values:
            continue
        column = columns[name]
        unit = unit_for(table, column, units.get(name, ""))
        if unit and unit not in LENGTHS:
            raise UserError(
                f"{table.file}: {column} is in {unit}, which is no length.", f"Leave it out: --map {name}=none."
            )
        if not unit:
            unit = "cm" if max(values) > CM_FROM_M else "m"
            factor[name] = IN_BASE[unit]
        words.append(f"{column} is in {'inches' if unit == 'in' else unit}.")

    def turned(row: ParsedRow) -> ParsedRow:
        return replace(row, values={key: value * factor.get(key, 1.0) for key, value in row.values.items()})

    return [turned(row) for row in rows], words


def _once(rows: list[ParsedRow]) -> tuple[list[ParsedRow], list[RefusedRow]]:
    """One row a plant and day: the same again is passed over, another value of the same is refused."""
    first: dict[tuple[str, date], ParsedRow] = {}
    refused: list[RefusedRow] = []
    for row in rows:
        kept = first.setdefault((row.label, row.day), row)
        if kept is not row:
            same = "says the same as" if kept.values == row.values else "says otherwise than"
            refused.append(RefusedRow(row.line, f"{row.label} on {row.day} {same} line {kept.line}"))
    return list(first.values()), refused


def _readings(
    series: Sequence[ParsedRow], length: CountedAs, trusses: CountedAs, stems: int
) -> Iterable[StemReading]:
    """One plant's rows; the first row of increments holds the whole where it is far more than a visit's growth."""
    grown = [row.values["length"] for row in series if "length" in row.values]
    whole_first = length == "increments" and len(grown) > 1 and grown[0] > WHOLE_FIRST * median(grown[1:])
    counted = [row.values["flowering"] for row in series if "flowering" in row.values]
    truss_first = trusses == "increments" and len(counted) > 1 and counted[0] > WHOLE_FIRST * median(counted[1:])
    for number_, row in enumerate(series):
        values = row.values
        whole = values.get("total")
        growth = None
        if length == "totals" or (number_ == 0 and whole_first):
            whole = values.get("length", whole)
        else:
            growth = values.get("length")
        truss_total = trusses == "totals" or (number_ == 0 and truss_first)
        flowering = values.get("flowering")
        reading = Measured(
            row.label,
            length_m=_tidy(whole),
            growth_m=_tidy(growth),
            tip_under_wire_m=_tidy(values.get("tip")),
            diameter_mm=values.get("diameter"),
            flowering_truss=flowering if truss_total else None,
            flowering_since=None if truss_total else flowering,
            lowest_truss=values.get("lowest"),
            leaves=values.get("leaves"),
            stems=stems,
        )
        yield StemReading(row.line, row.day, row.label, reading, row.row, row.plant)


def _tidy(metres: float | None) -> float | None:
    """Tenths of a millimetre: what turning cm into m leaves behind is cut off."""
    return None if metres is None else round(metres, 4)


def _likely(
    readings: Sequence[StemReading], columns: Mapping[str, str]
) -> tuple[list[StemReading], list[RefusedRow]]:
    """Readings without values that cannot be, and why those were refused."""
    kept: list[StemReading] = []
    refused: list[RefusedRow] = []
    last: dict[str, StemReading] = {}
    for reading in readings:
        faults = _faults(reading, last.get(reading.label), columns)
        refused += [RefusedRow(reading.line, f"{why} ({reading.label}, {reading.day})") for why in faults.values()]
        left = replace(reading, reading=replace(reading.reading, **dict.fromkeys(faults)))  # type: ignore[arg-type]
        if left.reading != Measured(reading.label, stems=reading.reading.stems):
            kept.append(left)
            last[reading.label] = left
    return kept, refused


def _faults(reading: StemReading, before: StemReading | None, columns: Mapping[str, str]) -> dict[str, Fault]:
    """Why values of a reading cannot be, by field."""
    measured = reading.reading
    faults: dict[str, Fault] = {}
    if measured.diameter_mm is not None and not THINNEST_MM <= measured.diameter_mm <= THICKEST_MM:
        faults["diameter_mm"] = Fault(f"{columns['diameter']} {measured.diameter_mm:g} mm cannot be a stem")
    days = (reading.day - before.day).days if before else None
    if measured.growth_m is not None and days and not -0.6 <= measured.growth_m <= FASTEST_M_A_DAY * days:
        faults["growth_m"] = Fault(
            f"{columns['length']}: {measured.growth_m * 100:g} cm in {many(days, 'day')} cannot be"
        )
    if measured.length_m is not None and not 0 <= measured.length_m <= LONGEST_M:
        faults["length_m"] = Fault(f"a stem of {measured.length_m:g} m cannot be")
    if measured.tip_under_wire_m is not None and not -3 <= measured.tip_under_wire_m <= 6:
        under = f"a tip {measured.tip_under_wire_m:g} m under the wire cannot be"
        faults["tip_under_wire_m"] = Fault(f"{columns['tip']}: {under}")
    counted = measured.flowering_truss
    counted_before = before.reading.flowering_truss if before else None
    if counted is not None and counted_before is not None and counted < counted_before - FEWER_TRUSSES:
        faults["flowering_truss"] = Fault(f"{columns['flowering']} {counted:g} after {counted_before:g}")
    limits = {"leaves": MOST_LEAVES, "flowering_truss": MOST_TRUSSES, "lowest_truss": MOST_TRUSSES}
    for field, most in limits.items():
        value = getattr(measured, field)
        if value is not None and not 0 <= value <= most:
            faults[field] = Fault(f"{value:g} {field.replace('_', ' ')} cannot be")
    if measured.flowering_since is not None and not -5 <= measured.flowering_since <= 20:
        faults["flowering_since"] = Fault(f"{measured.flowering_since:g} new trusses in one visit cannot be")
    return faults
