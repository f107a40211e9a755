"""Which entries count and in what order (rules 1 to 3 of the journal, DEVELOPERS.md)."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tunneltui.journal.entry import Entry
from tunneltui.journal.order import acts_out, live

FIRST = date(2026, 4, 1)


def entry(id_: str, act: str, *, day: int = 0, at_us: int = 0, kind: str = "note", body: str = "{}") -> Entry:
    return Entry(id_, act, "dev", FIRST + timedelta(days=day), at_us, "", "", kind, 1, body)


def mark(kind: str, target: str, id_: str, *, at_us: int, day: int = 0) -> Entry:
    return entry(id_, f"act of {id_}", day=day, at_us=at_us, kind=kind, body=json.dumps({"act": target}))


def crossed(target: str, id_: str, at_us: int = 10) -> Entry:
    return mark("crossed_out", target, id_, at_us=at_us)


def restored(target: str, id_: str, at_us: int = 10) -> Entry:
    return mark("restored", target, id_, at_us=at_us)


def ids(entries: list[Entry]) -> list[str]:
    return [one.id for one in live(entries)]


def test_order_is_day_then_time_then_id() -> None:
    given_ = [
        entry("b", "1", day=1, at_us=5),
        entry("c", "2", day=0, at_us=9),
        entry("a", "3", day=1, at_us=5),
        entry("d", "4", day=1, at_us=4),
    ]
    assert ids(given_) == ["c", "d", "a", "b"]


def test_an_entry_given_twice_counts_once() -> None:
    assert ids([entry("a", "1"), entry("a", "1")]) == ["a"]


def test_an_unknown_kind_survives_byte_for_byte() -> None:
    strange = entry("a", "1", kind="of a newer version", body='{"x" : [1,  NaN]}')
    assert live([strange]) == [strange]


def test_a_crossed_out_act_goes_whole_and_its_mark_may_come_before_or_after_it() -> None:
    for at_us in (0, 10):
        entries = [entry("a", "tick", at_us=5), entry("b", "tick", at_us=6), entry("c", "other", at_us=7)]
        assert ids([crossed("tick", "x", at_us), *entries]) == (["x", "c"] if at_us == 0 else ["c", "x"])


def test_the_last_mark_in_order_wins_whichever_arrived_first() -> None:
    act = entry("a", "tick")
    out, back, out_again = crossed("tick", "x", 1), restored("tick", "y", 2), crossed("tick", "z", 3)
    assert "a" not in ids([act, out])
    assert "a" in ids([act, back, out])
    assert "a" not in ids([out_again, act, back, out])


def test_undoing_an_undo_brings_the_act_back() -> None:
    act, out = entry("a", "tick"), crossed("tick", "x", 1)
    undone = crossed("act of x", "y", 2)
    assert ids([act, out, undone]) == ["a", "y"]
    redone = crossed("act of y", "z", 3)
    assert ids([act, out, undone, redone]) == ["x", "z"]
    assert ids([act, out, undone, restored("act of x", "z", 3)]) == ["x", "y", "z"]


def test_marks_that_cross_out_each_other_end_with_the_later() -> None:
    one, other = crossed("act of y", "x", 1), crossed("act of x", "y", 2)
    assert ids([one, other]) == ["y"]
    both = [crossed("act of y", "x", 1), crossed("act of x", "y", 1)]
    assert ids(both) == ["y"], "the id settles equal times"


def test_a_mark_that_names_its_own_act_takes_it_out_and_nothing_else() -> None:
    assert ids([crossed("act of x", "x", 1), entry("a", "tick")]) == ["a"]


@pytest.mark.parametrize("body", ["", "null", "[]", "{}", '{"act":1}', '{"act":null}', "[" * 100_000])
def test_a_mark_that_cannot_be_read_marks_nothing(body: str) -> None:
    assert acts_out([entry("x", "1", kind="crossed_out", body=body)]) == frozenset()


marks = st.builds(
    mark,
    st.sampled_from(("crossed_out", "restored")),
    st.sampled_from([f"act of {one}" for one in "abcde"] + ["tick"]),
    st.sampled_from("abcde"),
    at_us=st.integers(0, 3),
    day=st.integers(0, 1),
)


@given(st.lists(marks, max_size=8).flatmap(lambda one: st.tuples(st.just(one), st.permutations(one))))
def test_any_order_of_arrival_has_the_same_outcome(given_: tuple[list[Entry], list[Entry]]) -> None:
    act = entry("the act", "tick")
    one, other = given_
    assert live([act, *one]) == live([*other, act])


def by_definition(given_: list[Entry]) -> set[str]:
    """The rule as it is written: an act is out if the last mark in force that names it crossed it out."""
    by_order = sorted(given_, key=lambda one: one.order)

    def is_out(act: str) -> bool:
        in_force = [one for one in by_order if json.loads(one.body)["act"] == act and not is_out(one.act)]
        return bool(in_force) and in_force[-1].kind == "crossed_out"

    return {act for act in [f"act of {one}" for one in "abcde"] + ["tick"] if is_out(act)}


def in_no_circle(given_: list[Entry]) -> bool:
    names = {one.act: json.loads(one.body)["act"] for one in given_}
    for act in names:
        for _ in names:
            act = names.get(act, "")
        if act:
            return act not in names
    return True


@given(st.lists(marks, max_size=8, unique_by=lambda one: one.id).filter(in_no_circle))
def test_the_one_pass_follows_the_rule_as_written(given_: list[Entry]) -> None:
    assert acts_out(given_) == by_definition(given_)


@pytest.mark.parametrize("ahead", [60, 10**15])
def test_what_a_clock_that_ran_ahead_crossed_out_can_be_brought_back(ahead: int) -> None:
    """Another machine crosses out the act of the mark, at a time before it."""
    act, out = entry("a", "tick"), crossed("tick", "x", ahead)
    assert ids([act, out, crossed("act of x", "y", 1)]) == ["a", "y"]
    assert ids([act, out, crossed("act of x", "y", 2), crossed("act of y", "z", 1)]) == ["z", "x"]


def test_ten_thousand_marks_on_marks_end() -> None:
    chain = [crossed(f"act of m{n - 1}" if n else "tick", f"m{n}", n) for n in range(10_000)]
    assert ("tick" in acts_out(chain), len(acts_out(chain))) == (False, 5_000)


@given(st.permutations([entry("a", "1")._replace(body=body) for body in ('{"x":1}', '{"x":2}', "{}")]))
def test_of_different_texts_under_one_id_the_same_is_kept(versions: list[Entry]) -> None:
    assert [one.body for one in live(versions)] == ['{"x":1}']
