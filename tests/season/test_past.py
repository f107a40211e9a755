"""Ended seasons are folded once: what they came to, and whatever is written after it, in any order, is the season
of all entries (rule 1 of the journal, DEVELOPERS.md)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.season.entries import FIRST, TWO_ROWS, Book, differences
from tests.season.test_any_arrival import ABOUTS, Draw, Known, any_body
from tunneltui.holding.toml import to_toml
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import Removed
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.season.fold import fold, folded
from tunneltui.season.long_journal import LongJournal
from tunneltui.season.past import Past, packed, unpacked

CLEARED, PLANTED_ANEW, ENDS = 30, 50, 140
due = st.integers(0, ENDS).map(lambda day: (FIRST + timedelta(days=day)).isoformat())
answers = st.none() | st.tuples(st.sampled_from(("lower", "put_right", "side_shoot")), st.just("W1"), due)


def past_of(entries: Sequence[Entry], day: date) -> Past | None:
    """Packed and unpacked, as it is kept."""
    past = folded(entries, day).past(entries)
    return unpacked(packed(past)) if past is not None else None


def long_journal(past: Past, later: Sequence[Entry]) -> LongJournal:
    def read() -> Sequence[Entry]:
        raise AssertionError("entries of ended seasons were read")

    return LongJournal(past, later, read)


@st.composite
def two_seasons(draw: Draw) -> list[Entry]:
    """Planted, cleared but for what is forgotten, planted anew; written on two machines, some of it late."""
    book, known = Book(), Known()

    def lived(first: int, last: int, most: int) -> None:
        for _ in range(draw(st.integers(2, most))):
            late = draw(st.integers(0, 30)) == 0
            day = draw(st.integers(0 if late else first, last))
            act = f"act of e{len(book.entries):04}" if draw(st.integers(0, 5)) == 0 else ""
            body = known.leaned_on(draw, draw(any_body))
            book.write(body, draw(st.sampled_from(ABOUTS)), day=day, act=act, answers=draw(answers))
            known.take_in(book.entries[-1], body)

    def planted(day: int) -> None:
        for about in ("W1-01", "W1-02", "W2-01"):
            body = Planted("cherry 1", draw(st.integers(1, 2)))
            book.write(body, about, day=day)
            known.take_in(book.entries[-1], body)

    book.write(HoldingSet(to_toml(TWO_ROWS)))
    planted(0)
    lived(0, CLEARED, 25)
    for plant in known.ids.get("plant", []):
        if draw(st.integers(0, 5)):
            book.write(Removed(plant), day=CLEARED)
    known = Known() if draw(st.integers(0, 3)) else known
    planted(PLANTED_ANEW)
    lived(PLANTED_ANEW, ENDS, 20)
    machines = st.sampled_from(("here", "here", "there"))
    return [entry._replace(device=draw(machines)) for entry in book.entries]


def same_from_its_past(entries: list[Entry], come: int, day: int, days_later: int) -> None:
    """As folded from nothing, or said to be touched and then folded from nothing."""
    known, later = entries[:come], entries[come:]
    made_on = FIRST + timedelta(days=day)
    past = past_of(known, made_on)
    if past is not None:
        on = made_on + timedelta(days=days_later)
        resumed = folded(LongJournal(past, later, lambda: entries), on)
        whole = fold(entries, on)
        assert differences(resumed.season(), whole) == []
        # And what is written after that, such as crossing out what came last.
        marks = Book()
        for entry in later[-2:]:
            marks.write(CrossedOut(entry.act), day=day + days_later, id=f"undo {entry.id}")
        more = LongJournal(past, [*later, *marks.entries], lambda: entries)
        assert differences(fold(more, on), fold([*entries, *marks.entries], on)) == []


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(two_seasons(), st.data())
def test_a_season_from_its_past_equals_one_from_nothing(entries: list[Entry], data: st.DataObject) -> None:
    shuffled = data.draw(st.permutations(entries)) if data.draw(st.booleans()) else entries
    come = data.draw(st.integers(len(entries) // 2, len(entries)))
    same_from_its_past(list(shuffled), come, data.draw(st.integers(92, ENDS)), data.draw(st.integers(0, 40)))


@pytest.mark.long
@settings(max_examples=6000, deadline=None, suppress_health_check=list(HealthCheck))
@given(two_seasons(), st.data())
def test_a_season_from_its_past_equals_one_from_nothing_over_many(
    entries: list[Entry], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(entries)) if data.draw(st.booleans()) else entries
    come = data.draw(st.integers(len(entries) // 2, len(entries)))
    same_from_its_past(list(shuffled), come, data.draw(st.integers(92, ENDS)), data.draw(st.integers(0, 40)))
