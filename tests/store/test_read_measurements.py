"""Sheets of weekly measuring: columns found, increments told from totals, the impossible refused by line."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.growth.open_data import folder, needs_open_data
from tunneltui.holding.user_error import UserError
from tunneltui.journal.kinds_standing import Measured
from tunneltui.store.read_measurements import MeasurementsFile, read_measurements
from tunneltui.store.read_table import read_table
from tunneltui.store.sheet_meaning import CountedAs


def sheet(
    tmp_path: Path,
    text: str,
    length_as: CountedAs | None = None,
    trusses_as: CountedAs | None = None,
    **told: str,
) -> MeasurementsFile:
    file = tmp_path / "weekly.csv"
    file.write_text(text, encoding="utf-8")
    return read_measurements(read_table(file), mapped=told, length_as=length_as, trusses_as=trusses_as)


INCREMENTS = """Date,Label,Stem length,Crop height
2026-07-06,1,120,120
2026-07-06,2,110,110
2026-07-13,1,30,150
2026-07-13,2,28,138
2026-07-20,1,25,175
2026-07-20,2,27,165
"""
TOTALS = """Date,Label,Length (m)
2026-07-06,1,1.20
2026-07-06,2,1.10
2026-07-13,1,1.50
2026-07-13,2,1.38
2026-07-20,1,1.75
2026-07-20,2,1.65
"""


def test_increments_are_recognised_by_the_running_total_beside_them(tmp_path: Path) -> None:
    found = sheet(tmp_path, INCREMENTS)
    assert found.columns == {"day": "Date", "label": "Label", "length": "Stem length", "total": "Crop height"}
    assert any("increments" in said and "6 of 6" in said for said in found.decided)
    assert found.labels == ("1", "2")
    first, second = (one.reading for one in found.readings if one.label == "1" and one.day < date(2026, 7, 20))
    assert first == Measured("1", length_m=1.2)
    assert second == Measured("1", length_m=1.5, growth_m=0.3)


def test_totals_are_recognised_by_rising(tmp_path: Path) -> None:
    found = sheet(tmp_path, TOTALS)
    assert any("totals" in said for said in found.decided)
    assert [one.reading.length_m for one in found.readings] == [1.2, 1.1, 1.5, 1.38, 1.75, 1.65]
    assert all(one.reading.growth_m is None for one in found.readings)


def test_increments_without_a_total_are_recognised_by_falling(tmp_path: Path) -> None:
    text = "\n".join(line.rpartition(",")[0] for line in INCREMENTS.splitlines())
    found = sheet(tmp_path, text)
    # The first visit, 120 cm among weeks of 25 to 30, is the whole length (as in the README of the open data).
    assert [one.reading.length_m for one in found.readings if one.label == "1"] == [1.2, None, None]
    assert [one.reading.growth_m for one in found.readings if one.label == "1"] == [None, 0.3, 0.25]


def test_what_nothing_decides_is_asked_and_may_be_stated(tmp_path: Path) -> None:
    one_visit = "\n".join(TOTALS.splitlines()[:3])
    with pytest.raises(UserError, match="--as increments"):
        sheet(tmp_path, one_visit)
    assert sheet(tmp_path, one_visit, "totals").readings[0].reading == Measured("1", length_m=1.2)
    assert sheet(tmp_path, one_visit, "increments").readings[0].reading == Measured("1", growth_m=1.2)


def test_trusses_as_counts_or_as_what_came(tmp_path: Path) -> None:
    came = "Date,Plant,Number of flowering trusses\n" + "".join(
        f"2026-07-{6 + 7 * week:02},{plant},{5 if week == 0 else 1}\n" for week in range(4) for plant in (1, 2)
    )
    readings = sheet(tmp_path, came).readings
    assert [
        (one.reading.flowering_truss, one.reading.flowering_since) for one in readings if one.label == "1"
    ] == [
        (5, None),
        (None, 1),
        (None, 1),
        (None, 1),
    ]
    counted = came.replace(",5\n", ",4\n")
    for week in range(1, 4):
        counted = counted.replace(f"2026-07-{6 + 7 * week:02},1,1", f"2026-07-{6 + 7 * week:02},1,{4 + week}")
        counted = counted.replace(f"2026-07-{6 + 7 * week:02},2,1", f"2026-07-{6 + 7 * week:02},2,{4 + week}")
    assert [one.reading.flowering_truss for one in sheet(tmp_path, counted).readings if one.label == "2"] == [
        4,
        5,
        6,
        7,
    ]
    assert all(one.reading.flowering_since for one in sheet(tmp_path, counted, trusses_as="increments").readings)


@pytest.mark.parametrize(
    ("heading", "cell", "metres"),
    [
        ("Length (mm)", "1500", 1.5),
        ("Length (cm)", "150", 1.5),
        ("Length [m]", "1.5", 1.5),
        ("Length", "150", 1.5),
    ],
)
def test_units_by_heading_or_by_size(tmp_path: Path, heading: str, cell: str, metres: float) -> None:
    found = sheet(tmp_path, f"Date,Label,{heading}\n2026-07-06,1,{cell}\n", "totals")
    assert found.readings[0].reading.length_m == pytest.approx(metres)


def test_the_impossible_is_refused_with_its_line_and_the_rest_kept(tmp_path: Path) -> None:
    text = """Date,Label,Stem length,Stem diameter,Remaining leaves
2026-07-06,1,120,9.1,16
2026-07-13,1,30,0.13,17
2026-07-20,1,300,8.9,18
2026-07-27,1,28,8.8,900
2026-08-03,,28,8.8,17
someday,1,28,8.8,17
2026-08-10,1,27,8.8,17
2026-08-10,1,26,8.8,17
2026-08-17,1,23,8.6,16
2026-08-24,1,24,wide,16
"""
    found = sheet(tmp_path, text, "increments")
    why = {one.line: one.why for one in found.refused}
    assert sorted(why) == [3, 4, 5, 6, 7, 9, 11]
    assert "0.13 mm cannot be a stem" in why[3]
    assert "300 cm in 7 days" in why[4]
    assert "900 leaves" in why[5]
    assert "whose reading" in why[6]
    assert "no day" in why[7]
    assert "otherwise than line 8" in why[9]
    assert "no number" in why[11]
    kept = {one.line: one.reading for one in found.readings}
    assert kept[3] == Measured("1", growth_m=0.3, leaves=17)
    assert kept[4] == Measured("1", diameter_mm=8.9, leaves=18)
    assert kept[11] == Measured("1", growth_m=0.24, leaves=16)


@pytest.mark.parametrize(
    ("text", "say"),
    [
        ("Label,Stem length\n1,120\n2,110\n", "no column of days"),
        ("Date,Label,Colour\n2026-07-06,1,red\n", "no column that measures a stem"),
        ("Date,Label,Stem length\n13/07/2026,1,120\n07/14/2026,1,20\n", "mixes orders"),
        (
            "Date,Label,Stem length\n2026-07-06,1,tall\n2026-07-13,1,taller\n",
            "no row that can be taken|nothing tells|One visit",
        ),
    ],
)
def test_sheets_that_cannot_be_taken(tmp_path: Path, text: str, say: str) -> None:
    with pytest.raises(UserError, match=say):
        sheet(tmp_path, text)


@settings(max_examples=40, deadline=None)
@given(
    growth=st.lists(st.lists(st.integers(8, 45), min_size=5, max_size=9), min_size=3, max_size=8).filter(
        lambda runs: sum(any(b < a for a, b in pairwise(run)) for run in runs) == len(runs)
    ),
    first=st.integers(100, 220),
)
def test_the_same_stems_as_increments_and_as_totals(
    tmp_path_factory: pytest.TempPathFactory, growth: list[list[int]], first: int
) -> None:
    """Both sheets of one crop tell the same lengths at every visit, whichever way they were written."""
    increments = totals = "Date,Label,Stem length\n"
    lengths: dict[tuple[str, date], float] = {}
    for label, run in enumerate(growth):
        length = 0
        for week, grown in enumerate([first, *run]):
            day = (
                date(2026, 5, 4 + 7 * week)
                if week < 4
                else date.fromordinal(date(2026, 5, 4).toordinal() + 7 * week)
            )
            length += grown
            lengths[str(label), day] = length / 100
            increments += f"{day},{label},{grown}\n"
            totals += f"{day},{label},{length}\n"
    folder_ = tmp_path_factory.mktemp("both")
    as_totals = sheet(folder_, totals)
    assert {(one.label, one.day): one.reading.length_m for one in as_totals.readings} == pytest.approx(lengths)
    as_increments = sheet(folder_, increments, "increments")
    added: dict[str, float] = {}
    for one in as_increments.readings:
        added[one.label] = one.reading.length_m or added[one.label] + (one.reading.growth_m or 0)
        assert added[one.label] == pytest.approx(lengths[one.label, one.day])


@needs_open_data
def test_the_open_registrations() -> None:
    """10 stems, 16 visits, increments beside a running total, one diameter of 0.13 mm (README of the data)."""
    found = read_measurements(read_table(folder() / "ohio/crop.csv"))
    assert len(found.labels) == 10
    assert len(found.readings) == 160
    assert len({one.day for one in found.readings}) == 16
    assert [(one.line, "0.13 mm" in one.why and "2024-10-28" in one.why) for one in found.refused] == [(154, True)]
    of_11 = [one.reading for one in found.readings if one.label == "11"]
    # The first row is the whole length and the count of trusses, later rows are increases (same README).
    assert (of_11[0].length_m, of_11[0].growth_m, of_11[0].flowering_truss) == (1.2, None, 5)
    assert (of_11[1].length_m, of_11[1].growth_m, of_11[1].flowering_since) == (1.49, 0.29, 1)


@needs_open_data
@pytest.mark.parametrize("compartment", [1, 2])
def test_the_open_means_of_ten_stems(compartment: int) -> None:
    """Serial days (epoch 1899-12-30: 43823 is 24 December 2019), blanks and % in headings, NaN (README)."""
    found = read_measurements(read_table(folder() / f"challenge/compartment-{compartment}/crop.csv"))
    assert found.order == "serial"
    assert found.readings[0].day == date(2019, 12, 24)
    assert found.readings[0].reading.flowering_truss is None
    assert found.readings[0].reading.growth_m in (0.142, 0.145)
    assert found.readings[2].reading.flowering_truss in (3.1, 3.0)
