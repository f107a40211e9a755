"""The journal on a PostgreSQL server: the same append-only table and rules as the file, for several machines.

An act's names are made here before it is sent. So when the connection is lost and nobody can say whether the
commit took effect, the act is sent again, and the server's own rows tell whether it is there already.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.naming import RandomBits, act_id
from tunneltui.journal.order import one_of_each
from tunneltui.store import folders, opening, seen
from tunneltui.store import shared_connection as server
from tunneltui.store import shared_tables as tables
from tunneltui.store.acts import Dated, is_known, next_at_us, refuse_done_before, stamped, with_ids
from tunneltui.store.adding import Added, sort_out
from tunneltui.store.clock import Clock, now_us
from tunneltui.store.rows import COLUMNS, parted, row_of, sealed
from tunneltui.store.seals import chained
from tunneltui.store.seen import JournalHead
from tunneltui.store.shared_away import go_on_without
from tunneltui.store.shared_connection import Connection, Fault
from tunneltui.store.shared_schema import FORMAT, NUDGE
from tunneltui.store.where import SharedAt

PATIENCE_SECONDS = 10.0
"""How long a connection that was lost is sought again, before the grower is told."""
ANSWER_SECONDS = 4.8
"""A server that is asked or written to and does not answer within this is taken to be away: shown within 5 s."""
READ_SECONDS = 120.0
"""The same where a whole season is read or written."""
_AGAIN_SECONDS = 0.2
_HEAD = "SELECT seq, id FROM tunneltui.entries ORDER BY seq DESC LIMIT 1"
_Answer = TypeVar("_Answer")


@dataclass(slots=True)
class _Sent:
    """Something to write on its way: what is known of earlier tries."""

    again: bool = False
    in_doubt: bool = False
    """The last try got as far as its commit, so it may have taken effect."""


class SharedJournal:
    """An open journal on a server. One per thread; close it, or use it in a ``with``."""

    def __init__(
        self, where: SharedAt, state: Path, clock: Clock, device: str, bits: RandomBits, *, read_only: bool
    ) -> None:
        self.where = where
        self.device = device
        self._state = state
        self._clock = clock
        self._bits = bits
        self._read_only = read_only
        self._connection: Connection | None = None
        self._journal_id = ""
        self._form = FORMAT
        self._lacks_something = False
        self._end: JournalHead | None = None
        self._listens = False

    @classmethod
    def open(
        cls,
        where: SharedAt,
        *,
        create: bool = True,
        read_only: bool = False,
        state_dir: Path | None = None,
        clock: Clock = now_us,
        device: str | None = None,
        random_bits: RandomBits = secrets.randbits,
        accept_older: bool = False,
    ) -> Self:
        """Opens the journal at that address, making its tables where absent and ``create`` is given.

        Raises:
            UserError: the server does not answer or does not let us in; there is no journal, or one of a newer
                program, or one older than what this machine last saw (unless ``accept_older``).
        """
        state = state_dir or folders.state_folder()
        journal = cls(where, state, clock, device or folders.device_id(state), random_bits, read_only=read_only)
        try:
            journal._connection = journal._first_connected(create=create and not read_only)
            if device is None and (role := tables.hand(journal._connection)):
                # Two hands may share a machine; the server binds each device to one of them.
                journal.device = f"{journal.device}-{role}"
            journal._greet(seen.last_seen(state, where), accept_older=accept_older)
        except BaseException:
            journal.close()
            raise
        return journal

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Closes the connection; may be called twice."""
        if self._connection is not None:
            self._connection.close()
        self._connection = None

    def entries(self) -> list[Entry]:
        """Every entry in the order in which they count (day, at, id), each id once."""
        return sorted(one_of_each(entry for _, entry in self.entries_after(0)), key=lambda entry: entry.order)

    def entries_after(self, seq: int) -> list[tuple[int, Entry]]:
        """Entries that arrived after ``seq``, in order of arrival, with their seq.

        None ever appears behind a seq that was read (see ``shared_schema``), so reading on misses nothing.
        """
        rows = self._ask(f"{tables.SELECT} WHERE seq > %s ORDER BY seq", (seq,), READ_SECONDS)
        return parted(rows)[0]

    def sealed_rows(self, after: int = 0) -> list[tuple[Any, ...]]:
        """As ``JournalFile.sealed_rows``."""
        seal = "seal" if self._form >= FORMAT else "''"
        ask = f"SELECT seq, {COLUMNS}, {seal} FROM tunneltui.entries WHERE seq > %s ORDER BY seq"  # noqa: S608
        return self._ask(ask, (after,), READ_SECONDS)

    def known(self, ids: Iterable[str]) -> dict[str, Entry]:
        """Those of ``ids`` that are in the journal already, with their entries."""
        sought = list(ids)
        return self._with_server(lambda connection: self._known(connection, sought))

    def head(self) -> JournalHead:
        """How far the journal reaches now."""
        last = self._ask(_HEAD, ())
        return self._head(*(last[0] if last else (0, "")))

    def wait_for_more(self, seconds: float) -> None:
        """Returns when a commit nudges, or after ``seconds``. A nudge may be lost: look at ``head`` either way."""

        def wait(connection: Connection) -> None:
            if not self._listens:
                connection.execute(f"LISTEN {NUDGE}")
                self._listens = True
            for _ in connection.notifies(timeout=seconds, stop_after=1):
                pass

        self._with_server(wait, seconds=seconds + ANSWER_SECONDS)

    def append(self, drafts: Sequence[Draft], day: date, *, by: str = "", act: str | None = None) -> list[Entry]:
        """Writes one act of one day; see ``append_days``."""
        return self.append_days([(day, draft) for draft in drafts], by=by, act=act)

    def append_days(self, drafts: Sequence[Dated], *, by: str = "", act: str | None = None) -> list[Entry]:
        """Writes one act in one transaction and returns its new entries after the commit returned.

        A draft whose given id is in the journal with the same day, kind, about and body adds nothing. Where the
        connection is lost it is sought again, and the act sent again under the same names.

        Raises:
            UserError: a given id is there with other content, what is ticked off was done before (then
                ``DoneBefore``), the server is away (then it is said where there is doubt whether it was written),
                or the act cannot be kept; nothing was written.
        """
        now = self._clock()
        name = act or act_id(now, self._bits)
        every = with_ids(drafts, now, self._bits)
        given = [draft.id for _, draft in drafts if draft.id]
        sent = _Sent()

        def send(connection: Connection) -> list[Entry]:
            with self._writing(connection, sent):
                filed = self._known(connection, [draft.id for _, draft in every] if sent.again else given)
                came_through = [entry for entry in filed.values() if entry.act == name] if sent.again else []
                if came_through:
                    return sorted(came_through, key=lambda entry: entry.at_us)
                sent.in_doubt = False
                fresh = [pair for pair in every if not is_known(filed.get(pair[1].id), *pair)]
                refuse_done_before(
                    fresh,
                    self.device,
                    partial(tables.answering, connection),
                    partial(tables.marks, connection),
                )
                last = tables.last_of_device(connection, self.device)
                first_us = next_at_us(self._clock(), last[4] if last is not None else None)
                entries = stamped(fresh, name, self.device, by, first_us)
                rows = chained((row_of(tables.keepable(entry)) for entry in entries), last)
                self._insert(connection, [(0, *row) for row in rows])
            return entries

        return self._written(send, sent) if drafts else []

    def append_entries(self, entries: Sequence[Entry]) -> int:
        """Adds ready-made entries in one transaction; the number that were new. See ``add_entries``."""
        return len(self.add_entries(entries).new)

    def add_entries(self, entries: Sequence[Entry]) -> Added:
        """Adds ready-made entries (merge, copy, demo) in one transaction, as ``JournalFile.add_entries``."""
        ids = [tables.keepable(entry).id for entry in entries]
        sent = _Sent()
        tried: list[Added] = []

        def send(connection: Connection) -> Added:
            with self._writing(connection, sent):
                added = sort_out(tables.versions(connection, ids), entries)
                if tried and not added.rows:
                    return tried[-1]  # the try before came through
                sent.in_doubt = False
                tried.append(added)
                rows = [(version, *sealed(tables.keepable(entry))) for version, entry in added.rows]
                self._insert(connection, rows)
            return added

        return self._written(send, sent, READ_SECONDS)

    def compare(self, entries: Sequence[Entry]) -> Added:
        """What ``add_entries`` would do; nothing is written."""
        ids = [tables.keepable(entry).id for entry in entries]
        return sort_out(
            self._with_server(lambda connection: tables.versions(connection, ids), seconds=READ_SECONDS), entries
        )

    # The server

    def _first_connected(self, *, create: bool) -> Connection:
        """Tried once: who starts the program wants to hear at once that the server is away."""
        try:
            return self._look_at(server.connect(self.where), create=create)
        except Fault as fault:
            answers = fault.sqlstate is not None
            raise (server.trouble_of(self.where, fault) if answers else self._not_reached(fault)) from fault

    def _look_at(self, connection: Connection, *, create: bool) -> Connection:
        """The same connection, if there is a journal behind it, and the one we know."""
        try:
            with server.Watch(connection, ANSWER_SECONDS):
                exists = tables.are_there(connection)
            if not exists:
                opening.refuse_if_gone(self.where, seen.last_seen(self._state, self.where), create=create)
                tables.make(self.where, connection)
            if not self._read_only:
                tables.bring_up_to_date(connection)
            with server.Watch(connection, ANSWER_SECONDS):
                journal_id, self._form = tables.facts(self.where, connection, read_only=self._read_only)
            if self._journal_id not in ("", journal_id):
                raise UserError(
                    f"The journal {self.where} was replaced by another.", "Close the program and open it again."
                )
            self._journal_id = journal_id
            if self._read_only:
                connection.execute("SET default_transaction_read_only = on")
        except BaseException:
            connection.close()
            raise
        self._listens = False
        return connection

    def _with_server(
        self, job: Callable[[Connection], _Answer], sent: _Sent | None = None, seconds: float = ANSWER_SECONDS
    ) -> _Answer:
        """Does the job; again, on a new connection, where the one it had was lost. A server that does not answer
        within ``seconds`` is not waited for."""
        give_up = time.monotonic() + PATIENCE_SECONDS
        while True:
            connection = self._connection
            watch: server.Watch | None = None
            try:
                if connection is None:
                    connection = self._connection = self._look_at(server.connect(self.where), create=False)
                with server.Watch(connection, seconds) as watch:
                    return job(connection)
            except Fault as fault:
                frozen = watch is not None and watch.cut
                if connection is not None and not frozen and not server.is_lost(connection, fault):
                    raise server.trouble_of(self.where, fault) from fault
                self.close()
                if frozen or time.monotonic() >= give_up:
                    raise self._not_reached(fault, sent) from fault
                if sent is not None:
                    sent.again = True
                time.sleep(_AGAIN_SECONDS)

    def _written(
        self, send: Callable[[Connection], _Answer], sent: _Sent, seconds: float = ANSWER_SECONDS
    ) -> _Answer:
        answer = self._with_server(send, sent, seconds)
        if self._end is not None and not self._lacks_something:
            seen.remember(self._state, self.where, self._end)
        return answer

    def _not_reached(self, fault: Fault, sent: _Sent | None = None) -> UserError:
        trouble = server.not_reached(self.where, fault, go_on_without(self.where, self._state))
        if sent is None:
            return trouble
        doubt = (
            " It went away in the middle of writing: look whether the last act is there before you enter it again."
        )
        return UserError(f"{trouble.problem}{doubt if sent.in_doubt else ' Nothing was written.'}", trouble.hint)

    @contextmanager
    def _writing(self, connection: Connection, sent: _Sent) -> Iterator[None]:
        """One transaction. Once a commit was sent the doubt stays until a try of which the end is known."""
        with server.writing(connection):
            yield
            sent.in_doubt = True

    # Rows

    def _ask(
        self, query: str, values: tuple[object, ...], seconds: float = ANSWER_SECONDS
    ) -> list[tuple[Any, ...]]:
        return self._with_server(lambda connection: connection.execute(query, values).fetchall(), seconds=seconds)

    def _known(self, connection: Connection, ids: Sequence[str]) -> dict[str, Entry]:
        return {id_: one_of_each(versions)[0] for id_, versions in tables.versions(connection, ids).items()}

    def _insert(self, connection: Connection, rows: Sequence[tuple[Any, ...]]) -> None:
        if last := tables.insert(connection, rows):
            self._end = self._head(*last)

    # What this machine saw

    def _head(self, last_seq: int, last_id: str) -> JournalHead:
        return JournalHead(self._journal_id, last_seq, last_seq, last_id)

    def _greet(self, remembered: JournalHead | None, *, accept_older: bool) -> None:
        head = self.head()
        if remembered is not None and remembered.journal_id == head.journal_id:
            # Asked for as a row: one that does not count is there all the same.
            last = self._ask("SELECT 1 FROM tunneltui.entries WHERE id = %s LIMIT 1", (remembered.last_id,))
            missing = head.count < remembered.count or not last
            self._lacks_something = bool(remembered.count) and missing
        if self._lacks_something and not accept_older and remembered is not None:
            raise opening.older_than_seen(self.where, head, remembered)
        if not self._lacks_something:
            seen.remember(self._state, self.where, head)


def journal_there(where: SharedAt) -> bool:
    """Whether there is a journal at that address. Raises ``UserError`` where the server does not say."""
    try:
        with server.connect(where) as connection:
            return tables.are_there(connection)
    except Fault as fault:
        raise server.not_reached(where, fault, go_on_without(where, folders.state_folder())) from fault
