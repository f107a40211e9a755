"""The palette before its list is drawn: keys that come at once with the one that opens it."""

from __future__ import annotations

import pytest

from tests.screens.given import LOWER, KeptInMind, an_app, chores_here, grid, typed_at_once, wait_until
from tunneltui.screens.lines import Lines
from tunneltui.screens.palette import Palette


@pytest.mark.parametrize("size", [(80, 24), (20, 5), (41, 11), (80, 4)])
async def test_pages_are_asked_for_before_there_is_a_list(size: tuple[int, int]) -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        for page in ("pageup", "pagedown"):
            typed_at_once(app, ("ctrl+p", None), ("d", "d"), (page, None), (page, None))
            await pilot.pause()
            await pilot.press(page)
            await pilot.press("escape", "escape")
        assert app.is_running


async def test_the_palette_pages_and_does_what_is_chosen() -> None:
    kept = KeptInMind()
    app = an_app(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        await pilot.press("ctrl+p", *"keys")
        await wait_until(lambda: any("This list of keys" in line for line in grid(app)))
        await pilot.press("pagedown", "pageup", "enter")
        await wait_until(lambda: any("This line, as said" in line for line in grid(app)))


async def test_a_second_way_out_takes_no_other_screen_with_it() -> None:
    """What a second escape does that was under way when the first one closed the palette."""
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        await pilot.press("ctrl+p")
        palette = app.screen
        assert isinstance(palette, Palette)
        palette.dismiss()
        palette.dismiss()
        await pilot.pause()
        assert len(app.screen_stack) == 1
        assert app.is_running


async def test_work_is_found_by_its_own_words() -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        await pilot.press("ctrl+p", *"one turn, hook")
        await wait_until(lambda: any("On the walk: overhead" in line for line in grid(app)))
        await pilot.press("enter")
        await wait_until(lambda: chores_here(app) == {LOWER.id})
