"""One PostgreSQL connection set as the journal needs it, and the server's faults in the grower's words.

Passwords come from where libpq looks by itself: ~/.pgpass, the file PGPASSFILE names, a service file. None is
ever in our hands, so none can be shown.
"""

from __future__ import annotations

import os
import socket
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any, Self

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.store.shared_schema import LOCK
from tunneltui.store.where import SharedAt

try:
    import psycopg
except ImportError as missing:  # the extra, or the library of the system that it stands on
    raise UserError(
        f"A journal on a server needs a package that is not here ({one_line(missing)}).",
        f'Install it: {sys.executable} -m pip install "psycopg[binary]>=3.2"',
    ) from None

Fault = psycopg.Error
Connection = psycopg.Connection[tuple[Any, ...]]
CONNECT_SECONDS = 4
"""With the first question the server is reported away within 5 s."""
BUSY_SECONDS = 5
_NO_PASSWORD = "no password supplied"  # noqa: S105  (libpq's own words)
_SETTINGS = (
    # A commit that returned survives a power cut of the server, whatever its configuration says.
    "SET synchronous_commit = on",
    f"SET lock_timeout = '{BUSY_SECONDS}s'",
    # A machine that fell asleep in the middle of a write must not keep the others waiting.
    f"SET idle_in_transaction_session_timeout = '{2 * BUSY_SECONDS}s'",
    "SET default_transaction_isolation = 'read committed'",
)


def connect(where: SharedAt) -> Connection:
    """A connection that holds no lock between transactions.

    Raises:
        UserError: PGPASSWORD is set.
        psycopg.Error: the server cannot be reached; see ``not_reached``.
    """
    if os.environ.get("PGPASSWORD"):
        raise UserError(
            "PGPASSWORD is set: a password there is handed to every program that is started.",
            "Put it into ~/.pgpass or the file that PGPASSFILE names, readable by you only, and unset PGPASSWORD.",
        )
    usual: dict[str, Any] = {"connect_timeout": CONNECT_SECONDS, "application_name": "tunneltui"}
    connection: Connection = psycopg.connect(
        where.url,
        autocommit=True,
        prepare_threshold=None,
        client_encoding="utf8",
        # A server that vanished without a word is noticed within about 15 seconds.
        keepalives_idle=5,
        keepalives_interval=5,
        keepalives_count=2,
        tcp_user_timeout=15_000,
        **{name: value for name, value in usual.items() if f"{name}=" not in where.url},
    )
    try:
        with Watch(connection, CONNECT_SECONDS):
            connection.execute("; ".join(_SETTINGS))
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def writing(connection: Connection) -> Iterator[None]:
    """One transaction that first takes the turn of all appends, and is rolled back by any exception."""
    with _transaction(connection, "SELECT tunneltui.take_turn()"):
        yield


@contextmanager
def making(connection: Connection) -> Iterator[None]:
    """One transaction in which the tables are made, by one machine at a time."""
    with _transaction(connection, f"SELECT pg_advisory_xact_lock({LOCK:d})"):
        yield


@contextmanager
def _transaction(connection: Connection, first: str) -> Iterator[None]:
    try:
        connection.execute(f"BEGIN; {first}")
        yield
        connection.execute("COMMIT")
    except BaseException:
        if not connection.closed:
            with suppress(psycopg.Error):  # where it is lost, its server rolls back
                connection.execute("ROLLBACK")
        raise


class Watch:
    """Cuts a connection whose server does not answer in time: one that is frozen never says so itself."""

    def __init__(self, connection: Connection, seconds: float) -> None:
        self.cut = False
        self._socket = socket.socket(fileno=os.dup(connection.fileno()))
        self._timer = threading.Timer(seconds, self._shut)
        self._timer.daemon = True

    def __enter__(self) -> Self:
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()
        self._socket.close()

    def _shut(self) -> None:
        self.cut = True
        with suppress(OSError):
            self._socket.shutdown(socket.SHUT_RDWR)


def is_lost(connection: Connection, fault: psycopg.Error) -> bool:
    """Whether the fault is one of the way to the server, or of its stopping, which another try may mend."""
    return connection.closed or str(fault.sqlstate).startswith(("57P", "08"))


def trouble_of(where: SharedAt, fault: psycopg.Error) -> UserError:
    """What a fault of a server that answers means for the grower, and what to do."""
    state = str(fault.sqlstate)
    for start, say, do in _MEANINGS:
        if state.startswith(start):
            return UserError(say.format(where=where), do)
    return UserError(f"The journal {where} could not be used: {one_line(fault)}.", "Nothing was written.")


def not_reached(where: SharedAt, fault: psycopg.Error, go_on: str) -> UserError:
    """A server that does not answer, with what to ``go_on`` with; or one that does not let us in."""
    lines = [line.strip() for line in str(fault).splitlines() if line.strip()]
    why = one_line(lines[0].rstrip(".") if lines else type(fault).__name__, 200)
    refusal = why.partition("FATAL:")[2].strip() or (_NO_PASSWORD if _NO_PASSWORD in why else "")
    if refusal:
        return UserError(
            f"The server does not let this machine in: {refusal} ({where}).",
            "Look at the names of user and database, and for the password in ~/.pgpass (or the file that "
            "PGPASSFILE names), which must be readable by you only.",
        )
    return UserError(f"The server does not answer: {where} ({why}).", go_on)


_MEANINGS = (
    (
        "23514",
        "The server of the journal {where} refused an entry: its day, time or size cannot be.",
        "Nothing was written.",
    ),
    (
        "55P03",
        f"Another program has been writing to the journal {{where}} for more than {BUSY_SECONDS} seconds.",
        "Nothing was written. Wait, and try again.",
    ),
    (
        "42501",
        "Your user of the journal {where} may not do this.",
        "Nothing was written. The owner lets a hand in with `tunneltui journal hand`.",
    ),
    (
        "53",
        "The server of the journal {where} has no room left (disk, memory or connections).",
        "Nothing was written and nothing is lost. Make room there and try again.",
    ),
    (
        "25006",
        "The journal {where} may be read but not written there: the server is a copy of another one.",
        "Nothing was written. Name the server that is written to.",
    ),
    (
        "XX",
        "The server of the journal {where} reports damage of its own.",
        "What was being entered does not count as done. Copy the journal to a file before going on.",
    ),
)
