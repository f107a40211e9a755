"""Crossing out and taking that back, against the journal's own rule of what counts (rule 3)."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.order import live
from tunneltui.report.crossing import act_of, crossing
from tunneltui.store.journal_file import JournalFile

EARLY, LATE = date(2026, 8, 1), date(2026, 8, 9)


@pytest.fixture
def journal(tmp_path: Path) -> JournalFile:
    made = JournalFile.open(tmp_path / "journal.db")
    made.append_days([(LATE, draft("", Note("late"))), (EARLY, draft("", Note("early")))])
    return made


def notes(journal: JournalFile, on: date = LATE) -> list[str]:
    upto = [entry for entry in journal.entries() if entry.day <= on]
    return [json.loads(entry.body)["text"] for entry in live(upto) if entry.kind == "note"]


def test_there_and_back_any_number_of_times(journal: JournalFile) -> None:
    act = journal.entries()[0].act
    for _ in range(3):
        journal.append_days(crossing(journal.entries(), act, "cross-out"))
        assert notes(journal) == []
        assert notes(journal, EARLY) == [], "a mistake is one from its first day on"
        with pytest.raises(UserError, match="crossed out already"):
            crossing(journal.entries(), act, "cross-out")
        journal.append_days(crossing(journal.entries(), act, "restore-act"))
        assert notes(journal) == ["early", "late"]
        with pytest.raises(UserError, match="nothing to restore"):
            crossing(journal.entries(), act, "restore-act")


def test_a_mark_made_later_by_a_screen_is_taken_back(journal: JournalFile) -> None:
    """A screen's undo carries the day it was made on: the mark that takes it back must come after it."""
    from tunneltui.journal.kinds_journal import CrossedOut

    act = journal.entries()[0].act
    journal.append([draft("", CrossedOut(act))], LATE)
    [(day, _)] = crossing(journal.entries(), act, "restore-act")
    assert day == LATE
    journal.append_days(crossing(journal.entries(), act, "restore-act"))
    assert notes(journal) == ["early", "late"]


def test_an_act_by_its_beginning_or_by_an_entry(journal: JournalFile) -> None:
    first = journal.entries()[0]
    assert act_of(journal.entries(), first.act[:13].upper()) == first.act
    assert act_of(journal.entries(), first.id) == first.act
    journal.append([draft("", Note("another"))], LATE)
    with pytest.raises(UserError, match="acts begin with"):
        act_of(journal.entries(), first.act[:4])


def test_what_a_clock_that_ran_ahead_marked_is_turned_round_all_the_same(tmp_path: Path) -> None:
    """Its mark is the last for a day to come."""
    now, day_us = 1_787_000_000_000_000, 86_400_000_000
    path = tmp_path / "journal.db"
    with (
        JournalFile.open(path, device="ahead", clock=lambda: now + day_us) as ahead,
        JournalFile.open(path, device="right", clock=lambda: now) as right,
    ):
        right.append([draft("", Note("one"))], LATE)
        act = right.entries()[0].act
        ahead.append_days(crossing(ahead.entries(), act, "cross-out", now_us=now + day_us))
        assert notes(right) == []
        right.append_days(crossing(right.entries(), act, "restore-act", now_us=now))
        assert notes(right) == ["one"]
        ahead.append_days(crossing(ahead.entries(), act, "cross-out", now_us=now + day_us))
        ahead.append_days(crossing(ahead.entries(), act, "restore-act", now_us=now + day_us))
        assert notes(right) == ["one"]
        right.append_days(crossing(right.entries(), act, "cross-out", now_us=now))
        assert notes(right) == []
