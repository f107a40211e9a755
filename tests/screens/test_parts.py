"""How a line comes to the width there is: shorter forms, columns by rank, a grower's words cut in the middle."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tunneltui.screens.edges import TopLine, head_parts
from tunneltui.screens.parts import Part, cut_in_middle, fitted, padded, whole_words, width_of


def shown(parts: tuple[Part, ...]) -> str:
    return "".join(padded(part) for part in parts).rstrip()


LINE = (
    Part("W1-08", "bold", 12),
    Part("3.1 kg", "", 8, rank=2, right=True),
    Part("135%", "must", 6, right=True),
    Part("  1 in 10 in the next 7 days", shorter=("  1 in 10 in 7 days", "  1 in 10"), rank=1),
)


@pytest.mark.parametrize(
    ("width", "says"),
    [
        (60, "W1-08         3.1 kg  135%  1 in 10 in the next 7 days"),
        (50, "W1-08         3.1 kg  135%  1 in 10 in 7 days"),
        (40, "W1-08         3.1 kg  135%  1 in 10"),
        (30, "W1-08         3.1 kg  135%"),
        (20, "W1-08         135%"),
    ],
)
def test_shorter_forms_come_first_then_the_lowest_column_goes_whole(width: int, says: str) -> None:
    assert shown(fitted(LINE, width)) == says


def test_only_what_a_grower_wrote_is_cut_and_in_its_middle() -> None:
    parts = (Part("note", "bold", 6), Part("blue clip from the shop behind the station 2024", own=True))
    assert shown(fitted(parts, 30)) == "note  blue clip from…ion 2024"
    assert "…" not in shown(fitted((Part("word " * 30),), 40))


def test_of_our_own_words_whole_ones_are_left() -> None:
    assert whole_words("carries 2.4 to 3.8 kg, likely", 23) == "carries 2.4 to 3.8 kg"
    assert whole_words("unbreakable", 5) == "unbre"


@given(st.text(max_size=60), st.integers(0, 50))
def test_cut_words_fit(text: str, width: int) -> None:
    assert cell_len(cut_in_middle(text, width)) <= width
    assert cell_len(whole_words(text, width)) <= width


@given(
    st.lists(
        st.builds(
            Part,
            st.text("abc de", max_size=20),
            cells=st.integers(0, 12),
            shorter=st.lists(st.text("abc ", max_size=5), max_size=2).map(tuple),
            rank=st.integers(0, 3),
            own=st.booleans(),
        ),
        max_size=6,
    ),
    st.integers(0, 80),
)
def test_whatever_stands_in_a_line_it_fits(parts: list[Part], width: int) -> None:
    assert sum(width_of(part) for part in fitted(parts, width)) <= width


HEAD = TopLine(
    ("Plants, west loop",),
    ("place 10 of 25", "10 of 25"),
    (Part("67 min left"), Part("7 musts", "must")),
)


@pytest.mark.parametrize(
    ("width", "says"),
    [
        (80, " Plants, west loop   place 10 of 25                       67 min left   7 musts"),
        (58, " Plants, west loop   10 of 25       67 min left   7 musts"),
        (44, " Plants, west loop    67 min left   7 musts"),
        (30, " Plants, west loop    7 musts"),
        (12, " Plants"),
    ],
)
def test_the_header_keeps_its_right_end_longest(width: int, says: str) -> None:
    assert shown(head_parts(HEAD, width)) == says
