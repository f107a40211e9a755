"""Bringing an older journal file up to date: one function and one transaction each, recorded in the file.

A migration changes how entries are kept, never what they say; new kinds and keys need none.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from typing import NamedTuple

from tunneltui.store import schema
from tunneltui.store.clock import now_us
from tunneltui.store.connection import writing


class Migration(NamedTuple):
    """The step that brings a file from the version before to ``version``."""

    version: int
    name: str
    change: Callable[[sqlite3.Connection], None]


def _seals(connection: sqlite3.Connection) -> None:
    connection.execute("ALTER TABLE entries ADD COLUMN seal TEXT NOT NULL DEFAULT ''")


SEALED = 2
"""The version from which on rows have a ``seal``."""
MIGRATIONS: tuple[Migration, ...] = (Migration(SEALED, "seals", _seals),)
"""In order, without gaps, from ``schema.FIRST_VERSION + 1`` on."""


def latest() -> int:
    """The file version this program writes."""
    return schema.FIRST_VERSION + len(MIGRATIONS)


def version_of(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(connection: sqlite3.Connection, up_to: int | None = None) -> list[str]:
    """Runs what is still to run (to version ``up_to``, else all), each in its own transaction; names what ran.

    Raises:
        sqlite3.Error: a step failed; it and those after it did not happen.
    """
    target = latest() if up_to is None else up_to
    return [step.name for step in MIGRATIONS if step.version <= target and _run(connection, step)]


def _run(connection: sqlite3.Connection, step: Migration) -> bool:
    with writing(connection):
        # Looked up under the write lock: another program may have run the step meanwhile.
        if version_of(connection) >= step.version:
            return False
        step.change(connection)
        connection.execute(f"PRAGMA user_version = {step.version:d}")
        connection.execute("INSERT INTO migrations VALUES (?, ?, ?)", (step.version, step.name, now_us()))
    return True


def expected_shape(version: int) -> frozenset[tuple[str, str, str, str]]:
    """The tables, indexes and triggers of a file of that version."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    try:
        for statement in schema.STATEMENTS:
            connection.execute(statement)
        migrate(connection, version)
        return schema.shape(connection)
    finally:
        connection.close()
