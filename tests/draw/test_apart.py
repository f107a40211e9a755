"""A row laid apart: figures under their strings, stems as stairs, the window where not all strings fit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loads.made import DAY, outlook, season, tiered
from tunneltui.draw.apart import (
    Apart,
    ApartStem,
    Figure,
    apart,
    changed_shares,
    columns,
    head_row,
    levels,
    spoken,
    stem_row,
)
from tunneltui.draw.canvas import row_text
from tunneltui.loads.chain import loads

STRINGS = tuple((0.58 * number, str(number)) for number in range(1, 18))


def figure(number: int, share: float, level: str = "", *, supposed: bool = False) -> Figure:
    return Figure(0.58 * number, share, level, supposed)  # type: ignore[arg-type]


STEM = ApartStem(
    "one",
    "W1-08",
    4.45,
    6.7,
    (figure(8, 0.0), figure(9, 0.47), figure(10, 1.35, "must")),
    Figure(6.7, 0.30, "", False),
    "52 cm",
    "",
    "",
)
ROW = Apart(STRINGS, (STEM,))


def test_every_figure_stands_under_its_string() -> None:
    at = columns(ROW, 77)
    head, line = row_text(head_row(at)), row_text(stem_row(STEM, at))
    assert line.strip() == "╰0──47─135─────╯ 30"
    for number, text in (("8", "0"), ("9", "47"), ("10", "135")):
        assert line.index(text) + len(text) == head.index(f" {number} ") + len(number) + 1


def test_what_is_over_is_inked_and_the_chosen_stem_is_in_its_own_ink() -> None:
    inks = {run.text: run.style for run in stem_row(STEM, columns(ROW, 77), "chosen")}
    assert inks["135"] == "must"
    assert inks["47"] == ""
    assert inks["╰"] == "chosen"


def test_what_a_lowering_raises_is_told_from_what_it_lowers() -> None:
    now = STEM._replace(figures=(figure(8, 0.0), figure(9, 0.20), figure(10, 1.5)))
    inks = {run.text: run.style for run in stem_row(STEM, columns(ROW, 77), "stem", now)}
    assert (inks["47"], inks["135"], inks["0"]) == ("must", "done", "")
    assert changed_shares(Apart(STRINGS, (now,)), ROW) == (("W1-08", "9", 0.20, 0.47), ("W1-08", "10", 1.5, 1.35))


def test_where_not_all_strings_fit_the_window_follows_the_chosen_stem() -> None:
    many = Apart(tuple((0.58 * number, str(number)) for number in range(1, 61)), (STEM,))
    at = columns(many, 60, "one")
    head = row_text(head_row(at))
    assert "10" in head
    assert (at.before, at.after) == (False, True)
    far = STEM._replace(leader="far", root_u_m=30.0, hook_u_m=32.0, figures=(), head=None)
    at = columns(many._replace(stems=(STEM, far)), 60, "far")
    assert row_text(head_row(at)).startswith("‹")
    assert row_text(stem_row(STEM, at)).strip() == "", "a stem beyond the window leaves no trace in it"


@given(
    st.integers(8, 120),
    st.floats(-1, 12),
    st.floats(0, 4),
    st.lists(st.tuples(st.integers(1, 17), st.floats(0, 3)), max_size=6),
)
def test_any_stem_on_any_width(
    cells: int, root_u_m: float, hangs_m: float, shares: list[tuple[int, float]]
) -> None:
    stem = STEM._replace(
        root_u_m=root_u_m, hook_u_m=root_u_m + hangs_m, figures=tuple(figure(*one) for one in shares)
    )
    at = columns(Apart(STRINGS, (stem,)), cells, "one")
    assert len(row_text(stem_row(stem, at))) == len(row_text(head_row(at))) == cells


def test_a_voice_hears_every_figure_with_its_string() -> None:
    assert spoken(STEM, STRINGS) == (
        "W1-08",
        "string 8 0%",
        "string 9 47%",
        "string 10 135% over",
        "head 30%",
        "tip 52 cm",
    )


@pytest.mark.parametrize("row", ["", "W1"])
def test_a_loop_of_the_loads(row: str) -> None:
    """Every clip on a string is one of the figures, at its share."""
    leader, stem = tiered()
    made, coming = season(leader), outlook({leader.id: stem})
    bearing = loads(made, coming, DAY)
    loop = next(iter(made.layout.loops))
    laid = apart(made, coming, bearing, loop, row if row in made.layout.rows else "")
    shares = sorted(round(one.share, 6) for stem in laid.stems for one in stem.figures)
    on_strings = {(clip.leader, clip.on): clip.share for clip in reversed(bearing.clips) if clip.on != "head"}
    assert shares == sorted(round(share, 6) for share in on_strings.values())
    assert sum(levels(laid)) <= len(bearing.clips)
