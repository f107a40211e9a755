"""The canvas as literal rows, and its dots against the Unicode Standard's numbering of braille patterns."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tunneltui.draw.canvas import Canvas, Sign, View, row_text

UNIT = View(0, 1, 0, 1)


@pytest.mark.parametrize(
    ("across", "down", "dot"),
    # The Unicode Standard, chapter 21.1: dots 1 to 3 and 7 run down the left column, 4 to 6 and 8 down the right;
    # a pattern is U+2800 plus 2 to the power of (dot - 1) for each raised dot.
    [(0, 0, 1), (0, 1, 2), (0, 2, 3), (1, 0, 4), (1, 1, 5), (1, 2, 6), (0, 3, 7), (1, 3, 8)],
)
def test_each_dot_is_the_one_of_the_standard(across: int, down: int, dot: int) -> None:
    canvas = Canvas(1, 1, View(0, 1, 0, 3))
    canvas.line([(across, 3 - down), (across, 3 - down)])
    assert canvas.text() == [chr(0x2800 + 2 ** (dot - 1))]


def test_a_rising_line() -> None:
    canvas = Canvas(6, 3, UNIT)
    canvas.line([(0, 0), (1, 1)])
    assert canvas.text() == ["    ⡠⠊", "  ⡠⠊", "⡠⠊"]


def test_level_and_upright_lines_and_their_ascii() -> None:
    canvas = Canvas(5, 3, UNIT)
    canvas.line([(0, 0.5), (1, 0.5)])
    canvas.line([(0, 0), (0, 1)])
    assert canvas.text() == ["⡇", "⡧⠤⠤⠤⠤", "⡇"]
    assert canvas.text(ascii_only=True) == ["|", "*----", "|"]


def test_a_dotted_line_sets_every_third_dot() -> None:
    canvas = Canvas(6, 1, View(0, 1, 0, 1))
    canvas.line([(0, 0), (1, 0)], every=3)
    assert canvas.text() == ["⡀⢀ ⡀⢀"]


def test_a_bar() -> None:
    canvas = Canvas(4, 2, View(0, 4, 0, 2))
    canvas.bar(0, 1.5, 0, 1)
    assert canvas.text()[1] == "⣿⣿"


def test_marks_lie_over_lines_and_higher_over_lower() -> None:
    canvas = Canvas(3, 1, UNIT)
    canvas.line([(0, 0.5), (1, 0.5)])
    assert canvas.mark(0.5, 0.5, Sign("●", "O"), "red", 2)
    assert not canvas.mark(0.5, 0.5, Sign("○", "o"), "clip", 1)
    assert canvas.text() == ["⠒●⠒"] or canvas.text() == ["⠤●⠤"]
    assert canvas.text(ascii_only=True) == ["-O-"]


def test_a_label_is_kept_whole_or_left_away() -> None:
    canvas = Canvas(6, 1, UNIT)
    assert canvas.label(1, 0, "W1-07")
    assert canvas.text() == [" W1-07"]
    assert not canvas.label(0.5, 0, "x")
    assert not canvas.label(0, 0, "too long for it")


def test_what_is_drawn_is_also_kept_as_strokes_in_fractions_of_the_canvas() -> None:
    canvas = Canvas(10, 5, View(0, 2, 0, 4))
    canvas.line([(0, 0), (1, 4)], "stem")
    assert canvas.strokes[0].points == ((0.0, 1.0), (0.5, 0.0))
    assert canvas.strokes[0].style == "stem"


def test_a_line_is_cut_at_the_edge_of_the_view() -> None:
    canvas = Canvas(4, 2, UNIT)
    canvas.line([(-5, 0.5), (5, 0.5)])
    canvas.line([(-1, 2), (2, 3)])
    assert canvas.strokes[0].points == ((0.0, 0.5), (1.0, 0.5))
    assert len(canvas.strokes) == 1


points = st.tuples(st.floats(-3, 4, allow_nan=False), st.floats(-3, 4, allow_nan=False))


@given(st.lists(points, max_size=6), st.integers(1, 30), st.integers(1, 12))
def test_whatever_is_drawn_the_rows_fit_the_canvas(
    given_points: list[tuple[float, float]], columns: int, rows: int
) -> None:
    canvas = Canvas(columns, rows, UNIT)
    canvas.line(given_points, "stem")
    for point in given_points:
        canvas.mark(*point, Sign("●", "O"))
        canvas.label(*point, "label")
    drawn = canvas.rows()
    assert len(drawn) == rows
    assert all(len(row_text(row)) == columns for row in drawn)
    assert all(row_text(row).isascii() for row in canvas.rows(ascii_only=True))


@given(st.floats(0, 1), st.floats(0, 1), st.integers(2, 80), st.integers(2, 40))
def test_a_mark_stands_in_the_character_that_holds_its_dot(x: float, y: float, columns: int, rows: int) -> None:
    canvas = Canvas(columns, rows, UNIT)
    canvas.mark(x, y, Sign("●", "O"))
    column, row = next((r.index("●"), n) for n, r in enumerate(canvas.text()) if "●" in r)
    across, down = x * (2 * columns - 1), (1 - y) * (4 * rows - 1)
    assert 2 * column - 0.5 <= across <= 2 * column + 1.5
    assert 4 * row - 0.5 <= down <= 4 * row + 3.5


def test_a_line_that_owns_its_cells_lets_no_other_style_in() -> None:
    canvas = Canvas(4, 1, View(0, 1, 0, 1))
    canvas.line([(0, 0), (1, 0)], "rule")
    canvas.line([(0, 1), (0.4, 1)], "chosen", owns=True)
    canvas.line([(0, 0), (1, 0)], "string")
    assert canvas.text() == ["⠉⠉⣀⣀"]
    assert [run.style for run in canvas.rows()[0]] == ["chosen", "string"]
    canvas.line([(0, 0), (0.4, 0)], "chosen", owns=True)
    assert canvas.text() == ["⣉⣉⣀⣀"], "its own dots join it"
