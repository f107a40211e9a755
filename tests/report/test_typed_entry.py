"""What is typed of whole rows: planted and cleared, all but some; the count of leaders is no list of names."""

from __future__ import annotations

import pytest

from tests.chores.given import bodies, holding, leader, row, season
from tests.report.made import morning
from tunneltui.holding.model import Place
from tunneltui.holding.user_error import UserError
from tunneltui.journal.kinds_crop import Deleafed, Removed, SideShooted
from tunneltui.journal.kinds_holding_up import Clipped
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.kinds_standing import Measured, Planted
from tunneltui.report.typed_entry import kinds_to_type, typed_entries
from tunneltui.season import names
from tunneltui.season.state import Season
from tunneltui.values import replace

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


def test_a_string_said_of_a_stem_is_the_one_its_head_may_hang_over() -> None:
    """W1 and W2 are one loop and both have strings 4 to 17. W1-16a stands at the turn and may hang over both 17s;
    W1-07a is nowhere near W2. A stem 2 m before W2's string 9, noted at its root, is long enough for that one: the
    walk that puts right takes its number for W2/9, and so does a typed line."""
    now = morning().season
    with pytest.raises(UserError, match="String 17 may be W1/17 or W2/17"):
        _clipped_to(now, "W1-16", "17")
    assert _clipped_to(now, "W1-16", "W2/17") == "W2/17"
    assert _clipped_to(now, "W1-07", "8") == "W1/8"
    root_m = now.strings["W2/9"].u_m - 2.0
    turned = names.leader(now, "W1-16")
    assert turned.hook is not None
    moved = replace(turned, fixings=(), u_m=root_m, hook=replace(turned.hook, u_m=root_m))
    ahead = replace(now, leaders={**now.leaders, moved.id: moved})
    assert _clipped_to(ahead, "W1-16", "9") == "W2/9"
    with pytest.raises(UserError, match="No string '99'"):
        _clipped_to(now, "W1-07", "99")


def _clipped_to(now: Season, stem: str, string: str) -> str:
    (made,) = typed_entries(now, "clipped", [f"leader={stem}", "s_m=1", f"string={string}"], None)
    (clipped,) = bodies([made])
    assert isinstance(clipped, Clipped)
    return clipped.string


@pytest.mark.parametrize(
    ("kind", "words", "about", "body"),
    [
        ("removed", [], "W1-01", Removed("lW11")),
        ("measured", ["growth_m=0.2"], "w1-02A", Measured("lW12", growth_m=0.2)),
        ("side_shooted", [], "W1-02", SideShooted(("lW12",))),
        ("deleafed", ["leaves=3", "but=02"], "W1", Deleafed(("lW11", "lW13"), 3)),
        ("note", ["text=slow"], "W1-02a", Note("slow")),
    ],
)
def test_what_an_entry_is_about_says_which_stem(kind: str, words: list[str], about: str, body: object) -> None:
    here = season([leader(1), leader(2), leader(3)], STANDS)
    assert bodies(typed_entries(here, kind, words, about)) == [body]


@pytest.mark.parametrize(
    ("kind", "words", "about", "says"),
    [
        ("measured", ["growth_m=0.2"], "W1", "leader is missing"),
        ("measured", ["growth_m=0.2"], "W1-77a", "no place, row or tunnel"),
        ("measured", [], "W1-01", "reads nothing"),
        ("leader_kept", [], "W1-01", "letter is missing"),
        ("deleafed", [], "W1-03", "Nothing stands"),
    ],
)
def test_what_it_is_about_does_not_say_all(kind: str, words: list[str], about: str, says: str) -> None:
    with pytest.raises(UserError, match=says):
        typed_entries(season([leader(1), leader(2)], STANDS), kind, words, about)


def test_what_is_missing_is_said_with_all_that_the_kind_takes() -> None:
    with pytest.raises(UserError) as told:
        typed_entries(season([leader(1)], STANDS), "clip_failed", [], "W1-01")
    assert "clip_failed needs fixing" in told.value.hint
    with pytest.raises(UserError, match="no KEY=VALUE") as told:
        typed_entries(season([leader(1)], STANDS), "measured", ["W1-01a"], None)
    assert "measured needs leader and may have length_m, growth_m" in told.value.hint
    assert kinds_to_type()["removed"] == "removed needs plant."
    assert "holding_set" not in kinds_to_type()
