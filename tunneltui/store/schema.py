"""What a journal file is made of, and making a new one.

A new file is built beside its place and linked in when it is whole, so that a crash never leaves half a journal
and two programs starting at once end with one file.
"""

from __future__ import annotations

import os
import secrets
import sqlite3
from contextlib import closing
from pathlib import Path

from tunneltui.holding.trouble import Trouble
from tunneltui.store.connection import connect, writing
from tunneltui.store.folders import PRIVATE_FILE, private_folder
from tunneltui.store.sync import sync_file, sync_folder

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


def create_journal(path: Path) -> None:
    """A new, empty journal at ``path``, synced, readable by this user only.

    Raises:
        Trouble: a file is there already.
        OSError, sqlite3.Error: it cannot be made; nothing is left behind.
    """
    private_folder(path.parent)
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    try:
        build_empty(beside)
        put_in_place(beside, path)
    finally:
        beside.unlink(missing_ok=True)


def build_empty(path: Path) -> None:
    """An empty journal built in a file of its own, not yet in its place."""
    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE))
    with closing(connect(path)) as connection:
        connection.execute("PRAGMA page_size = 4096")
        with writing(connection):
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {FIRST_VERSION}")
            for statement in STATEMENTS:
                connection.execute(statement)
            connection.execute("INSERT INTO facts VALUES ('journal_id', ?)", (secrets.token_hex(16),))


def put_in_place(beside: Path, path: Path) -> None:
    """Gives a finished file its name without ever overwriting one that is there.

    Raises:
        Trouble: a file is there already.
    """
    sync_file(beside)
    try:
        os.link(beside, path)
    except FileExistsError:
        raise Trouble(
            f"There is a file at {path} already.", "It was left as it is; choose another name."
        ) from None
    except OSError:  # sticks formatted FAT know no links
        if path.exists():
            raise Trouble(
                f"There is a file at {path} already.", "It was left as it is; choose another name."
            ) from None
        beside.rename(path)
    sync_folder(path.parent)


def journal_id(connection: sqlite3.Connection) -> str:
    row = connection.execute("SELECT value FROM facts WHERE name = 'journal_id'").fetchone()
    return str(row[0]) if row else ""


def shape(connection: sqlite3.Connection) -> frozenset[str]:
    """The statements that made the file's tables, indexes and triggers; SQLite's own tables aside."""
    rows = connection.execute("SELECT sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite~_%' ESCAPE '~'")
    return frozenset(row[0] for row in rows.fetchall())
