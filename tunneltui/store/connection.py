"""One SQLite connection set as the journal needs it, and SQLite's faults in the grower's words.

Rollback journal in DELETE mode with synchronous=EXTRA: one file at rest, and a commit that returned survives a
power cut, directory entry included (SQLite documentation, "PRAGMA synchronous"). Nothing here opens the file
except through SQLite: closing another descriptor of it would drop this process's locks (SQLite, "How to corrupt
an SQLite database file", section 2.2).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.store.words import ways_out_of_damage

BUSY_SECONDS = 5.0
FAULTS = (sqlite3.Error, UnicodeDecodeError)
"""What SQLite's module raises; the second where a damaged file spoils the text of the message or of a column."""


def connect(path: Path, *, read_only: bool = False) -> sqlite3.Connection:
    """A connection that holds no lock between transactions. The file must be there; it is never created.

    Raises:
        sqlite3.Error: the file cannot be opened; see ``in_plain_words``.
    """
    mode = "ro" if read_only else "rw"
    uri = f"file:{quote(str(path))}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, timeout=BUSY_SECONDS, isolation_level=None)
    try:
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA cell_size_check = ON")
        connection.execute("PRAGMA temp_store = MEMORY")
        connection.execute("PRAGMA synchronous = EXTRA")
    except BaseException:
        connection.close()
        raise
    return connection


def keep_one_file(connection: sqlite3.Connection) -> None:
    """Rollback journal DELETE, also for a file that something else had put into another mode."""
    mode = connection.execute("PRAGMA journal_mode").fetchone()[0]
    if mode != "delete":
        connection.execute("PRAGMA journal_mode = DELETE").fetchone()


def needs_recovery(fault: sqlite3.Error) -> bool:
    """A write was interrupted and its rollback journal is still there, which a reader alone may not undo."""
    return code_of(fault) in ("SQLITE_READONLY_ROLLBACK", "SQLITE_READONLY_RECOVERY")


def code_of(fault: Exception) -> str:
    """SQLite's name for a fault. A fault without one is a text that cannot be decoded: damage."""
    return getattr(fault, "sqlite_errorname", None) or "SQLITE_CORRUPT"


@contextmanager
def writing(connection: sqlite3.Connection) -> Iterator[None]:
    """One transaction that takes the write lock at its start and is rolled back by any exception."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


@contextmanager
def in_plain_words(path: Path) -> Iterator[None]:
    """SQLite's and the system's faults as ``UserError``."""
    try:
        yield
    except FAULTS as fault:
        raise trouble_of(path, fault) from fault
    except OSError as fault:
        raise UserError(f"{fault.filename or path}: {fault.strerror or fault}.", "Nothing was written.") from fault


def trouble_of(path: Path, fault: Exception) -> UserError:
    """What a fault of SQLite means for the grower, and what to do."""
    name = code_of(fault)
    for start, say, do in _MEANINGS:
        if name.startswith(start):
            return UserError(say.format(path=path), do.format(damage=ways_out_of_damage(path)))
    return UserError(f"The journal {path} could not be used: {one_line(fault)} ({name}).", "Nothing was written.")


_MEANINGS = (
    (
        "SQLITE_BUSY",
        "Another program has been writing to the journal {path} for more than 5 seconds.",
        "Nothing was written. Close the other program, or wait, and try again.",
    ),
    (
        "SQLITE_FULL",
        "The disk is full: the journal {path} could not grow.",
        "Nothing was written and nothing is lost. Make room and try again.",
    ),
    (
        "SQLITE_READONLY",
        "The journal {path} may be read but not written here.",
        "Nothing was written. Check the rights of the file and its folder, or work on a copy.",
    ),
    (
        "SQLITE_CANTOPEN",
        "The journal {path} or its folder cannot be opened for writing.",
        "Nothing was written. Check that the folder is there and may be written.",
    ),
    (
        "SQLITE_IOERR",
        "The disk reported a fault while the journal {path} was read or written.",
        "What was being entered does not count as done. Copy the journal to another disk before going on.",
    ),
    (
        "SQLITE_NOTADB",
        "{path} is no journal: it is not an SQLite file, or its beginning was overwritten.",
        "{damage}",
    ),
    (
        "SQLITE_CORRUPT",
        "The journal {path} is damaged.",
        "{damage}",
    ),
)
