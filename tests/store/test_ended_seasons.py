"""What ended seasons come to is kept and read in their place; whatever becomes of the journal or of what is kept,
the season is that of all entries."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tests.season.entries import FIRST, TWO_ROWS, Book, differences
from tunneltui import __version__
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Air, Watered
from tunneltui.journal.kinds_crop import Picked, PlantLost, Removed
from tunneltui.journal.kinds_holding_up import Clipped, Hung, StemKinked
from tunneltui.journal.kinds_journal import CrossedOut, Note
from tunneltui.journal.kinds_standing import HoldingSet, Measured, Planted
from tunneltui.report.open_journal import read_journal
from tunneltui.screens.incremental_planner import IncrementalPlanner
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.work import PlanRequest, before_ticks
from tunneltui.season.fold import fold
from tunneltui.season.long_journal import LongJournal
from tunneltui.season.state import Season
from tunneltui.store import ended_seasons
from tunneltui.store.journal_file import JournalFile

YEAR = 365
TODAY = FIRST + timedelta(days=YEAR + 120)
NOW = datetime.combine(TODAY, datetime.min.time(), UTC).replace(hour=12)


@pytest.fixture(autouse=True)
def _of_any_size(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ended_seasons, "LEAST", 10)


def season_of(book: Book, year: int) -> None:
    """Two plants, read, clipped, picked and, where another season follows, cleared."""
    for about in ("W1-01", "W2-01"):
        day = YEAR * year
        plant = book.write(Planted("cherry 1"), about, day=day)
        book.write(Hung(plant, 0.6, 3.0), day=day + 1)
        for week in range(1, 12):
            book.write(Measured(plant, length_m=0.25 * week), day=day + 7 * week)
            book.write(Air("sensor", min_c=9.0, max_c=21.0), day=day + 7 * week)
            book.write(Watered(30.0), "W1", day=day + 7 * week)
        book.write(Clipped(plant, 0.5, "string", "W1/1"), day=day + 20)
        book.write(StemKinked(plant), day=day + 30)
        book.write(Picked("cherry 1", 3.0), "W1", day=day + 90)
        if year == 0:
            book.write(Removed(plant), day=day + 200)


@pytest.fixture
def book() -> Book:
    book = Book()
    book.write(HoldingSet(to_toml(TWO_ROWS)))
    season_of(book, 0)
    season_of(book, 1)
    return book


@pytest.fixture
def path(tmp_path: Path, book: Book) -> Path:
    path = tmp_path / "journal.db"
    with JournalFile.open(path) as journal:
        journal.append_entries(book.entries)
    return path


def every_entry(path: Path) -> list[Entry]:
    with JournalFile.open(path, read_only=True, accept_older=True) as journal:
        return journal.entries()


def shown(path: Path, on: date = TODAY) -> Season:
    """As every command reads it."""
    return read_journal(path, on, NOW).season


def kept(home: Path) -> Path:
    (file,) = (home / "cache").glob("seasons-*.past")
    return file


def _refuse(_journal: JournalFile) -> list[Entry]:
    raise AssertionError("the whole journal was read")


def test_the_second_morning_reads_no_ended_season(
    path: Path, book: Book, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = shown(path)
    assert kept(home).stat().st_mode & 0o077 == 0
    monkeypatch.setattr(JournalFile, "entries", _refuse)
    journal = read_journal(path, TODAY, NOW)
    assert differences(journal.season, first) == []
    assert differences(first, fold(book.entries, TODAY)) == []
    assert isinstance(journal.entries, LongJournal)
    assert len(journal.entries) == len(book.entries)
    assert len(journal.entries.recent) < len(book.entries) * 2 / 3
    assert journal.holding == TWO_ROWS
    assert before_ticks(journal.entries, TODAY)
    monkeypatch.undo()
    assert list(journal.entries) == sorted(book.entries, key=lambda entry: entry.order)


def append(path: Path, *entries: Entry) -> None:
    with JournalFile.open(path) as journal:
        journal.append_entries(entries)


def a_late_entry(path: Path, book: Book, _file: Path) -> None:
    book.write(Measured("e0002", length_m=9.0), day=60)
    append(path, book.entries[-1])


def an_old_act_crossed_out(path: Path, book: Book, _file: Path) -> None:
    of_last_year = next(entry for entry in book.entries if entry.kind == "picked")
    book.write(CrossedOut(of_last_year.act), day=YEAR + 110)
    append(path, book.entries[-1])


def an_ended_plant_lost_again(path: Path, book: Book, _file: Path) -> None:
    book.write(PlantLost("e0002", "wilted"), day=YEAR + 110)
    append(path, book.entries[-1])


def another_holding(path: Path, book: Book, _file: Path) -> None:
    book.write(HoldingSet(to_toml(TWO_ROWS).replace("made up", "made anew")), day=YEAR + 110)
    append(path, book.entries[-1])


def a_note_of_today(path: Path, book: Book, _file: Path) -> None:
    book.write(Note("dry"), day=YEAR + 120)
    append(path, book.entries[-1])


def a_row_altered_by_something_else(path: Path, _book: Book, _file: Path) -> None:
    with closing(sqlite3.connect(path)) as there, there:
        (trigger,) = there.execute("SELECT sql FROM sqlite_schema WHERE name = 'entries_stay'").fetchone()
        there.execute("DROP TRIGGER entries_stay")
        there.execute("""UPDATE entries SET body = '{"cultivar":"cherry 1","kg":8.0}' WHERE kind = 'picked'""")
        there.execute(trigger)


def an_older_copy_put_back(path: Path, book: Book, _file: Path) -> None:
    path.unlink()
    with JournalFile.open(path, accept_older=True, state_dir=path.parent / "anew") as journal:
        journal.append_entries(book.entries[:-7])


def a_byte_of_what_is_kept(place: float) -> Callable[[Path, Book, Path], None]:
    def change(_path: Path, _book: Book, file: Path) -> None:
        data = bytearray(file.read_bytes())
        data[int(place * (len(data) - 1))] ^= 0x11
        file.write_bytes(data)

    return change


def another_version(_path: Path, _book: Book, file: Path) -> None:
    line, _, data = file.read_bytes().partition(b"\n")
    file.write_bytes(line.replace(__version__.encode(), b"0.0.0") + b"\n" + data)


def cut_short(_path: Path, _book: Book, file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-100])


CHANGES = (
    *(a_late_entry, an_old_act_crossed_out, an_ended_plant_lost_again, another_holding, a_note_of_today),
    *(a_row_altered_by_something_else, an_older_copy_put_back, another_version, cut_short),
    *(a_byte_of_what_is_kept(place) for place in (0.0, 0.002, 0.01, 0.3, 0.6, 1.0)),
)


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_whatever_becomes_of_it_the_season_is_that_of_all_entries(
    change: Callable[[Path, Book, Path], None], path: Path, book: Book, home: Path
) -> None:
    shown(path)
    change(path, book, kept(home))
    for on in (TODAY, TODAY, TODAY - timedelta(days=150), TODAY + timedelta(days=20)):
        seen = read_journal(path, on, NOW) if change is not an_older_copy_put_back else None
        season = seen.season if seen is not None else _accepted(path, on)
        assert differences(season, fold(every_entry(path), on)) == []


def _accepted(path: Path, on: date) -> Season:
    with JournalFile.open(path, read_only=True, accept_older=True) as journal:
        return fold(ended_seasons.read_entries(journal), on)


def test_a_long_session_keeps_up_with_its_past(path: Path, book: Book) -> None:
    """Ticks go on from the past; one that speaks of it plans the whole from all entries."""
    client = FileClient(path)
    client.settled(TODAY)
    assert isinstance(client.entries(), LongJournal)
    planner, request = IncrementalPlanner(client), PlanRequest(TODAY, NOW)
    before = planner.whole(request)
    assert before.morning is not None
    written = client.submit([draft("", Note("dry"))], TODAY).result()
    planner.written(written, ())
    after = planner.whole(request).morning
    assert after is not None
    assert [text.text for _, _, text in after.season.notes] == ["dry"]
    late = client.submit([draft("W1", Picked("cherry 1", 2.0))], FIRST + timedelta(days=91)).result()
    assert planner.written(late, ()) is None
    whole = planner.whole(request).morning
    assert whole is not None
    assert differences(whole.season, fold(every_entry(path), TODAY)) == []
    client.close()
