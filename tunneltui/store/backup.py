"""Automatic backups: at the first start of each day and before every import, merge, migration and restore.

A backup is written beside its place through SQLite's backup API, checked, synced, renamed, and its folder synced;
so a file with a backup's name is whole. Kept are those of the last 14 days that have any, and each month's last.
"""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

from tunneltui.holding.user_error import Fault, UserError
from tunneltui.store import folders, migrations, opening
from tunneltui.store.clock import Clock, local_day, now_us
from tunneltui.store.connection import connect, in_plain_words
from tunneltui.store.new_file import put_in_place
from tunneltui.store.seen import JournalHead

Why = Literal["start", "import", "merge", "migration", "restore", "asked"]
KEPT_DAYS = 14
_NAME = re.compile(r"(\d{8}T\d{6})\.(\d{6})-([a-z]+)\.db")


@dataclass(frozen=True, slots=True)
class Backup:
    path: Path
    at_us: int
    """When it was made, microseconds since 1970 UTC."""
    why: str

    @property
    def day(self) -> date:
        return local_day(self.at_us)


def folder_of(path: Path) -> Path:
    """Where the backups of the journal at ``path`` are: in the data folder, one folder for each journal path."""
    path = path.expanduser().resolve()
    mark = hashlib.sha256(str(path).encode("utf-8", "surrogateescape")).hexdigest()[:8]
    return folders.data_folder() / "backups" / f"{path.stem}-{mark}"


def backups(path: Path) -> list[Backup]:
    """The backups of the journal at ``path``, newest first. Other files in the folder are none of ours."""
    folder = folder_of(path)
    if not folder.is_dir():
        return []
    copies = [backup for file in folder.iterdir() if (backup := _backup_named(file))]
    return sorted(copies, key=lambda backup: (backup.at_us, backup.path.name), reverse=True)


def back_up(path: Path, why: Why, *, clock: Clock = now_us) -> Backup:
    """Makes a backup now, and clears those that are no longer kept.

    Raises:
        UserError: it could not be made, or the copy is not as the journal; nothing half made is left.
    """
    path = path.expanduser().resolve()
    with in_plain_words(path):
        folder = folders.private_folder(folder_of(path))
        new_backup = _make(path, folder, why, clock())
    for old in no_longer_kept(backups(path)):
        old.path.unlink(missing_ok=True)
    return new_backup


def first_of_day(path: Path, *, clock: Clock = now_us) -> str:
    """The backup of the first start of each day. A fault is returned, not raised: the round must go on.

    Returns it where the backup could not be made, else ''.
    """
    if any(backup.day == local_day(clock()) for backup in backups(path)):
        return ""
    try:
        back_up(path, "start", clock=clock)
    except UserError as trouble:
        return Fault(f"Today's backup could not be made. {trouble.problem}")
    return ""


def no_longer_kept(newest_first: Sequence[Backup]) -> list[Backup]:
    """Those that are neither of the last 14 days with backups nor the last of their month."""
    days = sorted({backup.day for backup in newest_first}, reverse=True)[:KEPT_DAYS]
    lasts: dict[tuple[int, int], Backup] = {}
    for backup in newest_first:
        lasts.setdefault((backup.day.year, backup.day.month), backup)
    return [backup for backup in newest_first if backup.day not in days and backup not in lasts.values()]


def bring_up_to_date(path: Path, connection: sqlite3.Connection) -> list[str]:
    """Migrates an older file after backing it up; the names of the steps that ran."""
    if migrations.version_of(connection) >= migrations.latest():
        return []
    back_up(path, "migration")
    return migrations.migrate(connection)


def copy_checked(source: sqlite3.Connection, target: Path) -> JournalHead:
    """Copies the whole journal into ``target``, which must not be there, and checks the copy.

    Raises:
        UserError: the copy is not sound or reaches less far than its source.
    """
    os.close(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, folders.PRIVATE_FILE))
    source_head = opening.head(source)
    with closing(connect(target)) as copy:
        source.backup(copy)
        faults = copy.execute("PRAGMA integrity_check(1)").fetchall()
        reached = opening.head(copy)
    if faults != [("ok",)] or reached.last_seq < source_head.last_seq:
        raise UserError(f"The copy {target} did not come out as the journal is.", "It was thrown away; try again.")
    return reached


def _make(path: Path, folder: Path, why: Why, at_us: int) -> Backup:
    beside = folder / f".{secrets.token_hex(4)}.part"
    try:
        with closing(connect(path, read_only=True)) as source:
            copy_checked(source, beside)
        backup = Backup(folder / _name(at_us, why), at_us, why)
        put_in_place(beside, backup.path)
        return backup
    finally:
        beside.unlink(missing_ok=True)
        beside.with_name(f"{beside.name}-journal").unlink(missing_ok=True)


def _name(at_us: int, why: Why) -> str:
    at = datetime.fromtimestamp(at_us // 1_000_000, UTC)
    return f"{at:%Y%m%dT%H%M%S}.{at_us % 1_000_000:06d}-{why}.db"


def _backup_named(file: Path) -> Backup | None:
    name = _NAME.fullmatch(file.name)
    if name is None:
        return None
    try:
        at = datetime.strptime(name[1], "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
    except ValueError:
        return None
    return Backup(file, int(at.timestamp()) * 1_000_000 + int(name[2]), name[3])
