"""Rule 4 of the journal: what was read once adds nothing again, and a changed row is offered, not taken."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Air
from tunneltui.journal.order import live
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.read_again import FileRow, put_right, sort_rows

FIRST = date(2026, 8, 3)
SOURCE = "air: Time,T Air"


def days(means: Sequence[float], tunnel: str = "W") -> list[FileRow]:
    return [FileRow(n + 2, FIRST + timedelta(days=n), tunnel, Air(mean_c=mean)) for n, mean in enumerate(means)]


def read(path: Path, rows: Sequence[FileRow], *, replace: bool = False) -> list[Entry]:
    """Reads rows into the journal as a command does, and gives what then counts."""
    with JournalFile.open(path) as journal:
        entries = journal.entries()
        journal.append_days(put_right(entries, SOURCE, rows) if replace else sort_rows(entries, SOURCE, rows).new)
        return live(journal.entries())


def means(entries: Sequence[Entry]) -> list[tuple[date, str]]:
    return [(entry.day, entry.body) for entry in entries if entry.kind == "air"]


def test_a_second_reading_adds_nothing_and_a_grown_file_only_its_new_days(path: Path) -> None:
    first = read(path, days([20, 21]))
    assert means(read(path, days([20, 21]))) == means(first)
    grown = read(path, days([20, 21, 22]))
    assert grown[:2] == first
    assert len(grown) == 3


def test_another_tunnel_and_another_shape_are_rows_of_their_own(path: Path) -> None:
    read(path, days([20, 21]))
    assert len(read(path, days([20, 21], "E"))) == 4
    with JournalFile.open(path) as journal:
        assert len(sort_rows(journal.entries(), "air: Zeit,T", days([20, 21])).new) == 2


def test_two_laptops_give_the_same_rows_the_same_ids(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    ids = [{entry.id for entry in read(at, days([20, 21]))} for at in (path, other)]
    assert ids[0] == ids[1]


def test_a_changed_row_is_told_and_left_alone(path: Path) -> None:
    before = read(path, days([20, 21]))
    with JournalFile.open(path) as journal:
        found = sort_rows(journal.entries(), SOURCE, days([20, 23, 24]))
    assert (len(found.new), found.same) == (1, 1)
    assert [(one.row.line, one.kept) for one in found.changed] == [(3, before[1])]


def test_put_right_takes_the_new_value_keeps_the_rest_and_settles(path: Path) -> None:
    read(path, days([20, 21, 22]))
    after = read(path, days([20, 23]), replace=True)
    assert [body for _, body in means(after)] == ['{"mean_c":20}', '{"mean_c":23}', '{"mean_c":22}']
    assert means(read(path, days([20, 23, 22]))) == means(after)
    assert means(read(path, days([20, 23, 22]), replace=True)) == means(after)


def test_rows_crossed_out_on_purpose_come_back_when_read_again(path: Path) -> None:
    from tunneltui.journal.body import draft
    from tunneltui.journal.kinds_journal import CrossedOut

    first = read(path, days([20]))
    with JournalFile.open(path) as journal:
        journal.append([draft("", CrossedOut(first[0].act))], FIRST)
        assert means(live(journal.entries())) == []
    again = read(path, days([20]))
    assert len(means(again)) == 1
    assert means(read(path, days([20]))) == means(again)


@settings(max_examples=25, deadline=None)
@given(files=st.lists(st.lists(st.integers(10, 14), min_size=1, max_size=5), min_size=1, max_size=4))
def test_the_last_file_put_right_is_what_counts(
    files: list[list[int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Against a plain dictionary: each file replaces the days it speaks of, the others stay."""
    path = tmp_path_factory.mktemp("again") / "journal.db"
    wanted: dict[date, str] = {}
    for file in files:
        after = read(path, days(file), replace=True)
        wanted |= {FIRST + timedelta(days=n): f'{{"mean_c":{mean}}}' for n, mean in enumerate(file)}
        assert dict(means(after)) == wanted
        assert len(means(after)) == len(wanted)
