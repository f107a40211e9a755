"""Text and files made to harm: what is kept comes back byte for byte, what is refused is refused in a sentence."""

from __future__ import annotations

import json
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.store.any_entries import any_entries
from tests.store.making import DAY, START_US, entry, filled, note
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.valid import FIRST_DAY, LAST_DAY
from tunneltui.store.health import check_file
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.json_lines import copy
from tunneltui.store.pages import rows
from tunneltui.store.salvage import salvage

HOSTILE = [
    "[bold red]not markup[/] [/nothing] [@click=app.quit()]quit[/]",
    "\x1b[2J\x1b]0;title\x07\x00\x08\r\n\x7f",
    "\u202egnirts desrever \u2066\u2069\u200f",
    "x" * 10_000,
    "'; DROP TABLE entries; --",
    "e\u0301" * 500 + "\U0001f345" * 500 + "\ufeff\ufffe\u2028\u2029",
    "../../../etc/passwd",
]


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(any_entries(12))
def test_any_entries_come_back_as_they_went_in_by_file_copy_and_salvage(entries: list[Entry]) -> None:
    wanted = sorted(entries, key=lambda one: one.order)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.db"
        with JournalFile.open(path, state_dir=Path(folder)) as journal:
            assert journal.append_entries(entries) == len(entries)
            assert journal.entries() == wanted
        copy(path, Path(folder) / "copy.db", state_dir=Path(folder))
        with JournalFile.open(Path(folder) / "copy.db", state_dir=Path(folder)) as journal:
            assert [one for _, one in journal.entries_after(0)] == entries
        if entries:
            saved = salvage(path, state_dir=Path(folder))
            assert (saved.entries, saved.unreadable, saved.missing) == (len(entries), 0, 0)
            with JournalFile.open(saved.into, state_dir=Path(folder)) as journal:
                assert journal.entries() == wanted


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_names_and_notes_come_back_byte_for_byte(path: Path, hostile: str) -> None:
    with JournalFile.open(path) as journal:
        journal.append([note(hostile, about=hostile)], DAY, by=hostile)
    with JournalFile.open(path) as journal:
        (found,) = journal.entries()
    assert json.loads(found.body) == {"text": hostile}
    assert (found.about, found.by) == (hostile, hostile)


@pytest.mark.parametrize("hostile", HOSTILE)
def test_no_sentence_of_the_check_carries_control_or_direction_marks(path: Path, hostile: str) -> None:
    with JournalFile.open(path) as journal:
        journal.append(
            [Draft("clipped", hostile, hostile), Draft("holding_set", hostile, hostile)], DAY, by=hostile
        )
        journal.append_entries([entry(hostile)._replace(about=hostile, kind="crossed_out", body=hostile)])
    faults = check_file(path)
    assert len(faults) >= 3
    for sentence in faults:
        assert all(mark.isprintable() or mark == "\n" for mark in sentence), ascii(sentence)


def test_numbers_beyond_the_file_and_half_characters_are_refused_whole(path: Path) -> None:
    with JournalFile.open(path) as journal:
        for bad in (
            entry("a")._replace(at_us=1 << 63),
            entry("a")._replace(v=-(1 << 63) - 1),
            entry("a")._replace(body="\udc80"),
            entry("a")._replace(id=""),
            entry("a")._replace(kind=""),
            entry("a")._replace(act=""),
        ):
            with pytest.raises(UserError):
                journal.append_entries([entry("good"), bad])
        assert journal.entries() == []


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=9000))
def test_any_bytes_are_pages_without_entries_or_with_some(data: bytes) -> None:
    for row in rows(data):
        assert row is not None


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_any_spoiling_of_a_file_leaves_salvage_with_true_entries_or_a_sentence(data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.db"
        with JournalFile.open(path, state_dir=Path(folder)) as journal:
            journal.append([note(f"{n}".ljust(3000 if n % 7 == 0 else 60, "x")) for n in range(40)], DAY)
            whole = journal.entries()
        content = bytearray(path.read_bytes())
        for _ in range(data.draw(st.integers(1, 4))):
            at = data.draw(st.integers(0, len(content) // 512 - 1)) * 512
            content[at : at + 512] = data.draw(st.sampled_from([bytes(512), b"\xff" * 512, bytes(range(256)) * 2]))
        path.write_bytes(content)
        try:
            saved = salvage(path, state_dir=Path(folder))
        except UserError:
            return
        with JournalFile.open(saved.into, state_dir=Path(folder)) as journal:
            found = journal.entries()
        # A body that was spoiled with readable characters cannot be told from a true one: SQLite keeps no sums.
        true = set(whole)
        assert sum(one not in true for one in found) <= 8
        assert saved.entries + saved.missing >= len(whole)


def test_a_day_beyond_all_calendars_in_a_meddled_file_is_a_sentence_and_salvage_leaves_it_out(path: Path) -> None:
    filled(path, 3)
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(
            "INSERT INTO entries (id, version, act, device, day, at, by, about, kind, v, body)"
            " VALUES ('x', 0, 'a', 'd', 'someday', 1, '', '', 'note', 1, '{}')"
        )
        raw.commit()
    with JournalFile.open(path) as journal:
        assert len(journal.entries()) == 3
    assert "Set aside: note of someday, act a, by d: its day cannot be read." in check_file(path)
    saved = salvage(path)
    assert (saved.entries, saved.unreadable, saved.missing) == (3, 1, 1)


def test_text_that_is_no_utf8_in_a_meddled_file_is_a_sentence(path: Path) -> None:
    filled(path, 3)
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(
            "INSERT INTO entries (id, version, act, device, day, at, by, about, kind, v, body)"
            " VALUES ('x', 0, 'a', 'd', '2026-08-20', 1, '', '', 'note', 1, CAST(x'ff80' AS TEXT))"
        )
        raw.commit()
    with JournalFile.open(path) as journal, pytest.raises(UserError, match="damaged"):
        journal.entries()
    assert check_file(path)
    assert salvage(path).entries == 3


def test_days_at_the_ends_of_the_calendar_keep_their_order(path: Path) -> None:
    days = [LAST_DAY, FIRST_DAY, DAY]
    with JournalFile.open(path) as journal:
        journal.append_entries([entry(f"e{n}", day=day, at_us=START_US) for n, day in enumerate(days)])
        assert [one.day for one in journal.entries()] == sorted(days)
