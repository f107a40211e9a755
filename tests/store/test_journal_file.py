"""The journal keeps what it is given, in order, and writes one act at a time."""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.store.making import DAY, START_US, entry, note, texts
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Draft
from tunneltui.store.journal_file import JournalFile


def test_what_is_appended_is_found_again_after_reopening(path: Path) -> None:
    with JournalFile.open(path) as journal:
        written = journal.append([note("one"), note("two")], DAY, by="a picker")
    with JournalFile.open(path) as journal:
        assert journal.entries() == written
    assert {entry.act for entry in written} == {written[0].act}
    assert [entry.by for entry in written] == ["a picker", "a picker"]


def test_the_file_is_set_as_the_journals_rules_say(path: Path) -> None:
    JournalFile.open(path).close()
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert raw.execute("PRAGMA application_id").fetchone() == (0x544E4C31,)
        assert raw.execute("PRAGMA user_version").fetchone() == (2,)
        strict = raw.execute("SELECT strict FROM pragma_table_list WHERE name = 'entries'").fetchone()
        assert strict == (1,)
        columns = raw.execute("SELECT name FROM pragma_index_info('entries_by_about') ORDER BY seqno").fetchall()
        assert columns == [("about",), ("day",), ("at",), ("id",)]


def test_a_connection_commits_with_the_directory_synced_and_trusts_no_schema(path: Path) -> None:
    with JournalFile.open(path) as journal:
        ask = journal._connection.execute
        assert ask("PRAGMA synchronous").fetchone() == (3,)  # 3 is EXTRA (SQLite documentation, pragma.html)
        assert ask("PRAGMA busy_timeout").fetchone() == (5000,)
        assert ask("PRAGMA trusted_schema").fetchone() == (0,)


def test_files_and_folders_are_private(tmp_path: Path, home: Path) -> None:
    path = tmp_path / "new" / "journal.db"
    with JournalFile.open(path) as journal:
        journal.append([note("x")], DAY)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    for folder, _, files in os.walk(home):
        assert stat.S_IMODE(Path(folder).stat().st_mode) & 0o077 == 0 or Path(folder) == home
        assert all(stat.S_IMODE((Path(folder) / file).stat().st_mode) == 0o600 for file in files)


def test_entries_come_in_the_order_of_day_time_and_id_and_never_of_arrival(path: Path) -> None:
    late = entry("a", day=date(2026, 8, 19), at_us=START_US + 5)
    same_time = [entry("c"), entry("b")]
    with JournalFile.open(path) as journal:
        assert journal.append_entries([*same_time, late]) == 3
        assert [e.id for e in journal.entries()] == ["a", "b", "c"]
        assert [e.id for _, e in journal.entries_after(0)] == ["c", "b", "a"]
        assert [e.id for _, e in journal.entries_after(2)] == ["a"]
        head = journal.head()
    assert (head.count, head.last_seq, head.last_id) == (3, 3, "a")


def test_entries_cannot_be_changed_or_taken_out_even_by_other_programs(path: Path) -> None:
    with JournalFile.open(path) as journal:
        written = journal.append([note("stays")], DAY)
    with closing(sqlite3.connect(path)) as raw:
        with pytest.raises(sqlite3.IntegrityError, match="never change"):
            raw.execute("UPDATE entries SET body = '{}'")
        with pytest.raises(sqlite3.IntegrityError, match="never go"):
            raw.execute("DELETE FROM entries")
    with JournalFile.open(path) as journal:
        assert journal.entries() == written


def test_an_act_with_one_unkeepable_entry_writes_nothing(path: Path) -> None:
    with JournalFile.open(path) as journal:
        with pytest.raises(UserError, match="half a character"):
            journal.append([note("good"), note("good too"), Draft("note", "", '{"text":"\ud800"}')], DAY)
        assert journal.entries() == []
        journal.append([note("later")], DAY)
        assert texts(journal.entries()) == ["later"]


def test_an_import_given_twice_adds_nothing_and_a_changed_value_is_refused(path: Path) -> None:
    rows = [(DAY, note("12.5", id="row-1")), (date(2026, 8, 21), note("13.5", id="row-2"))]
    with JournalFile.open(path) as journal:
        assert len(journal.append_days(rows)) == 2
        assert journal.append_days(rows) == []
        grown = [*rows, (date(2026, 8, 22), note("14.5", id="row-3"))]
        assert [e.id for e in journal.append_days(grown)] == ["row-3"]
        with pytest.raises(UserError, match="another value"):
            journal.append_days([(DAY, note("99", id="row-1")), (DAY, note("new", id="row-4"))])
        assert sorted(journal.known(["row-1", "row-4"])) == ["row-1"]
        assert len(journal.entries()) == 3


def test_a_clock_set_back_still_gives_rising_times_of_this_device(path: Path) -> None:
    times = iter([START_US, START_US - 3_600_000_000, START_US - 7_200_000_000, START_US + 10])
    with JournalFile.open(path, clock=lambda: next(times)) as journal:
        for n in range(3):
            journal.append([note(str(n)), note(f"{n}b")], DAY)
        written = journal.entries()
    assert texts(written) == ["0", "0b", "1", "1b", "2", "2b"]
    assert all(a.at_us < b.at_us for a, b in pairwise(written))


def test_a_clock_set_back_between_two_starts_is_noticed_too(path: Path) -> None:
    with JournalFile.open(path, clock=lambda: START_US) as journal:
        journal.append([note("before")], DAY)
    with JournalFile.open(path, clock=lambda: START_US - 86_400_000_000) as journal:
        journal.append([note("after")], DAY)
        assert texts(journal.entries()) == ["before", "after"]


def _ticks(*moments: datetime) -> Iterator[int]:
    return (int(moment.timestamp() * 1_000_000) for moment in moments)


@pytest.mark.parametrize(
    ("day", "hours"),
    [
        # EU rule, Directive 2000/84/EC: clocks change on the last Sundays of March and October at 01:00 UTC.
        (date(2026, 10, 25), [(1, 30, 0), (2, 30, 0), (2, 30, 1), (3, 30, 0)]),
        (date(2026, 3, 29), [(0, 30, 0), (1, 30, 0), (3, 30, 0), (4, 30, 0)]),
        (date(2028, 2, 29), [(0, 0, 0), (12, 0, 0), (23, 59, 0)]),
    ],
)
def test_clock_changes_and_leap_days_keep_the_order_of_writing(
    path: Path, day: date, hours: list[tuple[int, int, int]]
) -> None:
    zone = ZoneInfo("Europe/Amsterdam")
    moments = [datetime(day.year, day.month, day.day, h, m, fold=f, tzinfo=zone) for h, m, f in hours]
    clock = _ticks(*moments)
    with JournalFile.open(path, clock=lambda: next(clock)) as journal:
        for n in range(len(moments)):
            journal.append([note(str(n))], day)
    with JournalFile.open(path) as journal:
        assert texts(journal.entries()) == [str(n) for n in range(len(moments))]
        assert {e.day for e in journal.entries()} == {day}
        assert [e.at_us for e in journal.entries()] == [int(m.timestamp() * 1_000_000) for m in moments]


def test_two_programs_on_one_file_see_each_others_entries(path: Path) -> None:
    with JournalFile.open(path, device="one") as one, JournalFile.open(path, device="two") as two:
        for n in range(5):
            one.append([note(f"one {n}")], DAY)
            two.append([note(f"two {n}")], DAY)
        assert len(one.entries()) == 10
        assert one.entries() == two.entries()


def test_a_second_reader_works_while_another_is_about_to_write(path: Path) -> None:
    with JournalFile.open(path) as journal:
        journal.append([note("here")], DAY)
        with closing(sqlite3.connect(path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with JournalFile.open(path, read_only=True) as reader:
                assert texts(reader.entries()) == ["here"]


def test_reading_leaves_no_lock_behind(path: Path) -> None:
    with JournalFile.open(path) as journal:
        journal.append([note("here")], DAY)
        journal.entries()
        journal.head()
        journal.known(["nothing"])
        with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as other:
            other.execute("BEGIN EXCLUSIVE")
            other.execute("ROLLBACK")


def test_a_file_replaced_under_an_open_journal_is_not_written(path: Path, tmp_path: Path) -> None:
    JournalFile.open(tmp_path / "other.db").close()
    with JournalFile.open(path) as journal:
        (tmp_path / "other.db").replace(path)
        with pytest.raises(UserError, match="moved or replaced"):
            journal.append([note("lost?")], DAY)
    with JournalFile.open(path) as journal:
        assert journal.entries() == []


def test_two_versions_of_one_id_are_both_kept_and_the_earlier_counts_whichever_came_first(tmp_path: Path) -> None:
    early = entry("same", at_us=START_US, body='{"text":"early"}')
    late = entry("same", at_us=START_US + 9, body='{"text":"late"}')
    for name, order in (("a", [early, late]), ("b", [late, early])):
        with JournalFile.open(tmp_path / name) as journal:
            assert len(journal.add_entries(order[:1]).new) == 1
            second = journal.add_entries(order[1:])
            assert (second.new, second.same) == ((), 0)
            assert [(d.here, d.offered) for d in second.differing] == [(order[0], order[1])]
            assert journal.entries() == [early]
            assert journal.add_entries([early, late]).rows == ()
            assert [e for _, e in journal.entries_after(0)] == order


def test_a_name_with_spaces_and_marks_is_a_name_like_others(tmp_path: Path) -> None:
    path = tmp_path / "west tunnel?#%41 'ü'.db"
    with JournalFile.open(path) as journal:
        journal.append([note("x")], DAY)
    assert path.exists()
    with JournalFile.open(path, read_only=True) as journal:
        assert len(journal.entries()) == 1
