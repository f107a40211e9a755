"""Stores on the screen: grids at both sizes, counting by key, the plain twin, an empty journal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.care.stores import stores
from tunneltui.growth.season_end import season_end
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft, parsed
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.pages.stores import stores_page
from tunneltui.pages.text import plain_text
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.forms import Fields
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.stores_pane import StoresPane
from tunneltui.store.journal_file import JournalFile

SHOWN = {
    "stores": ((), "Still wanted, to"),
    "stores-need": (("end",), "fleece"),
    "stores-counted": (("home", "down", "c"), "How many are in store"),
    "stores-new": (("n",), "A thing that is not in the list yet"),
}


async def opened(app: TunnelApp, pilot: Pilot[None], *keys: str) -> StoresPane:
    await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
    await pilot.press("6")
    await settled(app, pilot)
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
    return app.query_one(StoresPane)


async def settled(app: TunnelApp, pilot: Pilot[None]) -> None:
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_grids(size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot)
        for name, (keys, words) in SHOWN.items():
            for key in keys:
                await pilot.press(key)
                await settled(app, pilot)
            await wait_until(lambda words=words: any(words in line for line in grid(app)))  # type: ignore[misc]
            as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))
            if len(app.screen_stack) > 1:
                await pilot.press("escape")
                await pilot.pause()


@pytest.mark.parametrize(
    ("keys", "item", "kind", "count"),
    [
        (("b", *"100", "f2"), "clip", "blue clip", 100.0),
        (("x", *"24", "f2"), "clip", "blue clip", -24.0),
        # 224 are expected in store: 220 counted are 4 fewer.
        (("c", *"220", "f2"), "clip", "blue clip", -4.0),
        (("n", *"fleece", "enter", *"17 g", "enter", *"2", "f2"), "fleece", "17 g", 2.0),
    ],
)
async def test_keys_count(keys: tuple[str, ...], item: str, kind: str, count: float, tmp_path: Path) -> None:
    client = FileClient(demo_at(tmp_path))
    before = len(client.entries())
    app = TunnelApp(client)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot, *keys)
        await wait_until(lambda: len(client.entries()) > before)
        written = client.entries()[before:]
        assert [one.kind for one in written] == ["stocked"]
        assert parsed(written[0]) == {"item": item, "item_kind": kind, "count": count}


@pytest.mark.parametrize(
    ("keys", "fault"),
    [
        (("b", *"many", "f2"), "a number was wanted"),
        (("b", *"0", "f2"), "That changes nothing"),
        (("n", *["backspace"] * 4, *"glue", "enter", *"pot", "enter", *"2", "f2"), "item"),
    ],
)
async def test_what_cannot_be_is_said_and_not_written(keys: tuple[str, ...], fault: str, tmp_path: Path) -> None:
    client = FileClient(demo_at(tmp_path))
    before = len(client.entries())
    app = TunnelApp(client)
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(app, pilot, *keys)
        assert isinstance(app.screen, Fields)
        assert fault in " ".join(" ".join(grid(app)).split())
        assert len(client.entries()) == before


async def test_the_screen_lists_what_the_command_prints(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(120, 40)) as pilot:
        pane = await opened(app, pilot)
        morning = app.view.morning if app.view is not None else None
        assert morning is not None
        printed = plain_text(stores_page(morning.season, season_end(morning.season))).split()
        shown = [line for line in pane._lines.lines if line.key.startswith(("store ", "need ", "short "))]
        assert len(shown) >= len(stores(morning.season)) + 4
        for line in shown:
            words = "".join(f"{part.text:<{part.cells}}" for part in line.parts).split()
            assert [word for word in words if word not in printed] == []


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_where_nothing_was_stocked_it_says_so(size: tuple[int, int], tmp_path: Path) -> None:
    path = tmp_path / "empty.db"
    with JournalFile.open(path, create=True) as journal:
        bare = Holding("nothing yet", latitude_deg=51.0)
        journal.append_days([(date(2026, 3, 1), draft("", HoldingSet(to_toml(bare))))])
    app = TunnelApp(FileClient(path), on=date(2026, 3, 2))
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot, "b", "c", "x", "v", "escape")
        assert any("Nothing was stocked or hung yet" in line for line in grid(app))
