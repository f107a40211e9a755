"""The demo's card of the day and its walk plant by plant, character by character, at both sizes."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lines import Lines


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_card_then_walk(size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed, 60)
        await wait_until(lambda: any("Week" in line or "The walk" in line for line in grid(app)))
        await pilot.pause()
        as_kept(f"card-{size[0]}x{size[1]}", grid(app))
        if size == (80, 24):
            await pilot.press("end", "enter")
            await pilot.pause()
            assert any("The week ahead" in line for line in grid(app))
            assert any(re.search(r" \d+ min pick", line) for line in grid(app)), grid(app)
            await pilot.press("q", "home")
        await pilot.press("1")
        assert app._round.walk.show_pass("plants W")
        await wait_until(lambda: "Plants, west loop" in grid(app)[0])
        await pilot.pause()
        as_kept(f"walk-{size[0]}x{size[1]}", grid(app))
        await pilot.press("1")
        await wait_until(lambda: app._round.shown == "card")


async def test_enter_walks_till_a_line_is_chosen(tmp_path: Path) -> None:
    """What is urgent stands first, and its line was no way to it: enter went to the walk there, chosen or not."""

    async def left_at(*keys: str) -> str:
        app = TunnelApp(FileClient(demo_at(tmp_path)))
        async with app.run_test(size=(80, 24)) as pilot:
            await wait_until(lambda: app.view is not None and app.view.confirmed, 60)
            await wait_until(lambda: app._round.shown == "card")
            await pilot.press(*keys, "enter")
            await pilot.pause()
            line = app._round.walk.walk.line
            return line.key if line is not None else ""

    walked, chosen = await left_at(), await left_at("home")
    assert walked.startswith("look")
    assert chosen == "plants W W2-03"


KEYS = ("enter", "right", "right", "down", "f3", "down", "f1", "down")


async def test_keys_typed_in_one_go_are_done_in_their_order(tmp_path: Path) -> None:
    """The walk came by a message and the focus by another: what was typed behind still moved the card."""

    async def left_at(type_keys: Callable[[Pilot[None]], Awaitable[None]]) -> tuple[str, str, int]:
        """Its header, the line of the walk and the line of Loads that it came to."""
        app = TunnelApp(FileClient(demo_at(tmp_path)))
        async with app.run_test(size=(80, 24)) as pilot:
            await wait_until(lambda: app.view is not None and app.view.confirmed, 60)
            await wait_until(lambda: app._round.shown == "card")
            await pilot.pause()
            await type_keys(pilot)
            await wait_until(
                lambda: app._pane == "round" and bool(app.query("LoadsPane")) and app._round.shown == "round"
            )
            await pilot.pause(0.3)
            line = app._round.walk.walk.line
            return grid(app)[0], line.key if line else "", app.query_one("#loads-lines", Lines).cursor

    async def slowly(pilot: Pilot[None]) -> None:
        for key in KEYS:
            await pilot.press(key)
            await pilot.pause(0.1)

    async def in_one_go(pilot: Pilot[None]) -> None:
        for key in KEYS:
            pilot.app.post_message(events.Key(key, None))

    expected = await left_at(slowly)
    assert "Plants, west loop" in expected[0]
    assert await left_at(in_one_go) == expected
