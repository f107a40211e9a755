"""The wire over a holding as one line of signs: whole where it fits, then several places a cell, fewer rows."""

from __future__ import annotations

import pytest

from tunneltui.draw.canvas import row_text
from tunneltui.draw.wire import Hangs, WireRow, places_of_number, wire_line, wire_row_line, wire_words


def row(name: str, places: int, tunnel: str = "west", *, turns: bool = False) -> WireRow:
    return WireRow(name, tunnel, tuple(f"{name}-{number:02}" for number in range(1, places + 1)), turns)


ROWS = (row("W2", 3, turns=True), row("W1", 4), row("E1", 2, "east"), row("E2", 2, "east"))
HANGS = {"W2-01": Hangs.WORK, "W1-02": Hangs.MUST, "W1-03": Hangs.DECISION, "E2-02": Hangs.NOTHING}


def test_rows_of_a_loop_go_round_a_corner_and_tunnels_stand_apart() -> None:
    assert row_text(wire_line(ROWS, HANGS, 78).row) == "W2 ┬──╮ W1 ─!?─   E1 ──  E2 ──"


def test_the_place_under_the_cursor_is_lit_and_nothing_else() -> None:
    lit = [run.text for run in wire_line(ROWS, HANGS, 78, "W1-02").row if run.style == "lit"]
    assert lit == ["!"]


def test_where_there_is_no_room_a_cell_stands_for_several_places_and_shows_the_worst() -> None:
    made = wire_line((row("N", 40),), {"N-03": Hangs.WORK, "N-04": Hangs.MUST, "N-07": Hangs.DECISION}, 24)
    assert row_text(made.row) == "N ─!─?" + "─" * 16
    assert made.places[3] == ("N-03", "N-04")


def test_where_even_that_is_too_long_rows_far_off_are_left_out_and_that_is_said() -> None:
    rows = tuple(row(f"R{number}", 20, turns=False) for number in range(1, 31))
    made = row_text(wire_line(rows, {}, 60, "R15-03").row)
    assert "R15" in made
    assert made.startswith("‹ ")
    assert made.endswith(" ›")
    assert len(made) <= 60


@pytest.mark.parametrize("width", range(6, 120))
def test_it_never_grows_wider_than_the_line(width: int) -> None:
    assert len(row_text(wire_line((row("long name of a row", 300), row("E", 40)), {}, width).row)) <= max(
        width, 26
    )


def test_a_narrow_screen_shows_this_row_alone() -> None:
    assert row_text(wire_row_line(ROWS, HANGS, 38, "E1-02").row) == "E1 ──"


def test_every_column_knows_its_places() -> None:
    made = wire_line(ROWS, HANGS, 78)
    text = row_text(made.row)
    assert made.places[text.index("!")] == ("W1-02",)
    assert made.places[text.index("W1")] == ("W1-01",), "a row's name leads to its first place"
    assert made.places[text.index("╮")] == ()


def test_a_voice_is_told_how_many_places_of_each_row() -> None:
    assert wire_words(ROWS[:2], HANGS) == "W2 1 to do; W1 1 a must, 1 to decide"
    assert wire_words(ROWS[3:], HANGS) == "E2 bare"


@pytest.mark.parametrize(
    ("typed", "first", "meant"),
    [
        ("2", "W1-02", True),
        ("02", "W1-02", True),
        ("e2 2", "E2-02", True),
        ("E2-2", "E2-02", True),
        ("0", "W1-01", False),
        ("9", "", False),
        ("e2", "E1-02", False),
        ("w", "W1-01", False),
    ],
)
def test_a_place_is_found_by_its_number_from_the_row_one_is_in(typed: str, first: str, meant: bool) -> None:
    found, certain = places_of_number(ROWS, typed, "W1-04")
    assert (found[0] if found else "", certain) == (first, meant)


def test_a_number_that_may_go_on_waits() -> None:
    found, certain = places_of_number((row("W1", 17),), "1", "W1-05")
    assert (found[:2], certain) == (("W1-01", "W1-10"), False)
