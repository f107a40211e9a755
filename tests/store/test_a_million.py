"""A million entries, far more than one holding writes, are kept and found again.

Measured on two shared cores of a server: opening 0.3 s, a tick 0.02 s at most, the last 10,000 read and folded in
0.2 s, all read in 7 s. The times are printed, not asserted.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import timedelta
from itertools import islice
from pathlib import Path

import pytest

from tests.season.entries import FIRST, planted
from tests.store.making import note
from tunneltui.journal.entry import Entry
from tunneltui.season.fold import fold
from tunneltui.store.journal_file import JournalFile

COUNT = 1_000_000
PER_DAY = 5_000


def _entries(count: int) -> Iterator[Entry]:
    """A planting, then notes of 60 characters and now and then a measured stem, a minute apart."""
    book = planted()
    yield from book.entries
    for number in range(len(book.entries), count):
        day = FIRST + timedelta(days=number // PER_DAY)
        kind, body = "note", '{"text":"' + f"{number} ".ljust(60, "x") + '"}'
        if number % 50 == 0:
            kind, body = "measured", '{"leader":"W1-01","length_m":2.0}'
        at_us = 1_000_000_000 + number * 60_000_000
        yield Entry(f"n{number:07}", f"a{number // 3:07}", "dev", day, at_us, "", "W1-01", kind, 1, body)


def _fill(path: Path, count: int) -> None:
    made = _entries(count)
    with JournalFile.open(path) as journal:
        while some := list(islice(made, 100_000)):
            journal.append_entries(some)


def _seconds(started: float) -> float:
    return time.perf_counter() - started


@pytest.mark.long
def test_a_million_entries_open_take_a_tick_and_a_slice_folds(path: Path) -> None:
    started = time.perf_counter()
    _fill(path, COUNT)
    figures = {"fill": _seconds(started), "MB": path.stat().st_size / 1e6}

    started = time.perf_counter()
    journal = JournalFile.open(path)
    figures["open"] = _seconds(started)
    with journal:
        assert journal.head().count == COUNT
        took = []
        for number in range(20):
            started = time.perf_counter()
            journal.append([note(f"tick {number}")], FIRST)
            took.append(_seconds(started))
        figures["append, the slowest of 20"] = max(took)

        started = time.perf_counter()
        new = [entry for _, entry in journal.entries_after(COUNT - 10_000)]
        season = fold([*planted().entries, *new], FIRST + timedelta(days=COUNT // PER_DAY))
        figures["read and fold 10,000"] = _seconds(started)
        started = time.perf_counter()
        assert len(journal.entries()) == COUNT + 20
        figures["read all"] = _seconds(started)
    assert len(new) == 10_000 + 20
    assert len(season.notes) == 10_000 + 20 - 200
    print({name: round(value, 3) for name, value in figures.items()})


def test_a_tick_in_a_large_journal_looks_at_no_more_rows_than_in_a_small_one(tmp_path: Path) -> None:
    """Counted in steps of SQLite's own machine, so that no clock decides."""
    steps = []
    for count in (500, 20_000):
        path = tmp_path / f"{count}.db"
        _fill(path, count)
        with JournalFile.open(path) as journal:
            done = [0]

            def counted(done: list[int] = done) -> int:
                done[0] += 1
                return 0

            journal._connection.set_progress_handler(counted, 1)
            journal.append([note("a tick")], FIRST)
            steps.append(done[0])
    small, large = steps
    assert small > 50, "the counting saw the work"
    assert large <= 1.5 * small
