"""The journal as the screens use it: one pen that writes, and readers that never wait for it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from tunneltui.journal.entry import Draft, Entry
    from tunneltui.store.journal_file import JournalFile
    from tunneltui.store.seen import Head


class Keeper(Protocol):
    """What the app needs of a journal."""

    def head(self) -> Head | None:
        """How far it reaches now; quick enough for the first paint."""

    def entries(self) -> list[Entry]:
        """Every entry, in the order in which they count."""

    def write(self, drafts: Sequence[Draft], day: date) -> str:
        """One act, on return durable; its id. Called from one thread only. Raises ``Trouble``."""

    def close(self) -> None:
        """Called from the thread that writes."""


class FileKeeper:
    """A journal file. Opened for writing on the first write, in the writing thread."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._pen: JournalFile | None = None

    def head(self) -> Head | None:
        """None where the file cannot be read yet: what is wrong with it is said when it is opened."""
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

    def write(self, drafts: Sequence[Draft], day: date) -> str:
        from tunneltui.store.journal_file import JournalFile

        if self._pen is None:
            self._pen = JournalFile.open(self.path, create=False)
        written = self._pen.append(drafts, day)
        return written[0].act if written else ""

    def close(self) -> None:
        if self._pen is not None:
            self._pen.close()
            self._pen = None
