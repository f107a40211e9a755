"""The writer thread: a future ends when the commit returned, and every failure is a sentence of its own future."""

from __future__ import annotations

import sqlite3
import stat
import threading
from concurrent.futures import wait
from contextlib import closing
from datetime import UTC, date, datetime
from itertools import pairwise
from pathlib import Path

import pytest

from tests.season.entries import TWO_ROWS
from tests.store.making import DAY, START_US, note, texts
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.report.open_journal import civil_day
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.writer import Writer
from tunneltui.values import replace

WAIT_S = 20.0


@pytest.fixture
def made(path: Path) -> Path:
    JournalFile.open(path).close()
    return path


def _texts_in(path: Path) -> list[str]:
    """Read by another connection, as another program would."""
    with closing(sqlite3.connect(path)) as raw:
        return [row[0] for row in raw.execute("SELECT json_extract(body, '$.text') FROM entries ORDER BY seq")]


def test_a_key_press_returns_at_once_and_is_done_only_when_the_commit_returned(made: Path) -> None:
    """While another program holds the write lock nothing is written, and nothing says that it was."""
    with closing(sqlite3.connect(made, isolation_level=None)) as other, Writer(made) as writer:
        writer.submit([note("first")], DAY).result(WAIT_S)
        other.execute("BEGIN IMMEDIATE")
        ticks = [writer.submit([note(str(n))], DAY) for n in range(5)]  # one that waited would hang here
        assert wait(ticks, 0.5).done == set()
        assert _texts_in(made) == ["first"]
        other.execute("ROLLBACK")
        for number, tick in enumerate(ticks):
            assert texts(tick.result(WAIT_S)) == [str(number)]
            assert str(number) in _texts_in(made)
    assert _texts_in(made) == ["first", "0", "1", "2", "3", "4"]


def test_the_future_ends_after_the_entry_can_be_read_by_another(made: Path) -> None:
    seen: list[list[str]] = []
    with Writer(made) as writer:
        for number in range(20):
            # The callback runs in the writer's thread the moment the future ends.
            writer.submit([note(str(number))], DAY).add_done_callback(lambda _: seen.append(_texts_in(made)))
    assert seen == [[str(n) for n in range(number + 1)] for number in range(20)]


def test_closing_writes_what_is_queued_and_then_refuses_in_a_sentence(made: Path) -> None:
    writer = Writer(made)
    ticks = [writer.submit([note(str(n))], DAY) for n in range(50)]
    writer.close()
    writer.close()
    assert all(tick.done() for tick in ticks)
    assert _texts_in(made) == [str(n) for n in range(50)]
    with pytest.raises(UserError, match="is closed"):
        writer.submit([note("late")], DAY).result(WAIT_S)
    assert len(_texts_in(made)) == 50


def test_a_tick_cannot_be_taken_back_by_a_screen_that_closes(made: Path) -> None:
    with Writer(made) as writer:
        tick = writer.submit([note("kept")], DAY)
        assert not tick.cancel()
        tick.result(WAIT_S)
    assert _texts_in(made) == ["kept"]


def test_a_failed_act_is_the_trouble_of_its_own_future_and_the_next_goes_on(made: Path) -> None:
    with Writer(made) as writer:
        good = writer.submit([note("one")], DAY)
        bad = writer.submit([note("half an act"), note("\ud800")], DAY)
        next_one = writer.submit([note("two")], DAY)
        assert texts(good.result(WAIT_S)) == ["one"]
        with pytest.raises(UserError):
            bad.result(WAIT_S)
        assert texts(next_one.result(WAIT_S)) == ["two"]
    assert _texts_in(made) == ["one", "two"]


def test_a_journal_that_cannot_be_opened_is_told_at_each_tick_until_it_can(path: Path) -> None:
    with Writer(path) as writer:
        with pytest.raises(UserError, match="no journal"):
            writer.submit([note("lost")], DAY).result(WAIT_S)
        assert not path.exists()
        JournalFile.open(path).close()
        writer.submit([note("kept")], DAY).result(WAIT_S)
    assert _texts_in(path) == ["kept"]


def test_two_apps_on_one_file_write_in_turn_and_see_each_others_entries(made: Path) -> None:
    with Writer(made, device="one") as one, Writer(made, device="two") as two, JournalFile.open(made) as reader:
        ticks = [
            (one if number % 2 else two).submit([note(f"{number}a"), note(f"{number}b")], DAY)
            for number in range(60)
        ]
        for tick in ticks:
            tick.result(WAIT_S)
        assert len(reader.entries()) == 120
        one.submit([note("from one")], DAY).result(WAIT_S)
        assert texts([entry for _, entry in reader.entries_after(120)]) == ["from one"]
        two.submit([note("from two")], DAY).result(WAIT_S)
        arrived = reader.entries_after(0)
    # No act of one lies inside an act of the other: each was one transaction.
    acts = [entry.act for _, entry in arrived]
    assert all(a == b for a, b in zip(acts[:120:2], acts[1:120:2], strict=True))
    assert {entry.device for _, entry in arrived} == {"one", "two"}
    for device in ("one", "two"):
        times = [entry.at_us for _, entry in arrived if entry.device == device]
        assert all(a < b for a, b in pairwise(times))


def test_many_threads_may_submit_and_nothing_is_lost_or_torn(made: Path) -> None:
    written: list[list[Entry]] = []
    with Writer(made) as writer:

        def press(name: int) -> None:
            for number in range(25):
                drafts = [note(f"{name}:{number}:{part}") for part in range(3)]
                written.append(writer.submit(drafts, DAY).result(WAIT_S))

        pressing = [threading.Thread(target=press, args=(name,)) for name in range(4)]
        for thread in pressing:
            thread.start()
        for thread in pressing:
            thread.join()
    assert all(len({entry.act for entry in act}) == 1 for act in written)
    with JournalFile.open(made) as journal:
        entries = journal.entries()
    assert len(entries) == 4 * 25 * 3
    assert {entry for act in written for entry in act} == set(entries)


def test_a_clock_set_back_while_the_app_runs_keeps_the_order_of_the_key_presses(made: Path) -> None:
    times = iter([START_US, START_US - 3_600_000_000, START_US - 86_400_000_000, START_US + 9])
    with Writer(made, clock=lambda: next(times)) as writer:
        ticks = [writer.submit([note(str(n)), note(f"{n}+")], DAY) for n in range(4)]
        entries = [entry for tick in ticks for entry in tick.result(WAIT_S)]
    assert all(a.at_us < b.at_us for a, b in pairwise(entries))
    with JournalFile.open(made) as journal:
        assert journal.entries() == entries


@pytest.mark.parametrize(
    ("at", "day"),
    [
        # EU rule, Directive 2000/84/EC: summer time from the last Sunday of March to that of October, 01:00 UTC.
        # The zone of the made-up holding is one hour ahead of UTC in winter, two in summer.
        (datetime(2026, 3, 28, 22, 59, tzinfo=UTC), date(2026, 3, 28)),
        (datetime(2026, 3, 28, 23, 0, tzinfo=UTC), date(2026, 3, 29)),
        (datetime(2026, 3, 29, 21, 59, tzinfo=UTC), date(2026, 3, 29)),
        (datetime(2026, 3, 29, 22, 0, tzinfo=UTC), date(2026, 3, 30)),
        (datetime(2026, 10, 24, 21, 59, tzinfo=UTC), date(2026, 10, 24)),
        (datetime(2026, 10, 24, 22, 0, tzinfo=UTC), date(2026, 10, 25)),
        (datetime(2026, 10, 25, 22, 59, tzinfo=UTC), date(2026, 10, 25)),
        (datetime(2026, 10, 25, 23, 0, tzinfo=UTC), date(2026, 10, 26)),
        # A leap day, and the day after the 28th in a year without one (Gregorian calendar; 2100 has none).
        (datetime(2028, 2, 28, 23, 0, tzinfo=UTC), date(2028, 2, 29)),
        (datetime(2028, 2, 29, 22, 59, tzinfo=UTC), date(2028, 2, 29)),
        (datetime(2028, 2, 29, 23, 0, tzinfo=UTC), date(2028, 3, 1)),
        (datetime(2027, 2, 28, 23, 0, tzinfo=UTC), date(2027, 3, 1)),
        (datetime(2100, 2, 28, 23, 0, tzinfo=UTC), date(2100, 3, 1)),
    ],
)
def test_what_is_written_gets_the_civil_day_where_the_holding_is(made: Path, at: datetime, day: date) -> None:
    holding = replace(TWO_ROWS, zone="Europe/Amsterdam")
    with Writer(made, clock=lambda: int(at.timestamp()) * 1_000_000) as writer:
        (written,) = writer.submit([note("today")], civil_day(holding, at)).result(WAIT_S)
    assert written.day == day
    assert written.at_us == int(at.timestamp()) * 1_000_000
    with JournalFile.open(made) as journal:
        assert journal.entries() == [written]


def test_the_writers_file_is_private(made: Path) -> None:
    with Writer(made) as writer:
        writer.submit([note("x")], DAY).result(WAIT_S)
        assert stat.S_IMODE(made.stat().st_mode) == 0o600
