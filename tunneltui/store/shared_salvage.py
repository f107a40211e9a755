"""Reading what a server still gives of a journal's rows, whatever its facts, form and checks say of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from tunneltui.store import shared_connection as server
from tunneltui.store.pages import EntryRow, Unreadable
from tunneltui.store.rows import COLUMNS, RowAside, entry_or_aside
from tunneltui.store.shared_away import go_on_without
from tunneltui.store.where import SharedAt

_AT_ONCE = 1000
_COLUMNS = """SELECT column_name FROM information_schema.columns
WHERE table_schema = 'tunneltui' AND table_name = 'entries'"""


def rows(where: SharedAt, state: Path) -> list[EntryRow | Unreadable]:
    """Every row that can be read, in order of arrival.

    Raises:
        UserError: the server is away, or there is no table of entries.
    """
    try:
        with closing(server.connect(where)) as connection:
            return list(_rows(connection))
    except server.Fault as fault:
        if fault.sqlstate is None:
            raise server.not_reached(where, fault, go_on_without(where, state)) from fault
        raise server.trouble_of(where, fault) from fault


def _rows(connection: server.Connection) -> Iterator[EntryRow | Unreadable]:
    present = {name for (name,) in connection.execute(_COLUMNS.encode())}
    seal = "seal" if "seal" in present else "''"
    ask = f"SELECT seq, {COLUMNS}, {seal} FROM tunneltui.entries WHERE seq BETWEEN %s AND %s ORDER BY seq"  # noqa: S608
    ends = connection.execute("SELECT coalesce(min(seq), 0), coalesce(max(seq), -1) FROM tunneltui.entries")
    first, last = ends.fetchone() or (0, -1)
    for start in range(first, last + 1, _AT_ONCE):
        for row in _piece(connection, ask, start, min(start + _AT_ONCE - 1, last)):
            read = entry_or_aside(row) if row else None
            yield Unreadable(0) if read is None or isinstance(read, RowAside) else EntryRow(row[0], read)


def _piece(connection: server.Connection, ask: str, first: int, last: int) -> Iterator[tuple[Any, ...]]:
    """Rows of those numbers; empty where one is there that the server cannot read."""
    try:
        yield from connection.execute(ask, (first, last)).fetchall()
    except server.Fault as fault:
        if server.is_lost(connection, fault) or not str(fault.sqlstate).startswith("XX"):
            raise
        if first == last:
            yield ()
            return
        middle = (first + last) // 2
        yield from _piece(connection, ask, first, middle)
        yield from _piece(connection, ask, middle + 1, last)
