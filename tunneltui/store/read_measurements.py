"""A sheet of weekly measuring as readings of stems, with what cannot be a stem refused.

Columns are found by their headings and said back; ``read_meaning`` decides increments or totals. A value that
cannot be is refused with its line, the rest of its row is kept; a row without a day, a label or a stem is refused
whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from statistics import median

from tunneltui.chores.wording import many
from tunneltui.holding.trouble import Trouble
from tunneltui.journal.kinds_standing import Measured
from tunneltui.store.read_air import column_names
from tunneltui.store.read_meaning import Said, Told, by_label, length_is, trusses_are
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

THINNEST_MM, THICKEST_MM = 2.0, 30.0
"""A vine's stem near its head; beyond these it is a slip of the pen (common practice, no source)."""
FASTEST_M_A_DAY = 0.15
LONGEST_M = 25.0
MOST_LEAVES, MOST_TRUSSES = 80.0, 60.0
WHOLE_FIRST = 2.0
"""A first value this many times the usual growth is the whole length at the first visit."""
MEAN_OF = 10
"""Stems that a sheet without a column of plants is taken to be the mean of. Common practice of registrations."""
CM_FROM_M = 10.0
"""A column without a unit that goes beyond this many metres is taken to be in cm."""

NAMES: dict[str, tuple[str, ...]] = {
    "day": ("date", "day", "time", "datum", "week of"),
    "label": ("label", "plant", "stem", "leader", "plant id", "plant no", "place", "head", "no", "nr"),
    "length": ("stem length", "stem growth", "stem elong", "growth", "length", "elongation", "vine length"),
    "total": ("crop height", "total length", "height", "plant height", "stem height", "whole length"),
    "diameter": ("stem diameter", "stem thick", "stem thickness", "diameter", "thickness"),
    "flowering": (
        "number of flowering trusses",
        "flowering truss",
        "flowering trusses",
        "cum trusses",
        "trusses",
        "truss",
    ),
    "lowest": ("lowest truss", "lowest unpicked truss", "lowest truss not picked"),
    "leaves": ("remaining leaves", "leaves left", "leaves on stem", "leaves"),
    "tip": ("tip under wire", "tip below wire", "head under wire"),
}
"""What is looked for, with the headings it is known by; --map takes these names."""
_STEM = ("length", "total", "tip", "flowering", "diameter")


@dataclass(frozen=True, slots=True)
class StemReading:
    """One row as it will be written; ``reading.leader`` is still the file's label."""

    line: int
    day: date
    label: str
    reading: Measured


@dataclass(frozen=True, slots=True)
class MeasurementsFile:
    source: str
    """The file's shape: its columns, not its name."""
    columns: Mapping[str, str]
    order: DateOrder
    decided: tuple[str, ...]
    """What was found out about columns, each a sentence."""
    readings: tuple[StemReading, ...]
    refused: tuple[Refused, ...]

    @property
    def labels(self) -> tuple[str, ...]:
        """Every plant or stem of the file, as in its first visit."""
        return tuple(dict.fromkeys(reading.label for reading in self.readings))


def read_measurements(
    table: Table,
    *,
    told: Mapping[str, str] | None = None,
    length_as: Told | None = None,
    trusses_as: Told | None = None,
    dates: DateOrder | None = None,
    stems: int | None = None,
) -> MeasurementsFile:
    """The table's readings, in order of day and line; ``stems`` is how many each row is the mean of.

    Raises:
        Trouble: no day or stem column, mixed date orders, or no telling increments from totals.
    """
    columns = column_names(table, NAMES, told or {})
    if "day" not in columns:
        raise Trouble(f"{table.file} has no column of days.", "Say which it is: --map day='Column'.")
    if not any(name in columns for name in _STEM):
        raise Trouble(f"{table.file} has no column that measures a stem.", "Say which: --map length='Column'.")
    order = date_order(table, columns["day"], dates)
    said, refused = _rows_of(table, columns, order)
    said, units = _in_metres(said, columns)
    said, doubled = _once(said)
    length, length_why = length_is(said, columns, length_as)
    trusses, trusses_why = trusses_are(said, columns, trusses_as)
    stems, stems_why = _stems(columns, stems)
    readings: list[StemReading] = []
    for series in by_label(said).values():
        readings += _readings(series, length, trusses, stems)
    kept, unlikely = _likely(sorted(readings, key=lambda one: (one.day, one.line)), columns)
    if not kept:
        raise Trouble(f"{table.file} has no row that can be taken.", _first(refused + doubled + unlikely))
    return MeasurementsFile(
        f"measurements: {table.shape}",
        columns,
        order,
        (*units, *length_why, *trusses_why, *stems_why),
        tuple(kept),
        tuple(sorted(refused + doubled + unlikely, key=lambda one: one.line)),
    )


def _stems(columns: Mapping[str, str], told: int | None) -> tuple[int, list[str]]:
    if told is not None or "label" in columns:
        return told or 1, []
    return MEAN_OF, [
        f"No column names the plants: each row is taken as the mean of {MEAN_OF} stems (else --stems)."
    ]


def _first(refused: Sequence[Refused]) -> str:
    return f"Line {refused[0].line}: {refused[0].why}." if refused else ""


def _rows_of(table: Table, columns: Mapping[str, str], order: DateOrder) -> tuple[list[Said], list[Refused]]:
    said: list[Said] = []
    refused: list[Refused] = []
    for line in table.lines:
        try:
            day = moment(table, line, columns["day"], order).date()
            label = _label(table, line, columns)
        except CellFault as fault:
            refused.append(Refused(line.number, str(fault)))
            continue
        values, faults = _values(table, line, columns)
        refused += [Refused(line.number, fault) for fault in faults]
        if values:
            said.append(Said(line.number, day, label, values))
        elif not faults:
            refused.append(Refused(line.number, "nothing was read in this row"))
    return said, refused


def _label(table: Table, line: Line, columns: Mapping[str, str]) -> str:
    """The row's plant; a sheet without such a column speaks of one stem, or of the mean of several."""
    if "label" not in columns:
        return "1"
    label = table.cell(line, columns["label"])
    if not label:
        raise CellFault(f"{columns['label']} is empty: whose reading is it?")
    return re.sub(r"\.0$", "", label)[:100]


def _values(table: Table, line: Line, columns: Mapping[str, str]) -> tuple[dict[str, float], list[str]]:
    values: dict[str, float] = {}
    faults: list[str] = []
    for name, column in columns.items():
        if name in ("day", "label"):
            continue
        try:
            value = number(table, line, column)
        except CellFault as fault:
            faults.append(str(fault))
            continue
        if value is not None:
            values[name] = value
    return values, faults


def _in_metres(said: list[Said], columns: Mapping[str, str]) -> tuple[list[Said], list[str]]:
    """Lengths turned into metres, by the unit in the heading, else by what the whole file's lengths can be."""
    factor: dict[str, float] = {}
    words: list[str] = []
    for name in ("length", "total", "tip"):
        values = [abs(row.values[name]) for row in said if name in row.values]
        if not values:
            continue
        headed = re.search(r"[(\[_ ](mm|cm|m)[)\]]?\s*$", columns[name].lower())
        unit = headed[1] if headed else ("cm" if max(values) > CM_FROM_M else "m")
        factor[name] = {"mm": 0.001, "cm": 0.01, "m": 1.0}[unit]
        words.append(f"{columns[name]} is in {unit}.")

    def turned(row: Said) -> Said:
        return replace(row, values={key: value * factor.get(key, 1.0) for key, value in row.values.items()})

    return [turned(row) for row in said], words


def _once(said: list[Said]) -> tuple[list[Said], list[Refused]]:
    """One row a plant and day: the same again is passed over, another value of the same is refused."""
    first: dict[tuple[str, date], Said] = {}
    refused: list[Refused] = []
    for row in said:
        kept = first.setdefault((row.label, row.day), row)
        if kept is not row:
            same = "says the same as" if kept.values == row.values else "says otherwise than"
            refused.append(Refused(row.line, f"{row.label} on {row.day} {same} line {kept.line}"))
    return list(first.values()), refused


def _readings(series: Sequence[Said], length: Told, trusses: Told, stems: int) -> Iterable[StemReading]:
    """One plant's rows; the first row of increments holds the whole where it is far more than a visit's growth."""
    grown = [row.values["length"] for row in series if "length" in row.values]
    whole_first = length == "increments" and len(grown) > 1 and grown[0] > WHOLE_FIRST * median(grown[1:])
    counted = [row.values["flowering"] for row in series if "flowering" in row.values]
    truss_first = trusses == "increments" and len(counted) > 1 and counted[0] > WHOLE_FIRST * median(counted[1:])
    for number_, row in enumerate(series):
        says = row.values
        whole = says.get("total")
        growth = None
        if length == "totals" or (number_ == 0 and whole_first):
            whole = says.get("length", whole)
        else:
            growth = says.get("length")
        truss_total = trusses == "totals" or (number_ == 0 and truss_first)
        flowering = says.get("flowering")
        reading = Measured(
            row.label,
            length_m=_tidy(whole),
            growth_m=_tidy(growth),
            tip_under_wire_m=_tidy(says.get("tip")),
            diameter_mm=says.get("diameter"),
            flowering_truss=flowering if truss_total else None,
            flowering_since=None if truss_total else flowering,
            lowest_truss=says.get("lowest"),
            leaves=says.get("leaves"),
            stems=stems,
        )
        yield StemReading(row.line, row.day, row.label, reading)


def _tidy(metres: float | None) -> float | None:
    """Tenths of a millimetre: what turning cm into m leaves behind is cut off."""
    return None if metres is None else round(metres, 4)


def _likely(
    readings: Sequence[StemReading], columns: Mapping[str, str]
) -> tuple[list[StemReading], list[Refused]]:
    """Readings without values that cannot be, and why those were refused."""
    kept: list[StemReading] = []
    refused: list[Refused] = []
    last: dict[str, StemReading] = {}
    for one in readings:
        faults = _faults(one, last.get(one.label), columns)
        refused += [Refused(one.line, f"{why} ({one.label}, {one.day})") for why in faults.values()]
        left = replace(one, reading=replace(one.reading, **dict.fromkeys(faults)))  # type: ignore[arg-type]
        if left.reading != Measured(one.label, stems=one.reading.stems):
            kept.append(left)
            last[one.label] = left
    return kept, refused


def _faults(one: StemReading, before: StemReading | None, columns: Mapping[str, str]) -> dict[str, str]:
    """Why values of a reading cannot be, by field."""
    says, faults = one.reading, {}
    if says.diameter_mm is not None and not THINNEST_MM <= says.diameter_mm <= THICKEST_MM:
        faults["diameter_mm"] = f"{columns['diameter']} {says.diameter_mm:g} mm cannot be a stem"
    days = (one.day - before.day).days if before else None
    if says.growth_m is not None and days and not -0.6 <= says.growth_m <= FASTEST_M_A_DAY * days:
        faults["growth_m"] = f"{columns['length']}: {says.growth_m * 100:g} cm in {many(days, 'day')} cannot be"
    if says.length_m is not None and not 0 <= says.length_m <= LONGEST_M:
        faults["length_m"] = f"a stem of {says.length_m:g} m cannot be"
    if says.tip_under_wire_m is not None and not -3 <= says.tip_under_wire_m <= 6:
        faults["tip_under_wire_m"] = (
            f"{columns['tip']}: a tip {says.tip_under_wire_m:g} m under the wire cannot be"
        )
    limits = {"leaves": MOST_LEAVES, "flowering_truss": MOST_TRUSSES, "lowest_truss": MOST_TRUSSES}
    for field, most in limits.items():
        value = getattr(says, field)
        if value is not None and not 0 <= value <= most:
            faults[field] = f"{value:g} {field.replace('_', ' ')} cannot be"
    if says.flowering_since is not None and not -5 <= says.flowering_since <= 20:
        faults["flowering_since"] = f"{says.flowering_since:g} new trusses in one visit cannot be"
    return faults
