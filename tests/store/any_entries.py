"""Entries of any text and number that a journal can hold, for tests that try many."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from tunneltui.journal.entry import Entry
from tunneltui.journal.valid import FIRST_DAY, LAST_DAY, LAST_US, MOST_V


def any_text(without: str = "") -> SearchStrategy[str]:
    """What UTF-8 can hold: markup, control characters, direction marks and null characters among it."""
    return st.text(st.characters(exclude_categories=["Cs"], exclude_characters=without), max_size=40)


def any_entry(without: str = "") -> SearchStrategy[Entry]:
    text, name = any_text(without), any_text(without).filter(bool)
    return st.builds(
        Entry,
        id=name,
        act=name,
        device=text,
        day=st.dates(FIRST_DAY, LAST_DAY),
        at_us=st.integers(0, LAST_US),
        by=text,
        about=text,
        kind=name,
        v=st.integers(0, MOST_V),
        body=text,
        seal=st.just(""),
    )


def any_entries(most: int, without: str = "") -> SearchStrategy[list[Entry]]:
    """Up to ``most``, each with an id of its own."""
    return st.lists(any_entry(without), max_size=most, unique_by=lambda one: one.id)
