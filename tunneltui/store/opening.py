"""What is looked at before a journal is trusted. Every refusal leaves the file byte for byte as it is."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.store import migrations, schema
from tunneltui.store.connection import connect, needs_recovery
from tunneltui.store.seen import JournalHead
from tunneltui.store.words import AS_IT_IS, command, ways_out_of_damage

if TYPE_CHECKING:
    from tunneltui.store.where import Where


def refuse_if_gone(where: Where, remembered: JournalHead | None, *, create: bool) -> None:
    """A journal that is absent is made anew only where nothing is missed by that."""
    if remembered is not None and remembered.count:
        back = "Put it back"
        if isinstance(where, Path):
            back += f", or take a backup with {command(where, 'journal restore')}"
        raise UserError(
            f"The journal {where} is gone; when this machine last saw it, it held {remembered.count} entries.",
            f"{back}. To start anew in that place: {command(where, 'journal check --accept')}.",
        )
    if not create:
        raise UserError(f"There is no journal at {where}.", f"Start one with {command(where, 'new')}.")


def refuse_what_is_no_journal(path: Path) -> None:
    """Reads the beginning of the file without a chance of changing it."""
    if not path.is_file():
        raise UserError(f"{path} is no file.", "Name a journal file.")
    if path.stat().st_size == 0:
        raise UserError(
            f"{path} is empty: no journal, or one that was cut short.",
            f"{AS_IT_IS} Take a backup with {command(path, 'journal restore')}, or remove the file.",
        )
    try:
        _refuse_foreign_file(path, read_only=True)
    except sqlite3.OperationalError as fault:
        if not needs_recovery(fault):
            raise
        # An interrupted write left its rollback journal: only a connection that may write can undo it.
        _refuse_foreign_file(path, read_only=False)


def check_sound(path: Path, connection: sqlite3.Connection) -> None:
    """Every page readable, and a version this program knows."""
    version = migrations.version_of(connection)
    if version > migrations.latest():
        raise UserError(
            f"The journal {path} was written by a newer version of tunneltui (file version {version}, "
            f"this program knows {migrations.latest()}).",
            f"{AS_IT_IS} Install the newer version.",
        )
    if _is_cut_short(path, connection):
        raise UserError(f"The journal {path} is damaged: its end is missing.", ways_out_of_damage(path))
    # As it is before the check: what is written meanwhile is looked at the next time.
    as_it_is = _state_of(path)
    if _found_sound.get(path) == as_it_is:
        return
    faults = connection.execute("PRAGMA quick_check(1)").fetchall()
    if faults != [("ok",)]:
        raise UserError(f"The journal {path} is damaged ({one_line(faults[0][0])}).", ways_out_of_damage(path))
    _found_sound[path] = as_it_is


_found_sound: dict[Path, tuple[int, ...]] = {}
"""Files whose pages this process read, as they were then: while a session waits for its first tick, the pen does
not read those of 20,000 leaders again, 0.7 s."""


def _state_of(path: Path) -> tuple[int, ...]:
    """Another one after every write. It is not opened for that: closing it would drop the locks of this process
    (SQLite, How To Corrupt, 2.2)."""
    status = path.stat()
    return status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns


def check_shape(path: Path, connection: sqlite3.Connection) -> None:
    """No table, index or trigger but our own: a trigger from elsewhere could change what is written.

    Who only reads an older file reads it in its own shape: it is brought up to date when it is first written.
    """
    if schema.shape(connection) != migrations.expected_shape(migrations.version_of(connection)):
        raise UserError(
            f"The journal {path} has other tables than a journal of this version: something else changed it.",
            ways_out_of_damage(path),
        )


def refuse_if_older(path: Path, connection: sqlite3.Connection, remembered: JournalHead | None) -> None:
    """An older copy put back lacks the entry this machine saw last."""
    if remembered is not None and is_older(connection, remembered):
        raise older_than_seen(path, head(connection), remembered)


def older_than_seen(where: Where, head: JournalHead, remembered: JournalHead) -> UserError:
    missing = max(remembered.count - head.count, 1)
    return UserError(
        f"The journal {where} is older than what this machine last saw: it holds {head.count} entries, it held "
        f"{remembered.count}; at least {missing} {'is' if missing == 1 else 'are'} missing.",
        f"If you have the newer copy: {command(where, 'journal merge NEWER_COPY')}. "
        f"To go on without the missing entries: {command(where, 'journal check --accept')}.",
    )


def is_older(connection: sqlite3.Connection, remembered: JournalHead) -> bool:
    """Whether the journal lacks what it held when it was remembered. Another journal is not older."""
    if not remembered.count or schema.journal_id(connection) != remembered.journal_id:
        return False
    has_last = connection.execute("SELECT 1 FROM entries WHERE id = ?", (remembered.last_id,)).fetchone()
    return has_last is None or head(connection).count < remembered.count


def head(connection: sqlite3.Connection) -> JournalHead:
    """How far the journal reaches now.

    Entries are numbered without gaps and never go, so the last number is their count; counting a million rows at
    every tick would be felt.
    """
    last = connection.execute("SELECT seq, id FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
    last_seq, last_id = last or (0, "")
    return JournalHead(schema.journal_id(connection), last_seq, last_seq, last_id)


def _is_cut_short(path: Path, connection: sqlite3.Connection) -> bool:
    """SQLite reads a last page that is cut short as if zeros followed; an entry's end may lie in it."""
    connection.execute("BEGIN")
    try:
        # The read lock keeps writers from growing the file between the two questions.
        pages = connection.execute("SELECT page_count FROM pragma_page_count").fetchone()[0]
        page_bytes = connection.execute("PRAGMA page_size").fetchone()[0]
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        return path.stat().st_size < int(pages) * int(page_bytes)
    finally:
        connection.execute("ROLLBACK")


def _refuse_foreign_file(path: Path, *, read_only: bool) -> None:
    with closing(connect(path, read_only=read_only)) as connection:
        if connection.execute("PRAGMA application_id").fetchone()[0] != schema.APPLICATION_ID:
            raise UserError(
                f"{path} is an SQLite file, but no journal of tunneltui.",
                f"{AS_IT_IS} Name the journal's own file.",
            )
