"""What stands on the screen, character by character, at both sizes; and that it says the same without colour."""

from __future__ import annotations

import pytest

from tests.screens.given import COLUMNS_BY_ROWS, LOWER, KeptInMind, an_app, as_kept, go_to, grid, wait_until
from tunneltui.screens.lines import Lines

OPENED_BY = {
    "round": (),
    "failed": ("x",),
    "pick": ("p",),
    "changes": ("enter",),
    "put_off": ("z",),
    "keys": ("?",),
}


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
