"""The demo's morning, planned once, for everything that leaves the house."""

from __future__ import annotations

from functools import cache

from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.demo.make import demo_entries, saltmarsh
from tunneltui.journal.entry import Draft, Entry


@cache
def entries() -> tuple[Entry, ...]:
    return tuple(demo_entries())


@cache
def morning() -> Morning:
    day = saltmarsh().plays_on
    assert day is not None
    return plan_morning(entries(), day)


def written(drafts: list[Draft] | tuple[Draft, ...]) -> list[Entry]:
    """Drafts as entries of the demo's day, after all of its own."""
    at_us = max(entry.at_us for entry in entries()) + 1
    return [
        Entry(
            one.id or f"new-{n:03}", "new", "test", morning().day, at_us + n, "", one.about, one.kind, 1, one.body
        )
        for n, one in enumerate(drafts)
    ]
