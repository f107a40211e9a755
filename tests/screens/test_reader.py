"""Reader mode on every screen there is: nothing drawn, no columns, the terminal's cursor on the row."""

from __future__ import annotations

import asyncio
import unicodedata
from pathlib import Path

import pytest

from tests.screens.given import grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.actions import PANES
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lines import Lines
from tunneltui.screens.parts import Part
from tunneltui.screens.reader import spoken

OPENS = ("question_mark", "ctrl+p", "enter", "n", "x", "v")
"""Keys that open a form or a page somewhere."""


def drawn(line: str) -> set[str]:
    """Characters that are no letter, figure or mark of writing (Unicode general categories So, Sm, Co)."""
    return {
        one
        for one in line
        if ord(one) > 127 and unicodedata.category(one) in ("So", "Sm", "Co") and one not in "°±"
    }


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_nothing_is_drawn_and_the_cursor_is_on_the_row(size: tuple[int, int], tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)), reader=True)
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        for name, digit in PANES.items():
            await pilot.press(str(digit))
            await app.workers.wait_for_complete()
            await pilot.pause()
            lines = app.focused
            assert isinstance(lines, Lines), (name, lines)
            assert lines.line is not None, name
            for key in ("down", "down", "end", "home", "down"):
                await pilot.press(key)
                await pilot.pause()
                shown = grid(app)
                row = shown[app.cursor_position.y]
                assert app.cursor_position.x == 0, name
                assert row.startswith(spoken(lines.line.parts)[:40].strip()), (name, key, row)
            for line in shown:
                assert not drawn(line), (name, line)
            for key in OPENS:
                await pilot.press(key)
                await pilot.pause()
                for line in grid(app):
                    assert not drawn(line), (name, key, line)
                if len(app.screen_stack) > 1:
                    await pilot.press("escape")
                    await pilot.pause()


async def test_a_row_in_reader_mode_is_a_sentence_a_stem(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)), reader=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        await pilot.press("2")
        await pilot.pause()
        assert any(line.startswith("W2-05, string 12 ") for line in grid(app)), grid(app)


async def test_moves_told_late_come_to_rest_on_the_last(tmp_path: Path) -> None:
    """With keys typed faster than they are told, the pane followed each move back to its stem and never ended."""
    app = TunnelApp(FileClient(demo_at(tmp_path)), reader=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        await pilot.press("2")
        await pilot.pause()
        lines = app.focused
        assert isinstance(lines, Lines)
        for index in (2, 6, 4):
            lines.move_to(index)
        await asyncio.wait_for(pilot.pause(0.1), 30)
        assert lines.cursor == 4


def test_a_line_is_said_as_its_facts() -> None:
    assert spoken([Part("W1-07", "place", 9), Part("! must", "must", 10), Part("one turn")]) == (
        "W1-07, ! must, one turn"
    )
    assert spoken([Part("", "", 9), Part("███░░", "warn", 9), Part("✓ done", "", 4), Part("a  b")]) == "done, a, b"
    assert spoken([Part("שורה [/red] 番号")]) == "שורה [/red] 番号"
