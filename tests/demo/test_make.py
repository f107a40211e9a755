"""The demo's file: made where nothing is, kept where a demo is, refused anywhere else."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tunneltui.demo.make import demo_entries, is_demo, make_demo, saltmarsh
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_journal import Note
from tunneltui.store import folders
from tunneltui.store.journal_file import JournalFile


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(folders.HOME_VARIABLE, str(tmp_path / "home"))


def entries_of(path: Path) -> list[object]:
    with JournalFile.open(path, create=False) as journal:
        return list(journal.entries())


def test_an_absent_file_is_made(tmp_path: Path) -> None:
    make_demo(tmp_path / "demo.db")
    assert entries_of(tmp_path / "demo.db") == demo_entries()


def test_a_demo_is_left_with_what_was_added(tmp_path: Path) -> None:
    path = tmp_path / "demo.db"
    make_demo(path)
    with JournalFile.open(path) as journal:
        journal.append([draft("", Note("mine"))], date(2026, 8, 20))
    before = path.read_bytes()
    make_demo(path)
    assert path.read_bytes() == before


def test_a_growers_journal_is_refused_and_untouched(tmp_path: Path) -> None:
    path = tmp_path / "own.db"
    with JournalFile.open(path) as journal:
        journal.append([draft("", Note("mine"))], date(2026, 8, 20))
    before = path.read_bytes()
    with pytest.raises(UserError, match="not made by the demo"):
        make_demo(path)
    assert path.read_bytes() == before


def test_any_other_file_is_refused_and_untouched(tmp_path: Path) -> None:
    path = tmp_path / "list.txt"
    path.write_text("twine, clips\n" * 100)
    with pytest.raises(UserError):
        make_demo(path)
    assert path.read_text() == "twine, clips\n" * 100


def test_a_demo_thrown_away_is_made_anew(tmp_path: Path) -> None:
    path = tmp_path / "demo.db"
    make_demo(path)
    path.unlink()
    make_demo(path)
    assert entries_of(path) == demo_entries()


def test_a_growers_journal_that_is_gone_is_missed_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "own.db"
    with JournalFile.open(path) as journal:
        journal.append([draft("", Note("mine"))], date(2026, 8, 20))
    path.unlink()
    with pytest.raises(UserError, match="gone"):
        make_demo(path)
    assert not path.exists()


def test_the_demos_own_file_begun_and_left_is_filled() -> None:
    path = folders.demo_journal()
    path.parent.mkdir(parents=True)
    JournalFile.open(path).close()
    make_demo(path)
    assert entries_of(path) == demo_entries()


def test_only_a_made_up_season_is_a_demo() -> None:
    entries = demo_entries()
    assert is_demo(entries)
    assert not is_demo([])
    assert not is_demo([entry for entry in entries if entry.kind != "holding_set"])


def test_the_demo_plays_on_a_thursday_on_which_the_looped_rows_are_worked() -> None:
    holding = saltmarsh()
    assert holding.plays_on == date(2026, 8, 20)
    assert f"{holding.plays_on:%a}" == "Thu"
    assert [row.work_day for row in holding.tunnels[0].rows] == ["Thu", "Thu"]
    assert "Thu" in holding.work.pick_days
    assert sum(len(row.places) for tunnel in holding.tunnels for row in tunnel.rows) == 44
