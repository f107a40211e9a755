"""An older journal is brought up to date whole or not at all, and can be read until then."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.store.making import DAY, filled, note, texts
from tunneltui.holding.user_error import UserError
from tunneltui.store import migrations
from tunneltui.store.connection import connect
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.merge import merge
from tunneltui.store.migrations import Migration

OURS = migrations.MIGRATIONS
LATEST = migrations.latest()


def _colours(connection: sqlite3.Connection) -> None:
    connection.execute("CREATE TABLE colours (name TEXT) STRICT")


def _half(connection: sqlite3.Connection) -> None:
    _colours(connection)
    connection.execute("INSERT INTO colours VALUES ('red')")
    raise sqlite3.OperationalError("made to fail half way")


def _steps(monkeypatch: pytest.MonkeyPatch, *steps: Migration) -> None:
    monkeypatch.setattr(migrations, "MIGRATIONS", (*OURS, *steps))


def _version(path: Path) -> int:
    with closing(sqlite3.connect(path)) as raw:
        return int(raw.execute("PRAGMA user_version").fetchone()[0])


def test_a_step_failing_half_way_leaves_the_file_as_it_was_byte_for_byte(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    entries = filled(path, 5)
    before = path.read_bytes()
    _steps(monkeypatch, Migration(LATEST + 1, "fails", _half))
    for _ in range(2):
        with pytest.raises(UserError):
            JournalFile.open(path)
        assert path.read_bytes() == before
    _steps(monkeypatch)
    with JournalFile.open(path) as journal:
        assert journal.entries() == entries


def test_a_step_that_ran_is_recorded_and_every_entry_is_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    entries = filled(path, 5)
    _steps(monkeypatch, Migration(LATEST + 1, "colours", _colours))
    with JournalFile.open(path, clock=lambda: 1) as journal:
        assert journal.entries() == entries
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("SELECT version, name FROM migrations").fetchall()[-1] == (LATEST + 1, "colours")
        (at_us,) = raw.execute("SELECT max(at) FROM migrations").fetchone()
    assert at_us > 1_600_000_000_000_000


def test_two_programs_that_both_find_an_older_file_run_each_step_once(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(path, 5)
    _steps(monkeypatch, Migration(LATEST + 1, "colours", _colours))
    with closing(connect(path)) as one, closing(connect(path)) as other:
        assert (migrations.version_of(one), migrations.version_of(other)) == (LATEST, LATEST)
        assert migrations.migrate(one) == ["colours"]
        # The other looked before; it looks again under the write lock.
        assert migrations.migrate(other) == []


def test_an_older_file_is_read_as_it_is_and_brought_up_to_date_by_the_first_that_writes(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    entries = filled(path, 5)
    before = path.read_bytes()
    _steps(monkeypatch, Migration(LATEST + 1, "colours", _colours))
    with JournalFile.open(path, read_only=True) as journal:
        assert journal.entries() == entries
    assert path.read_bytes() == before
    with JournalFile.open(path) as journal:
        journal.append([note("after")], DAY)
        assert texts(journal.entries())[-1] == "after"
    assert _version(path) == LATEST + 1


def test_the_other_laptops_older_file_is_merged_without_being_touched(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other.db"
    entries = filled(other, 5)
    before = other.read_bytes()
    _steps(monkeypatch, Migration(LATEST + 1, "colours", _colours))
    JournalFile.open(path).close()
    assert merge(path, other).new == 5
    assert other.read_bytes() == before
    with JournalFile.open(path) as journal:
        assert journal.entries() == entries


def test_a_file_of_a_newer_version_is_refused_by_every_way_in_byte_for_byte(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours = tmp_path / "ours.db"
    filled(ours, 3)
    ours_before = ours.read_bytes()
    _steps(monkeypatch, Migration(LATEST + 1, "colours", _colours))
    filled(path, 5)
    _steps(monkeypatch)
    before = path.read_bytes()
    for read_only in (True, False):
        with pytest.raises(UserError, match="newer version"):
            JournalFile.open(path, read_only=read_only)
    with pytest.raises(UserError, match="newer version"):
        merge(ours, path)
    with pytest.raises(UserError, match="newer version"):
        merge(path, ours)
    assert (path.read_bytes(), ours.read_bytes()) == (before, ours_before)
