"""Measuring in three fields, plant after plant along the marked ones."""

from __future__ import annotations

from pathlib import Path

from tests.screens.given import DAY, as_kept, grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.journal.body import parsed
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.measure_walk import MeasureWalk


async def test_two_plants_are_measured_one_after_the_other(tmp_path: Path) -> None:
    keeper = FileClient(demo_at(tmp_path))
    app = TunnelApp(keeper)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed, 30)
        app._round.show("round")
        assert app._round.walk.show_pass("plants W")
        await pilot.press("m")
        await wait_until(lambda: isinstance(app.screen, MeasureWalk))
        form = app.screen
        assert isinstance(form, MeasureWalk)
        first = form._leader
        assert first is not None
        await pilot.press("2", "4", "enter", "9", "enter", "4", "enter")
        second = form._leader
        assert second is not None
        assert second.id != first.id
        await pilot.press("1", "8", "backspace", "9", "enter", "enter", "enter")
        await wait_until(lambda: list(form._written.values()) == ["✓", "✓"])
        as_kept("measure-80x24", grid(app))
        await pilot.press("q")
        read = [parsed(e) for e in keeper.entries() if e.kind == "measured" and e.day == DAY][-2:]
        assert read[0] == {"leader": first.id, "growth_m": 0.24, "flowering_truss": 9, "lowest_truss": 4}
        assert read[1] == {"leader": second.id, "growth_m": 0.19}


async def test_what_cannot_be_is_refused_in_place(tmp_path: Path) -> None:
    keeper = FileClient(demo_at(tmp_path))
    app = TunnelApp(keeper)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed, 30)
        app._round.show("round")
        before = len(keeper.entries())
        app._round.walk.show_pass("plants W")
        await pilot.press("m", *"99999", "enter")
        await wait_until(lambda: any("was wanted" in line for line in grid(app)))
        assert len(keeper.entries()) == before
