"""Names a grower types, against the demo's season: found, told apart, or refused with what may be meant."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.report.made import morning
from tunneltui.holding.user_error import UserError
from tunneltui.season import names
from tunneltui.season.state import Season


def test_every_leader_is_found_by_its_name_and_its_id() -> None:
    season = morning().season
    for one in season.leaders.values():
        assert names.leader_id(season, one.name) == one.id
        assert names.leader_id(season, f" {one.name.upper()} ") == one.id
        assert names.leader_id(season, one.id) == one.id
        assert names.leader_id(season, one.place) == one.id, "the demo has one leader a place"


def test_a_bare_number_needs_one_row() -> None:
    season = morning().season
    assert names.leader(season, "16").name == "W1-16a", "only W1 has a place 16"
    assert names.leader(season, "7", "E2").name == "E2-07a"
    assert names.leader(season, "07a", "E2").name == "E2-07a"
    with pytest.raises(UserError, match="'07' may be W1-07a, W2-07a, E1-07a, E2-07a"):
        names.leader_id(season, "07")


def test_every_fixing_is_found_by_what_can_be_typed() -> None:
    season = morning().season
    fixings = [(one, fixing) for one in season.leaders.values() for fixing in one.fixings]
    assert len(fixings) > 100
    for one, fixing in fixings:
        assert names.fixing_id(season, names.typed_name(season, one, fixing)) == fixing.id
        assert names.fixing_id(season, fixing.id) == fixing.id


def test_a_leader_without_clips_says_so() -> None:
    season = morning().season
    bare = next(one for one in season.leaders.values() if not one.fixings)
    with pytest.raises(UserError, match=f"{bare.name} has no clip noted"):
        names.fixing_id(season, bare.name)


def test_every_string_place_row_tunnel_and_cultivar() -> None:
    season = morning().season
    for id_, hung in season.strings.items():
        assert names.string_id(season, id_) == id_
        assert names.string_id(season, f"string {hung.number}", hung.row) == id_
    for known in [*season.layout.places, *season.layout.rows, "W", "E"]:
        assert names.place_name(season, known.lower()) == known
    assert names.place_name(season, "") == ""
    for cultivar in season.holding.cultivars:
        assert names.cultivar_key(season, cultivar.key.upper()) == cultivar.key
    assert names.cultivar_key(season, "beef") == "beef 3"


@pytest.mark.parametrize(
    ("find", "typed", "say"),
    [
        (names.leader_id, "W1-17a", r"Nearest: .*W1-1"),
        (names.leader_id, "", "Nothing stands"),
        (names.place_name, "W1-7", r"Nearest: W1-07"),
        (names.cultivar_key, "cherry", "may be cherry 1, cherry 4"),
        (names.cultivar_key, "chery 1", "Nearest: cherry 1"),
        (names.cultivar_key, "", "no cultivar"),
        (names.string_id, "8", "several rows"),
        (names.string_id, "W1/88", "No string"),
        (names.fixing_id, "W1-08a string 99", "There are W1-08a string"),
        (names.fixing_id, "the big one", "names no clip"),
    ],
)
def test_what_is_not_found_names_its_nearest(find: Callable[[Season, str], str], typed: str, say: str) -> None:
    with pytest.raises(UserError, match=say):
        find(morning().season, typed)


@settings(max_examples=80, deadline=None)
@given(text=st.text(max_size=20))
def test_any_text_is_a_name_or_a_sentence(text: str) -> None:
    season = morning().season
    for find in (names.leader_id, names.place_name, names.cultivar_key, names.string_id, names.fixing_id):
        try:
            found = find(season, text)
        except UserError:
            continue
        assert isinstance(found, str)
