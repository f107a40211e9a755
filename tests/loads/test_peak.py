"""The most a row gets to bear: looked for up to the last pick, on the made-up tunnel's season."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.screens.made_demo import demo_at
from tunneltui.growth.forecast import outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.chain import loads
from tunneltui.loads.masses import LEAF_G
from tunneltui.loads.peak import row_peaks, with_peaks
from tunneltui.season.fold import fold
from tunneltui.season.state import Season
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

DAY = date(2026, 8, 20)
BACK = date(2026, 10, 31)


@pytest.fixture
def standing(tmp_path: Path) -> Season:
    return fold(JournalFile.open(demo_at(tmp_path)).entries(), DAY)


def wanted_back(season: Season, day: date) -> Season:
    work = replace(season.holding.work, bed_wanted_back=day)
    holding = replace(season.holding, work=work)
    return replace(season, holding=holding, layout=replace(season.layout, holding=holding))


def hanging(season: Season, ahead: Outlook, row: str, day: date) -> tuple[float, float]:
    """Kg of a row on a day, and what its leaves weigh of that."""
    whole = next(one.hanging_kg for one in loads(season, ahead, day).rows if one.row == row)
    leaves = 0.0
    for leader in season.leaders_of_row(row):
        cultivar = season.layout.cultivars[leader.cultivar]
        leaves += ahead.stem(leader.id, day).leaves * (cultivar.leaf_g or LEAF_G[cultivar.fruit]) / 1000
    return whole, leaves


def test_a_peak_is_what_hangs_on_its_day_with_the_leaves_taken_and_no_day_has_more(standing: Season) -> None:
    """The forecast itself takes no leaves: on the peak's day, and today, more hangs by its leaves at most."""
    assert standing.holding.work.bed_wanted_back == BACK
    peaks = row_peaks(standing)
    ahead = outlook(standing, (BACK - DAY).days)
    assert any(day > DAY + timedelta(days=14) for _, day in peaks.values())
    for row, (kg, day) in peaks.items():
        assert DAY <= day <= BACK
        hangs, leaves = hanging(standing, ahead, row, day)
        assert hangs - leaves < kg <= hangs + 1e-9
        today, leaves_today = hanging(standing, ahead, row, DAY)
        assert kg >= today - leaves_today
        assert kg > 0.9 * max(hanging(standing, ahead, row, DAY + timedelta(days=7 * n))[0] for n in (0, 2))


def test_a_bed_wanted_back_sooner_has_no_later_peak(standing: Season) -> None:
    sooner = DAY + timedelta(days=15)
    late, soon = row_peaks(standing), row_peaks(wanted_back(standing, sooner))
    assert all(day <= sooner for _, day in soon.values())
    assert all(soon[row][0] <= kg + 1e-9 for row, (kg, _) in late.items())
    assert soon["E2"][0] < late["E2"][0]


def test_a_row_without_stems_has_its_peak_of_nothing_today(standing: Season) -> None:
    bare = replace(standing, leaders={i: one for i, one in standing.leaders.items() if one.row != "W2"})
    assert row_peaks(bare)["W2"] == (0.0, DAY)


def test_peaks_are_put_into_the_loads(standing: Season) -> None:
    today = loads(standing, outlook(standing), DAY)
    told = with_peaks(today, standing)
    peaks = row_peaks(standing)
    for row in told.rows:
        # Today all leaves hang that do; on a day to come those below the fruit are taken.
        assert (row.peak_kg, row.peak_day) == max((row.hanging_kg, DAY), peaks[row.row])
    assert told.clips == today.clips
