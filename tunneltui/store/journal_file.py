"""The journal: an append-only SQLite file that returns from ``append`` only after the commit returned."""

from __future__ import annotations

import os
import secrets
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from hashlib import sha256
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.naming import RandomBits, act_id
from tunneltui.journal.order import MARKS, one_of_each
from tunneltui.journal.valid import LAST_US
from tunneltui.store import folders, opening, seen
from tunneltui.store.acts import Dated, is_known, next_at_us, refuse_done_before, stamped, with_ids
from tunneltui.store.adding import Added, sort_out
from tunneltui.store.backup import bring_up_to_date
from tunneltui.store.clock import Clock, now_us
from tunneltui.store.connection import FAULTS, connect, in_plain_words, keep_one_file, writing
from tunneltui.store.migrations import SEALED, version_of
from tunneltui.store.new_file import create_journal
from tunneltui.store.rows import COLUMNS, entries_in, parted, row_of, sealed, storable
from tunneltui.store.seals import chained
from tunneltui.store.seen import JournalHead
from tunneltui.store.words import command

_INSERT = f"INSERT INTO entries (version, {COLUMNS}, seal) VALUES ({', '.join('?' * 12)})"  # noqa: S608  (constants)
_SELECT = f"SELECT seq, {COLUMNS} FROM entries"  # noqa: S608  (constants)
_LAST_SEQ = 2**63 - 1
_ROWS_AT_ONCE = 4096
"""Of a million entries not all are to lie in memory."""


class JournalFile:
    """An open journal. One per thread; close it, or use it in a ``with``."""

    def __init__(
        self, path: Path, connection: sqlite3.Connection, state: Path, clock: Clock, device: str, bits: RandomBits
    ) -> None:
        self.path = path
        self.device = device
        self._connection = connection
        self._state = state
        self._clock = clock
        self._bits = bits
        self._inode = _inode(path)
        self._lacks: JournalHead | None = None

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        create: bool = True,
        read_only: bool = False,
        state_dir: Path | None = None,
        clock: Clock = now_us,
        device: str | None = None,
        random_bits: RandomBits = secrets.randbits,
        accept_older: bool = False,
    ) -> Self:
        """Opens the journal at ``path`` after checking it, making it where absent and ``create`` is given.

        ``clock`` gives microseconds since 1970 UTC, ``random_bits(n)`` n random bits; ``device`` and ``state_dir``
        default to this machine's.

        Raises:
            UserError: absent, foreign, damaged, cut short, newer than this program, or older than what
                this machine last saw (unless ``accept_older``). The file is left byte for byte as it is.
        """
        path = Path(path).expanduser().resolve()
        state = state_dir or folders.state_folder()
        with in_plain_words(path):
            if not path.exists():
                opening.refuse_if_gone(path, seen.last_seen(state, path), create=create and not read_only)
                create_journal(path)
            opening.refuse_what_is_no_journal(path)
            connection = connect(path, read_only=read_only)
            try:
                opening.check_sound(path, connection)
                if not read_only:
                    bring_up_to_date(path, connection)
                opening.check_shape(path, connection)
                journal = cls(path, connection, state, clock, device or folders.device_id(state), random_bits)
                journal._greet(seen.last_seen(state, path), accept_older=accept_older)
                if not read_only:
                    keep_one_file(connection)
            except BaseException:
                connection.close()
                raise
        return journal

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Closes the file; may be called twice."""
        self._connection.close()

    def entries(self) -> list[Entry]:
        """Every entry in the order in which they count (day, at, id), each id once."""
        once = one_of_each(entry for _, entry in self.entries_after(0))
        return sorted(once, key=lambda entry: entry.order)

    def entries_after(self, seq: int) -> list[tuple[int, Entry]]:
        """Entries that arrived after ``seq``, in order of arrival, with their seq.

        An id may come twice, where a merge brought two versions of an import; ``journal.order`` says which counts.
        """
        with in_plain_words(self.path):
            return parted(self._rows_after(_SELECT, seq))[0]

    def sum_of_rows(self, last_seq: int) -> str:
        """A sum over all that the rows up to a seq hold, whoever wrote them."""
        columns = ", ".join(
            f"CAST(group_concat({name}, char(31)) AS BLOB)" for name in ("seq", *COLUMNS.split(", "))
        )
        ask = f"SELECT {columns} FROM entries WHERE seq > ? AND seq <= ?"  # noqa: S608  (constants)
        total = sha256()
        with in_plain_words(self.path):
            for first in range(0, last_seq, _ROWS_AT_ONCE):
                ends = (first or -_LAST_SEQ, min(first + _ROWS_AT_ONCE, last_seq))
                for column in self._connection.execute(ask, ends).fetchone():
                    total.update((column or b"") + b"\n")
        return total.hexdigest()

    def sealed_rows(self, after: int = 0) -> list[tuple[Any, ...]]:
        """Every row in order of arrival, as it stands there: seq, ``rows.COLUMNS`` and its seal."""
        with in_plain_words(self.path):
            return list(self._rows_after(self._select_sealed(), after))

    def _rows_after(self, select: str, seq: int) -> Iterator[Any]:
        """Rows in order of arrival; from 0 on all of them, those too that are numbered below by something else."""
        after, last = ("", ()) if seq <= 0 else (" WHERE seq > ?", (seq,))
        # Not all at once: no writer waits for a reader, and no row lies in memory beside its entry.
        while rows := self._connection.execute(
            f"{select}{after} ORDER BY seq LIMIT {_ROWS_AT_ONCE}", last
        ).fetchall():
            yield from rows
            after, last = " WHERE seq > ?", (rows[-1][0],)

    def _select_sealed(self) -> str:
        seal = "seal" if version_of(self._connection) >= SEALED else "''"
        return f"SELECT seq, {COLUMNS}, {seal} FROM entries"  # noqa: S608  (constants)

    def known(self, ids: Iterable[str]) -> dict[str, Entry]:
        """Those of ``ids`` that are in the journal already, with their entries."""
        with in_plain_words(self.path):
            return self._known(ids)

    def head(self) -> JournalHead:
        """How far the journal reaches now."""
        with in_plain_words(self.path):
            self._still_here()
            return opening.head(self._connection)

    def append(self, drafts: Sequence[Draft], day: date, *, by: str = "", act: str | None = None) -> list[Entry]:
        """Writes one act of one day; see ``append_days``."""
        return self.append_days([(day, draft) for draft in drafts], by=by, act=act)

    def append_days(self, drafts: Sequence[Dated], *, by: str = "", act: str | None = None) -> list[Entry]:
        """Writes one act in one transaction and returns its new entries after the commit returned.

        A draft whose given id is in the journal with the same day, kind, about and body adds nothing; so a file
        imported twice adds nothing twice.

        Raises:
            UserError: a given id is there with other content, what is ticked off was done before (then
                ``DoneBefore``), or the file cannot be written; nothing was written.
        """
        with in_plain_words(self.path):
            entries: list[Entry] = []
            try:
                with self._transaction():
                    filed = self._known(draft.id for _, draft in drafts if draft.id)
                    fresh = [pair for pair in drafts if not is_known(filed.get(pair[1].id), *pair)]
                    refuse_done_before(fresh, self.device, self._answering, self._marks)
                    last = self._last_of_device()
                    entries = self._stamped(fresh, by, act, last) if fresh else []
                    self._insert(
                        [(0, *row) for row in chained((row_of(storable(entry)) for entry in entries), last)]
                    )
            except FAULTS as fault:
                if entries and self._came_through(entries[0]):
                    raise _written_and_doubtful(self.path) from fault
                raise
        self._remember()
        return entries

    def append_entries(self, entries: Sequence[Entry]) -> int:
        """Adds ready-made entries in one transaction; the number that were new. See ``add_entries``."""
        return len(self.add_entries(entries).new)

    def add_entries(self, entries: Sequence[Entry]) -> Added:
        """Adds ready-made entries (merge, import, demo) in one transaction.

        What is there already stays as it is. An id with other content is kept beside the first as a further
        version and reported.

        Raises:
            UserError: an entry cannot be kept byte for byte, or the file cannot be written; nothing was written.
        """
        with in_plain_words(self.path), self._transaction():
            added = sort_out(self._versions(entry.id for entry in entries), entries)
            self._insert([(version, *sealed(storable(entry))) for version, entry in added.rows])
        self._remember()
        return added

    def compare(self, entries: Sequence[Entry]) -> Added:
        """What ``add_entries`` would do; nothing is written."""
        with in_plain_words(self.path):
            return sort_out(self._versions(entry.id for entry in entries), entries)

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        with writing(self._connection):
            self._still_here()
            yield

    def _came_through(self, entry: Entry) -> bool:
        """Whether a commit that reported a fault took effect all the same."""
        try:
            return entry.id in self._known([entry.id])
        except FAULTS:
            return False

    def _insert(self, values: Sequence[tuple[Any, ...]]) -> None:
        before = self._connection.total_changes
        try:
            self._connection.executemany(_INSERT, values)
        except sqlite3.OperationalError as fault:
            if self._last_seq() < _LAST_SEQ:
                raise
            raise UserError(
                f"The journal {self.path} cannot be numbered on: something else wrote the last number.",
                f"Nothing was written. {command(self.path, 'journal salvage')} makes a new journal without it.",
            ) from fault
        if self._connection.total_changes - before < len(values):
            # A trigger from elsewhere, or a file that is written behind our back.
            raise UserError(
                f"The journal {self.path} did not take all that was to be written: something else changed it.",
                f"Nothing was written. {command(self.path, 'journal check')} says more.",
            )

    def _last_seq(self) -> int:
        return int(self._connection.execute("SELECT coalesce(max(seq), 0) FROM entries").fetchone()[0])

    def _known(self, ids: Iterable[str]) -> dict[str, Entry]:
        return {id_: one_of_each(versions)[0] for id_, versions in self._versions(ids).items()}

    def _versions(self, ids: Iterable[str]) -> dict[str, list[Entry]]:
        versions = {}
        for id_ in ids:
            rows = self._connection.execute(f"{_SELECT} WHERE id = ? ORDER BY version", (id_,)).fetchall()
            if rows:
                versions[id_] = entries_in(rows)
                if not versions[id_]:
                    raise UserError(
                        f"An unreadable row of the journal {self.path} holds the name {one_line(id_, 40)}.",
                        f"{command(self.path, 'journal salvage')} makes a new journal without it.",
                    )
        return versions

    def _answering(self, about: str, since: date, text: str) -> list[Entry]:
        ask = f"{_SELECT} WHERE about = ? AND day >= ? AND instr(body, ?)"
        return entries_in(self._connection.execute(ask, (about, since.isoformat(), text)))

    def _marks(self) -> list[Entry]:
        ask = f"{_SELECT} WHERE kind IN (?, ?)"
        return entries_in(self._connection.execute(ask, tuple(sorted(MARKS))))

    def _still_here(self) -> None:
        """A file put in this one's place (a restore) would leave us writing where nobody looks."""
        if _inode(self.path) != self._inode:
            raise UserError(
                f"The journal {self.path} was moved or replaced while it was open.",
                "Nothing was written. Close the program and open it again.",
            )

    def _greet(self, remembered: JournalHead | None, *, accept_older: bool) -> None:
        if accept_older:
            self._lacks = remembered
        else:
            opening.refuse_if_older(self.path, self._connection, remembered)
            self._remember()

    def _remember(self) -> None:
        """Keeps how far the journal reaches, unless it still lacks what was remembered before."""
        if self._lacks is not None and opening.is_older(self._connection, self._lacks):
            return
        self._lacks = None
        seen.remember(self._state, self.path, opening.head(self._connection))

    def _stamped(
        self, drafts: Sequence[Dated], by: str, act: str | None, last: Sequence[Any] | None
    ) -> list[Entry]:
        first_us = next_at_us(self._clock(), last[4] if last is not None else None)
        act = act or act_id(first_us, self._bits)
        return stamped(with_ids(drafts, first_us, self._bits), act, self.device, by, first_us)

    def _last_of_device(self) -> tuple[Any, ...] | None:
        ask = f"SELECT {COLUMNS}, seal FROM entries WHERE device = ? AND at <= ? ORDER BY at DESC LIMIT 1"  # noqa: S608
        row: tuple[Any, ...] | None = self._connection.execute(ask, (self.device, LAST_US)).fetchone()
        return row


def _written_and_doubtful(path: Path) -> UserError:
    return UserError(
        f"The disk reported a fault after the entry was written to the journal {path}: it is there, but a "
        "power cut may take it back.",
        "Do not enter it again. Copy the journal to another disk before going on.",
    )


def _inode(path: Path) -> tuple[int, int]:
    """Which file the name stands for now; (0, 0) where there is none."""
    try:
        status = os.stat(path)
    except FileNotFoundError:
        return (0, 0)
    return (status.st_dev, status.st_ino)
