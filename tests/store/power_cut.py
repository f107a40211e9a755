"""What a power cut may leave of recorded disk changes.

Model of the disk, as pessimistic as SQLite's own ("Atomic Commit In SQLite", section 2): what was synced is there;
of all else any part may be there, in sectors of 512 bytes; a name is made, moved or taken out whole, and is sure
only once its folder was synced.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

SECTOR = 512


@dataclass(frozen=True, slots=True)
class Change:
    sort: str
    """Write, Truncate, Sync, Create, Unlink, Rename, Link or Mark, by first letter."""
    path: str
    number: int
    data: bytes


@dataclass(slots=True)
class File:
    synced: bytearray = field(default_factory=bytearray)
    pending: list[Change] = field(default_factory=list)


def changes(log: bytes) -> list[Change]:
    """The records of the fault layer."""
    found = []
    at = 0
    while at < len(log):
        sort = chr(log[at])
        path, at = _bytes(log, at + 1)
        number = int.from_bytes(log[at : at + 8], "little", signed=True)
        data, at = _bytes(log, at + 8)
        found.append(Change(sort, path.decode(), number, data))
    return found


def _bytes(log: bytes, at: int) -> tuple[bytes, int]:
    length = int.from_bytes(log[at : at + 4], "little")
    return log[at + 4 : at + 4 + length], at + 4 + length


class DiskAtCut:
    """The disk after some changes, and what of it may outlive the cut."""

    def __init__(self, folder: str) -> None:
        self._folder = folder
        self._now: dict[str, File] = {}
        self._synced_names: dict[str, File] = {}
        self._pending_names: list[tuple[Change, File]] = []

    def apply(self, change: Change) -> None:
        if change.sort == "S" and change.path == self._folder:
            self._synced_names = dict(self._now)
            self._pending_names = []
        elif change.sort == "S":
            file = self._now[change.path]
            for pending in file.pending:
                _apply(file.synced, pending, sure=True, draw=None)
            file.pending = []
        elif change.sort in "WT":
            self._now[change.path].pending.append(change)
        elif change.sort in "CURL":
            file = File() if change.sort == "C" else self._now[change.path]
            self._pending_names.append((change, file))
            _rename(self._now, change, file)

    def survivors(self, draw: random.Random, share: float) -> dict[str, bytes]:
        """Files by path; each unsynced change is there with that chance."""
        names = dict(self._synced_names)
        for change, file in self._pending_names:
            if draw.random() < share:
                _rename(names, change, file)
        return {path: self._content(file, draw, share) for path, file in names.items()}

    @staticmethod
    def _content(file: File, draw: random.Random, share: float) -> bytes:
        content = bytearray(file.synced)
        for change in file.pending:
            if share == 1.0:
                _apply(content, change, sure=True, draw=None)
            elif draw.random() < share:
                _apply(content, change, sure=False, draw=draw)
        return bytes(content)


def _rename(names: dict[str, File], change: Change, file: File) -> None:
    if change.sort == "C":
        names[change.path] = file
    elif change.sort == "U":
        names.pop(change.path, None)
    elif change.sort == "L":
        names[change.data.decode()] = file
    elif change.sort == "R":
        names.pop(change.path, None)
        names[change.data.decode()] = file


def _apply(content: bytearray, change: Change, *, sure: bool, draw: random.Random | None) -> None:
    if change.sort == "T":
        del content[change.number :]
        content.extend(bytes(change.number - len(content)))
        return
    for start, part in _sectors(change):
        if sure or (draw is not None and draw.random() < 0.7):
            content.extend(bytes(max(0, start + len(part) - len(content))))
            content[start : start + len(part)] = part


def _sectors(change: Change) -> Iterator[tuple[int, bytes]]:
    at, data = change.number, change.data
    while data:
        length = SECTOR - at % SECTOR
        yield at, data[:length]
        at, data = at + length, data[length:]


def put(files: dict[str, bytes], folder: str, into: Path) -> None:
    """Writes what survived into a fresh folder."""
    for path, content in files.items():
        (into / Path(path).relative_to(folder)).write_bytes(content)
