"""Row, Loads, Picks and Plant on the demo's morning, character by character at both sizes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient

SHOWN = {
    "row": (("2",), "in % of its strength"),
    "row-side": (("2", "s"), "from the side,"),
    "row-lowered": (("2", "b"), "as it would be lowered"),
    "loads": (("3", "down"), "1 in 20"),
    "picks": (("4",), "kg"),
    "plant": (("2", "enter"), "From the side"),
}
"""Keys that open each, and words that stand there once it is drawn."""


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", SHOWN)
async def test_grid(name: str, size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    keys, words = SHOWN[name]
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None)
        for key in keys:
            await pilot.press(key)
            await pilot.pause()
        await wait_until(lambda: any(words in line for line in grid(app)))
        await app.workers.wait_for_complete()
        await pilot.pause()
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))
