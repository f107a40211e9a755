"""The tables of a shared journal on one connection: making them, and entries as their rows."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any, TypeVar

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.journal.order import MARKS
from tunneltui.journal.valid import LAST_US
from tunneltui.store.rows import COLUMNS, entries_in, entry_or_aside, storable
from tunneltui.store.shared_connection import Connection, making
from tunneltui.store.shared_schema import FORMAT, STATEMENTS, STEPS
from tunneltui.store.where import SharedAt

SELECT = f"SELECT seq, {COLUMNS} FROM tunneltui.entries"  # noqa: S608  (constants)
_AT_ONCE = 10_000
"""Rows in one statement."""
_TYPES = ("bigint", "int", *("text",) * 4, "bigint", *("text",) * 3, "bigint", "text", "text")
"""Of seq, version, the columns of ``rows.COLUMNS`` and the seal."""
_INSERT = (
    f"INSERT INTO tunneltui.entries (seq, version, {COLUMNS}, seal) SELECT * FROM "  # noqa: S608  (constants)
    f"unnest({', '.join(f'%s::{kind}[]' for kind in _TYPES)}) ON CONFLICT (id, version) DO NOTHING"
)
_Row = TypeVar("_Row")


def are_there(connection: Connection) -> bool:
    return connection.execute("SELECT to_regclass('tunneltui.entries') IS NOT NULL").fetchone() == (True,)


def make(where: SharedAt, connection: Connection) -> None:
    """The empty tables; where two machines begin at once, those of the first count."""
    if connection.execute("SHOW server_encoding").fetchone() != ("UTF8",):
        raise UserError(f"The database of {where} keeps no UTF-8.", "Make one with: createdb --encoding UTF8 NAME")
    with making(connection):
        if not are_there(connection):
            for statement in STATEMENTS:
                connection.execute(statement)
            for fact in (("journal_id", secrets.token_hex(16)), ("format", str(FORMAT))):
                connection.execute("INSERT INTO tunneltui.facts VALUES (%s, %s)", fact)


def bring_up_to_date(connection: Connection) -> None:
    """A journal of an older form is brought to this one, step by step; only its owner may do it."""
    ask = """SELECT value FROM tunneltui.facts WHERE name = 'format' AND
(SELECT pg_get_userbyid(relowner) = current_user FROM pg_class WHERE oid = 'tunneltui.entries'::regclass)"""
    while (row := connection.execute(ask).fetchone()) is not None and row[0] in STEPS:
        with making(connection):
            if connection.execute(ask).fetchone() == row:
                for statement in STEPS[row[0]]:
                    connection.execute(statement.encode())


def hand(connection: Connection) -> str:
    """Who writes here, where it is not the owner; '' for the owner."""
    ask = """SELECT CASE WHEN pg_get_userbyid(relowner) = session_user THEN '' ELSE session_user::text END
FROM pg_class WHERE oid = 'tunneltui.entries'::regclass"""
    row = connection.execute(ask).fetchone()
    return str(row[0]) if row else ""


def facts(where: SharedAt, connection: Connection, *, read_only: bool) -> tuple[str, int]:
    """The journal's id, and its form: this program's, or an older one where it is only read.

    Raises:
        UserError: the tables are those of another version of the program.
    """
    facts: dict[str, str] = dict(connection.execute("SELECT name, value FROM tunneltui.facts").fetchall())
    steps = {str(FORMAT), *(STEPS if read_only else ())}
    if facts.get("format") not in steps or "journal_id" not in facts:
        raise UserError(
            f"The journal {where} was made by another version of tunneltui (form "
            f"{one_line(facts.get('format'), 20)}, this program knows {FORMAT}).",
            "It was left as it is. Install the newer version; an older form is brought up to date when its owner "
            "opens it.",
        )
    return facts["journal_id"], int(facts["format"])


def versions(connection: Connection, ids: Sequence[str]) -> dict[str, list[Entry]]:
    """The entries of those ``ids`` that are there; more than one where a merge brought two versions."""
    by_id: dict[str, list[Entry]] = {}
    for some in _batched(ids):
        for row in connection.execute(f"{SELECT} WHERE id = ANY(%s) ORDER BY version", (some,)):
            if isinstance(entry := entry_or_aside(row), Entry):
                by_id.setdefault(row[1], []).append(entry)
    return by_id


def answering(connection: Connection, about: str, since: date, text: str) -> list[Entry]:
    """Entries about a thing, from a day on, with a text in their body."""
    ask = f"{SELECT} WHERE about = %s AND day >= %s AND position(%s in body) > 0"
    return entries_in(connection.execute(ask, (about, since.isoformat(), text)))


def marks(connection: Connection) -> list[Entry]:
    """Every crossing out and its reversal."""
    return entries_in(connection.execute(f"{SELECT} WHERE kind = ANY(%s)", (sorted(MARKS),)))


def last_of_device(connection: Connection, device: str) -> tuple[Any, ...] | None:
    """The row that the device wrote last, with its seal; None where there is none."""
    ask = f"""SELECT {COLUMNS}, seal FROM tunneltui.entries WHERE device = %s AND at <= %s
ORDER BY at DESC LIMIT 1"""  # noqa: S608  (constants)
    return connection.execute(ask, (device, LAST_US)).fetchone()


def insert(connection: Connection, rows: Sequence[tuple[Any, ...]]) -> tuple[int, str] | None:
    """Adds rows (version, ``rows.COLUMNS``, seal), numbered on under the lock of ``writing``; seq and id of
    the last one."""
    if not rows:
        return None
    row = connection.execute("SELECT coalesce(max(seq), 0) FROM tunneltui.entries").fetchone()
    last_seq = row[0] if row else 0
    numbered = [(seq, *row) for seq, row in enumerate(rows, last_seq + 1)]
    for some in _batched(numbered):
        ran = connection.execute(_INSERT, [list(column) for column in zip(*some, strict=True)])
        if ran.rowcount < len(some):
            raise UserError(
                "The server did not take all that was to be written: a row that does not count holds a name.",
                "Nothing was written. `tunneltui journal check` lists such rows.",
            )
    return last_seq + len(rows), rows[-1][1]


def keepable(entry: Entry) -> Entry:
    """The same entry, if the server can keep it byte for byte. Raises ``UserError``."""
    texts = (entry.id, entry.act, entry.device, entry.by, entry.about, entry.kind, entry.body)
    if any("\0" in text for text in texts):
        raise UserError(
            f"A {one_line(entry.kind, 30)} entry of {entry.day} holds a null character, which no server keeps.",
            "Nothing was written. Such a journal can only be kept in a file.",
        )
    return storable(entry)


def _batched(rows: Sequence[_Row]) -> Iterator[list[_Row]]:
    for first in range(0, len(rows), _AT_ONCE):
        yield list(rows[first : first + _AT_ONCE])
