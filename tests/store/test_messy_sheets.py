"""Every sheet is read right or asked about; none is silently wrong."""

from __future__ import annotations

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
