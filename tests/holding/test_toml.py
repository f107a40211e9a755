"""The holding as text and back, for any holding."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.holding.strategies import any_holding
from tunneltui.holding.layout import layout
from tunneltui.holding.model import EMPTY, Holding, Place, Row, String, Tunnel, Work
from tunneltui.holding.toml import from_toml, to_toml
from tunneltui.values import replace

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


@settings(max_examples=150, deadline=None, suppress_health_check=SLOW)
@given(any_holding())
def test_any_holding_comes_back_equal(holding: Holding) -> None:
    assert from_toml(to_toml(holding)) == holding


@settings(max_examples=100, deadline=None, suppress_health_check=SLOW)
@given(any_holding())
def test_any_holding_can_be_laid_out(holding: Holding) -> None:
    """Also one whose rows name partners that are not there: a merged journal may hold it."""
    assert set(layout(holding).loop_of_row) == set(layout(holding).rows)


def test_only_what_differs_from_its_default_is_written() -> None:
    assert to_toml(EMPTY) == 'name = "nothing stands here yet"\n'
    assert to_toml(replace(EMPTY, work=Work(minutes=20))).endswith("[work]\nminutes = 20\n")


def test_keys_are_the_fields_and_whole_numbers_become_lengths() -> None:
    text = """
        name = "mine"
        plays_on = 2026-08-20
        [[tunnels]]
        key = "W"
        name = "west"
        length_m = 10
        width_m = 5.5
        [[tunnels.rows]]
        number = 1
        wire_height_m = 2
        length_m = 8
        strings = [{ number = 1, x_m = 0.5 }]
        [[tunnels.rows.places]]
        name = "W1-01"
        x_m = 1
        was = ["W1-1"]
    """
    row = Row(1, 2.0, 8.0, places=(Place("W1-01", 1.0, was=("W1-1",)),), strings=(String(1, 0.5),))
    read = from_toml(text)
    assert read == Holding(
        "mine", plays_on=date(2026, 8, 20), tunnels=(Tunnel("W", "west", 10.0, 5.5, rows=(row,)),)
    )
    assert isinstance(read.tunnels[0].rows[0].places[0].x_m, float)


def test_a_key_of_a_newer_version_is_passed_over() -> None:
    assert from_toml('name = "mine"\nof_tomorrow = { a = 1 }\n[work]\nminutes = 5\nalso = []\n').work.minutes == 5


@pytest.mark.parametrize(
    "text",
    [
        "",
        "name = ",
        "name = 1",
        'name = "x"\nwork = 3',
        'name = "x"\nwork = { minutes = 1.5 }',
        'name = "x"\nlit = 1',
        'name = "x"\nplays_on = 2026-08-20T10:00:00',
        'name = "x"\ntunnels = 3',
        'name = "x"\n[tunnels]\nkey = "W"',
        'name = "x"\n[[tunnels]]\nkey = "W"',
        'name = "x"\n[work]\npick_days = ["Mon", "Doomsday"]',
        'name = "x"\n[work]\npick_days = ["Mon", ["Tue"]]',
        'name = "x"\nnotes = "one"',
        "a = " + "[" * 100_000,
        ".".join("a" * 100_000) + " = 1",
        "[" + " . ".join(["'a'"] * 100_000) + "]",
    ],
)
def test_what_is_no_holding_is_a_value_error(text: str) -> None:
    with pytest.raises(ValueError):
        from_toml(text)


def test_a_note_full_of_dots_is_no_long_key() -> None:
    note = "wait and see " + "... " * 200 + "1.5.3.1 " * 200
    assert from_toml(to_toml(replace(EMPTY, notes=(note, "a.b")))).notes == (note, "a.b")


@given(st.text(max_size=60))
def test_any_text_is_read_or_a_value_error(text: str) -> None:
    try:
        holding = from_toml(text)
    except ValueError:
        return
    assert from_toml(to_toml(holding)) == holding
