"""What stands on the screen, character by character, at both sizes; and that it says the same without colour."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screens.given import COLUMNS_BY_ROWS, LOWER, KeptInMind, an_app, as_kept, go_to, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lines import Lines

OPENED_BY = {
    "round": (),
    "failed": ("x",),
    "pick": ("p",),
    "changes": ("enter",),
    "put_off": ("z",),
    "keys": ("?",),
}
DEMO_SHOWN = {
    "row": (("2",), "in % of its strength"),
    "row-side": (("2", "s"), "from the side,"),
    "row-lowered": (("2", "b"), "as it would be lowered"),
    "loads": (("3", "down"), "1 in 20"),
    "picks": (("4",), "kg"),
    "plant": (("2", "enter"), "From the side"),
}
"""Keys that open each, and words that stand there once it is drawn."""


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", OPENED_BY)
async def test_grid(name: str, size: tuple[int, int]) -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        go_to(app, LOWER)
        await pilot.press(*(key if key != "?" else "question_mark" for key in OPENED_BY[name]))
        await pilot.pause()
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_without_colour_the_same_characters_stand_there_and_no_colour_code(size: tuple[int, int]) -> None:
    app = an_app(KeptInMind(), no_colour=True)
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        go_to(app, LOWER)
        await pilot.pause()
        as_kept(f"round-{size[0]}x{size[1]}", grid(app))
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                for colour in (segment.style.color, segment.style.bgcolor) if segment.style else ():
                    assert colour is None or colour.is_default or colour.triplet is None, segment


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", DEMO_SHOWN)
async def test_grid_of_the_demo(name: str, size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    keys, words = DEMO_SHOWN[name]
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None)
        for key in keys:
            await pilot.press(key)
            await pilot.pause()
        await wait_until(lambda: any(words in line for line in grid(app)))
        await app.workers.wait_for_complete()
        await pilot.pause()
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))
