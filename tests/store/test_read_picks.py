"""Sheets of weighed picks."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tunneltui.holding.user_error import UserError
from tunneltui.store.read_picks import PickRow, PicksFile, read_picks
from tunneltui.store.read_table import read_table


def picks(tmp_path: Path, text: str, **told: str) -> PicksFile:
    file = tmp_path / "picks.csv"
    file.write_text(text, encoding="utf-8")
    return read_picks(read_table(file), mapped=told)


def test_kilograms_by_cultivar_and_row(tmp_path: Path) -> None:
    found = picks(tmp_path, "Date,Cultivar,Row,kg,Count,Grade\n2026-08-03,cherry 1,W1,6.2,410,first\n")
    assert found.picks == (PickRow(2, date(2026, 8, 3), "cherry 1", "W1", 6.2, 410, "first"),)


def test_grams_and_decimal_commas(tmp_path: Path) -> None:
    found = picks(tmp_path, "Datum;Kind;Weight (g)\n03.08.2026;cherry 1;6200,5\n10.08.2026;cherry 1;5100\n")
    assert [pick.kg for pick in found.picks] == [6.2005, 5.1]
    assert found.decided == ("Weight (g) is in g.",)


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("2026-08-10,cherry 1,-2", "no weight of a pick"),
        ("2026-08-10,cherry 1,90000", "no weight of a pick"),
        ("2026-08-10,cherry 1,", "nothing was weighed"),
        ("2026-08-10,cherry 1,lots", "no number"),
        ("2026-08-32,cherry 1,2", "no day of the calendar"),
    ],
)
def test_absurd_rows_are_refused_with_their_line(tmp_path: Path, row: str, why: str) -> None:
    found = picks(tmp_path, f"Date,Cultivar,kg\n2026-08-03,cherry 1,2\n{row}\n")
    assert [(one.line, why in one.why) for one in found.refused] == [(3, True)]
    assert len(found.picks) == 1


@pytest.mark.parametrize(
    ("text", "say"),
    [
        ("Cultivar,kg\ncherry 1,2\n", "no column of days"),
        ("Date,Cultivar\n2026-08-03,cherry 1\n", "no column for kg"),
        ("Date,kg\n2026-08-03,-1\n", "no pick that can be taken"),
        ("Date,kg\n13/08/2026,1\n08/14/2026,1\n", "mixes orders"),
    ],
)
def test_sheets_that_cannot_be_taken(tmp_path: Path, text: str, say: str) -> None:
    with pytest.raises(UserError, match=say):
        picks(tmp_path, text)
