"""What a journal file is made of."""

from __future__ import annotations

import sqlite3

APPLICATION_ID = 0x544E4C31
"""Bytes 68 to 71 of the file: "TNL1"."""
FIRST_VERSION = 1
"""``user_version`` of a file made by ``STATEMENTS`` alone; ``migrations`` brings it up to date."""

STATEMENTS = (
    # AUTOINCREMENT: a seq is never used twice, so "entries after seq n" can be trusted.
    # ``version`` is 0 save where a merge brought a second entry of the same id (two laptops read one file): both
    # are kept and ``journal.order.kept_of_two`` says which counts, so that every laptop ends with the same.
    """CREATE TABLE entries (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL,
    version INTEGER NOT NULL,
    act TEXT NOT NULL,
    device TEXT NOT NULL,
    day TEXT NOT NULL,
    at INTEGER NOT NULL,
    by TEXT NOT NULL,
    about TEXT NOT NULL,
    kind TEXT NOT NULL,
    v INTEGER NOT NULL,
    body TEXT NOT NULL,
    UNIQUE (id, version)
) STRICT""",
    "CREATE INDEX entries_by_about ON entries (about, day, at, id)",
    "CREATE INDEX entries_by_device ON entries (device, at)",
    # The journal is append-only; the file itself refuses anything else.
    "CREATE TRIGGER entries_stay BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'entries never change'); END",
    "CREATE TRIGGER entries_last BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'entries never go'); END",
    "CREATE TABLE facts (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID",
    "CREATE TABLE migrations (version INTEGER PRIMARY KEY, name TEXT NOT NULL, at INTEGER NOT NULL) STRICT",
)


def journal_id(connection: sqlite3.Connection) -> str:
    row = connection.execute("SELECT value FROM facts WHERE name = 'journal_id'").fetchone()
    return str(row[0]) if row else ""


_OWN_OF_SQLITE = frozenset({"sqlite_sequence", "sqlite_stat1"})


def shape(connection: sqlite3.Connection) -> frozenset[tuple[str, str, str, str]]:
    """Type, name, table and text of everything in the file; indexes that SQLite makes by itself have no text."""
    rows = connection.execute("SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema").fetchall()
    return frozenset(
        (kind, name, table, "" if name in _OWN_OF_SQLITE else text)
        for kind, name, table, text in rows
        if not (name == "sqlite_stat1" and kind == "table")
    )
