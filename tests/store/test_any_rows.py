"""Whatever row the store takes, the program plans, shows, exports, merges and undoes."""

from __future__ import annotations

import random
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import pytest

from tests.season.entries import differences
from tests.store.any_rows import DAY, any_row, base
from tests.store.private_server import NearDoor
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.season.fold import fold
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.merge import merge

ROWS_AT_ONCE = 25
SHORT = ("round", "loads", "journal show --json", "export entries", "review")
MUST = (
    "round", "round --json", "loads", "outlook", "journal show", "journal show --json", "export entries",
    "export picks", "export chores", "export season", "holding show", "stores", "water", "feed", "review",
)  # fmt: skip
MAY = (
    "plant W1-01", "row W1", "lower W1", "plan", "air show", "export sheet", "outlook",
    "away 2026-06-12 2026-06-15", "backtest", "journal check", "day", "journal show",
)  # fmt: skip
EVERY_DAY = ("1970-01-01", "2199-12-31")


def taken(path: Path, rows: Sequence[Entry]) -> list[Entry]:
    """Those of the rows that the store takes, each by itself."""
    kept = []
    with JournalFile.open(path) as journal:
        journal.append_entries(base())
        for row in rows:
            with suppress(UserError):
                journal.append_entries([row])
                kept.append(row)
    return kept


def lived_with(folder: Path, rows: Sequence[Entry], must: Sequence[str] = MUST, may: Sequence[str] = MAY) -> int:
    """Plans, shows, exports, merges and undoes; the number of rows that were taken."""
    folder.mkdir()
    path, other = folder / "journal.db", folder / "other.db"
    kept = taken(path, rows)
    door = NearDoor(folder / "home", path)
    for words in must:
        done = door(*words.split(), "--on", DAY.isoformat())
        assert done.returncode == 0, (words, done.stderr)
    for words in may:
        assert door(*words.split(), "--on", DAY.isoformat()).returncode in (0, 1), words
    for day in EVERY_DAY:
        for words in ("round", *may[-2:]):
            assert door(*words.split(), "--on", day).returncode in (0, 1), (words, day)
    with JournalFile.open(other) as journal:
        journal.append_entries(base())
    merge(other, path)
    assert merge(other, path).new == merge(path, other).new == 0
    with JournalFile.open(path) as journal:
        journal.append([draft("", CrossedOut(row.act)) for row in kept], DAY)
        after = journal.entries()
    assert differences(fold(after, DAY), fold(base(), DAY)) == []
    return len(kept)


def lived_with_each(folder: Path, seed: int, count: int) -> int:
    draw = random.Random(seed)
    rows = [any_row(draw, number) for number in range(count)]
    number = 0
    for first in range(0, count, ROWS_AT_ONCE):
        some = rows[first : first + ROWS_AT_ONCE]
        try:
            number += lived_with(folder / str(first), some)
        except Exception as fault:
            raise AssertionError(_guilty(folder, some, fault)) from fault
    return number


def _guilty(folder: Path, rows: list[Entry], fault: BaseException) -> str:
    """The single rows that fail by themselves; else all of them."""
    alone = []
    for row in rows:
        try:
            lived_with(folder / f"alone {row.id}", [row])
        except Exception as its_own:
            alone.append(f"{row}: {type(its_own).__name__} {str(its_own)[:200]}")
    return "\n".join(alone) or f"together: {fault!r}\n" + "\n".join(map(str, rows))


def test_any_row_the_store_takes_can_be_lived_with(tmp_path: Path) -> None:
    draw = random.Random(1)
    rows = [any_row(draw, number) for number in range(12)]
    assert lived_with(tmp_path / "all", rows, SHORT, ()) > 6


@pytest.mark.long
def test_ten_thousand_rows_the_store_takes_can_be_lived_with(tmp_path: Path) -> None:
    assert lived_with_each(tmp_path, 2, 10_000) > 5_000
