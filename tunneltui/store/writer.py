"""A writer thread: a key press hands its drafts over and goes on; the future ends when the commit returned."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Self

from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.naming import RandomBits
from tunneltui.store.clock import Clock, now_us
from tunneltui.store.journals import Journal, open_journal
from tunneltui.store.where import Where

Writing = Future[list[Entry]]


class Writer:
    """Writes acts one after the other, in the order in which they were submitted.

    The journal is opened in the thread, and again after a failed opening; every failure is the ``UserError`` of
    the future it belongs to.
    """

    def __init__(
        self,
        path: Where,
        *,
        state_dir: Path | None = None,
        clock: Clock = now_us,
        device: str | None = None,
        random_bits: RandomBits = secrets.randbits,
    ) -> None:
        self._path = path
        self._open: Callable[[], Journal] = lambda: open_journal(
            path, create=False, state_dir=state_dir, clock=clock, device=device, random_bits=random_bits
        )
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="journal-writer")
        self._journal: Journal | None = None
        self._thread.submit(self._opened)

    def submit(self, drafts: Sequence[Draft], day: date, *, by: str = "", act: str | None = None) -> Writing:
        """Queues one act. The future gives its entries, or raises ``UserError``; it cannot be cancelled, so that a
        screen that closes takes no tick back."""
        kept = tuple(drafts)
        return self._queue(lambda: self._opened().append(kept, day, by=by, act=act))

    def close(self) -> None:
        """Writes what is queued, then closes the file. May be called twice."""
        self._queue(self._close)
        self._thread.shutdown(wait=True)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _queue(self, job: Callable[[], list[Entry]]) -> Writing:
        future: Writing = Future()
        future.set_running_or_notify_cancel()
        try:
            self._thread.submit(_into, future, job)
        except RuntimeError:
            future.set_exception(UserError(f"The journal {self._path} is closed.", "Nothing was written."))
        return future

    def _opened(self) -> Journal:
        if self._journal is None:
            self._journal = self._open()
        return self._journal

    def _close(self) -> list[Entry]:
        if self._journal is not None:
            self._journal.close()
            self._journal = None
        return []


def _into(future: Writing, job: Callable[[], list[Entry]]) -> None:
    try:
        future.set_result(job())
    except BaseException as fault:
        future.set_exception(fault)
