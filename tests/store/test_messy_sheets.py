"""Every sheet is read right or asked about; none is silently wrong."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.store.messy_sheets import AIR, PICKS, SHEETS, STEMS, VISITS, Sheet, written
from tunneltui.holding.user_error import UserError
from tunneltui.store.read_air import read_air
from tunneltui.store.read_measurements import read_measurements
from tunneltui.store.read_picks import read_picks
from tunneltui.store.read_table import read_table
from tunneltui.store.sheet_doubts import Doubt

OF_THE_TABLE = ("sheet", "skip", "decimal")


def read(folder: Path, sheet: Sheet, tells: Any) -> object:
    """What the sheet says, in the form that its expectation has."""
    table = read_table(written(folder, sheet), **{name: tells[name] for name in OF_THE_TABLE if name in tells})
    said = {name: value for name, value in tells.items() if name not in OF_THE_TABLE}
    if sheet.kind == "picks":
        return tuple((one.day, one.cultivar, round(one.kg, 3)) for one in read_picks(table, **said).picks)
    if sheet.kind == "air":
        rows = read_air(table, "Europe/London", **said).rows
        return {row.day: (round(row.body.min_c or 0, 1), round(row.body.max_c or 0, 1)) for row in rows}
    found = read_measurements(table, length_as="totals", **said)
    return {(one.label, VISITS.index(one.day)): round((one.reading.length_m or 0) * 100) for one in found.readings}


EXPECTED = {"measurements": STEMS, "picks": PICKS, "air": AIR}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_a_sheet_is_read_right_or_asked_about(tmp_path: Path, sheet: Sheet) -> None:
    if sheet.asks:
        with pytest.raises(Doubt) as asked:
            read(tmp_path, sheet, {})
        assert asked.value.flag == sheet.asks
        assert f"--{sheet.asks}" in str(asked.value)
        if not sheet.tells:
            return
    elif sheet.refuses:
        with pytest.raises(UserError, match=sheet.refuses):
            read(tmp_path, sheet, {})
        if not sheet.tells:
            return
    assert read(tmp_path, sheet, sheet.tells) == EXPECTED[sheet.kind]


def test_a_column_for_each_plant_and_trait_loses_no_trait(tmp_path: Path) -> None:
    """The trusses were dropped without a word, and a hyphen in a plant's name cost the whole sheet."""
    file = tmp_path / "beside.csv"
    head = "Date,W1-01 length (cm),W1-01 truss,W1-02 length (cm),W1-02 truss"
    rows = [f"{day},{STEMS['1', n]},{3 + n},{STEMS['2', n]},{4 + n}" for n, day in enumerate(VISITS)]
    file.write_text("\n".join([head, *rows]) + "\n")
    found = read_measurements(read_table(file))
    assert set(found.labels) == {"W1-01", "W1-02"}
    assert [one.reading.flowering_truss for one in found.readings if one.label == "W1-02"] == [4, 5, 6]


def test_an_empty_first_visit_is_one_from_which_increments_count(tmp_path: Path) -> None:
    file = tmp_path / "increments.csv"
    file.write_text("Date,Plant,Growth (cm)\n2026-07-06,1,\n2026-07-13,1,24\n2026-07-20,1,25\n")
    found = read_measurements(read_table(file))
    assert found.visited == {"1": VISITS[0]}
    assert [one.day for one in found.readings] == [*VISITS[1:]]


@pytest.mark.parametrize(("cell", "m"), [("4' 2\"", 1.27), ("4'2''", 1.27), ("5′", 1.524), ("5' 8.5\"", 1.7399)])
def test_feet_and_inches_in_a_cell(tmp_path: Path, cell: str, m: float) -> None:
    file = tmp_path / "feet.csv"
    tall = cell.replace('"', '""')
    file.write_text(f'Date,Plant,Length\n2026-07-06,1,"{tall}"\n2026-07-13,1,"{tall}"\n', encoding="utf-8")
    found = read_measurements(read_table(file), length_as="totals")
    assert found.readings[0].reading.length_m == pytest.approx(m, abs=0.006)


@pytest.mark.parametrize("thousandths", ["", "000"])
def test_seconds_since_1970_are_turned_into_the_holdings_clock(tmp_path: Path, thousandths: str) -> None:
    """1785715200 is 2026-08-03 00:00 UTC (POSIX.1-2017, 4.16), one o'clock of British summer time."""
    file = tmp_path / "stamped.csv"
    stamps = [1785715200 + 3600 * hour for hour in range(48)]
    rows = [f"{stamp}{thousandths},{20 - abs(hour % 24 - 13):.1f}" for hour, stamp in enumerate(stamps)]
    file.write_text("timestamp,temperature (C)\n" + "\n".join(rows) + "\n")
    found = read_air(read_table(file), "Europe/London")
    assert [row.day for row in found.rows][:2] == [date(2026, 8, 3), date(2026, 8, 4)]
    assert found.readings == 48


def test_the_heading_that_says_flower_is_taken_before_one_that_says_truss(tmp_path: Path) -> None:
    """Beside it stood "Trusses set", and the sheet was refused; "Flowering" alone was not read at all, nor was the
    growth of "this week"."""
    file = tmp_path / "weeks.csv"
    head = "Date,Plant,Growth this week (in),Stem dia (mm),{},Trusses set"
    inches = [(9.5, 8.25, 10.75)[n % 3] for n in range(len(VISITS))]
    rows = [f"{day},1,{inches[n]},10.{n},{3 + n},{2 + n}" for n, day in enumerate(VISITS)]
    for heading in ("Truss in flower", "Flowering", "In bloom"):
        file.write_text("\n".join([head.format(heading), *rows]) + "\n")
        readings = [one.reading for one in read_measurements(read_table(file)).readings]
        assert [one.flowering_truss for one in readings] == [3 + n for n in range(len(VISITS))]
        assert [one.growth_m for one in readings] == [pytest.approx(grown * 0.0254, abs=1e-4) for grown in inches]
        assert readings[0].diameter_mm == 10.0


@pytest.mark.parametrize(
    ("headings", "asks"),
    [
        (("Inside (\u00b0F)", "Outside (\u00b0F)", "Inside (%)"), ""),
        (("Probe 1 (\u00b0F)", "RH (%)", "Light (lux)"), ""),
        (("Probe 1 (\u00b0F)", "Probe 2 (\u00b0F)", "RH (%)"), "map"),
    ],
)
def test_a_logger_that_names_only_the_unit(tmp_path: Path, headings: tuple[str, ...], asks: str) -> None:
    """ "Inside" in degrees was no temperature, and "Say --map temp=Column" named none."""
    file = tmp_path / "logger.csv"
    rows = [
        f"07/{13 + n // 24:02}/26 {n % 24:02}:00,{60 + n % 24}.0,{50 + n % 24},{60 + n % 3}" for n in range(72)
    ]
    file.write_text("\n".join([",".join(["Date Time", *headings]), *rows]) + "\n", encoding="utf-8")
    if asks:
        with pytest.raises(Doubt) as asked:
            read_air(read_table(file), "Europe/London")
        assert asked.value.flag == asks
        assert "'Probe 2 (\u00b0F)'" in str(asked.value)
        return
    least = {row.day: row.body.min_c for row in read_air(read_table(file), "Europe/London").rows}
    assert least == {date(2026, 7, 13 + n): pytest.approx((60 - 32) / 1.8, abs=0.06) for n in range(3)}
