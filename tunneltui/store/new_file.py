"""Making a new journal file.

It is built beside its place and linked in when it is whole, so that a crash never leaves half a journal and two
programs starting at once end with one file.
"""

from __future__ import annotations

import os
import secrets
from contextlib import closing
from pathlib import Path

from tunneltui.holding.user_error import UserError
from tunneltui.store import migrations, schema
from tunneltui.store.connection import connect, writing
from tunneltui.store.folders import PRIVATE_FILE, private_folder
from tunneltui.store.write_file import sync_file, sync_folder


def create_journal(path: Path) -> None:
    """A new, empty journal at ``path``, synced, readable by this user only.

    Raises:
        UserError: a file is there already.
        OSError, sqlite3.Error: it cannot be made; nothing is left behind.
    """
    private_folder(path.parent)
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    try:
        build_empty(beside)
        put_in_place(beside, path)
    finally:
        beside.unlink(missing_ok=True)


def build_empty(path: Path) -> None:
    """An empty journal built in a file of its own, not yet in its place."""
    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE))
    with closing(connect(path)) as connection:
        connection.execute("PRAGMA page_size = 4096")
        with writing(connection):
            connection.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {schema.FIRST_VERSION}")
            for statement in schema.STATEMENTS:
                connection.execute(statement)
            connection.execute("INSERT INTO facts VALUES ('journal_id', ?)", (secrets.token_hex(16),))
        migrations.migrate(connection)


def put_in_place(beside: Path, path: Path) -> None:
    """Gives a finished file its name without ever overwriting one that is there.

    Raises:
        UserError: a file is there already.
    """
    sync_file(beside)
    try:
        os.link(beside, path)
    except FileExistsError:
        raise UserError(
            f"There is a file at {path} already.", "It was left as it is; choose another name."
        ) from None
    except OSError:  # sticks formatted FAT know no links
        if path.exists():
            raise UserError(
                f"There is a file at {path} already.", "It was left as it is; choose another name."
            ) from None
        beside.rename(path)
    sync_folder(path.parent)
