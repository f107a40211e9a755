"""The round as it was shown, kept on this machine for its day, so that what is said of its numbers means that one.

A chore has the same number all day, however often the round is planned anew: one that comes up later gets the
next. It is a memory of this machine, not part of the journal: where the state folder cannot be written, numbers
still stand on what is shown, and ``done`` says that it knows none.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from tunneltui.cells import from_data, to_data
from tunneltui.chores.as_data import chore_of, day_text
from tunneltui.chores.chore import Chore, Round
from tunneltui.store.connection import BUSY_SECONDS
from tunneltui.store.folders import PRIVATE_FILE, private_folder

KEPT_DAYS = 14
_FORM = 1
_TABLES = """
CREATE TABLE IF NOT EXISTS lines (journal TEXT, day TEXT, number INTEGER, chore TEXT,
    PRIMARY KEY (journal, day, number)) STRICT;
CREATE TABLE IF NOT EXISTS shown (journal TEXT, day TEXT, numbers TEXT, minutes REAL,
    PRIMARY KEY (journal, day)) STRICT;
"""


@dataclass(frozen=True, slots=True)
class KeptRound:
    """What was shown of a day."""

    lines: Mapping[int, Chore]
    """Every chore that was ever shown that day, by its number."""
    last: tuple[int, ...]
    """Numbers of the round shown last, in walking order."""
    minutes_there: float

    @property
    def number_of(self) -> dict[str, int]:
        """By a chore's id."""
        return {chore.id: number for number, chore in self.lines.items()}


def as_shown(walk: Round) -> KeptRound:
    """A round that is shown for the first time that day, or where nothing can be kept."""
    lines = dict(enumerate((chore for spot in walk.spots for chore in spot.chores), 1))
    return KeptRound(lines, tuple(lines), walk.minutes_there)


def keep(state: Path, journal_id: str, walk: Round) -> KeptRound:
    """The round with its numbers, kept as the one that was shown last."""
    try:
        private_folder(state)
        with closing(_open(state)) as connection:
            connection.execute("BEGIN IMMEDIATE")
            kept = _with(_read(connection, journal_id, walk.day), walk)
            _write(connection, journal_id, walk.day, kept)
            connection.execute("COMMIT")
        return kept
    except (sqlite3.Error, OSError, ValueError, TypeError):
        return as_shown(walk)


def round_of_day(state: Path, journal_id: str, day: date) -> KeptRound | None:
    """What was shown of the day; None where nothing was, or nothing that this version reads."""
    try:
        if not _file(state).exists():
            return None
        with closing(_open(state)) as connection:
            return _read(connection, journal_id, day)
    except (sqlite3.Error, OSError, ValueError, TypeError):
        return None


def _with(before: KeptRound | None, walk: Round) -> KeptRound:
    if before is None:
        return as_shown(walk)
    lines = dict(before.lines)
    # Not by its id: what is left of a chore done in part may be due on another day.
    number_of = {(chore.kind, chore.about): number for number, chore in lines.items()}
    last = []
    for chore in (chore for spot in walk.spots for chore in spot.chores):
        number = number_of.get((chore.kind, chore.about)) or max(lines, default=0) + 1
        lines[number] = chore
        last.append(number)
    return KeptRound(lines, tuple(last), walk.minutes_there)


def _file(state: Path) -> Path:
    return state / f"rounds-{_FORM}.db"


def _open(state: Path) -> sqlite3.Connection:
    file = _file(state)
    connection = sqlite3.connect(file, timeout=BUSY_SECONDS, isolation_level=None)
    connection.executescript(_TABLES)
    file.chmod(PRIVATE_FILE)
    return connection


def _read(connection: sqlite3.Connection, journal_id: str, day: date) -> KeptRound | None:
    key = (journal_id, day.isoformat())
    shown = connection.execute("SELECT numbers, minutes FROM shown WHERE journal = ? AND day = ?", key).fetchone()
    if shown is None:
        return None
    rows = connection.execute("SELECT number, chore FROM lines WHERE journal = ? AND day = ?", key).fetchall()
    lines = {number: chore_of(json.loads(text, object_hook=from_data)) for number, text in rows}
    return KeptRound(lines, tuple(json.loads(shown[0])), shown[1])


def _write(connection: sqlite3.Connection, journal_id: str, day: date, kept: KeptRound) -> None:
    old = (day - timedelta(days=KEPT_DAYS)).isoformat()
    for table in ("lines", "shown"):
        connection.execute(f"DELETE FROM {table} WHERE journal = ? AND day < ?", (journal_id, old))  # noqa: S608
    connection.executemany(
        "INSERT OR REPLACE INTO lines VALUES (?, ?, ?, ?)",
        [
            (
                journal_id,
                day.isoformat(),
                number,
                json.dumps(to_data(chore), ensure_ascii=False, default=day_text, separators=(",", ":")),
            )
            for number, chore in kept.lines.items()
        ],
    )
    connection.execute(
        "INSERT OR REPLACE INTO shown VALUES (?, ?, ?, ?)",
        (journal_id, day.isoformat(), json.dumps(kept.last), kept.minutes_there),
    )
