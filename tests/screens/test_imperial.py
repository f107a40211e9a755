"""Pounds, inches and Fahrenheit on every screen and in what is typed there; the journal stays metric."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.pages.test_units import METRIC
from tests.screens.given import grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.cells import Units
from tunneltui.pages import units
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.store.journal_file import JournalFile

PANES = ("1", "2", "3", "4", "5", "6", "7", "8")
"""All but the journal, which shows entries as they were written."""
WRITTEN = "8 cm of garden compost"
"""The grower's own words about a bed stay as they are."""


@pytest.fixture
def _imperial() -> Iterator[None]:
    units.set_units(Units(imperial=True))
    yield
    units.set_units(Units())


@pytest.mark.usefixtures("_imperial")
async def test_no_screen_says_a_metric_quantity(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    seen = ""
    async with app.run_test(size=(120, 40)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        for key in PANES:
            await pilot.press(key)
            await app.workers.wait_for_complete()
            for _ in range(3):
                await pilot.pause()
                lines = grid(app)
                assert not [line for line in lines if METRIC.search(line) and WRITTEN not in line], key
                seen += "\n".join(lines)
                await pilot.press("pagedown")
    for unit in (" lb", " in", " ft", " degF", " US gal"):
        assert unit in seen


@pytest.mark.usefixtures("_imperial")
async def test_a_pick_is_typed_in_pounds_and_kept_in_kilograms(tmp_path: Path) -> None:
    path = demo_at(tmp_path)
    app = TunnelApp(FileClient(path))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        await pilot.press("4")
        await app.workers.wait_for_complete()
        await pilot.pause()
        await pilot.press("down", "p")
        await wait_until(lambda: any("Weight, lb" in line for line in grid(app)))
        await pilot.press("5", "full_stop", "5", "enter")
        await wait_until(lambda: any("5.50 lb" in line for line in grid(app)))
    with JournalFile.open(path) as journal:
        kept = [entry.body for entry in journal.entries() if entry.kind == "picked"]
    assert '"kg":2.4948' in kept[-1]
