"""The fixture journal of a fortnight in June."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from tunneltui.journal.entry import Entry
from tunneltui.store.json_lines import read_lines

FILE = Path(__file__).parents[2] / "fixtures" / "care" / "june.jsonl"
DAY = date(2026, 6, 20)


def june() -> list[Entry]:
    """Its entries, anew each time."""
    return read_lines(FILE)
