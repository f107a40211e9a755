"""Letting a hand in to a journal on a server, and out again: what is run there, statement by statement."""

from __future__ import annotations

import re

import psycopg

from tunneltui.holding.user_error import UserError
from tunneltui.store import shared_connection as server
from tunneltui.store.shared_journal import SharedJournal
from tunneltui.store.where import SharedAt

_ROLE = re.compile(r"[a-z_][a-z0-9_]{0,62}", re.ASCII)
_GRANTS = (
    "GRANT USAGE ON SCHEMA tunneltui TO {role}",
    "GRANT SELECT ON tunneltui.entries, tunneltui.facts TO {role}",
    "GRANT INSERT ON tunneltui.entries TO {role}",
    "GRANT EXECUTE ON FUNCTION tunneltui.take_turn() TO {role}",
)
_REVOKES = (
    "REVOKE EXECUTE ON FUNCTION tunneltui.take_turn() FROM {role}",
    "REVOKE ALL ON tunneltui.entries, tunneltui.facts FROM {role}",
    "REVOKE USAGE ON SCHEMA tunneltui FROM {role}",
)
_LIMITS = (
    "ALTER ROLE {role} SET idle_in_transaction_session_timeout = '10s'",
    "ALTER ROLE {role} SET statement_timeout = '120s'",
)


def letting_in(role: str, name: str, *, new: bool, database: str) -> list[str]:
    """The statements that let the role in under a name; ``new`` where there is no such role yet."""
    creation = [f"CREATE ROLE {role} LOGIN"] if new else []
    quoted = name.replace("'", "''")
    return [
        *creation,
        f'GRANT CONNECT ON DATABASE "{database}" TO {role}',
        *(statement.format(role=role) for statement in (*_GRANTS, *_LIMITS)),
        # The owner may then end a connection of the hand's that keeps others from writing.
        f"GRANT {role} TO CURRENT_USER",
        f"INSERT INTO tunneltui.hands VALUES ('{role}', '{quoted}') ON CONFLICT (hand) DO UPDATE SET name = "  # noqa: S608
        f"'{quoted}'",
    ]


def letting_out(role: str) -> list[str]:
    """The statements that take a hand's rights away; what it wrote stays, and so does the role."""
    forgotten = f"DELETE FROM tunneltui.hands WHERE hand = '{role}'"  # noqa: S608  (letters and figures only)
    return [*(statement.format(role=role) for statement in _REVOKES), forgotten]


def hand(where: SharedAt, role: str, name: str = "", *, remove: bool = False, look: bool = False) -> list[str]:
    """Lets a hand in (or, with ``remove``, out); returns what was, or with ``look`` would be, run.

    Raises:
        UserError: no such name is possible, or the server refused; then nothing was changed.
    """
    if not _ROLE.fullmatch(role):
        raise UserError(f"{role!r} is no name of a hand.", "Write it in small letters, figures and underscores.")
    if len(name) > 60 or not name.isprintable():
        raise UserError(f"{name[:60]!r} cannot stand beside entries.", "Write a name of at most 60 letters.")
    SharedJournal.open(where, create=False).close()
    try:
        with server.connect(where) as connection:
            known = connection.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", (role,)).fetchone()
            if remove and known is None:
                raise UserError(f"The server of {where} knows no hand {role}.", "Nothing was changed.")
            database = str((connection.execute("SELECT current_database()").fetchone() or ("",))[0])
            run = (
                letting_out(role)
                if remove
                else letting_in(role, name or role, new=known is None, database=database)
            )
            if not look:
                with connection.transaction():
                    for statement in run:
                        connection.execute(statement.encode())
    except psycopg.Error as fault:
        raise server.trouble_of(where, fault) from fault
    return run
