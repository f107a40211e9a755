"""The journal as the screens use it: one pen that writes, and readers that never wait for it."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from tunneltui.journal.entry import Draft, Entry
    from tunneltui.screens.shared_keeper import SharedKeeper
    from tunneltui.store.seen import Head
    from tunneltui.store.where import Where
    from tunneltui.store.writer import Writer


class Keeper(Protocol):
    """What the app needs of a journal."""

    device: str
    """Whose acts are ours to take back where other hands write too; '' where all are."""

    def head(self) -> Head | None:
        """How far it reaches now; quick enough for the first paint."""

    def entries(self) -> list[Entry]:
        """Every entry, in the order in which they count. Raises ``Trouble``."""

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        """Queues one act; the future ends when it is durable, or with what kept it from being written."""

    def close(self) -> None:
        """Returns when everything that was submitted is written."""


class FileKeeper:
    """A journal file, read through connections of their own and written by one thread."""

    device = ""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._writer: Writer | None = None

    def head(self) -> Head | None:
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

    def entries(self) -> list[Entry]:
        from tunneltui.store.journal_file import JournalFile

        with JournalFile.open(self.path, create=False, read_only=True) as journal:
            return journal.entries()

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        from tunneltui.store.writer import Writer

        if self._writer is None:
            self._writer = Writer(self.path)
        return self._writer.submit(drafts, day)

    def close(self) -> None:
        if self._writer is not None:
            self._writer.close()


def keeper_of(where: Where) -> FileKeeper | SharedKeeper:
    """Of a file or of a journal on a server. Raises ``Trouble`` where the package for a server is missing."""
    if isinstance(where, Path):
        return FileKeeper(where)
    from tunneltui.screens.shared_keeper import SharedKeeper

    return SharedKeeper(where)
