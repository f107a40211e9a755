"""Rows from above, counted by hand."""

from __future__ import annotations

from tunneltui.draw.standing_rows import standing_rows
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Holding, Place, Row, Tunnel

ROWS = (
    Row(1, 2.2, 8.0, start_m=1.0, loop_with=2, places=(Place("T1-01", 0.0), Place("T1-02", 4.0))),
    Row(2, 2.2, 8.0, loop_with=1, places=(Place("T2-01", 0.0), Place("T2-02", 9.0))),
    Row(3, 2.2, 8.0, places=(Place("T3-01", 2.0), Place("T3-02", 2.3), Place("T3-03", 2.6))),
)
THERE = layout(Holding("trial", tunnels=(Tunnel("T", "", 10.0, 5.0, rows=ROWS),)))
LETTERS = {"T1-01": "a", "T1-02": "B", "T2-02": "a", "T3-02": "a"}


def text(columns: int, *, ascii_only: bool = False) -> list[str]:
    return [
        "".join(run.text for run in row) for row in standing_rows(THERE, LETTERS, columns, ascii_only=ascii_only)
    ]


def test_a_letter_stands_where_its_place_is() -> None:
    """Ten cells for ten metres: places at 1, 5, 0 and 9 m. Three within 60 cm have no cell each: side by side."""
    assert text(15) == [" T1 ─a───B────┐", " T2 ○────────a┘", " T3 ○a○───────╴"]
    assert text(15, ascii_only=True)[0] == " T1 -a---B----+"
    assert [run.text for run in standing_rows(THERE, LETTERS, 15)[0] if run.style == "chosen"] == ["a", "B"]


def test_a_row_longer_than_the_columns_is_cut() -> None:
    assert text(7)[2] == " T3 ○…╴"


def test_nothing_stands() -> None:
    assert standing_rows(layout(Holding("none")), {}, 40) == []
