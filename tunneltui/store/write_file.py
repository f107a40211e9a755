"""Writing what leaves the program: whole or not at all, never over a journal, and held on to by the disk."""

from __future__ import annotations

import os
import secrets
from contextlib import closing
from pathlib import Path

from tunneltui.holding.user_error import UserError
from tunneltui.store.connection import FAULTS, code_of, connect
from tunneltui.store.folders import PRIVATE_FILE


def write_file(target: Path, content: str | bytes, *, inside: Path | None = None) -> Path:
    """Writes ``content`` (text as UTF-8) at ``target`` and returns its full path; a file there is replaced whole.

    ``inside`` names an export folder; a relative target is taken from there, and one that climbs out is refused.

    Raises:
        UserError: the place is refused or cannot be written. What was there stays as it was.
    """
    place = _allowed(target, inside)
    try:
        _replace(place, content.encode("utf-8") if isinstance(content, str) else content)
    except UnicodeEncodeError as fault:
        raise UserError(
            f"What was to be written to {place} holds half a character.", "Nothing was changed."
        ) from fault
    except OSError as fault:
        raise UserError(
            f"{place} could not be written: {fault.strerror or fault}.", "Nothing was changed."
        ) from fault
    return place


def _allowed(target: Path, inside: Path | None) -> Path:
    try:
        place = (inside / target if inside else target).resolve()
        if inside and not place.is_relative_to(inside.resolve()):
            raise UserError(
                f"{target} lies outside of {inside}.", "Nothing was written. Choose a plain file name."
            )
        if place.exists() and not place.is_file():
            raise UserError(f"{place} is no ordinary file.", "Nothing was written. Name a file.")
    except (OSError, ValueError, RuntimeError) as fault:  # too long, a null character, links in a circle
        raise UserError(f"{target} is no usable file name: {fault}.", "Nothing was written.") from fault
    if _is_database(place):
        raise UserError(f"{place} is a journal or another database.", "It was left as it is; choose another name.")
    return place


def _is_database(place: Path) -> bool:
    """Asked through SQLite, since opening a journal in any other way drops this process's locks on it."""
    if not place.exists() or place.stat().st_size == 0:
        return False
    try:
        with closing(connect(place, read_only=True)) as connection:
            connection.execute("PRAGMA schema_version").fetchone()
    except FAULTS as fault:
        return code_of(fault) != "SQLITE_NOTADB"
    return True


def _replace(place: Path, data: bytes) -> None:
    spare = place.with_name(f".{place.name[:100]}.{secrets.token_hex(4)}")
    mode = place.stat().st_mode & 0o777 if place.exists() else PRIVATE_FILE
    handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        os.replace(spare, place)
    finally:
        spare.unlink(missing_ok=True)
    sync_folder(place.parent)


def sync_file(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Without this a new name may be gone after a power cut. Windows has no such call and needs none."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
