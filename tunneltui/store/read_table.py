"""Any common spreadsheet export as a plain table: encoding, delimiter, decimal sign and date order found out.

Nothing is guessed silently: what cannot be told apart is refused with the lines concerned. Numbers and days are
read cell by cell, so that one bad cell costs one row and not the file.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Literal

from tunneltui.holding.trouble import Trouble

DateOrder = Literal["year first", "day first", "month first", "serial"]

MOST_BYTES = 200_000_000
_DELIMITERS = ",;\t|"
_BLANK = frozenset({"", "-", "–", "nan", "na", "n/a", "null", "none", "#n/a", "#value!"})
_SERIAL_EPOCH = datetime(1899, 12, 30)
"""Day 0 of spreadsheet serial days (ECMA-376 part 1, section 18.17.4.1, the 1900 date system)."""
_SERIAL_LEAST, _SERIAL_MOST = 20_000, 80_000

_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4}|\d{2})(?!\d)", re.ASCII)
_CLOCK = re.compile(
    r"[T ,]+(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d+))?)?\s*([AaPp][Mm])?\s*(Z|UTC|[+-]\d{2}:?\d{2})?\s*"
)
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?", re.ASCII)


class CellFault(ValueError):
    """One cell cannot be read; the message says what was found."""


@dataclass(frozen=True, slots=True)
class Line:
    number: int
    """Line of the file on which the row begins, the first being 1."""
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    file: str
    """Name to show."""
    columns: tuple[str, ...]
    lines: tuple[Line, ...]
    delimiter: str
    decimal_comma: bool

    @property
    def shape(self) -> str:
        """What files of one kind have in common: their headings in order."""
        return ",".join(self.columns)

    def cell(self, line: Line, column: str) -> str:
        place = self.columns.index(column)
        return line.cells[place].strip() if place < len(line.cells) else ""


@dataclass(frozen=True, slots=True)
class Refused:
    """One row, or one value of it, that was not taken."""

    line: int
    why: str


def read_table(path: Path) -> Table:
    """The table in a file.

    Raises:
        Trouble: it cannot be opened, is no text, or holds no table.
    """
    text = _decoded(path.name, _bytes(path))
    delimiter = _delimiter(text)
    try:
        rows = _rows(text, delimiter)
    except csv.Error as fault:
        raise Trouble(f"{path.name} is no table that can be read: {fault}.") from fault
    if len(rows) < 2:
        raise Trouble(f"{path.name} holds no rows below a heading.", "The first line names the columns.")
    columns = tuple(cell.strip().strip("%").strip() for cell in rows[0].cells)
    doubled = [name for name, n in Counter(name for name in columns if name).items() if n > 1]
    if doubled:
        raise Trouble(f"{path.name} has two columns named {doubled[0]}.", "Rename one of them.")
    lines = tuple(rows[1:])
    return Table(path.name, columns, lines, delimiter, delimiter != "," and _has_decimal_comma(lines))


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise Trouble(f"{path} is a folder.", "Name the CSV file in it.")
        if path.stat().st_size > MOST_BYTES:
            raise Trouble(f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB.", "Split it by month.")
        return path.read_bytes()
    except FileNotFoundError:
        raise Trouble(f"There is no file {path}.") from None
    except OSError as fault:
        raise Trouble(f"{path} cannot be read: {fault.strerror}.") from fault


def _decoded(name: str, data: bytes) -> str:
    """Text of the bytes: by byte order mark, else UTF-8, else Latin-1 (as cp1252)."""
    if not data.strip():
        raise Trouble(f"{name} is empty.")
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise Trouble(f"{name} is a spreadsheet, not CSV.", "Save it as CSV (UTF-8) and name that file.")
    encoding = _encoding(data)
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as fault:
        if encoding != "cp1252":
            say = f"{name} cannot be read as {encoding}: byte {fault.start} is wrong."
            raise Trouble(say, "Save it as CSV (UTF-8).") from fault
        text = "\0"
    odd = next((c for c in text if (ord(c) < 32 and c not in "\t\r\n\f") or 0x7F <= ord(c) < 0xA0), None)
    if odd is not None:
        say = f"{name} is in an encoding that is neither UTF-8, UTF-16 nor Latin-1, or no text at all."
        raise Trouble(say, "Save it as CSV (UTF-8).")
    return text


def _encoding(data: bytes) -> str:
    marks = (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF32_LE, "utf-32"),
        (codecs.BOM_UTF32_BE, "utf-32"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    )
    marked = next((encoding for mark, encoding in marks if data.startswith(mark)), None)
    if marked:
        return marked
    beginning = data[:2000]
    if beginning[1::2].count(0) > len(beginning) // 4:
        return "utf-16-le"
    if beginning[0::2].count(0) > len(beginning) // 4:
        return "utf-16-be"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def _delimiter(text: str) -> str:
    """The sign that cuts the first lines into the most columns of one number."""
    beginning = "\n".join(text.splitlines()[:40])

    def fit(delimiter: str) -> tuple[float, int]:
        try:
            widths = [len(row) for row in csv.reader(io.StringIO(beginning), delimiter=delimiter) if row]
        except csv.Error:
            return 0.0, 0
        width, same = Counter(widths).most_common(1)[0] if widths else (1, 0)
        return (same / len(widths), width) if width > 1 else (0.0, width)

    return max(_DELIMITERS, key=fit)


def _rows(text: str, delimiter: str) -> list[Line]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    rows, begins = [], 1
    for cells in reader:
        if any(cell.strip() for cell in cells):
            rows.append(Line(begins, tuple(cells)))
        begins = reader.line_num + 1
    return rows


def _has_decimal_comma(lines: tuple[Line, ...]) -> bool:
    return any(re.fullmatch(r"\s*[+-]?\d+,\d+\s*", cell) for line in lines for cell in line.cells)


def number(table: Table, line: Line, column: str) -> float | None:
    """A cell as a number; None where it is blank or says that nothing was read.

    Raises:
        CellFault: it is no number, or written with the other decimal sign.
    """
    cell = table.cell(line, column).replace("\u2212", "-").replace("\u00a0", "")
    if cell.lower() in _BLANK:
        return None
    if not _NUMBER.fullmatch(cell):
        raise CellFault(f"{column}: {cell[:40]!r} is no number")
    if table.decimal_comma and "." in cell:
        raise CellFault(f"{column}: {cell[:40]!r} has a point in a file that writes decimals with a comma")
    if not table.decimal_comma and "," in cell:
        raise CellFault(f"{column}: {cell[:40]!r} has a comma in a file that writes decimals with a point")
    value = float(cell.replace(",", "."))
    if value in (float("inf"), float("-inf")):
        raise CellFault(f"{column}: {cell[:40]!r} is too large")
    return value


def date_order(table: Table, column: str, told: DateOrder | None = None) -> DateOrder:
    """In which order a column writes its days.

    Raises:
        Trouble: two orders are mixed, or nothing tells which it is; the lines are named.
    """
    seen: dict[DateOrder, int] = {}
    either = 0
    for line in table.lines:
        found = _order_of(table.cell(line, column), table.decimal_comma)
        if found == "either":
            either = either or line.number
        elif found is not None:
            seen.setdefault(found, line.number)
    if told in ("day first", "month first"):
        seen = {order: n for order, n in seen.items() if order == told or order in ("year first", "serial")}
        if either:
            seen.setdefault(told, either)
    if len(seen) > 1 or (seen and either and set(seen) <= {"year first", "serial"}):
        lines = [f"line {n} has {order}" for order, n in sorted(seen.items(), key=lambda pair: pair[1])]
        lines += [f"line {either} has day or month first"] if either and len(seen) < 2 else []
        say = f"{table.file} mixes orders of day and month in column {column}: {', '.join(lines)}."
        raise Trouble(say, "Write every day as year-month-day, such as 2026-08-20, and import again.")
    if seen:
        return next(iter(seen))
    if not either:
        raise Trouble(f"{table.file} has no day that can be read in column {column}.", "Name it with --map.")
    return _order_that_rises(table, column, either)


def _order_of(cell: str, decimal_comma: bool) -> DateOrder | Literal["either"] | None:
    if _YEAR_FIRST.match(cell):
        return "year first"
    if _serial(cell, decimal_comma) is not None:
        return "serial"
    found = _YEAR_LAST.match(cell)
    if not found:
        return None
    first, sign, second = int(found[1]), found[2], int(found[3])
    if sign == "." or (first > 12 >= second):
        return "day first"
    if second > 12 >= first:
        return "month first"
    return "either" if first != second else None


def _order_that_rises(table: Table, column: str, line: int) -> DateOrder:
    """Day or month first where every cell could be both: the one in which the file runs forward in time."""

    def rises(order: DateOrder) -> bool:
        days = [_year_last(table.cell(row, column), order) for row in table.lines]
        known = [day for day in days if day is not None]
        return len(known) > 2 and all(a <= b for a, b in pairwise(known))

    both: tuple[DateOrder, ...] = ("day first", "month first")
    fits = [order for order in both if rises(order)]
    if len(fits) == 1:
        return fits[0]
    cell = next(table.cell(row, column) for row in table.lines if row.number == line)
    say = f"Nothing in {table.file} tells whether {cell!r} (line {line}) has day or month first."
    raise Trouble(say, "Say --dates day-first or --dates month-first.")


def _year_last(cell: str, order: DateOrder) -> date | None:
    found = _YEAR_LAST.match(cell)
    if not found:
        return None
    first, second, year = int(found[1]), int(found[3]), int(found[4])
    day, month = (first, second) if order == "day first" else (second, first)
    try:
        return date(year if year > 99 else 2000 + year, month, day)
    except ValueError:
        return None


def _serial(cell: str, decimal_comma: bool) -> float | None:
    """A spreadsheet's serial day, if the cell is one."""
    plain = cell.replace(",", ".") if decimal_comma else cell
    if not re.fullmatch(r"\d{5}(\.\d+)?", plain):
        return None
    value = float(plain)
    return value if _SERIAL_LEAST <= value <= _SERIAL_MOST else None


def moment(table: Table, line: Line, column: str, order: DateOrder) -> datetime:
    """A cell as a day with its time of day (midnight where it names none); aware where it names an offset.

    Raises:
        CellFault: it is no day, or written in another order than the rest.
    """
    cell = table.cell(line, column)
    if order == "serial":
        days = _serial(cell, table.decimal_comma)
        if days is None:
            raise CellFault(f"{column}: {cell[:40]!r} is no day in a column of serial days")
        return _SERIAL_EPOCH + timedelta(seconds=round(days * 86_400))
    pattern = _YEAR_FIRST if order == "year first" else _YEAR_LAST
    found = pattern.match(cell)
    if not found:
        raise CellFault(f"{column}: {cell[:40]!r} is no day with {order}")
    try:
        day = date(*(int(part) for part in found.groups())) if order == "year first" else _year_last(cell, order)
    except ValueError:
        day = None
    if day is None:
        raise CellFault(f"{column}: {cell[:40]!r} is no day of the calendar with {order}")
    rest = cell[found.end() :]
    return _with_clock(day, rest, f"{column}: {cell[:40]!r}")


def _with_clock(day: date, rest: str, said: str) -> datetime:
    midnight = datetime(day.year, day.month, day.day)
    if not rest.strip():
        return midnight
    found = _CLOCK.fullmatch(rest)
    if not found:
        raise CellFault(f"{said} has something after the day that is no time")
    hour, minute, second, _, half, offset = found.groups()
    hours = int(hour)
    if half:
        hours = hours % 12 + (12 if half.lower() == "pm" else 0)
    try:
        at = midnight.replace(hour=hours, minute=int(minute), second=int(second or 0))
    except ValueError:
        raise CellFault(f"{said} has no time of a day") from None
    if not offset:
        return at
    zone = "+00:00" if offset in ("Z", "UTC") else offset
    return datetime.fromisoformat(f"{at.isoformat()}{zone}")
