"""Small journals for the tests of the store."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from tunneltui.journal.entry import Draft, Entry
from tunneltui.store.journal_file import JournalFile

DAY = date(2026, 8, 20)
START_US = 1_787_000_000_000_000


def note(text: str, about: str = "W1-07", id: str = "") -> Draft:  # noqa: A002
    return Draft("note", about, json.dumps({"text": text}, ensure_ascii=False), id)


def texts(entries: Sequence[Entry]) -> list[str]:
    return [json.loads(entry.body)["text"] for entry in entries]


def entry(name: str, *, day: date = DAY, at_us: int = START_US, kind: str = "note", body: str = "{}") -> Entry:
    return Entry(name, f"act-{name}", "device", day, at_us, "", "W1-07", kind, 1, body)


def filled(path: Path, count: int, *, size: int = 20, per_act: int = 3) -> list[Entry]:
    """A journal with ``count`` notes of about ``size`` characters; the entries in order."""
    draw = random.Random(count)
    with JournalFile.open(path, device="laptop", random_bits=draw.getrandbits, clock=lambda: START_US) as journal:
        for first in range(0, count, per_act):
            numbers = range(first, min(first + per_act, count))
            journal.append([note(f"{n} ".ljust(size, "x"), f"W1-{n % 40:02}") for n in numbers], DAY)
        return journal.entries()
