"""A salvage saves every entry that can still be read, counts what it could not, and leaves the damaged file."""

from __future__ import annotations

import os
import random
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.store.making import entry, filled
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.salvage import SalvageResult, salvage

PAGE = 4096


def _saved(path: Path) -> tuple[SalvageResult, list[Entry]]:
    """Salvages; the damaged file keeps every byte, and what is saved is a sound journal of this user only."""
    before = path.read_bytes()
    done = salvage(path)
    assert path.read_bytes() == before
    assert stat.S_IMODE(done.into.stat().st_mode) == 0o600
    with JournalFile.open(done.into) as journal:
        entries = journal.entries()
    with closing(sqlite3.connect(done.into)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert len(entries) == done.entries
    assert sorted(file.name for file in path.parent.iterdir() if file.is_file()) == sorted(
        [path.name, done.into.name]
    )
    return done, entries


def _spoil(path: Path, at: int, data: bytes) -> None:
    whole = bytearray(path.read_bytes())
    whole[at : at + len(data)] = data
    path.write_bytes(whole)


def test_a_sound_journal_is_saved_whole(path: Path) -> None:
    entries = filled(path, 200, size=300)
    done, saved = _saved(path)
    assert saved == entries
    assert (done.unreadable, done.missing) == (0, 0)


def test_what_is_saved_says_every_byte_and_comes_in_order_of_arrival(path: Path) -> None:
    written = [
        entry("late")._replace(body='{"of":"tomorrow", "n":1.00}', kind="of_tomorrow", v=9, at_us=0),
        entry("long", body="x" * 50_000),
        entry("odd", body="\u202e\x1b[31m\x00é"),
        entry("empty")._replace(body="", by="", device="", about=""),
    ]
    with JournalFile.open(path) as journal:
        journal.append_entries(written)
    salvage(path)
    with JournalFile.open(path.with_name("journal.salvaged.db")) as journal:
        assert [one for _, one in journal.entries_after(0)] == written


def test_a_lost_header_loses_no_entry(path: Path) -> None:
    """The first page holds the tables' names; the entries are on others."""
    entries = filled(path, 200, size=300)
    _spoil(path, 0, random.Random(1).randbytes(100))
    with pytest.raises(UserError):
        JournalFile.open(path)
    _, saved = _saved(path)
    assert saved == entries


def test_each_lost_page_loses_no_more_than_what_was_on_it(path: Path) -> None:
    entries = filled(path, 120, size=300)
    whole = path.read_bytes()
    most_on_a_page = PAGE // 300
    lost_somewhere = 0
    for start in range(PAGE, len(whole), PAGE):
        path.write_bytes(whole)
        _spoil(path, start, b"\xff" * PAGE)
        done, saved = _saved(path)
        assert set(saved) <= set(entries)
        lost = len(entries) - len(saved)
        assert 0 <= lost <= most_on_a_page
        # The last page's entries are missed too: this machine remembers how far the journal reached.
        assert done.missing == lost
        lost_somewhere += lost
        done.into.unlink()
        # The state remembers the salvaged file; a new one in its place is wanted here.
        for seen in (Path(os.environ["TUNNELTUI_HOME"]) / "state" / "seen").iterdir():
            if f'"{done.into}"' in seen.read_text():
                seen.unlink()
    # Every entry is on one page of its own kind, so over all pages each was lost once.
    assert lost_somewhere == len(entries)


def test_a_row_that_is_there_but_cannot_be_read_is_counted(path: Path) -> None:
    """Its long body goes on over pages of their own, one of which is gone."""
    with JournalFile.open(path) as journal:
        journal.append_entries([entry("short"), entry("long", body="y" * 40_000), entry("after")])
    at = path.read_bytes().index(b"y" * 4092)  # a page filled, save for the number of the next
    _spoil(path, at // PAGE * PAGE, b"\xff" * 4)
    done, saved = _saved(path)
    assert [one.id for one in saved] == ["after", "short"]
    assert (done.unreadable, done.missing) == (1, 1)


def test_a_row_of_another_program_that_would_not_count_stays_behind_and_is_counted(path: Path) -> None:
    """One time that cannot be would have stopped the whole salvage."""
    entries = filled(path, 3)
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(
            "INSERT INTO entries (version, id, act, device, day, at, by, about, kind, v, body)"
            " VALUES (0, 'bad', 'a', 'd', '2026-08-20', -5, '', '', 'note', 1, '{}')"
        )
        raw.commit()
    done, saved = _saved(path)
    assert saved == entries
    assert done.unreadable == 1


_HALF_WRITTEN = """
import os, sys
from pathlib import Path
from tunneltui.store.connection import connect
connection = connect(Path(sys.argv[1]))
connection.execute("PRAGMA cache_size = 1")
connection.execute("BEGIN IMMEDIATE")
for n in range(400):
    row = (f"half{n}", "a", "d", "2026-08-20", n, "", "", "note", 1, "z" * 300)
    connection.execute(
        "INSERT INTO entries (version, id, act, device, day, at, by, about, kind, v, body)"
        " VALUES (0, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", row)
os._exit(9)
"""


def test_a_write_that_was_cut_off_is_undone_in_what_is_saved(path: Path, tmp_path: Path) -> None:
    """Pages of an act that was never finished are already in the file; its rollback journal lies beside."""
    folder = tmp_path / "cut"
    folder.mkdir()
    path = folder / "journal.db"
    entries = filled(path, 60, size=300)
    subprocess.run([sys.executable, "-c", _HALF_WRITTEN, str(path)], check=False)
    left = folder / "journal.db-journal"
    assert left.stat().st_size > 0
    assert b"half1" in path.read_bytes()
    before = (path.read_bytes(), left.read_bytes())
    done = salvage(path)
    assert (path.read_bytes(), left.read_bytes()) == before
    with JournalFile.open(done.into) as journal:
        assert journal.entries() == entries


def test_nothing_readable_and_a_name_that_is_taken_are_refused(path: Path, tmp_path: Path) -> None:
    filled(path, 3)
    (tmp_path / "taken.db").write_text("mine")
    with pytest.raises(UserError, match="already"):
        salvage(path, tmp_path / "taken.db")
    assert (tmp_path / "taken.db").read_text() == "mine"
    for content in (b"", b"no journal at all", os.urandom(30_000)):
        bad = tmp_path / "bad.db"
        bad.write_bytes(content)
        with pytest.raises(UserError, match="No entry could be read"):
            salvage(bad)
        assert bad.read_bytes() == content
        assert not (tmp_path / "bad.salvaged.db").exists()
    with pytest.raises(UserError, match="no file"):
        salvage(tmp_path / "none.db")


def test_any_nonsense_ends_in_a_salvage_or_a_sentence(path: Path) -> None:
    filled(path, 60, size=300)
    data = path.read_bytes()
    draw = random.Random(11)
    saved_any = 0
    for number in range(60):
        spoiled = bytearray(data[: draw.randrange(len(data))] if number % 3 == 0 else data)
        for _ in range(draw.randrange(1, 30)):
            at = draw.randrange(max(1, len(spoiled)))
            spoiled[at : at + 4] = draw.randbytes(4)
        path.write_bytes(spoiled)
        into = path.with_name(f"saved{number}.db")
        try:
            done = salvage(path, into)
        except UserError:
            continue
        saved_any += 1
        assert path.read_bytes() == spoiled
        with JournalFile.open(into) as journal:
            assert len(journal.entries()) == done.entries
    assert saved_any >= 40
