"""What is typed of whole rows: planted and cleared, all but some; the count of leaders is no list of names."""

from __future__ import annotations

import pytest

from tests.chores.given import bodies, holding, leader, row, season
from tunneltui.holding.model import Place
from tunneltui.holding.user_error import UserError
from tunneltui.journal.kinds_crop import Removed
from tunneltui.journal.kinds_standing import Planted
from tunneltui.report.typed_entry import typed_entries

PLACES = (Place("W1-01", 0.5, "round"), Place("W1-02", 1.0, "small", leaders=2), Place("W1-03", 1.5, "round"))
STANDS = holding(row(places=PLACES))


def test_a_plant_with_two_leaders() -> None:
    (made,) = typed_entries(season([], STANDS), "planted", ["cultivar=round", "leaders=2"], "W1-01")
    assert bodies([made]) == [Planted("round", 2)]


def test_a_whole_row_is_planted_as_intended_all_but_some() -> None:
    made = typed_entries(season([], STANDS), "planted", ["buried_m=0.2", "but=03"], "W1")
    assert [(one.about, body) for one, body in zip(made, bodies(made), strict=True)] == [
        ("W1-01", Planted("round", 1, buried_m=0.2)),
        ("W1-02", Planted("small", 2, buried_m=0.2)),
    ]
    told = typed_entries(season([], STANDS), "planted", ["cultivar=small", "leaders=1"], "w1")
    assert bodies(told) == [Planted("small", 1)] * 3


def test_only_empty_places_of_a_row_are_planted() -> None:
    here = season([leader(2)], STANDS)
    assert [one.about for one in typed_entries(here, "planted", [], "W1")] == ["W1-01", "W1-03"]


def test_a_whole_row_is_cleared_all_but_some() -> None:
    here = season([leader(1), leader(2), leader(3)], STANDS)
    made = typed_entries(here, "removed", ["but=2"], "W1")
    assert bodies(made) == [Removed("lW11"), Removed("lW13")]


@pytest.mark.parametrize(
    ("kind", "words", "says"),
    [
        ("removed", [], "Nothing stands on W1"),
        ("planted", ["but=9"], "W1 has no place '9'"),
        ("planted", ["leaders=two"], "leaders"),
        ("planted", ["cultivar=blue"], "no cultivar 'blue'"),
    ],
)
def test_what_cannot_be_is_told(kind: str, words: list[str], says: str) -> None:
    with pytest.raises(UserError, match=says):
        typed_entries(season([], STANDS), kind, words, "W1")
