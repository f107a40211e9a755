"""A journal on a server as the screens use it: read on where others wrote, and heard when they do."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextlib import suppress
from datetime import date
from threading import Event, Lock, Thread
from typing import TypeVar

from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.naming import act_id
from tunneltui.journal.order import one_of_each
from tunneltui.store.clock import now_us
from tunneltui.store.folders import device_id, state_folder
from tunneltui.store.seen import JournalHead
from tunneltui.store.shared_copy import bring_up_to_date
from tunneltui.store.shared_journal import SharedJournal
from tunneltui.store.where import SharedAt
from tunneltui.store.writer import Writer

LOOK_SECONDS = 2.0
"""Between two looks at how far the journal reaches, where no nudge comes sooner."""
AGAIN_SECONDS = 5.0
"""Between two tries at a server that is away."""
_Answer = TypeVar("_Answer")
News = Callable[[UserError | None], None]
"""Told when there is something to read (None), or when the server went away (what to do meanwhile)."""


class SharedClient:
    """One connection reads, one writes, one listens. What was read is kept; only what came since is fetched."""

    def __init__(self, where: SharedAt) -> None:
        self._where = where
        self.device = device_id(state_folder())
        self._reading = Lock()
        self._reader: SharedJournal | None = None
        self._rows: list[tuple[int, Entry]] = []
        self._read_once = Event()
        self._own: set[str] = set()
        self._leaving = Event()
        self._writer: Writer | None = None

    def head(self) -> JournalHead | None:
        """None where the server is away: that is said when the entries are asked for."""
        try:
            return self._read(SharedJournal.head)
        except UserError:
            return None

    def entries(self) -> list[Entry]:
        rows = self._read(self._read_on)
        self._read_once.set()
        return sorted(one_of_each(entry for _, entry in rows), key=lambda entry: entry.order)

    def settled(self, day: date) -> list[Entry]:  # noqa: ARG002
        return self.entries()

    def submit(self, drafts: Sequence[Draft], day: date) -> Future[list[Entry]]:
        # Named here, so that the listener knows it for our own.
        act = act_id(now_us(), secrets.randbits)
        self._own.add(act)
        if self._writer is None:
            self._writer = Writer(self._where)
        return self._writer.submit(drafts, day, act=act)

    def close(self) -> None:
        self._leaving.set()
        if self._writer is not None:
            self._writer.close()
        with self._reading:
            self._put_down()

    def watch(self, news: News) -> None:
        """Tells ``news`` of what others write, from a thread of its own, until ``close``."""
        # Nothing waits for it at the end: it may be seeking a server that is away.
        Thread(target=self._watch, args=(news,), name="journal-listener", daemon=True).start()

    def _watch(self, news: News) -> None:
        away = False
        while not self._leaving.is_set():
            try:
                with SharedJournal.open(self._where, create=False, read_only=True) as journal:
                    if away:
                        news(None)
                    away = False
                    self._listen(journal, news)
            except UserError as trouble:
                if not away and not self._leaving.is_set():
                    news(trouble)
                away = True
                self._leaving.wait(AGAIN_SECONDS)

    def _listen(self, journal: SharedJournal, news: News) -> None:
        self._read_once.wait()
        reported = self._rows[-1][0] if self._rows else 0
        to_copy = True
        while not self._leaving.is_set():
            came = journal.entries_after(reported)
            reported = came[-1][0] if came else reported
            if any(entry.act not in self._own for _, entry in came):
                news(None)
            if to_copy and not came:
                # In a quiet moment: should the server go away, one goes on from here. A copy that cannot be
                # written now is no reason to stop listening; the first start of a day says why it cannot.
                with suppress(UserError):
                    bring_up_to_date(journal)
            to_copy = bool(came)
            journal.wait_for_more(LOOK_SECONDS)

    def _read(self, job: Callable[[SharedJournal], _Answer]) -> _Answer:
        with self._reading:
            try:
                if self._reader is None:
                    self._rows = []
                    self._reader = SharedJournal.open(self._where, create=False, read_only=True)
                return job(self._reader)
            except UserError:
                self._put_down()
                raise

    def _read_on(self, journal: SharedJournal) -> list[tuple[int, Entry]]:
        """All rows. The last one known is fetched again: where another stands there now, all are."""
        last = self._rows[-1:]
        came = journal.entries_after(last[0][0] - 1 if last else 0)
        if last and came[:1] != last:
            last, came = [], journal.entries_after(0)
            self._rows = []
        self._rows = self._rows + came[len(last) :]
        return self._rows

    def _put_down(self) -> None:
        if self._reader is not None:
            self._reader.close()
        self._reader = None
