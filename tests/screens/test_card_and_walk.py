"""The demo's card of the day and its walk plant by plant, character by character, at both sizes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_card_then_walk(size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: app.picture is not None and app.picture.confirmed, 60)
        await wait_until(lambda: any("Week" in line or "The walk" in line for line in grid(app)))
        await pilot.pause()
        as_kept(f"card-{size[0]}x{size[1]}", grid(app))
        if size == (80, 24):
            await pilot.press("end", "enter")
            await pilot.pause()
            assert any("The week ahead" in line for line in grid(app))
            assert any(" 28 min pick" in line for line in grid(app)), grid(app)
            await pilot.press("q", "home")
        await pilot.press("1")
        assert app._round.walk.show_pass("plants W")
        await wait_until(lambda: "Plants, west loop" in grid(app)[0])
        await pilot.pause()
        as_kept(f"walk-{size[0]}x{size[1]}", grid(app))
        await pilot.press("1")
        await wait_until(lambda: app._round.shown == "card")
