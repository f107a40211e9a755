"""The demo's morning, planned once, for everything that leaves the house."""

from __future__ import annotations

from functools import cache

from tests.demo_once import demo_entries
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.demo.make import saltmarsh
from tunneltui.journal.entry import Draft, Entry
from tunneltui.pages.sheet import sheet
from tunneltui.report.done_line import example
from tunneltui.store.kept_round import as_shown


@cache
def entries() -> tuple[Entry, ...]:
    return demo_entries()


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


def printed_sheet(day: Morning) -> str:
    """The day's sheet as it is exported when it is shown for the first time."""
    shown = as_shown(day.round)
    return sheet(day, shown.number_of, example(day, shown))
