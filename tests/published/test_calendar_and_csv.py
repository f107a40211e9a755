"""Files for other programs against their standards and the readers of general libraries."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from tunneltui.chores.chore import Chore
from tunneltui.report.calendar import LINE_OCTETS, chores_calendar
from tunneltui.report.exports import csv_text

WRITTEN = datetime(2026, 8, 20, 5, 30, tzinfo=UTC)


def _chore(proposal: str = "one turn", why: str = "tip 12 cm under the wire") -> Chore:
    day = date(2026, 8, 20)
    return Chore(
        "lower W1 2026-08-20", "lower", "W1", "W1", 0.0, 0.0, "limp", day, day, False, True, proposal, why, ()
    )


def _first(text: str, component: str) -> Any:
    return Calendar.from_ical(text).walk(component)[0]


def test_events_read_back_by_the_icalendar_library() -> None:
    text = chores_calendar([_chore("two turns, past string 9; then; clip")], WRITTEN, "j1", sequence=7)
    event = _first(text, "VEVENT")
    assert str(event["SUMMARY"]) == "W1: two turns, past string 9; then; clip"
    assert event["DTSTART"].dt == date(2026, 8, 20)
    assert event["DTEND"].dt == date(2026, 8, 21)
    assert str(event["UID"]) == "lower W1 2026-08-20@j1"
    assert int(event["SEQUENCE"]) == 7
    assert event["DTSTAMP"].dt == WRITTEN


def test_todos_are_due_and_have_no_end() -> None:
    todo = _first(chores_calendar([_chore()], WRITTEN, "j1", as_todos=True), "VTODO")
    assert todo["DUE"].dt == date(2026, 8, 20)
    assert "DTEND" not in todo
    assert "DURATION" not in todo


@given(st.text(max_size=300))
def test_any_text_keeps_the_line_rules_and_comes_back(text: str) -> None:
    """RFC 5545: lines end by CRLF and hold at most 75 octets before it."""
    written = chores_calendar([_chore(why=text)], WRITTEN, "j1")
    assert written.endswith("\r\n")
    for line in written.encode().split(b"\r\n"):
        assert len(line) <= LINE_OCTETS
        assert b"\n" not in line
        line.decode()  # never cut within a character
    back = str(_first(written, "VEVENT")["DESCRIPTION"])
    kept = "".join(
        c for c in text.replace("\r\n", "\n").replace("\r", "\n") if c == "\n" or (ord(c) >= 32 and ord(c) != 127)
    )
    assert back == kept


def test_rfc_4180_quoting() -> None:
    """RFC 4180 section 2: CRLF, quotes around a cell with quote, comma or line break, quotes doubled."""
    assert csv_text(["note", "kg"], [['said "ripe", then\nsplit', 1.5]]) == (
        'note,kg\r\n"said ""ripe"", then\nsplit",1.5\r\n'
    )


@pytest.mark.parametrize("cell", ["=1+1", "+x", "-x", "@x", "\tx", "\rx"])
def test_text_that_a_spreadsheet_would_run_is_made_harmless(cell: str) -> None:
    """OWASP, CSV injection: such text cells get an apostrophe; numbers are left numbers."""
    lines = list(csv.reader(io.StringIO(csv_text(["text", "degC"], [[cell, -2.5]]), newline="")))
    assert lines[1] == [f"'{cell}", "-2.5"]
