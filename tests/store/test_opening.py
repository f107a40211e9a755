"""A file that is foreign, damaged, cut, newer or older than what was seen is refused and left byte for byte."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from tests.store.making import DAY, filled, note, texts
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.store import connection, journal_file
from tunneltui.store.health import accept_as_found, check_file
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.merge import merge
from tunneltui.store.salvage import salvage

PAGE = 4096


def _refused(path: Path, *, match: str) -> UserError:
    """The file is refused for reading and for writing, and not one byte of it changes."""
    before = path.read_bytes()
    with pytest.raises(UserError, match=match) as told:
        JournalFile.open(path)
    with pytest.raises(UserError, match=match):
        JournalFile.open(path, read_only=True)
    assert path.read_bytes() == before
    assert told.value.hint
    return told.value


def _page_cuts(size: int) -> list[int]:
    return [*range(0, size, PAGE), *range(PAGE // 2, size, 5 * PAGE), 1, 99, 100, 511, size - 1]


def _cut_and_check(path: Path, tmp_path: Path, count: int, cuts: list[int]) -> int:
    """Cuts copies of a journal of ``count`` entries; how many entries all salvages brought."""
    whole = filled(path, count, size=700)
    data = path.read_bytes()
    saved = 0
    for number, cut in enumerate(cuts):
        copy = tmp_path / "cut" / f"{number}.db"
        copy.parent.mkdir(exist_ok=True)
        copy.write_bytes(data[:cut])
        _refused(copy, match="damaged|empty|no journal")
        assert check_file(copy)
        entries = _salvaged(copy)
        assert set(entries) <= set(whole)
        saved += len(entries)
        assert copy.read_bytes() == data[:cut]
    return saved


def _salvaged(copy: Path) -> list[Entry]:
    try:
        salvaged = salvage(copy)
    except UserError:  # no entry is left in it
        return []
    with JournalFile.open(salvaged.into) as journal:
        entries = journal.entries()
    assert len(entries) == salvaged.entries
    return entries


def test_a_file_cut_at_any_page_is_refused_left_alone_and_its_entries_salvaged(path: Path, tmp_path: Path) -> None:
    filled(tmp_path / "size.db", 60, size=700)
    cuts = _page_cuts((tmp_path / "size.db").stat().st_size)
    assert len(cuts) >= 20
    # Half a file holds about half of the entries; summed over even cuts that is half of all. Four of the cuts
    # leave no whole page, and an entry of 700 bytes cut in two is lost.
    assert _cut_and_check(path, tmp_path, 60, cuts) >= 60 * (len(cuts) - 4) // 3


@pytest.mark.long
def test_a_larger_file_cut_at_every_page_is_refused_left_alone_and_salvaged(path: Path, tmp_path: Path) -> None:
    filled(tmp_path / "size.db", 1500, size=700)
    size = (tmp_path / "size.db").stat().st_size
    cuts = list(range(0, size, PAGE))
    assert len(cuts) >= 300
    assert _cut_and_check(path, tmp_path, 1500, cuts) >= 1500 * len(cuts) // 3


def test_nonsense_written_over_any_part_never_ends_in_anything_but_a_sentence(path: Path) -> None:
    filled(path, 60, size=700)
    data = path.read_bytes()
    draw = random.Random(3)
    refused = 0
    for _ in range(150):
        spoiled = bytearray(data)
        length = draw.choice([1, 4, 100, 2000])
        at = draw.randrange(len(spoiled) - length)
        spoiled[at : at + length] = draw.randbytes(length)
        path.write_bytes(spoiled)
        try:
            with JournalFile.open(path, read_only=True) as journal:
                journal.entries()
        except UserError:
            refused += 1
        assert isinstance(check_file(path), list)
        assert path.read_bytes() == spoiled
    assert refused >= 50


@pytest.mark.parametrize(
    ("content", "match"),
    [
        (b"", "empty"),
        (b"day,plant,length\n2026-08-20,1,2.5\n" * 100, "no journal"),
        (b"\0" * 8192, "no journal"),
        (b"SQLite format 3\0" + b"\xff" * 8192, "no journal|damaged"),
        (os.urandom(20_000), "no journal"),
    ],
)
def test_other_files_are_refused(path: Path, content: bytes, match: str) -> None:
    path.write_bytes(content)
    _refused(path, match=match)


def test_another_programs_database_is_refused(path: Path) -> None:
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("CREATE TABLE entries (id TEXT)")
        raw.commit()
    _refused(path, match="no journal of tunneltui")


def test_a_folder_or_a_missing_file_is_named_as_such(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="no file"):
        JournalFile.open(tmp_path)
    with pytest.raises(UserError, match="There is no journal"):
        JournalFile.open(tmp_path / "none.db", create=False)
    with pytest.raises(UserError, match="There is no journal"):
        JournalFile.open(tmp_path / "none.db", read_only=True)
    assert not (tmp_path / "none.db").exists()


def test_a_newer_journal_is_refused(path: Path) -> None:
    filled(path, 3)
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("PRAGMA user_version = 99")
    assert "newer version" in _refused(path, match="newer version of tunneltui").hint


@pytest.mark.parametrize(
    "statement",
    [
        "CREATE TRIGGER meddle AFTER INSERT ON entries BEGIN INSERT INTO facts VALUES (new.id, new.body); END",
        "DROP TRIGGER entries_stay",
        "CREATE VIEW other AS SELECT * FROM entries",
        "DROP INDEX entries_by_about",
    ],
)
def test_a_file_whose_tables_were_meddled_with_is_refused(path: Path, statement: str) -> None:
    filled(path, 3)
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(statement)
    _refused(path, match="something else changed it")


def test_a_journal_put_into_another_mode_is_brought_back_to_one_file(path: Path) -> None:
    filled(path, 3)
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
    with JournalFile.open(path) as journal:
        journal.append([note("x")], DAY)
        assert sorted(file.name for file in path.parent.glob("journal.db*")) == ["journal.db"]
        assert len(journal.entries()) == 4


def test_an_older_copy_put_back_is_noticed_and_says_what_is_missing_and_how_to_go_on(
    path: Path, tmp_path: Path
) -> None:
    filled(path, 6)
    shutil.copy(path, tmp_path / "old.db")
    with JournalFile.open(path) as journal:
        journal.append([note("newer"), note("newer too")], DAY)
        newest = journal.entries()
    shutil.copy(path, tmp_path / "newest.db")
    shutil.copy(tmp_path / "old.db", path)

    trouble = _refused(
        path, match="older than what this machine last saw: it holds 6 entries, it held 8; at least 2"
    )
    assert "journal merge" in trouble.hint
    assert "--accept" in trouble.hint

    merge(path, tmp_path / "newest.db")
    with JournalFile.open(path) as journal:
        assert journal.entries() == newest


def test_an_older_copy_can_be_accepted(path: Path, tmp_path: Path) -> None:
    filled(path, 6)
    shutil.copy(path, tmp_path / "old.db")
    with JournalFile.open(path) as journal:
        journal.append([note("gone for good")], DAY)
    shutil.copy(tmp_path / "old.db", path)
    assert "older" in check_file(path)[0]
    accept_as_found(path)
    with JournalFile.open(path) as journal:
        journal.append([note("on we go")], DAY)
    assert check_file(path) == []


def test_an_older_copy_to_which_as_many_were_added_elsewhere_is_noticed_too(path: Path, tmp_path: Path) -> None:
    filled(path, 6)
    old = tmp_path / "old.db"
    shutil.copy(path, old)
    with JournalFile.open(path) as journal:
        journal.append([note("here")], DAY)
    with JournalFile.open(old, state_dir=tmp_path / "other machine", device="other") as journal:
        journal.append([note("there")], DAY)
        journal.append([note("there")], DAY)
    shutil.copy(old, path)
    _refused(path, match="older than what this machine last saw")


def test_merging_something_else_into_an_older_copy_does_not_hide_that_it_is_older(
    path: Path, tmp_path: Path
) -> None:
    filled(path, 6)
    old = tmp_path / "old.db"
    shutil.copy(path, old)
    with JournalFile.open(path) as journal:
        journal.append([note("here")], DAY)
    shutil.copy(old, path)
    other = tmp_path / "other.db"
    with JournalFile.open(other) as journal:
        journal.append([note("elsewhere")] * 5, DAY)
    merge(path, other)
    with pytest.raises(UserError, match="older"):
        JournalFile.open(path)


def test_a_journal_that_is_gone_is_not_silently_begun_anew(path: Path) -> None:
    filled(path, 6)
    path.unlink()
    with pytest.raises(UserError, match="is gone; when this machine last saw it, it held 6 entries"):
        JournalFile.open(path)
    assert not path.exists()
    accept_as_found(path)
    JournalFile.open(path).close()


def test_an_unreadable_memory_of_what_was_seen_stops_nothing(path: Path, home: Path) -> None:
    filled(path, 3)
    for file in (home / "state" / "seen").iterdir():
        file.write_bytes(b"\xff{nonsense")
    with JournalFile.open(path) as journal:
        assert len(journal.entries()) == 3


def test_a_journal_locked_for_longer_than_the_wait_is_a_sentence(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert connection.BUSY_SECONDS == 5.0
    monkeypatch.setattr(connection, "BUSY_SECONDS", 0.05)
    filled(path, 3)
    with JournalFile.open(path) as journal, closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(UserError, match="Another program has been writing"):
            journal.append([note("waits")], DAY)
        other.execute("ROLLBACK")
        journal.append([note("goes on")], DAY)
        assert texts(journal.entries())[-1] == "goes on"


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that another user may enter, which pytest's own are not."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


@contextmanager
def _as_an_ordinary_user() -> Iterator[None]:
    """Root may write everywhere; rights count only for others."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65_534)
    try:
        yield
    finally:
        os.seteuid(0)


def test_a_read_only_file_can_be_read_and_says_so_when_written(open_folder: Path) -> None:
    path = open_folder / "journal.db"
    filled(path, 3)
    path.chmod(0o444)
    before = path.read_bytes()
    with _as_an_ordinary_user(), JournalFile.open(path) as journal:
        assert len(journal.entries()) == 3
        with pytest.raises(UserError, match="may be read but not written"):
            journal.append([note("no")], DAY)
    assert path.read_bytes() == before


def test_a_read_only_folder_can_be_read_and_says_so_when_written(open_folder: Path) -> None:
    path = open_folder / "journal.db"
    filled(path, 3)
    path.chmod(0o666)
    open_folder.chmod(0o555)
    before = path.read_bytes()
    with _as_an_ordinary_user(), JournalFile.open(path) as journal:
        assert len(journal.entries()) == 3
        with pytest.raises(UserError, match=r"cannot be opened for writing|may be read but not written"):
            journal.append([note("no")], DAY)
        with pytest.raises(UserError):
            JournalFile.open(open_folder / "new.db")
    assert path.read_bytes() == before
    assert [file.name for file in open_folder.iterdir()] == ["journal.db"]


def test_a_disk_that_may_only_be_read(tmp_path: Path) -> None:
    folder = tmp_path / "stick"
    folder.mkdir()
    if os.geteuid() != 0 or sys.platform != "linux":
        pytest.skip("mounting a disk needs root")
    if subprocess.run(["mount", "-t", "tmpfs", "tmpfs", folder], check=False).returncode:
        pytest.skip("no disk can be mounted here")
    try:
        filled(folder / "journal.db", 3)
        subprocess.run(["mount", "-o", "remount,ro", folder], check=True)
        with JournalFile.open(folder / "journal.db") as journal:
            assert len(journal.entries()) == 3
            with pytest.raises(UserError, match=r"may be read but not written|cannot be opened for writing"):
                journal.append([note("no")], DAY)
        with pytest.raises(UserError, match="Read-only"):
            JournalFile.open(folder / "new.db")
    finally:
        subprocess.run(["umount", folder], check=True)


def test_the_pen_reads_no_page_that_this_process_read_before(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first tick of a session waited for it, 0.7 s with 20,000 leaders; what is written later is looked at."""
    filled(path, 300, size=700)
    JournalFile.open(path, read_only=True).close()
    asked: list[str] = []

    def listened(path: Path, *, read_only: bool = False) -> sqlite3.Connection:
        opened = connection.connect(path, read_only=read_only)
        opened.set_trace_callback(asked.append)
        return opened

    monkeypatch.setattr(journal_file, "connect", listened)
    JournalFile.open(path).close()
    assert any("page_count" in statement for statement in asked)
    assert not any("quick_check" in statement for statement in asked)
    with JournalFile.open(path) as journal:
        journal.append([note("one more")], DAY)
    JournalFile.open(path).close()
    assert any("quick_check" in statement for statement in asked)
    spoilt = bytearray(path.read_bytes())
    spoilt[5 * PAGE : 6 * PAGE] = bytes(PAGE)
    path.write_bytes(spoilt)
    _refused(path, match="damaged")
