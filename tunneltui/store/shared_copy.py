"""The copy of a shared journal that this machine keeps in a file: what one goes on with while the server is away.

It is a journal like any other, brought up to date by reading on. What is noted in it meanwhile reaches the server
by ``journal merge``; nothing is merged unasked.
"""

from __future__ import annotations

from pathlib import Path

from tunneltui.holding.user_error import Fault, UserError
from tunneltui.store import backup, folders, seen
from tunneltui.store.clock import Clock, local_day, now_us
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.rows import parted
from tunneltui.store.shared_away import copy_file, merge_command
from tunneltui.store.shared_journal import SharedJournal
from tunneltui.store.where import SharedAt


def bring_up_to_date(theirs: SharedJournal) -> Path:
    """Reads on into the copy, making it where absent; where it is.

    Raises:
        UserError: the server is away, or the copy cannot be written.
    """
    state = folders.state_folder()
    head = theirs.head()
    path = copy_file(theirs.where, head.journal_id)
    if not path.exists():
        seen.forget(state, path)
    with JournalFile.open(path, accept_older=True) as copy:
        last = seen.last_seen(state, _mark_of(path))
        reads_on = last is not None and last.last_seq <= head.last_seq and bool(copy.known([last.last_id]))
        came = theirs.sealed_rows(last.last_seq if last and reads_on else 0)
        copy.add_entries([entry for _, entry in parted(came)[0]])
    seen.remember(state, _mark_of(path), head)
    return path


def first_copy_of_day(where: SharedAt, *, clock: Clock = now_us) -> str:
    """The copy brought up to date and backed up at the first start of each day. A fault is returned, not raised.

    Returns it where that could not be done, or where the copy holds what the server lacks; else ''.
    """
    remembered = seen.last_seen(folders.state_folder(), where)
    if remembered is not None:
        copies = backup.backups(copy_file(where, remembered.journal_id))
        if any(kept.day == local_day(clock()) for kept in copies):
            return ""
    try:
        with SharedJournal.open(where, create=False, read_only=True) as theirs:
            copy = bring_up_to_date(theirs)
            waiting_words = waiting(theirs, copy)
        backup.back_up(copy, "start", clock=clock)
    except UserError as trouble:
        return Fault(f"Today's copy could not be made. {trouble.problem}")
    return waiting_words


def waiting(theirs: SharedJournal, copy: Path) -> str:
    """What was noted in the copy and is not on the server yet; '' where nothing is."""
    with JournalFile.open(copy, create=False, read_only=True, accept_older=True) as ours:
        new = len(theirs.compare([entry for _, entry in ours.entries_after(0)]).new)
    if not new:
        return ""
    return Fault(
        f"{new} entries that were noted while the server was away are not there yet: "
        f"{merge_command(theirs.where, copy)} brings them."
    )


def _mark_of(path: Path) -> Path:
    """The name under which it is remembered how far the copy reaches: its own end may be work of its own."""
    return path.with_name(f"{path.name} as copied")
