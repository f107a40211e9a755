"""Bodies from forms, the command line, JSON and TOML."""

from __future__ import annotations

import json
from datetime import date
from math import inf
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import NODEFAULT
from pydantic import ValidationError

from tests.season.test_any_arrival import BODIES
from tunneltui.holding.expected import core, expected, hints, limits
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import defaults_of, draft, to_json, typed
from tunneltui.journal.check import _plainly_typed, _read, checked_body, checked_day
from tunneltui.journal.kinds import KIND_OF, KINDS, Body
from tunneltui.journal.kinds_care import Air
from tunneltui.journal.kinds_crop import Picked, SideShooted
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.journal.kinds_journal import PutOff
from tunneltui.journal.kinds_standing import Measured
from tunneltui.journal.sense import nonsense

TODAY = date(2026, 8, 20)


def trouble(kind: str, mapping: dict[str, Any], *, text: bool) -> str:
    with pytest.raises(UserError) as raised:
        checked_body(kind, mapping, text=text)
    return raised.value.problem


@settings(deadline=None)
@given(st.sampled_from(list(BODIES)).flatmap(lambda cls: BODIES[cls]).filter(lambda body: not nonsense(body)))
def test_what_the_program_writes_passes_strictly_and_comes_back_equal(body: Body) -> None:
    kind = KIND_OF[type(body)]
    mapping = json.loads(to_json(body))
    assert checked_body(kind, mapping, text=False) == body
    assert typed(draft("", body)) == body


def test_text_by_hand_is_read_as_its_field_wants() -> None:
    assert checked_body("picked", {"cultivar": "cherry 1", "kg": " 6.2", "clean": "no"}, text=True) == Picked(
        "cherry 1", 6.2, clean=False
    )
    assert checked_body("side_shooted", {"leaders": "a, b ,c"}, text=True) == SideShooted(("a", "b", "c"))
    assert checked_body("put_off", {"until": "2026-08-23"}, text=True) == PutOff(date(2026, 8, 23))
    hours = ",".join(["1", "2.5"] * 12)
    assert checked_body("air", {"min_c": "-2", "hours_c": hours}, text=True) == Air(
        min_c=-2.0, hours_c=(1.0, 2.5) * 12
    )
    assert checked_body("lowered", {"leader": "5", "turns": "1"}, text=True) == Lowered("5", turns=1.0)


@pytest.mark.parametrize(
    ("kind", "mapping", "says"),
    [
        ("picked", {"cultivar": "c", "kg": "6.2"}, 'kg is "6.2", a number from 0 to 20000 was wanted.'),
        ("picked", {"cultivar": 5}, "cultivar is 5, text was wanted."),
        ("picked", {"cultivar": "c", "clean": 1}, "clean is 1, true or false was wanted."),
        ("picked", {"cultivar": "c", "count": 2.0}, "count is 2.0, a whole number from 0 to 1000000 was wanted."),
        ("picked", {"cultivar": "c", "kg": True}, "kg is True, a number from 0 to 20000 was wanted."),
    ],
)
def test_json_and_toml_are_held_to_their_types(kind: str, mapping: dict[str, Any], says: str) -> None:
    assert says in trouble(kind, mapping, text=False)


@pytest.mark.parametrize("text", [True, False])
@pytest.mark.parametrize(
    ("kind", "mapping", "says"),
    [
        ("pickd", {}, 'no kind of entry called "pickd"'),
        ("picked", {"cultivr": "c"}, '"cultivr" is not known here, did you mean cultivar?'),
        ("picked", {}, "cultivar is missing: text."),
        ("picked", {"cultivar": "c", "kg": -1}, "kg is -1, a number from 0 to 20000 was wanted."),
        ("picked", {"cultivar": "c", "kg": 1e7}, "a number from 0 to 20000 was wanted."),
        ("picked", {"cultivar": "c", "kg": float("nan")}, "kg is nan"),
        ("picked", {"cultivar": "c", "kg": float("inf")}, "kg is inf"),
        ("picked", {"cultivar": "c", "kg": 10**5000}, "kg is a huge number"),
        ("clipped", {"leader": "a", "s_m": 1, "on": "moon"}, "one of string, head, wire was wanted."),
        ("put_off", {"until": "2026"}, "a day such as 2026-08-20 was wanted."),
        ("put_off", {"until": "20 Aug"}, "a day such as 2026-08-20 was wanted."),
        ("note", {"text": "x" * 20_001}, "at most 20,000"),
        ("note", {"text": "half a character: \ud800"}, "half a character"),
        ("leader_kept", {"plant": "p", "letter": "bc"}, "text of 1 letter was wanted."),
        ("side_shooted", {"leaders": [["a"]]}, "was wanted"),
        ("crossed_out", {"act": {"a": {"b": 1}}}, "act is a table"),
    ],
)
def test_a_plain_sentence_says_what_is_wrong(kind: str, mapping: dict[str, Any], says: str, text: bool) -> None:
    assert says in trouble(kind, mapping, text=text)


def test_every_fault_is_told_at_once() -> None:
    told = trouble("clipped", {"leader": 5, "s_m": "high", "on": "moon"}, text=False).splitlines()
    assert len(told) == 3


def test_nan_by_hand_is_no_number() -> None:
    for word in ("nan", "inf", "-inf", "1e400"):
        assert "was wanted" in trouble("picked", {"cultivar": "c", "kg": word}, text=True)


def test_markup_and_marks_that_turn_text_around_are_kept_as_they_are() -> None:
    """Showing them harmlessly is the screens' part; a note is never changed."""
    text = "[bold]x[/] \u202e \x1b[31m <script> " + "ü" * 10_000
    body = checked_body("note", {"text": text}, text=True)
    assert body.text == text
    assert typed(draft("", body)) == body


TYPED: dict[Any, st.SearchStrategy[Any]] = {
    str: st.sampled_from(("W1-07a", "a note, with signs", " spaced ", "7", "x")),
    float: st.sampled_from(
        ("6.2", "-3", "0", "-0", "1e3", ".5", "5.", " 7 ", "nan", "1_0", "999999999", "x", "٣")
    ),
    int: st.sampled_from(("6", "-3", "0", "07", "6.0", "+5", " 7 ", "1_0", "x")),
    bool: st.sampled_from(("yes", "no", "true", "0", "No")),
    tuple[str, ...]: st.sampled_from((["W1-07a"], [], ["a", 7], "a, b")),
    date: st.sampled_from(("2026-08-20", "20260820", "today")),
}
values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=9)
    | st.text(st.characters(), max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=300, deadline=None)
@given(st.data(), st.sampled_from(list(KINDS)), st.booleans())
def test_anything_is_read_or_refused_with_a_sentence(data: st.DataObject, kind: str, text: bool) -> None:
    keys = st.sampled_from([*defaults_of(KINDS[kind]), "answers", "__class__"])
    mapping = data.draw(st.dictionaries(keys, values, max_size=4))
    try:
        body = checked_body(kind, mapping, text=text)
    except UserError as fault:
        said = fault.problem.splitlines()
    else:
        said = ["passed"]
        assert typed(draft("", body)) == body, "what passed can be written and read back"
    assert said
    assert all(0 < len(line) < 400 for line in said)


@settings(max_examples=100, deadline=None)
@given(st.data(), st.sampled_from(list(KINDS)))
def test_what_is_typed_plainly_is_read_as_pydantic_reads_it(data: st.DataObject, kind: str) -> None:
    cls = KINDS[kind]
    wanted = {key: core(hint) for key, hint in hints(cls).items()}
    needed = [key for key, default in defaults_of(cls).items() if default is NODEFAULT]
    more = data.draw(st.sets(st.sampled_from(sorted(wanted)), max_size=3)) if wanted else set()
    words = {
        key: data.draw(TYPED.get(wanted[key], st.sampled_from(get_args(wanted[key]) or ("",))))
        for key in (*needed, *more)
    }
    plainly = _plainly_typed(cls, words, hints(cls))
    try:
        read = _read(cls, words, True)
    except (ValidationError, ValueError, TypeError):
        assert plainly is None
    else:
        assert plainly is None or repr(plainly) == repr(read)
        if {wanted[key] for key in words} <= {str}:
            assert plainly is not None


def test_help_knows_every_key_of_every_kind() -> None:
    for kind in KINDS:
        assert all(expected(hint) for hint in hints(KINDS[kind]).values())
    told = hints(KINDS["clipped"])
    assert expected(told["s_m"]) == "a number from 0 to 60"
    assert expected(told["on"]) == "one of string, head, wire"


def test_limits_are_those_of_the_entrys_own_field() -> None:
    assert limits(Picked, "kg") == (0, 20_000)
    assert limits(Measured, "diameter_mm") == (0, 60)
    assert limits(Picked, "grade") == (-inf, inf)


def test_only_kinds_that_speak_of_the_future_may_have_a_later_day() -> None:
    """Rule 9 of the journal, DEVELOPERS.md."""
    tomorrow = date(2026, 8, 21)
    assert checked_day("picked", TODAY, TODAY) == TODAY
    assert checked_day("away", tomorrow, TODAY) == checked_day("forecast", tomorrow, TODAY) == tomorrow
    with pytest.raises(UserError, match="still to come"):
        checked_day("picked", tomorrow, TODAY)
    with pytest.raises(UserError, match="more than a year"):
        checked_day("away", date(2027, 9, 1), TODAY)
