"""What ``journal check`` asks of a server: whether its table still keeps to the rules, besides what is written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from tunneltui.holding.user_error import Fault, UserError
from tunneltui.store import shared_connection as server
from tunneltui.store.shared_away import copy_file
from tunneltui.store.shared_copy import waiting
from tunneltui.store.shared_journal import SharedJournal
from tunneltui.store.shared_schema import TRIGGERS
from tunneltui.store.where import SharedAt

_GUARDS = f"""SELECT count(*) FROM pg_trigger WHERE tgrelid = 'tunneltui.entries'::regclass
AND tgname IN {TRIGGERS} AND tgenabled IN ('O', 'A')"""  # noqa: S608  (constants)


def faults_of_server(where: SharedAt, state: Path) -> tuple[list[Fault], list[tuple[Any, ...]]]:
    """What is wrong with the table, and every row of it in order of arrival.

    Raises:
        UserError: the server is away, or there is no journal that can be read.
    """
    faults: list[Fault] = []
    try:
        SharedJournal.open(where, create=False, read_only=True, state_dir=state).close()
    except UserError as older:
        faults.append(Fault(older))
    with SharedJournal.open(where, create=False, read_only=True, state_dir=state, accept_older=True) as journal:
        rows = journal.sealed_rows()
        copy = copy_file(where, journal.head().journal_id)
        if copy.exists() and (waiting_words := waiting(journal, copy)):
            faults.append(Fault(waiting_words))
    return [*faults, *_guards(where)], rows


def _guards(where: SharedAt) -> Iterator[Fault]:
    with closing(server.connect(where)) as connection:
        if connection.execute(_GUARDS.encode()).fetchone() != (len(TRIGGERS),):
            yield Fault(
                "The table no longer refuses changes: a trigger of it was removed or switched off on the server."
            )
