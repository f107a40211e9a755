"""A stem's page is read: arrows scroll it, and no line is marked where there is nothing to choose."""

from __future__ import annotations

from pathlib import Path

from tests.screens.given import grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient


def page(app: TunnelApp) -> list[str]:
    """Without the scrollbar."""
    return [line[:79].rstrip() for line in grid(app)]


async def test_it_scrolls_from_end_to_end_and_marks_nothing(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        await pilot.press("2", "enter")
        await pilot.pause()
        first = page(app)
        await pilot.press("down")
        assert page(app)[1:-1] == first[2:], "one line on"
        await pilot.press("end")
        last = page(app)
        assert last[1:] != first[1:]
        await pilot.press("up", "down", "down", "down")
        assert page(app) == last, "the end is the end, and the way back begins at once"
        await pilot.press("right", "home")
        assert page(app) == first
        for shown in (first, last):
            assert not any(line.startswith(">") for line in shown), shown
