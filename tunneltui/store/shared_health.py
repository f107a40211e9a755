"""What ``journal check`` asks of a server: whether its table still keeps to the rules, besides what is written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.store import shared_connection as server
from tunneltui.store.rows import RowAside
from tunneltui.store.shared_away import copy_file
from tunneltui.store.shared_copy import waiting
from tunneltui.store.shared_journal import SharedJournal
from tunneltui.store.shared_schema import TRIGGERS
from tunneltui.store.where import SharedAt

_GUARDS = f"""SELECT count(*) FROM pg_trigger WHERE tgrelid = 'tunneltui.entries'::regclass
AND tgname IN {TRIGGERS} AND tgenabled IN ('O', 'A')"""  # noqa: S608  (constants)


def faults_of_server(where: SharedAt, state: Path) -> tuple[list[str], list[Entry], list[RowAside]]:
    """What is wrong with the table, every entry of it in order of arrival, and the rows that do not count.

    Raises:
        UserError: the server is away, or there is no journal that can be read.
    """
    faults: list[str] = []
    try:
        SharedJournal.open(where, create=False, read_only=True, state_dir=state).close()
    except UserError as older:
        faults.append(str(older))
    with SharedJournal.open(where, create=False, read_only=True, state_dir=state, accept_older=True) as journal:
        numbered = journal.entries_after(0)
        aside = journal.rows_aside()
        copy = copy_file(where, journal.head().journal_id)
        if copy.exists() and (told := waiting(journal, copy)):
            faults.append(told)
    numbers = sorted([*(seq for seq, _ in numbered), *(row.seq for row in aside)])
    return [*faults, *_numbers(numbers), *_guards(where)], [entry for _, entry in numbered], aside


def _numbers(seqs: list[int]) -> Iterator[str]:
    missing = (seqs[-1] if seqs else 0) - len(seqs)
    if missing:
        yield f"{missing} numbers between the first entry and the last are missing: rows were taken out by hand."


def _guards(where: SharedAt) -> Iterator[str]:
    with closing(server.connect(where)) as connection:
        if connection.execute(_GUARDS.encode()).fetchone() != (len(TRIGGERS),):
            yield "The table no longer refuses changes: a trigger of it was removed or switched off on the server."
