"""Any common spreadsheet export is read alike, and what cannot be told apart is refused with its lines."""

from __future__ import annotations

from contextlib import suppress
from datetime import date, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tunneltui.holding.user_error import UserError
from tunneltui.store import sheet_days
from tunneltui.store.read_table import Table, read_table
from tunneltui.store.sheet_columns import number
from tunneltui.store.sheet_days import DateOrder, DayOrder
from tunneltui.store.sheet_file import SheetLine
from tunneltui.store.sheet_numbers import CellFault

POINT = "Date,Label,Length °C\n2026-08-03,ä1,12.5\n2026-08-10,ä2,-3\n"
COMMA = "Date;Label;Length °C\n2026-08-03;ä1;12,5\n2026-08-10;ä2;-3\n"


def table(folder: Path, data: bytes | str, name: str = "some.csv") -> Table:
    file = folder / name
    file.write_bytes(data.encode() if isinstance(data, str) else data)
    return read_table(file)


def date_order(found: Table, column: str, told: DayOrder | None = None) -> DateOrder:
    cells = [(line.number, found.cell(line, column)) for line in found.lines]
    return sheet_days.date_order(found.file, column, cells, told)[0]


def moment(found: Table, line: SheetLine, column: str, order: DateOrder) -> datetime:
    return sheet_days.moment(found.cell(line, column), column, order)


@pytest.mark.parametrize(
    "data",
    [
        POINT.encode(),
        POINT.encode("utf-8-sig"),
        POINT.encode("utf-16"),
        POINT.encode("utf-16-le"),
        POINT.encode("utf-16-be"),
        POINT.encode("utf-32"),
        POINT.encode("latin-1"),
        POINT.replace("\n", "\r\n").encode(),
        POINT.replace("\n", "\r").encode(),
        POINT.replace(",", "\t").encode(),
        POINT.replace(",", " , ").encode(),
        COMMA.encode(),
        COMMA.encode("cp1252"),
        COMMA.replace("12,5", '"12,5"').encode(),
    ],
    ids=[
        "utf-8",
        "BOM",
        "utf-16",
        "16le",
        "16be",
        "32",
        "latin-1",
        "crlf",
        "cr",
        "tab",
        "blanks",
        ";",
        "; 1252",
        "quoted",
    ],
)
def test_one_table_in_every_dress(tmp_path: Path, data: bytes) -> None:
    found = table(tmp_path, data)
    assert found.columns == ("Date", "Label", "Length °C")
    assert [line.number for line in found.lines] == [2, 3]
    assert [found.cell(line, "Label") for line in found.lines] == ["ä1", "ä2"]
    assert [number(found, line, "Length °C") for line in found.lines] == [12.5, -3]


@pytest.mark.parametrize(
    ("data", "say"),
    [
        (b"", "empty"),
        (b"  \n \n", "empty"),
        (b"Date,Label\n", "no rows"),
        (b"PK\x03\x04rest", "cannot be read as a spreadsheet"),
        (b"\xff\xfeD\x00a", "cannot be read as utf-16"),
        (bytes(range(256)) * 4, "encoding"),
        (POINT.encode("cp037"), "encoding"),
        (b'Date,Label\n2026-08-03,"never closed', ""),
    ],
)
def test_what_is_no_table_is_refused_or_read(tmp_path: Path, data: bytes | str, say: str) -> None:
    """EBCDIC (cp037, IBM CDRA) stands for an encoding that nobody's spreadsheet writes."""
    if not say:
        assert table(tmp_path, data).columns == ("Date", "Label")
        return
    with pytest.raises(UserError, match=say):
        table(tmp_path, data)


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="no file"):
        read_table(tmp_path / "gone.csv")
    with pytest.raises(UserError, match="folder"):
        read_table(tmp_path)


@pytest.mark.parametrize("blank", ["", "-", "NaN", "n/a", "NULL", "  "])
def test_blank_cells_are_unknown(tmp_path: Path, blank: str) -> None:
    found = table(tmp_path, f"a,b\n{blank},1\n2,3\n")
    assert number(found, found.lines[0], "a") is None


@pytest.mark.parametrize("cell", ["1.234.5", "12 kgs of it", "1e999", "0x10", "١٢", "1_000", "inf", "--3"])
def test_what_is_no_number_costs_its_cell(tmp_path: Path, cell: str) -> None:
    found = table(tmp_path, f'a,b\n"{cell}",1\n2,3\n')
    with pytest.raises(CellFault, match=r"^a: "):
        number(found, found.lines[0], "a")
    assert number(found, found.lines[0], "b") == 1


def test_a_point_among_decimal_commas_is_refused(tmp_path: Path) -> None:
    found = table(tmp_path, "a;b\n1,5;2\n1.5;2\n")
    assert number(found, found.lines[0], "a") == 1.5
    with pytest.raises(CellFault, match="point"):
        number(found, found.lines[1], "a")


@pytest.mark.parametrize(
    ("cells", "order", "first"),
    [
        (["2026-08-03", "2026-08-13"], "year first", date(2026, 8, 3)),
        (["2026/8/3 07:15", "2026/8/13 07:15:30"], "year first", date(2026, 8, 3)),
        (["3.8.2026", "13.8.2026"], "day first", date(2026, 8, 3)),
        (["03/08/2026", "13/08/2026"], "day first", date(2026, 8, 3)),
        (["08/03/2026", "08/13/2026"], "month first", date(2026, 8, 3)),
        (["03/08/26", "13/08/26"], "day first", date(2026, 8, 3)),
        # 2026-08-03 is serial day 46237 (ECMA-376 part 1, 18.17.4.1; the README of the open data gives the epoch).
        (["46237", "46244.25"], "serial", date(2026, 8, 3)),
        # Every cell could be both, only day first runs forward in time.
        (["01/02/2026", "02/02/2026", "01/03/2026"], "day first", date(2026, 2, 1)),
    ],
)
def test_orders_of_day_and_month(tmp_path: Path, cells: list[str], order: DateOrder, first: date) -> None:
    found = table(tmp_path, "day,x\n" + "".join(f'"{cell}",1\n' for cell in cells))
    assert date_order(found, "day") == order
    assert moment(found, found.lines[0], "day", order).date() == first


@pytest.mark.parametrize(
    "cells",
    [
        ["13/08/2026", "08/14/2026"],
        ["2026-08-03", "13/08/2026"],
        ["2026-08-03", "05/08/2026"],
        ["46237", "2026-08-10"],
    ],
)
def test_mixed_orders_are_refused_with_their_lines(tmp_path: Path, cells: list[str]) -> None:
    found = table(tmp_path, "day,x\n" + "".join(f"{cell},1\n" for cell in cells))
    with pytest.raises(UserError, match=r"mixes orders.*line 2.*line 3"):
        date_order(found, "day")


def test_an_order_that_nothing_tells_is_asked_for(tmp_path: Path) -> None:
    found = table(tmp_path, "day,x\n05/08/2026,1\n04/08/2026,1\n")
    with pytest.raises(UserError, match="--dates"):
        date_order(found, "day")
    assert date_order(found, "day", "month first") == "month first"


@pytest.mark.parametrize(
    ("cell", "at"),
    [
        ("2026-08-03T07:05:09", "2026-08-03T07:05:09"),
        ("2026-08-03 7:05 PM", "2026-08-03T19:05:00"),
        ("2026-08-03 12:05 am", "2026-08-03T00:05:00"),
        ("2026-08-03T07:05Z", "2026-08-03T07:05:00+00:00"),
        ("2026-08-03T07:05:00.25+02:00", "2026-08-03T07:05:00+02:00"),
    ],
)
def test_times_of_day(tmp_path: Path, cell: str, at: str) -> None:
    found = table(tmp_path, f'day,x\n"{cell}",1\n2026-08-04,2\n')
    assert moment(found, found.lines[0], "day", "year first") == datetime.fromisoformat(at)


@pytest.mark.parametrize(
    "cell", ["2026-02-30", "2026-08-03 25:00", "2026-08-03 noon", "yesterday", "", "2026-13-01"]
)
def test_no_day_of_the_calendar(tmp_path: Path, cell: str) -> None:
    found = table(tmp_path, f"day,x\n{cell},1\n2026-08-04,2\n")
    with pytest.raises(CellFault, match=r"^day: "):
        moment(found, found.lines[0], "day", "year first")


@settings(max_examples=60, deadline=None)
@given(data=st.one_of(st.binary(max_size=300), st.text(max_size=200).map(lambda text: text.encode("utf-8"))))
def test_any_bytes_give_a_table_or_a_sentence(data: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Nothing but ``UserError`` and ``CellFault`` comes out, whatever goes in."""
    with suppress(UserError):
        found = table(tmp_path_factory.mktemp("fuzz"), data)
        for line in found.lines:
            for column in found.columns:
                with suppress(CellFault):
                    number(found, line, column)
                    moment(found, line, column, "year first")
