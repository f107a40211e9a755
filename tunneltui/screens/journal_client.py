"""The journal as the screens use it: one pen that writes, and readers that never wait for it."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    import sqlite3

    from tunneltui.journal.entry import Draft, Entry
    from tunneltui.screens.shared_client import News, SharedClient
    from tunneltui.season.long_journal import LongJournal
    from tunneltui.store.seen import JournalHead
    from tunneltui.store.where import Where
    from tunneltui.store.writer import Writer


class JournalClient(Protocol):
    """What the app needs of a journal."""

    device: str
    """Whose acts are ours to take back where other hands write too; '' where all are."""

    def head(self) -> JournalHead | None:
        """How far it reaches now; quick enough for the first paint."""

    def entries(self) -> list[Entry] | LongJournal:
        """Every entry, in the order in which they count. Raises ``UserError``."""

    def settled(self, day: date) -> list[Entry] | LongJournal:
        """The same, for plans of ``day`` and later; what ended seasons come to is worked out once, where many
        entries are of such."""

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        """Queues one act; the future ends when it is durable, or with what kept it from being written."""

    def close(self) -> None:
        """Returns when everything that was submitted is written."""


LOOK_SECONDS = 1.0
"""So often a file is asked whether others wrote to it: SQLite tells it from one number in the file."""


class FileClient:
    """A journal file, read through connections of their own and written by one thread."""

    device = ""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._writer: Writer | None = None
        self._own: set[str] = set()
        """Acts of this program."""
        self._read_to = -1
        """Seq of the last entry that was read; -1 before the first reading."""
        self._leaving = Event()

    def head(self) -> JournalHead | None:
        """None where the file cannot be read: what is wrong with it is said when its entries are asked for."""
        import sqlite3
        from contextlib import closing

        from tunneltui.store.connection import connect
        from tunneltui.store.opening import head

        try:
            with closing(connect(self.path, read_only=True)) as connection:
                return head(connection)
        except (sqlite3.Error, OSError, TypeError):
            return None

    def entries(self) -> list[Entry] | LongJournal:
        from tunneltui.store.ended_seasons import read_entries
        from tunneltui.store.journal_file import JournalFile

        with JournalFile.open(self.path, create=False, read_only=True) as journal:
            # Before the entries: what comes meanwhile is looked at once too often, never too seldom.
            self._read_to = journal.head().last_seq
            return read_entries(journal)

    def settled(self, day: date) -> list[Entry] | LongJournal:
        from tunneltui.season.fold import folded
        from tunneltui.store.ended_seasons import LEAST, settle

        entries = self.entries()
        if len(entries) < LEAST:
            return entries
        settle(self.path, entries, folded(entries, day))
        return self.entries()

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        from secrets import randbits

        from tunneltui.journal.naming import act_id
        from tunneltui.store.clock import now_us
        from tunneltui.store.writer import Writer

        # Named here, so that the watch knows it for our own.
        act = act_id(now_us(), randbits)
        self._own.add(act)
        if self._writer is None:
            self._writer = Writer(self.path)
        return self._writer.submit(drafts, day, act=act)

    def close(self) -> None:
        self._leaving.set()
        if self._writer is not None:
            self._writer.close()

    def watch(self, news: News) -> None:
        """Tells ``news`` when another window or program wrote to the file, from a thread of its own."""
        Thread(target=self._watch, args=(news,), name="file-watch", daemon=True).start()

    def _watch(self, news: News) -> None:
        import sqlite3
        from contextlib import closing

        from tunneltui.store.connection import connect

        while not self._leaving.wait(LOOK_SECONDS):
            try:
                with closing(connect(self.path, read_only=True)) as connection:
                    self._look(connection, news)
            except (sqlite3.Error, OSError):
                # What is wrong with the file is said where it is read or written.
                continue

    def _look(self, connection: sqlite3.Connection, news: News) -> None:
        """``PRAGMA data_version`` changes when another connection commits (SQLite documentation)."""
        seen, reported = None, -1
        while not self._leaving.is_set():
            version = connection.execute("PRAGMA data_version").fetchone()[0]
            if self._read_to >= 0 and version != seen:
                seen, reported = version, max(reported, self._read_to)
                rows = connection.execute("SELECT seq, act FROM entries WHERE seq > ? ORDER BY seq", (reported,))
                came = rows.fetchall()
                reported = came[-1][0] if came else reported
                if any(act not in self._own for _, act in came):
                    news(None)
            self._leaving.wait(LOOK_SECONDS)


def client_of(where: Where) -> FileClient | SharedClient:
    """Of a file or of a journal on a server. Raises ``UserError`` where the package for a server is missing."""
    if isinstance(where, Path):
        return FileClient(where)
    from tunneltui.screens.shared_client import SharedClient

    return SharedClient(where)
