"""Reading the rows of the ``entries`` table straight from a file's pages, whatever else of the file is lost.

SQLite itself gives up where the header or an inner page is gone; the leaf pages still hold the entries. Source of
the layout: SQLite documentation, "Database File Format", sections 1.3 (header), 1.6 (b-tree pages, overflow) and
2.1 (record format).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from mmap import mmap
from typing import Any

from tunneltui.journal.entry import Entry
from tunneltui.journal.valid import fault_of
from tunneltui.store.rows import entry_of

Bytes = bytes | mmap
_LEAF = 0x0D
_HEADER_BYTES = 100
_COLUMNS = 12
"""seq (kept as NULL, its value is the row's number), id, version, and the nine others of an entry; then the seal,
in rows that have one."""
_USUAL_PAGE = 4096
_MOST_BODY = 64 * 1024 * 1024
"""A longer record is taken for nonsense."""

_INTEGER_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}


@dataclass(frozen=True, slots=True)
class EntryRow:
    seq: int
    entry: Entry


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A row that is there but cannot be read whole, or would not count (``journal.valid``)."""

    page: int


class _Nonsense(Exception):
    pass


def rows(data: Bytes) -> Iterator[EntryRow | Unreadable]:
    """Every row of ``entries`` that ``data``, the bytes of a journal file, still holds, page by page."""
    size, usable = _page_size(data)
    for start in range(0, len(data), size):
        page = start // size + 1
        for cell in _cells(data, start, size, _HEADER_BYTES if page == 1 else 0):
            try:
                row = _row(data, cell, size, usable)
            except (_Nonsense, IndexError, ValueError):
                yield Unreadable(page)
            else:
                if row is not None:
                    yield Unreadable(page) if fault_of(row.entry) else row


def _page_size(data: Bytes) -> tuple[int, int]:
    """Page size and its usable part; the usual size where the header is gone."""
    size = int.from_bytes(data[16:18], "big")
    size = 65536 if size == 1 else size
    sound = data[:16] == b"SQLite format 3\0" and 512 <= size <= 65536 and size & (size - 1) == 0
    return (size, size - data[20]) if sound else (_USUAL_PAGE, _USUAL_PAGE)


def _cells(data: Bytes, start: int, size: int, offset: int) -> list[int]:
    """Places in ``data`` of the cells of the leaf page at ``start``; none where it is another page."""
    head = start + offset
    if len(data) < head + 8 or data[head] != _LEAF:
        return []
    count = int.from_bytes(data[head + 3 : head + 5], "big")
    if 8 + 2 * count > size - offset:
        return []
    pointers = data[head + 8 : head + 8 + 2 * count]
    return [start + int.from_bytes(pointers[i : i + 2], "big") for i in range(0, len(pointers), 2)]


def _row(data: Bytes, at: int, size: int, usable: int) -> EntryRow | None:
    """The row in the cell at ``at``; None where it belongs to another table.

    Raises:
        _Nonsense, IndexError, ValueError: it cannot be read whole.
    """
    length, at = _varint(data, at)
    seq, at = _varint(data, at)
    if length > _MOST_BODY:
        raise _Nonsense
    values = _record(_payload(data, at, length, size, usable))
    if len(values) not in (_COLUMNS, _COLUMNS + 1):
        return None
    if values[0] is not None or seq < 1 or not _fits(values):
        raise _Nonsense
    return EntryRow(seq, entry_of([values[1], *values[3:]]))


def _fits(values: list[Any]) -> bool:
    """Whether the values have the types of their columns and the texts that an entry cannot be without."""
    numbers = (values[2], values[6], values[10])
    texts = [values[1], *values[3:6], *values[7:10], *values[11:]]
    return (
        all(isinstance(number, int) for number in numbers)
        and all(isinstance(text, str) for text in texts)
        and all((values[1], values[3], values[9]))
    )


def _payload(data: Bytes, at: int, length: int, size: int, usable: int) -> bytes:
    """A cell's record, its overflow pages followed."""
    most = usable - 35
    if length <= most:
        return _slice(data, at, length)
    least = (usable - 12) * 32 // 255 - 23
    local = least + (length - least) % (usable - 4)
    local = local if local <= most else least
    parts = [_slice(data, at, local)]
    page = int.from_bytes(_slice(data, at + local, 4), "big")
    left = length - local
    while left > 0:
        if page < 1:
            raise _Nonsense
        start = (page - 1) * size
        part = min(left, usable - 4)
        parts.append(_slice(data, start + 4, part))
        page = int.from_bytes(_slice(data, start, 4), "big")
        left -= part
    return b"".join(parts)


def _record(payload: bytes) -> list[Any]:
    """The values of a record."""
    header, at = _varint(payload, 0)
    types = []
    while at < header:
        kind, at = _varint(payload, at)
        types.append(kind)
    values = []
    at = header
    for kind in types:
        value, at = _value(payload, at, kind)
        values.append(value)
    return values


def _value(payload: bytes, at: int, kind: int) -> tuple[Any, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    if kind in _INTEGER_BYTES:
        end = at + _INTEGER_BYTES[kind]
        return int.from_bytes(_slice(payload, at, end - at), "big", signed=True), end
    if kind >= 13 and kind % 2:
        end = at + (kind - 13) // 2
        return _slice(payload, at, end - at).decode("utf-8"), end
    if kind >= 12:
        return None, at + (kind - 12) // 2  # a blob: no column of ours
    if kind == 7:
        return None, at + 8  # a floating number: no column of ours
    raise _Nonsense


def _slice(data: Bytes, at: int, length: int) -> bytes:
    part = data[at : at + length]
    if len(part) != length:
        raise _Nonsense
    return bytes(part)


def _varint(data: Bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and the place behind it."""
    number = 0
    for i in range(8):
        byte = data[at + i]
        number = number << 7 | byte & 0x7F
        if byte < 0x80:
            return number, at + i + 1
    return number << 8 | data[at + 8], at + 9
