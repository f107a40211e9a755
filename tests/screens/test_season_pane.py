"""The look back on the screen: any span and grouping, the same words as its plain twin, nothing made up."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.cells import Units
from tunneltui.draw.canvas import row_text
from tunneltui.draw.chart import AxisUnit, season_chart
from tunneltui.holding.new import Start, starter
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.pages.season import review_text
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.season_pane import LookBackRequest, SeasonPane, season_before
from tunneltui.season.growing_year import CALENDAR_YEAR
from tunneltui.store.journal_file import JournalFile

SHOWN = {
    "season": (("down",), "13 Jul to 17 Aug"),
    "season-weeks": (("l", "l"), "week 28"),
    "season-compared": (("c", "down", "down"), "No two can be told"),
}
"""Keys after the digit, and words that stand there then."""


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", SHOWN)
async def test_grid(name: str, size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    keys, words = SHOWN[name]
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot, *keys)
        await wait_until(lambda: any(words in line for line in grid(app)))
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))


async def opened(app: TunnelApp, pilot: Pilot[None], *keys: str) -> SeasonPane:
    await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
    for key in ("7", *keys):
        await pilot.press(key)
        await app.workers.wait_for_complete()
        await pilot.pause()
    return app.query_one(SeasonPane)


async def test_span_grouping_and_units_by_key(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(120, 40)) as pilot:
        pane = await opened(app, pilot, "b", "i")
        assert pane._back is not None
        assert pane._back[1].by == "row"
        assert any("2026, by row" in line for line in grid(app))
        assert any("a plant lb" in line for line in grid(app))
        # The only season: before it there is nothing but everything.
        await pilot.press("s")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert any("Everything noted, by row" in line for line in grid(app))
        await pilot.press("d", *"2026-13", "enter")
        await pilot.pause()
        assert any("is no day" in line for line in grid(app))
        await pilot.press(*("backspace",) * 2, *"08", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        back = pane._back[1]
        assert (back.since, back.until) == (date(2026, 8, 1), date(2026, 8, 31))
        assert all(line.first_pick is None or line.first_pick.month == 8 for line in back.yields)
        await pilot.press("v")
        await pilot.pause()
        assert any("Clearing" in line for line in review_text(back, Units(True)).splitlines())
        assert any("What came off, by row, 2026-08-01 to 2026-08-31" in line for line in grid(app))


async def test_an_empty_journal_has_no_made_up_number(tmp_path: Path) -> None:
    path = tmp_path / "mine.db"
    with JournalFile.open(path, create=True) as journal:
        journal.append([draft("", HoldingSet(starter(Start())))], date(2026, 5, 1))
    app = TunnelApp(FileClient(path), on=date(2026, 5, 2))
    async with app.run_test(size=(80, 24)) as pilot:
        pane = await opened(app, pilot)
        shown = " ".join(grid(app))
        assert "No pick was noted in that span." in shown
        assert "nothing can be compared" in shown
        assert pane._back is not None
        text = review_text(pane._back[1], Units())
        for words in ("No pick was weighed.", "No stem was measured.", "None was hung.", "Nothing was timed."):
            assert words in text
        assert " kg" not in text.replace("Picked so far, kg", "").replace("price_per_kg", "")


def test_seasons_before() -> None:
    request = LookBackRequest(date(2026, 1, 1), date(2026, 12, 31))
    assert season_before([2024, 2026], CALENDAR_YEAR, request, 2026) == (date(2024, 1, 1), date(2024, 12, 31))
    first = LookBackRequest(date(2024, 1, 1), date(2024, 12, 31))
    assert season_before([2024, 2026], CALENDAR_YEAR, first, 2026) == (None, None)
    assert season_before([2024, 2026], CALENDAR_YEAR, LookBackRequest(None, None), 2026) == (
        date(2026, 1, 1),
        date(2026, 12, 31),
    )


def test_years_differ_by_their_names_and_their_dots() -> None:
    curves = {2025: {28: 2.0, 32: 10.0}, 2026: {28: 3.0, 33: 12.0}}
    kg = AxisUnit("kg")
    rows = [row_text(row) for row in season_chart(60, 12, curves, CALENDAR_YEAR, unit=kg)]
    assert len(rows) == 12
    assert sum("2025" in row for row in rows) == 1
    assert sum("2026" in row for row in rows) == 1
    assert rows[-1].split() == ["week", "28", "33"]
    latest = season_chart(60, 12, {2027: {30: 0.1}} | curves, CALENDAR_YEAR, unit=kg)
    dots = [
        sum(len(run.text.strip(" ⠀")) for row in latest for run in row if run.style == ink)
        for ink in ("", "quiet")
    ]  # fmt: skip
    assert min(dots) > 0, "the latest year in ink, those before it quiet and with fewer dots"
    assert season_chart(60, 12, {}, CALENDAR_YEAR, unit=kg) == []
    assert season_chart(60, 12, {2026: {30: 1.0}}, CALENDAR_YEAR, unit=kg), "one pick alone can be drawn"
