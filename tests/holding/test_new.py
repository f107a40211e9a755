"""The holding that a grower begins with."""

from __future__ import annotations

from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tunneltui.holding.check import checked_holding
from tunneltui.holding.model import ClipKind, Cultivar, Holding, HookKind, Row, Tunnel, TwineKind, Work
from tunneltui.holding.new import Start, starter
from tunneltui.holding.toml import from_toml, to_toml
from tunneltui.holding.user_error import UserError


def test_it_has_the_places_strings_and_cultivars_asked_for() -> None:
    start = Start(
        "Mine", "E", "east", 8.0, 4.0, 2, 6, 0.6, 2.2, "laid_down", ("cherry 1", "beef 3"), "Europe/Rome", 42.0
    )
    holding = checked_holding(starter(start))
    assert (holding.name, holding.zone, holding.latitude_deg) == ("Mine", "Europe/Rome", 42.0)
    tunnel = holding.tunnels[0]
    assert (tunnel.key, tunnel.name, tunnel.length_m, tunnel.width_m) == ("E", "east", 8.0, 4.0)
    first, second = tunnel.rows
    assert [place.name for place in first.places] == [f"E1-0{n}" for n in range(1, 7)]
    assert [place.x_m for place in first.places] == pytest.approx([0.3, 0.9, 1.5, 2.1, 2.7, 3.3])
    assert [string.x_m for string in first.strings] == [place.x_m for place in first.places]
    assert {place.cultivar for place in first.places} == {"cherry 1"}
    assert {place.cultivar for place in second.places} == {"beef 3"}
    assert (second.training, second.wire_height_m, second.length_m) == ("laid_down", 2.2, 3.6)


def test_what_nobody_said_is_unknown() -> None:
    holding = checked_holding(starter(Start()))
    assert holding.latitude_deg is None
    assert holding.tunnels[0].crop_allowed_kg_per_hoop is None
    assert (holding.clips[0].rating_n, holding.twines[0].breaking_n, holding.hooks[0].turn_m) == (None, None, None)


def test_every_line_left_out_names_a_key_there_is() -> None:
    known = {
        f.name
        for cls in (Holding, Work, Tunnel, Row, Cultivar, ClipKind, TwineKind, HookKind)
        for f in fields(cls)
    }
    offered = [
        line[2:].split(" = ")[0] for line in starter(Start()).splitlines() if line[:2] == "# " and " = " in line
    ]
    assert set(offered) >= {"latitude_deg", "rating_n", "turn_m", "loop_with", "crop_allowed_kg_per_hoop"}
    assert set(offered) <= known


def test_a_name_that_begins_with_a_crop_is_of_that_crop() -> None:
    start = Start(training="laid_down", cultivars=("cherry 1", "Cucumber 2", "long 3"))
    given = {c.key: (c.crop, c.fruit) for c in checked_holding(starter(start)).cultivars}
    assert given["Cucumber 2"] == ("cucumber", "long")
    assert given["cherry 1"][1] == "cherry"
    # No kind of the usual crop: its usual one.
    assert given["long 3"] == (given["cherry 1"][0], "standard")


@pytest.mark.parametrize(("places", "spacing_m", "length_m"), [(14, 0.4, 5.6), (3, 0.1, 0.3), (23, 0.6, 13.8)])
def test_rows_that_just_fit_fit(places: int, spacing_m: float, length_m: float) -> None:
    """14 times 0.4 is a hair over 5.6 where a machine counts."""
    start = Start(rows=1, places_per_row=places, spacing_m=spacing_m, length_m=length_m)
    assert len(checked_holding(starter(start)).tunnels[0].rows[0].places) == places


def test_what_does_not_fit_is_told() -> None:
    with pytest.raises(UserError, match="need 10 m"):
        starter(Start(length_m=8.0, places_per_row=20, spacing_m=0.5))
    with pytest.raises(UserError, match="too brittle for tiers"):
        starter(Start(cultivars=("cherry 1", "cucumber 2")))
    for start in (Start(rows=0), Start(places_per_row=0), Start(cultivars=())):
        with pytest.raises(UserError, match="at least one"):
            starter(start)


words = st.text(
    st.characters(categories=("L", "N", "P", "S", "Zs"), include_characters="\"'\\"), min_size=1, max_size=12
)


@settings(max_examples=100, deadline=None)
@given(
    st.builds(
        Start,
        name=words,
        tunnel_key=words,
        tunnel_name=words,
        length_m=st.floats(30, 60),
        width_m=st.floats(1, 20),
        rows=st.integers(1, 4),
        places_per_row=st.integers(1, 120),
        spacing_m=st.floats(0.1, 0.25),
        wire_height_m=st.floats(1.5, 3),
        cultivars=st.lists(words, min_size=1, max_size=3),
        latitude_deg=st.none() | st.floats(-66, 66),
    )
)
def test_any_beginning_passes_the_check_and_comes_back_equal(start: Start) -> None:
    holding = checked_holding(starter(start))
    assert from_toml(to_toml(holding)) == holding
    assert len(holding.tunnels[0].rows) == start.rows


def test_a_cultivar_is_of_the_kind_its_name_begins_with() -> None:
    made = from_toml(starter(Start(cultivars=("cherry 1", "Beef 2", "plump 3"))))
    assert [one.fruit for one in made.cultivars] == ["cherry", "beef", "standard"]
