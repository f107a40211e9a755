"""Rows that were altered, taken out or put in by something else are told of; older rows need no seal."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.store.making import DAY, entry, filled, note, texts
from tests.store.private_server import PrivateServer
from tunneltui.report.keeping import copied
from tunneltui.store import migrations
from tunneltui.store.health import check_file, check_journal
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.journals import open_journal
from tunneltui.store.json_lines import copy, import_lines
from tunneltui.store.merge import merge
from tunneltui.store.migrations import MIGRATIONS
from tunneltui.store.salvage import salvage

STAY = (
    "CREATE TRIGGER entries_stay BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'entries never change'); END"
)
LAST = "CREATE TRIGGER entries_last BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'entries never go'); END"


def meddle(path: Path, statement: str) -> None:
    """As a program that takes our triggers off and puts them back."""
    with closing(sqlite3.connect(path)) as hand:
        hand.executescript(f"DROP TRIGGER entries_stay; DROP TRIGGER entries_last; {statement}; {STAY}; {LAST};")


def sealed(path: Path) -> list[tuple[object, ...]]:
    with JournalFile.open(path, read_only=True, accept_older=True) as journal:
        return [row[1:] for row in journal.sealed_rows()]


def of_the_first_version(path: Path, count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file as it was made before rows had seals."""
    with monkeypatch.context() as patched:
        patched.setattr(migrations, "MIGRATIONS", ())
        JournalFile.open(path).close()
    with closing(sqlite3.connect(path)) as hand:
        for n in range(count):
            one = entry(f"old{n}", body=f'{{"text":"old {n}"}}')._replace(device="laptop", at_us=1000 + n)
            hand.execute(
                "INSERT INTO entries (id, version, act, device, day, at, by, about, kind, v, body) "
                "VALUES (?, 0, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (one.id, one.act, one.device, one.day.isoformat(), *one[4:10]),
            )
        hand.commit()


def test_what_this_program_wrote_is_in_order(path: Path) -> None:
    filled(path, 20)
    assert check_file(path) == []


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("UPDATE entries SET body = replace(body, '3 ', '4 ') WHERE seq = 4", "Altered: the note of 2026-08-20"),
        ("UPDATE entries SET day = '2026-08-19' WHERE seq = 4", "Altered: the note of 2026-08-19"),
        ("UPDATE entries SET seal = 'meddled' WHERE seq = 4", "Altered: the note of 2026-08-20"),
        ("DELETE FROM entries WHERE seq = 4", "Missing: what the machine laptop wrote before the note"),
        (
            "DELETE FROM entries WHERE seq = 4; UPDATE entries SET seq = 4 WHERE seq = 20",
            "Missing: what the machine laptop wrote before the note",
        ),
        (
            "INSERT INTO entries (id, version, act, device, day, at, by, about, kind, v, body) "
            "VALUES ('x', 0, 'a', 'laptop', '2026-08-20', 5, '', '', 'note', 1, '{\"text\":\"put in\"}')",
            "Foreign: the note of 2026-08-20",
        ),
    ],
)
def test_an_altered_a_missing_and_a_foreign_row_are_told(path: Path, statement: str, says: str) -> None:
    filled(path, 20)
    meddle(path, statement)
    told = check_file(path)
    assert any(one.startswith(says) for one in told), told
    assert sum(one.startswith(("Altered", "Missing", "Foreign")) for one in told) <= 2


def test_what_is_told_stops_nothing_and_goes_when_its_act_is_crossed_out(path: Path) -> None:
    filled(path, 6, per_act=1)
    meddle(path, "UPDATE entries SET body = replace(body, '5 ', '6 ') WHERE seq = 6")
    with JournalFile.open(path, accept_older=True) as journal:
        altered = journal.entries()[-1]
        journal.append([note("")._replace(kind="crossed_out", body=f'{{"act":"{altered.act}"}}')], DAY)
    assert not any(one.startswith("Altered") for one in check_file(path))


def test_an_older_file_is_read_as_it_is_and_its_rows_need_no_seal(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of_the_first_version(path, 5, monkeypatch)
    before = path.read_bytes()
    with JournalFile.open(path, read_only=True) as journal:
        assert len(texts(journal.entries())) == 5
        assert [row[11] for row in journal.sealed_rows()] == [""] * 5
    assert check_file(path) == []
    assert path.read_bytes() == before
    with JournalFile.open(path, device="laptop") as journal:
        journal.append([note("new"), note("newer")], DAY)
    assert [bool(row[10]) for row in sealed(path)] == [False] * 5 + [True] * 2
    assert check_file(path) == []
    meddle(path, "UPDATE entries SET body = '{}' WHERE id = 'old4'")
    assert any(one.startswith("Missing: what the machine laptop") for one in check_file(path)), "the last old one"


def test_older_rows_and_newer_ones_merge_both_ways(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What two laptops had before rows had seals gets the same one on both."""
    other = tmp_path / "other.db"
    of_the_first_version(path, 5, monkeypatch)
    of_the_first_version(other, 7, monkeypatch)
    for file, device in ((path, "laptop"), (other, "tablet")):
        with JournalFile.open(file, device=device) as journal:
            journal.append([note(f"of the {device}")], DAY)
    assert merge(path, other).new == 3
    assert merge(other, path).new == 1
    assert [merge(path, other).new, merge(other, path).new] == [0, 0]
    assert check_file(path) == check_file(other) == []


def carry(way: str, source: Path, target: Path) -> None:
    if way == "copy":
        copy(source, target)
    elif way == "merge":
        JournalFile.open(target).close()
        merge(target, source)
    elif way == "salvage":
        salvage(source, target)
    else:
        copied(source, target.with_suffix(".jsonl"))
        import_lines(target.with_suffix(".jsonl"), target)


@pytest.mark.parametrize("way", ["copy", "lines", "merge", "salvage"])
def test_seals_go_along_and_tell_the_same_there(path: Path, tmp_path: Path, way: str) -> None:
    filled(path, 20)
    target = tmp_path / "target.db"
    carry(way, path, target)
    assert sealed(target) == sealed(path)
    assert check_file(target) == []
    meddle(path, "UPDATE entries SET body = replace(body, '3 ', '4 ') WHERE seq = 4")
    again = tmp_path / "again.db"
    carry(way, path, again)
    assert any(one.startswith("Altered: the note") for one in check_file(again))


def test_a_server_keeps_seals_and_tells_the_same(server: PrivateServer, path: Path, tmp_path: Path) -> None:
    filled(path, 20)
    at, back = server.new(), tmp_path / "back.db"
    copy(path, at)
    with open_journal(at) as journal:
        journal.append([note("there"), note("and there")], DAY)
        journal.append([note("on")], DAY)
    assert check_journal(at) == []
    copy(at, back)
    assert sealed(back)[:20] == sealed(path)
    assert check_file(back) == []
    database = server.database(at)
    server.sql("ALTER TABLE tunneltui.entries DISABLE TRIGGER entries_stay", database)
    server.sql("UPDATE tunneltui.entries SET body = '{}' WHERE seq = 21", database)
    server.sql("DELETE FROM tunneltui.entries WHERE seq = 22", database)
    server.sql("INSERT INTO tunneltui.entries (seq, id, version, act, device, day, at, by, about, kind, v, body) "
               "VALUES (1, 'x', 0, 'a', 'd', '2026-08-20', 5, '', '', 'note', 1, '{}')", database)  # fmt: skip
    server.sql("ALTER TABLE tunneltui.entries ENABLE TRIGGER entries_stay", database)
    told = [one.partition(":")[0] for one in check_journal(at)]
    assert {"Altered", "Missing", "Foreign"} <= set(told)


def test_the_one_step_there_is_adds_the_seal() -> None:
    assert [step.version for step in MIGRATIONS] == [migrations.SEALED]
