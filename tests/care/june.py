"""The fixture journal of a fortnight in June, and the same with more written into it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from tunneltui.journal.body import Answers, draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import Body
from tunneltui.store.json_lines import read_lines

FILE = Path(__file__).parents[2] / "fixtures" / "care" / "june.jsonl"
DAY = date(2026, 6, 20)
_LATE_US = 10**16


def june() -> list[Entry]:
    """Its entries, anew each time."""
    return read_lines(FILE)


def later(
    entries: Sequence[Entry], day: date, about: str, body: Body, answers: Answers | None = None
) -> list[Entry]:
    """The entries with one more, the last of its day."""
    number = len(entries)
    made = draft(about, body, answers=answers)
    id_ = f"later{number:04d}"
    fresh = Entry(id_, id_, "fixture", day, _LATE_US + number, "", about, made.kind, 1, made.body)
    return [*entries, fresh]
