"""Rows of text out of any common sheet: CSV in its encodings and separators, and the spreadsheets themselves.

A spreadsheet's numbers, days and times become text in one form (a point, ISO 8601), so that one reader serves all.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from tunneltui.holding.user_error import UserError
from tunneltui.store.sheet_doubts import Doubt

MOST_BYTES = 200_000_000
_ODD = re.compile(r"[\x00-\x08\x0b\x0e-\x1f\x7f-\x9f]")
"""Control characters that no sheet writes."""
_DELIMITERS = ",;\t|"


@dataclass(frozen=True, slots=True)
class SheetLine:
    number: int
    """Line of the file, or row of the sheet, on which it begins, the first being 1."""
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """All rows of a sheet that hold anything."""

    file: str
    """Name to show, with the sheet's where it has one."""
    rows: tuple[SheetLine, ...]
    delimiter: str
    """'' for a spreadsheet."""


def read_grid(path: Path, sheet: str | None = None) -> Grid:
    """The rows of a file.

    Raises:
        UserError: it cannot be opened, is no table, or has no sheet of that name.
        Doubt: several of its sheets hold something and none was named.
    """
    data = _bytes(path)
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        return _spreadsheet(path.name, data, sheet)
    if sheet is not None:
        raise UserError(f"{path.name} is a text file and has no sheets.", "Leave --sheet out.")
    text = _decoded(path.name, data)
    first, _, rest = text.partition("\n")
    # Spreadsheet programs name the separator in a first line of its own, such as "sep=;".
    named = first.strip().lower()
    skipped = named.startswith("sep=") and len(named) == 5
    delimiter = named[-1] if skipped else _delimiter(text)
    try:
        rows = _rows(rest if skipped else text, delimiter, 2 if skipped else 1)
    except csv.Error as fault:
        raise UserError(f"{path.name} is no table that can be read: {fault}.") from fault
    return Grid(path.name, tuple(rows), delimiter)


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise UserError(f"{path} is a folder.", "Name the file in it.")
        if path.stat().st_size > MOST_BYTES:
            raise UserError(f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB.", "Split it by month.")
        return path.read_bytes()
    except FileNotFoundError:
        raise UserError(f"There is no file {path}.") from None
    except OSError as fault:
        raise UserError(f"{path} cannot be read: {fault.strerror}.") from fault
    except ValueError as fault:  # a NUL in the name
        raise UserError(f"{str(path)!r} is no name of a file.") from fault


def _spreadsheet(name: str, data: bytes, sheet_name: str | None) -> Grid:
    from python_calamine import CalamineError, CalamineWorkbook, PasswordError

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        filled = {title: rows for title in book.sheet_names if (rows := _filled(book, title))}
    except PasswordError as fault:
        raise UserError(f"{name} is locked with a password.", "Save it without one, or save it as CSV.") from fault
    except (CalamineError, OSError, ValueError) as fault:
        raise UserError(f"{name} cannot be read as a spreadsheet: {fault}.", "Save it as CSV (UTF-8).") from fault
    if not filled:
        raise UserError(f"{name} has nothing in its sheets.")
    if sheet_name is not None:
        title = next((sheet for sheet in filled if sheet.casefold() == sheet_name.casefold()), None)
        if title is None:
            raise UserError(
                f"{name} has no sheet {sheet_name!r} with anything in it.", f"It has {_quoted(filled)}."
            )
        return Grid(f"{name}, sheet {title}", filled[title], "")
    if len(filled) > 1:
        # The sheet that most likely holds the measurements is the longest.
        likely = sorted(filled, key=lambda title: -len(filled[title]))
        raise Doubt(
            f"{name} has {len(filled)} sheets with something in them: {_quoted(filled)}.",
            "sheet",
            tuple((title, f"{title}, {len(filled[title])} rows") for title in likely),
        )
    return Grid(name, next(iter(filled.values())), "")


def _quoted(names: Any) -> str:
    return ", ".join(repr(name) for name in names)


def _filled(book: Any, title: str) -> tuple[SheetLine, ...]:
    rows = book.get_sheet_by_name(title).to_python(skip_empty_area=False)
    lines = (SheetLine(number, tuple(_text(cell) for cell in row)) for number, row in enumerate(rows, 1))
    return tuple(line for line in lines if any(cell.strip() for cell in line.cells))


def _text(cell: object) -> str:
    """A spreadsheet's cell in one written form."""
    if isinstance(cell, bool):
        return str(cell).lower()
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, datetime):
        return cell.date().isoformat() if cell.time() == time() else cell.isoformat(" ", "seconds")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, time):
        return cell.isoformat("seconds")
    if isinstance(cell, timedelta):
        return (
            (datetime.min + cell).time().isoformat("seconds") if timedelta() <= cell < timedelta(1) else str(cell)
        )
    return str(cell)


def _decoded(name: str, data: bytes) -> str:
    """Text of the bytes: by byte order mark, else UTF-8, else Latin-1 (as cp1252)."""
    if not data.strip():
        raise UserError(f"{name} is empty.")
    encoding = _encoding(data)
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as fault:
        if encoding != "cp1252":
            say = f"{name} cannot be read as {encoding}: byte {fault.start} is wrong."
            raise UserError(say, "Save it as CSV (UTF-8).") from fault
        text = "\0"
    if _ODD.search(text):
        say = f"{name} is in an encoding that is neither UTF-8, UTF-16 nor Latin-1, or no text at all."
        raise UserError(say, "Save it as CSV (UTF-8).")
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
    """The sign that cuts the most of the first lines into the most columns of one number.

    Titles and notes stand above many a table, so the lines of the commonest width decide, not the first. Of two
    that do as well the one that is no decimal sign: ``8 Jun|1,139|0,799`` has as many commas as bars.
    """
    beginning = "\n".join(text[:20_000].splitlines()[:40])

    def fit(delimiter: str) -> tuple[float, int, bool]:
        try:
            widths = [len(row) for row in csv.reader(io.StringIO(beginning), delimiter=delimiter) if row]
        except csv.Error:
            return 0.0, 0, False
        wide = Counter(width for width in widths if width > 1)
        if not wide:
            return 0.0, 1, False
        width, same = wide.most_common(1)[0]
        return round(same / len(widths), 1), width, delimiter != ","

    return max(_DELIMITERS, key=fit)


def _rows(text: str, delimiter: str, first: int) -> list[SheetLine]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    rows, begins = [], first
    for cells in reader:
        if any(cell and not cell.isspace() for cell in cells):
            rows.append(SheetLine(begins, tuple(cells)))
        begins = reader.line_num + first
    return rows
