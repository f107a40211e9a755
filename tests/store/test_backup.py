"""Backups come by themselves, are whole, are kept as promised, and come back without losing what was there."""

from __future__ import annotations

import sqlite3
import stat
from contextlib import closing
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest

from tests.store.making import DAY, filled, note, texts
from tunneltui.holding.user_error import UserError
from tunneltui.store import backup, json_lines, migrations, schema
from tunneltui.store.backup import Backup, back_up, backups, first_of_day, no_longer_kept
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.merge import merge
from tunneltui.store.migrations import Migration
from tunneltui.store.restore import restore


def _at(day: date, hour: int = 6) -> int:
    return int(datetime(day.year, day.month, day.day, hour).timestamp()) * 1_000_000


def _colours(connection: sqlite3.Connection) -> None:
    connection.execute("CREATE TABLE colours (name TEXT) STRICT")


OURS = migrations.MIGRATIONS
LATEST = migrations.latest()
COLOURS = Migration(LATEST + 1, "colours", _colours)


def test_a_backup_is_a_whole_private_journal(path: Path) -> None:
    entries = filled(path, 20)
    made = back_up(path, "asked")
    assert stat.S_IMODE(made.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(made.path.parent.stat().st_mode) == 0o700
    with JournalFile.open(made.path, read_only=True) as journal:
        assert journal.entries() == entries
    assert [file.name for file in made.path.parent.iterdir()] == [made.path.name]


def test_a_backup_holds_what_was_committed_while_another_program_keeps_writing(path: Path) -> None:
    with JournalFile.open(path) as journal:
        journal.append([note("before")], DAY)
        made = back_up(path, "asked")
        journal.append([note("after")], DAY)
        assert texts(journal.entries()) == ["before", "after"]
    with JournalFile.open(made.path, read_only=True) as copy:
        assert texts(copy.entries()) == ["before"]


def test_the_first_start_of_each_day_makes_one(path: Path) -> None:
    filled(path, 3)
    for hour in (6, 7, 22):
        assert first_of_day(path, clock=partial(_at, DAY, hour)) == ""
    first_of_day(path, clock=lambda: _at(DAY + timedelta(days=1)))
    assert [(made.day, made.why) for made in backups(path)] == [
        (DAY + timedelta(days=1), "start"),
        (DAY, "start"),
    ]


def test_a_backup_that_cannot_be_made_is_told_and_the_day_goes_on(path: Path, home: Path) -> None:
    filled(path, 3)
    (home / "data").write_text("a file where the folder should be")
    assert "could not be made" in first_of_day(path)


def test_kept_are_fourteen_days_and_each_months_last(path: Path) -> None:
    """The rule as written in the plan: the last 14 days and each month's last, over a year of daily backups."""
    year = [date(2026, 1, 1) + timedelta(days=n) for n in range(365)]
    kept: list[Backup] = []
    for day in year:
        made = Backup(Path(f"{day}"), _at(day), "start")
        kept = [made, *kept]
        gone = no_longer_kept(kept)
        kept = [one for one in kept if one not in gone]
    months_last = {day for day in year if (day + timedelta(days=1)).day == 1}
    assert {one.day for one in kept} == months_last | set(year[-14:])


def test_a_long_absence_takes_no_backup_away(path: Path) -> None:
    days = [date(2026, 8, n) for n in range(1, 11)] + [date(2027, 3, 1)]
    newest_first = [Backup(Path(f"{day}"), _at(day), "start") for day in reversed(days)]
    assert no_longer_kept(newest_first) == []


def test_old_backups_go_and_other_files_in_the_folder_stay(path: Path) -> None:
    filled(path, 3)
    for n in range(40):
        back_up(path, "start", clock=partial(_at, date(2026, 7, 1) + timedelta(days=n)))
    folder = backup.folder_of(path)
    (folder / "my notes.txt").write_text("mine")
    back_up(path, "start", clock=lambda: _at(date(2026, 8, 20)))
    assert (folder / "my notes.txt").exists()
    last_fourteen = [date(2026, 8, 20), *(date(2026, 8, 9) - timedelta(days=n) for n in range(13))]
    assert last_fourteen[-1] == date(2026, 7, 28)  # so that July's last is among them
    assert [made.day for made in backups(path)] == last_fourteen


def test_backups_are_made_before_import_merge_and_migration(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(path, 3)
    other = tmp_path / "other.db"
    with JournalFile.open(other, device="other") as journal:
        journal.append([note("theirs")], DAY)
        lines = "\n".join(json_lines.lines(journal.entries()))
    merge(path, other, dry_run=True)
    assert backups(path) == []
    merge(path, other)
    merge(path, other)  # brings nothing: needs no backup
    (tmp_path / "more.jsonl").write_text(lines.replace("theirs", "more").replace('"id":"', '"id":"x'))
    json_lines.import_lines(tmp_path / "more.jsonl", path)
    monkeypatch.setattr(
        migrations,
        "MIGRATIONS",
        (*OURS, COLOURS),
    )
    JournalFile.open(path).close()
    counts = []
    for made in reversed(backups(path)):
        with closing(sqlite3.connect(made.path)) as raw:
            version = raw.execute("PRAGMA user_version").fetchone()[0]
            counts.append((made.why, raw.execute("SELECT count(*) FROM entries").fetchone()[0], version))
    assert counts == [("merge", 3, LATEST), ("import", 4, LATEST), ("migration", 5, LATEST)]


def test_restore_takes_the_newest_sound_backup_and_keeps_what_was_there(path: Path) -> None:
    entries = filled(path, 9)
    good = back_up(path, "start", clock=lambda: _at(DAY))
    with JournalFile.open(path) as journal:
        journal.append([note("since")], DAY)
    bad = back_up(path, "start", clock=lambda: _at(DAY + timedelta(days=1)))
    bad.path.write_bytes(bad.path.read_bytes()[:5000])
    spoiled = b"spoiled" * 1000
    path.write_bytes(spoiled)

    done = restore(path)

    assert (done.source, done.entries, len(done.passed_over)) == (good.path, 9, 1)
    with JournalFile.open(path) as journal:
        assert journal.entries() == entries
    assert done.kept is not None
    assert done.kept.read_bytes() == spoiled


def test_what_a_restore_set_aside_can_be_merged_back(path: Path) -> None:
    filled(path, 3)
    back_up(path, "start")
    with JournalFile.open(path) as journal:
        journal.append([note("since")], DAY)
        whole = journal.entries()
    done = restore(path)
    assert done.kept is not None
    assert merge(path, done.kept).new == 1
    with JournalFile.open(path) as journal:
        assert journal.entries() == whole


def test_restore_where_the_journal_is_gone(path: Path) -> None:
    entries = filled(path, 3)
    back_up(path, "start")
    path.unlink()
    assert restore(path).kept is None
    with JournalFile.open(path) as journal:
        assert journal.entries() == entries


def test_restore_of_a_named_copy_that_is_no_journal_changes_nothing(path: Path, tmp_path: Path) -> None:
    filled(path, 3)
    before = path.read_bytes()
    (tmp_path / "x.db").write_text("no journal")
    for source in (tmp_path / "x.db", tmp_path / "none.db"):
        with pytest.raises(UserError):
            restore(path, source)
    with pytest.raises(UserError, match="no sound backup"):
        restore(path)
    assert path.read_bytes() == before


def test_a_program_that_had_the_journal_open_is_stopped_after_a_restore(path: Path) -> None:
    """It would go on writing into the file that was set aside."""
    filled(path, 3)
    back_up(path, "start")
    with JournalFile.open(path) as journal:
        restore(path)
        with pytest.raises(UserError, match="moved or replaced"):
            journal.append([note("into the void")], DAY)


def test_the_rollback_journal_of_a_damaged_file_is_not_played_into_the_restored_one(path: Path) -> None:
    entries = filled(path, 30)
    back_up(path, "start")
    stale = Path(f"{path}-journal")
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        raw.execute("PRAGMA cache_size = 1")
        raw.execute("BEGIN IMMEDIATE")
        raw.execute("CREATE TABLE spilled (a)")
        raw.executemany("INSERT INTO spilled VALUES (?)", (("x" * 500,) for _ in range(200)))
        half_written = stale.read_bytes()
        raw.execute("ROLLBACK")
    path.write_bytes(b"spoiled" * 2000)
    stale.write_bytes(half_written)
    restore(path)
    assert not stale.exists()
    with JournalFile.open(path) as journal:
        assert journal.entries() == entries


def test_a_migration_is_recorded_and_all_or_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    entries = filled(path, 3)

    def fails(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE TABLE half (name TEXT) STRICT")
        connection.execute("INSERT INTO nowhere VALUES (1)")

    monkeypatch.setattr(migrations, "MIGRATIONS", (*OURS, COLOURS, Migration(LATEST + 2, "fails", fails)))
    with pytest.raises(UserError):
        JournalFile.open(path)
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA user_version").fetchone() == (LATEST + 1,)
        assert raw.execute("SELECT version, name FROM migrations").fetchall()[len(OURS) :] == [COLOURS[:2]]
        assert raw.execute("SELECT count(*) FROM sqlite_schema WHERE name = 'half'").fetchone() == (0,)

    monkeypatch.setattr(migrations, "MIGRATIONS", (*OURS, COLOURS, Migration(LATEST + 2, "none", lambda _: None)))
    with JournalFile.open(path) as journal:
        assert journal.entries() == entries
        journal.append([note("after")], DAY)
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("SELECT version, name FROM migrations").fetchall()[len(OURS) :] == [
            COLOURS[:2],
            (LATEST + 2, "none"),
        ]
    assert [made.why for made in backups(path)] == ["migration", "migration"]


def test_a_new_journal_is_made_up_to_date(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrations, "MIGRATIONS", (*OURS, COLOURS))
    JournalFile.open(path).close()
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA user_version").fetchone() == (LATEST + 1,)
    assert backups(path) == []
    assert schema.FIRST_VERSION == 1
