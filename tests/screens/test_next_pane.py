"""Next season on the screen: plans side by side, chosen anew, one of them taken."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.given import COLUMNS_BY_ROWS, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.pages.plan import plans_page, side_words
from tunneltui.pages.text import plain_text
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.next_pane import NextPane
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

SHOWN = {
    "next": ((), "gives up: "),
    "next-whole": (("enter",), "Plan by-vigour"),
    "next-adopt": (("a",), "Adopt by-vigour?"),
    "next-two": (("c",), "two leaders a plant, rows"),
    "next-end": (("d",), "When does next season end?"),
}


async def opened(app: TunnelApp, pilot: Pilot[None], *keys: str) -> NextPane:
    await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
    await pilot.press("8")
    await worked_out(app, pilot)
    for key in keys:
        await pilot.press(key)
        await worked_out(app, pilot)
    return app.query_one(NextPane)


async def worked_out(app: TunnelApp, pilot: Pilot[None]) -> None:
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
                await worked_out(app, pilot)
            await wait_until(lambda words=words: any(words in line for line in grid(app)))  # type: ignore[misc]
            as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))
            if len(app.screen_stack) > 1:
                await pilot.press("escape")
                await pilot.pause()


async def test_a_plan_is_asked_about_once_taken_and_marked(tmp_path: Path) -> None:
    client = FileClient(demo_at(tmp_path))
    app = TunnelApp(client)
    async with app.run_test(size=(120, 40)) as pilot:
        pane = await opened(app, pilot, "a")
        assert any("plan adopted" in line for line in grid(app))
        await pilot.press("b")
        await worked_out(app, pilot)
        assert not [one for one in client.entries() if one.kind == "plan_adopted"], "no is no"

        await pilot.press("a", "a")
        await wait_until(lambda: any(one.kind == "plan_adopted" for one in client.entries()))
        await wait_until(lambda: any("by-vigour" in line and "adopted" in line for line in grid(app)), 60)
        written = [one for one in client.entries() if one.kind == "plan_adopted"]
        assert len(written) == 1
        assert pane._planned is not None
        await pilot.press("u")
        await worked_out(app, pilot)
        await wait_until(lambda: not any("adopted on" in line for line in grid(app)), 60)


async def test_choices_are_worked_out_anew_and_what_cannot_be_is_said(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(120, 40)) as pilot:
        pane = await opened(app, pilot, "d", *"2027-09-20", "f2")
        assert "until 2027-09-20" in grid(app)[0]
        assert pane._planned is not None
        assert pane._planned[1].dates.last_pick == date(2027, 9, 20)
        plans = pane._planned[1]
        assert [line.key.removeprefix("plan ") for line in pane._lines.lines if line.key.startswith("plan ")] == [
            one.name for one in plans.plans
        ]
        # The screen says of the chosen plan what the command prints.
        printed = " ".join(plain_text(plans_page(plans)).split())
        chosen = pane._one()
        assert chosen is not None
        for words in side_words(chosen):
            assert words in printed
        await pilot.press("d", *["backspace"] * 10, *"2027-02-01", "f2")
        await worked_out(app, pilot)
        assert any("comes before planting" in line for line in grid(app))
        assert "until 2027-09-20" in grid(app)[0], "the last that could be is kept"
        await pilot.press("d", *["backspace"] * 10, *"soon", "f2")
        await pilot.pause()
        assert any("is no day" in line for line in grid(app))


async def test_nothing_is_planned_while_nobody_looks(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        pane = await opened(app, pilot, "escape")
        before = pane._planned
        assert app.view is not None
        app.view = replace(app.view, air="other")
        await worked_out(app, pilot)
        assert pane._planned is before
        await pilot.press("8")
        await worked_out(app, pilot)
        assert pane._planned is not None


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_with_nothing_to_arrange_it_says_so(size: tuple[int, int], tmp_path: Path) -> None:
    path = tmp_path / "empty.db"
    with JournalFile.open(path, create=True) as journal:
        bare = Holding("nothing yet", latitude_deg=51.0)
        journal.append_days([(date(2026, 3, 1), draft("", HoldingSet(to_toml(bare))))])
    app = TunnelApp(FileClient(path), on=date(2026, 3, 2))
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot, "a", "enter", "c")
        assert any("No place has a cultivar yet" in line for line in grid(app))
