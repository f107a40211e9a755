"""Any size, any resize: nothing crashes, nothing is cut in two, what is too small says what it needs."""

from __future__ import annotations

import pytest

from tests.screens.given import KeptInMind, an_app, grid, wait_until
from tunneltui.screens import actions
from tunneltui.screens.lines import Lines

SIZES = ((20, 5), (1, 1), (2, 30), (39, 24), (40, 10), (41, 9), (200, 60), (80, 24))


@pytest.mark.parametrize("opens", ["", "x", "p", "enter", "question_mark", "v", "ctrl+p"])
async def test_any_resize_is_safe(opens: str) -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        before = grid(app)
        if opens:
            await pilot.press(opens)
        for columns, rows in SIZES:
            await pilot.resize_terminal(columns, rows)
            await pilot.pause()
            assert len(grid(app)) == rows
        if opens:
            await pilot.press("escape")
            await pilot.pause()
        await wait_until(lambda: grid(app) == before)


async def test_what_is_too_small_says_what_it_needs() -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(20, 5)) as pilot:
        await pilot.pause()
        words = " ".join(" ".join(grid(app)).split())
        assert "needs 40 columns and 10 rows" in words


@pytest.mark.parametrize("columns", [40, 60, 80, 100, 120])
async def test_the_keys_line_is_never_clipped(columns: int) -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=(columns, 24)) as pilot:
        await wait_until(lambda: bool(grid(app)[-1]))
        await pilot.pause()
        shown = grid(app)[-1].strip().split("  ")
        whole = {f"{actions.footer_key(action)} {action.words}" for action in actions.ALL}
        assert set(shown) <= whole
        assert "? keys" in shown


def test_every_line_of_keys_has_its_help() -> None:
    for action in actions.ALL:
        assert action.help.endswith(".")
        assert action.keys
