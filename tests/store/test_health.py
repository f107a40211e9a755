"""``journal check`` says in plain sentences what is wrong, and touches nothing."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from tests.season.entries import TWO_ROWS, planted
from tests.store.making import DAY, START_US, entry, filled, note
from tunneltui.demo.make import make_demo
from tunneltui.holding.model import TwineKind
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import to_json
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_holding_up import Unclipped
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.store.backup import back_up
from tunneltui.store.health import check_file
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

SOUND = replace(TWO_ROWS, twines=(TwineKind("jute"),))
"""A holding without a fault."""


def _one(path: Path, *says: str) -> None:
    """There is one fault, and its sentence says all of that."""
    before = path.read_bytes()
    (fault,) = check_file(path)
    assert [part for part in says if part not in fault] == []
    assert path.read_bytes() == before


def test_a_sound_journal_has_no_fault(path: Path, tmp_path: Path) -> None:
    filled(path, 30)
    assert check_file(path) == []
    make_demo(tmp_path / "demo.db")
    assert check_file(tmp_path / "demo.db") == []


def test_a_file_that_is_not_there(path: Path) -> None:
    assert "There is no journal" in check_file(path)[0]
    assert not path.exists()


def test_a_damaged_file_says_where_the_newest_backup_is(path: Path) -> None:
    filled(path, 60, size=700)
    assert check_file(path) == []
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    first, *_, last = check_file(path)
    assert "damaged" in first
    assert "journal salvage" in first
    assert last == "There is no backup of this journal on this machine."
    path.write_bytes(data)
    made = back_up(path, "asked")
    path.write_bytes(data[: len(data) // 2])
    assert f"The newest backup is of {made.day.isoformat()}" in check_file(path)[-1]


def test_an_index_that_lacks_rows_is_found_though_every_page_can_be_read(path: Path) -> None:
    """A quick look at the pages does not compare them; what is asked by that index would miss the row."""
    filled(path, 20)
    with closing(sqlite3.connect(path)) as hand:
        hand.execute("PRAGMA writable_schema = ON")
        kept = hand.execute("SELECT * FROM sqlite_schema WHERE name = 'entries_by_about'").fetchall()
        hand.execute("DELETE FROM sqlite_schema WHERE name = 'entries_by_about'")
        hand.commit()
    with closing(sqlite3.connect(path)) as hand:
        hand.execute(
            "INSERT INTO entries (id, version, act, device, day, at, by, about, kind, v, body) "
            "VALUES ('x', 0, 'a', 'd', '2026-08-20', 1, '', 'W1-07', 'note', 1, '{}')"
        )
        hand.execute("PRAGMA writable_schema = ON")
        hand.executemany("INSERT INTO sqlite_schema VALUES (?, ?, ?, ?, ?)", kept)
        hand.commit()
    assert any("SQLite says" in told and "entries_by_about" in told for told in check_file(path))


def test_rights_that_let_others_in(path: Path) -> None:
    filled(path, 3)
    path.chmod(0o640)
    _one(path, "Other users", "chmod 600")


def test_a_synchronisers_conflict_copy_beside_the_journal(path: Path) -> None:
    filled(path, 3)
    path.with_name("journal (conflicted copy 2026-08-20).db").write_bytes(path.read_bytes())
    _one(path, "conflicted copy", "Merge it")


def test_a_clock_that_ran_ahead(path: Path) -> None:
    with JournalFile.open(path, clock=lambda: START_US + 3 * 86_400_000_000, device="phone") as journal:
        journal.append([note("from the future")], DAY)
    (fault,) = check_file(path, clock=lambda: START_US)
    assert "1 entries of the machine phone are written later than today" in fault


def test_an_id_that_says_two_things(path: Path) -> None:
    with JournalFile.open(path) as journal:
        journal.append_entries([entry("same", body='{"text":"a"}')])
        journal.append_entries([entry("same", body='{"text":"b"}')])
    _one(path, "note of 2026-08-20 about W1-07", "two versions", "written first counts")


@pytest.mark.parametrize(
    ("kind", "body", "says"),
    [
        ("clipped", "no JSON", "cannot be read"),
        ("measured", '{"leader":"x","length_m":NaN}', "cannot be read"),
        ("note", "[" * 100_000, "cannot be read"),
        ("holding_set", '{"toml":"name = "}', "is no holding that can be used"),
        ("holding_set", '{"toml":"' + "[" * 5000 + '"}', "is no holding that can be used"),
    ],
)
def test_a_body_edited_into_nonsense_is_named_and_stops_nothing_else(
    path: Path, kind: str, body: str, says: str
) -> None:
    with JournalFile.open(path) as journal:
        journal.append_entries(planted(SOUND).entries)
        journal.append([Draft(kind, "W1-01", body, "the odd one")], DAY)
    faults = check_file(path)
    assert any(says in fault and "the odd one" in fault for fault in faults)
    with JournalFile.open(path) as journal:
        assert journal.entries()[-1].body == body


def test_entries_without_what_they_lean_on_are_listed(path: Path) -> None:
    with JournalFile.open(path) as journal:
        journal.append_entries(planted(SOUND).entries)
        journal.append([Draft("unclipped", "W1-01", to_json(Unclipped("never clipped")))], DAY)
    _one(path, "unclipped of 2026-08-20 about W1-01 does not count")


def test_many_of_a_sort_are_counted(path: Path) -> None:
    with JournalFile.open(path) as journal:
        journal.append_entries(planted(SOUND).entries)
        journal.append([Draft("unclipped", "W1-01", to_json(Unclipped(f"none {n}"))) for n in range(25)], DAY)
    assert check_file(path)[-1] == "And 15 more like these."


def test_a_holding_that_was_put_right_later_is_still_a_journal_in_order(path: Path) -> None:
    book = planted(SOUND)
    with JournalFile.open(path) as journal:
        journal.append_entries(book.entries)
        renamed = to_json(HoldingSet(to_toml(replace(SOUND, name="renamed"))))
        journal.append([Draft("holding_set", "", renamed)], DAY - timedelta(days=1))
    assert check_file(path) == []
