"""Where things stand, from the size alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screens.given import wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.layout import FRAME_ROWS, LEAST, pane_sizes
from tunneltui.screens.list_and_detail import ListAndDetail
from tunneltui.screens.stop_lines import column_heads
from tunneltui.screens.stops import PassLaid, Stop


def test_the_list_is_never_narrower_than_at_eighty_columns() -> None:
    for columns in range(80, 400):
        assert pane_sizes(columns, 40).list_cells >= 80


@pytest.mark.parametrize(
    ("columns", "beside"), [(80, False), (100, False), (119, False), (120, True), (200, True)]
)
def test_the_side_begins_at_120_columns(columns: int, beside: bool) -> None:
    assert pane_sizes(columns, 40).beside is beside


@pytest.mark.parametrize(
    ("rows", "reason"), [(10, 1), (15, 1), (16, 2), (23, 2), (24, 3), (29, 3), (30, 8), (60, 8)]
)
def test_the_reason_gets_rows_as_there_are(rows: int, reason: int) -> None:
    assert pane_sizes(80, rows).side_rows == reason


def test_the_side_gets_half_of_the_room_while_it_has_the_focus() -> None:
    assert pane_sizes(80, 24, focus="side").side_rows == 10


def test_every_cell_belongs_to_one_part() -> None:
    for columns in range(LEAST[0], 201, 7):
        for rows in range(LEAST[1], 61, 3):
            for reason in (1, 3, 9, 12):
                made = pane_sizes(columns, rows, reason)
                if made.beside:
                    assert made.side_x > made.list_cells
                    assert made.side_x + made.side_cells == columns
                else:
                    assert made.list_cells == made.side_cells == columns
                    assert made.list_rows + made.side_rows == rows - FRAME_ROWS
                assert made.list_rows >= 1 or reason > rows - FRAME_ROWS


async def test_the_screen_stands_as_it_is_laid(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 60)
        await pilot.press("3")
        await wait_until(lambda: bool(app.query("#loads")))
        for columns, rows in ((80, 24), (120, 40), (60, 16), (40, 10), (200, 60), (100, 30)):
            await pilot.resize_terminal(columns, rows)
            await pilot.pause()
            pane = app.query_one("#loads", ListAndDetail)
            made = pane_sizes(columns, rows, pane.REASON_ROWS)
            lines, side = pane.children
            assert lines.outer_size == (made.list_cells, made.list_rows)
            assert side.outer_size == (made.side_cells, made.side_rows)


@pytest.mark.parametrize("signs", ["", "+", "~", "+~"])
def test_what_stands_over_the_heads_leaves_a_blank_before_the_leaves(signs: str) -> None:
    """``~ twist in`` ran into ``leaves``."""
    stops = [Stop(sign, "plants", "W1-01", "W1", "W1-01", (), heads=(f"01{sign}",)) for sign in signs or " "]
    laid_out = PassLaid("plants W", "plants", "plants W", "Plants, west loop", tuple(stops), {})
    heads = next(part for part in column_heads(laid_out, 80) if "shoots" in part.text)
    assert len(heads.text) < heads.cells
    assert all(sign in heads.text for sign in signs)
