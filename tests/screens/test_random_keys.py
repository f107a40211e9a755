"""Keys in any order over windows of any size: no crash, and nothing that was called done is missing."""

from __future__ import annotations

import random
from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date
from pathlib import Path

import pytest

from tests.screens.given import grid, typed_at_once, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.journal.body import answers
from tunneltui.journal.entry import Draft, Entry
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient

KEYS = (
    *"abcdefghijklmnoprstuvwxyz0123456789ABSTXZ",
    *("space", "enter", "escape", "up", "down", "left", "right", "home", "end", "pageup", "pagedown"),
    *(f"f{digit}" for digit in range(1, 10)),
    *("question_mark", "slash", "plus", "minus", "comma", "full_stop"),
    *("left_square_bracket", "right_square_bracket", "backspace", "tab", "ctrl+p"),
)
"""Without q and ctrl+q, which end the program."""
CHARACTERS = {"space": " ", "enter": "\r", "question_mark": "?", "slash": "/", "plus": "+", "minus": "-"}
CHARACTERS |= {"comma": ",", "full_stop": ".", "left_square_bracket": "[", "right_square_bracket": "]"}
SIZES = ((80, 24), (20, 5), (10, 3), (120, 40), (200, 60), (41, 11), (1, 1), (60, 16))


def character(key: str) -> str | None:
    return key if len(key) == 1 else CHARACTERS.get(key)


async def pressed(path: Path, keys: int, seed: int) -> None:
    chance = random.Random(seed)
    client = FileClient(path)
    before = len(client.entries())
    asked: list[Future[list[Entry]]] = []
    submit = client.submit

    def noted(drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        asked.append(submit(drafts, day))
        return asked[-1]

    client.submit = noted  # type: ignore[method-assign]
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None, 30)
        for number in range(keys // 10):
            burst = [chance.choice(KEYS) for _ in range(10)]
            typed_at_once(app, *((key, character(key)) for key in burst))
            await pilot.pause()
            if number % 5 == 4:
                await pilot.resize_terminal(*chance.choice(SIZES))
        while len(app.screen_stack) > 1:
            depth = len(app.screen_stack)
            await pilot.press("escape")
            await wait_until(lambda depth=depth: len(app.screen_stack) < depth)  # type: ignore[misc]
        await pilot.resize_terminal(120, 40)
        await pilot.press("f1")
        await app.workers.wait_for_complete()
        await wait_until(lambda: not app._scheduler.plans, 60)
        await pilot.pause()
        assert grid(app)
        walk = app._round.walk.walk
        done = {id_ for stop in walk.walk.stops.values() if walk.state_of(stop) == "done" for id_, _ in stop.refs}
    written = {" ".join(ticked) for e in client.entries()[:] if (ticked := answers(e)) is not None}
    assert done <= written, "what is called done is in the journal"
    answered = [entry for one in asked if one.exception() is None for entry in one.result()]
    kept = {entry.id for entry in client.entries()}
    assert {entry.id for entry in answered} <= kept, "what was answered as written is there"
    assert len(kept) == before + len(answered)


@pytest.mark.parametrize("seed", range(2))
async def test_two_hundred_random_keys(seed: int, tmp_path: Path) -> None:
    await pressed(demo_at(tmp_path), 200, seed)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(10, 20))
async def test_ten_thousand_random_keys(seed: int, tmp_path: Path) -> None:
    await pressed(demo_at(tmp_path), 1000, seed)
