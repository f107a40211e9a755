"""A new file from what can still be read of a damaged journal, with counts of what could not."""

from __future__ import annotations

import mmap
import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.store import folders, seen
from tunneltui.store.connection import FAULTS, connect, in_plain_words
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.pages import EntryRow, Unreadable, rows
from tunneltui.store.where import SharedAt, Where


@dataclass(frozen=True, slots=True)
class SalvageResult:
    """What a salvage brought to safety."""

    into: Path
    entries: int
    unreadable: int
    """Rows that are there but cannot be read whole."""
    missing: int
    """At least so many entries are known to have been there and are not among those read."""


def salvage(where: Where, into: Path | None = None, *, state_dir: Path | None = None) -> SalvageResult:
    """Makes a new file, by default ``NAME.salvaged.db`` beside the damaged one (of a server, in this folder). What
    is damaged is left byte for byte.

    Raises:
        UserError: nothing could be read, or a file is at ``into`` already.
    """
    state = state_dir or folders.state_folder()
    where = where.expanduser().resolve() if isinstance(where, Path) else where
    beside = where if isinstance(where, Path) else Path(f"{where.name}.db")
    into = (into or beside.with_name(f"{beside.stem}.salvaged{beside.suffix}")).expanduser().resolve()
    if into.exists():
        raise UserError(f"There is a file at {into} already.", "It was left as it is; name another with --to.")
    readable = _of_file(where) if isinstance(where, Path) else _of_server(where, state)
    read = {row.seq: row.entry for row in readable if isinstance(row, EntryRow)}
    if not read:
        raise UserError(f"No entry could be read from {where}.", "It was left as it is, byte for byte.")
    with JournalFile.open(into, state_dir=state) as journal:
        journal.add_entries([read[seq] for seq in sorted(read)])
        entries = journal.head().count
    unreadable = sum(isinstance(row, Unreadable) for row in readable)
    return SalvageResult(into, entries, unreadable, _missing(read, seen.last_seen(state, where)))


def _of_file(path: Path) -> list[EntryRow | Unreadable]:
    with in_plain_words(path), _bytes_of_copy(path) as data:
        return list(rows(data)) if data else []


def _of_server(where: SharedAt, state: Path) -> list[EntryRow | Unreadable]:
    from tunneltui.store import shared_salvage

    return shared_salvage.rows(where, state)


def _missing(read: dict[int, Entry], remembered: seen.JournalHead | None) -> int:
    """Numbers are given without gaps, so a gap is an entry that was there."""
    reached = max(max(read), remembered.last_seq if remembered else 0)
    return reached - len(read)


@contextmanager
def _bytes_of_copy(path: Path) -> Iterator[mmap.mmap | None]:
    """The bytes of a copy in which an interrupted write was undone; None where the file is empty."""
    if not path.is_file():
        raise UserError(f"There is no file at {path}.", "Name the damaged journal.")
    copy = path.with_name(f".{path.name}.{secrets.token_hex(4)}.copy")
    left = path.with_name(f"{path.name}-journal")
    copied_left = copy.with_name(f"{copy.name}-journal")
    try:
        _copy_private(path, copy)
        if left.exists():
            _copy_private(left, copied_left)
            _undo_interrupted_write(copy)
        if copy.stat().st_size == 0:
            yield None
            return
        with copy.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
            yield data
    finally:
        copy.unlink(missing_ok=True)
        copied_left.unlink(missing_ok=True)


def _copy_private(source: Path, target: Path) -> None:
    os.close(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, folders.PRIVATE_FILE))
    shutil.copyfile(source, target)


def _undo_interrupted_write(copy: Path) -> None:
    try:
        with closing(connect(copy)) as connection:
            connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    except FAULTS:
        return  # too damaged for SQLite: the pages are read as they are
