"""The one way to a journal, wherever it is: a file of this machine or a server that several write to."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Any, Protocol, Self

from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.naming import RandomBits
from tunneltui.store import backup
from tunneltui.store.adding import Added
from tunneltui.store.backup import Backup, Why
from tunneltui.store.clock import Clock, now_us
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.seen import JournalHead
from tunneltui.store.where import SharedAt, Where


class Journal(Protocol):
    """What both keep to: ``JournalFile`` says what each does."""

    device: str

    def __enter__(self) -> Self: ...
    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None: ...
    def close(self) -> None: ...
    def entries(self) -> list[Entry]: ...
    def entries_after(self, seq: int) -> list[tuple[int, Entry]]: ...
    def sealed_rows(self, after: int = 0) -> list[tuple[Any, ...]]: ...
    def known(self, ids: Iterable[str]) -> dict[str, Entry]: ...
    def head(self) -> JournalHead: ...
    def append(
        self, drafts: Sequence[Draft], day: date, *, by: str = "", act: str | None = None
    ) -> list[Entry]: ...
    def append_days(
        self, drafts: Sequence[tuple[date, Draft]], *, by: str = "", act: str | None = None
    ) -> list[Entry]: ...
    def append_entries(self, entries: Sequence[Entry]) -> int: ...
    def add_entries(self, entries: Sequence[Entry]) -> Added: ...
    def compare(self, entries: Sequence[Entry]) -> Added: ...


def open_journal(
    where: Where,
    *,
    create: bool = True,
    read_only: bool = False,
    state_dir: Path | None = None,
    clock: Clock = now_us,
    device: str | None = None,
    random_bits: RandomBits = secrets.randbits,
    accept_older: bool = False,
) -> Journal:
    """Opens the journal there; see ``JournalFile.open`` and ``SharedJournal.open``.

    Raises:
        UserError: it cannot be opened; for an address also where the package for it is not installed.
    """
    if isinstance(where, SharedAt):
        from tunneltui.store.shared_journal import SharedJournal

        return SharedJournal.open(
            where,
            create=create,
            read_only=read_only,
            state_dir=state_dir,
            clock=clock,
            device=device,
            random_bits=random_bits,
            accept_older=accept_older,
        )
    return JournalFile.open(
        where,
        create=create,
        read_only=read_only,
        state_dir=state_dir,
        clock=clock,
        device=device,
        random_bits=random_bits,
        accept_older=accept_older,
    )


def is_there(where: Where) -> bool:
    """Whether there is a journal that ``open_journal`` need not make.

    Raises:
        UserError: nobody can say, since the server is away.
    """
    if isinstance(where, Path):
        return where.expanduser().exists()
    from tunneltui.store.shared_journal import journal_there

    return journal_there(where)


def back_up(where: Where, why: Why) -> Backup:
    """A backup of a file, or of this machine's copy of a shared journal, brought up to date first.

    Raises:
        UserError: it could not be made.
    """
    return backup.back_up(file_in_hand(where), why)


def first_of_day(where: Where, *, clock: Clock = now_us) -> str:
    """As ``backup.first_of_day``; a shared journal is copied to this machine by it."""
    if isinstance(where, Path):
        return backup.first_of_day(where, clock=clock)
    from tunneltui.store.shared_copy import first_copy_of_day

    return first_copy_of_day(where, clock=clock)


def file_in_hand(where: Where) -> Path:
    """The journal's file; of a shared one this machine's copy, brought up to date now."""
    if isinstance(where, Path):
        return where
    from tunneltui.store.shared_copy import bring_up_to_date
    from tunneltui.store.shared_journal import SharedJournal

    with SharedJournal.open(where, create=False, read_only=True, accept_older=True) as theirs:
        return bring_up_to_date(theirs)
