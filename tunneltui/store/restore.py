"""Putting a backup in the journal's place, keeping what was there."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tunneltui.holding.user_error import UserError
from tunneltui.store import folders, opening, seen
from tunneltui.store.backup import backups, copy_checked, folder_of
from tunneltui.store.clock import Clock, now_us
from tunneltui.store.connection import FAULTS, code_of, connect, in_plain_words
from tunneltui.store.new_file import put_in_place
from tunneltui.store.words import command
from tunneltui.store.write_file import sync_file, sync_folder


@dataclass(frozen=True, slots=True)
class RestoredFile:
    """What was put back, and where the file that was there is kept (None: there was none)."""

    source: Path
    entries: int
    kept: Path | None
    passed_over: tuple[str, ...]
    """Newer backups that were not sound, and why."""


def restore(
    path: Path, source: Path | None = None, *, state_dir: Path | None = None, clock: Clock = now_us
) -> RestoredFile:
    """Puts ``source``, by default the newest sound backup, in the place of the journal at ``path``.

    The present file is kept beside it under another name, and no entry of it is taken over: a merge with it does
    that.

    Raises:
        UserError: no sound backup, or the journal is being written; the present file stays in its place.
    """
    path = path.expanduser().resolve()
    state = state_dir or folders.state_folder()
    source, passed_over = (source, ()) if source else _newest_sound(path)
    with in_plain_words(path):
        refuse_unsound(source)
        folders.private_folder(path.parent)
        beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.restored")
        try:
            with closing(connect(source, read_only=True)) as whole:
                head = copy_checked(whole, beside)
            kept = _exchange(beside, path, clock())
        finally:
            beside.unlink(missing_ok=True)
        seen.remember(state, path, head)
    return RestoredFile(source, head.count, kept, passed_over)


def refuse_unsound(source: Path) -> None:
    """Raises ``UserError`` where ``source`` is no sound journal of a known version."""
    with in_plain_words(source):
        if not source.exists():
            raise UserError(f"There is no backup at {source}.", "Name one that is there.")
        opening.refuse_what_is_no_journal(source)
        with closing(connect(source, read_only=True)) as connection:
            opening.check_sound(source, connection)


def _newest_sound(path: Path) -> tuple[Path, tuple[str, ...]]:
    passed_over = []
    for backup in backups(path):
        try:
            refuse_unsound(backup.path)
        except UserError as trouble:
            passed_over.append(trouble.problem)
            continue
        return backup.path, tuple(passed_over)
    raise UserError(
        f"There is no sound backup of {path} in {folder_of(path)}.",
        f"Name a copy you have: {command(path, 'journal restore COPY')}. "
        f"Or take what can still be read: {command(path, 'journal salvage')}.",
    )


def _exchange(beside: Path, path: Path, at_us: int) -> Path | None:
    """Gives the finished file the journal's name; the file that had it is kept, with its rollback journal.

    A rollback journal left beside the new file would be played into it and destroy it.
    """
    if not path.exists():
        _set_aside_rollback_journal(path, path.with_name(f"{path.name}.before-restore-{at_us}"))
        put_in_place(beside, path)
        return None
    with _nobody_writes(path):
        kept = path.with_name(f"{path.name}.before-restore-{at_us}")
        sync_file(beside)
        _set_aside_rollback_journal(path, kept)
        # A second name, so that at no moment there is no journal; on disks without links, another name.
        try:
            os.link(path, kept)
        except OSError:
            path.rename(kept)
        beside.replace(path)
        sync_folder(path.parent)
    return kept


def _set_aside_rollback_journal(path: Path, kept: Path) -> None:
    left = path.with_name(f"{path.name}-journal")
    if left.exists():
        left.rename(kept.with_name(f"{kept.name}-journal"))


@contextmanager
def _nobody_writes(path: Path) -> Iterator[None]:
    """Keeps other programs from writing while the file is exchanged; a file too damaged to lock is nobody's."""
    with ExitStack() as held:
        try:
            connection = held.enter_context(closing(connect(path)))
            connection.execute("BEGIN EXCLUSIVE")
        except FAULTS as fault:
            if code_of(fault).startswith("SQLITE_BUSY"):
                raise
        yield
