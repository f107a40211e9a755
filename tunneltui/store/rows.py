"""Entries as rows of the ``entries`` table, and what a row must keep to before it may go in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from sys import intern
from typing import Any

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.journal.valid import fault_of
from tunneltui.store.seals import NO_SEAL, SEAL, seal_of

COLUMNS = "id, act, device, day, at, by, about, kind, v, body"
"""Of a row as it is read; whoever carries rows over or checks them reads ``seal`` too."""


def row_of(entry: Entry) -> tuple[Any, ...]:
    """The values of an entry's row, its seal last."""
    return (
        entry.id,
        entry.act,
        entry.device,
        entry.day.isoformat(),
        entry.at_us,
        entry.by,
        entry.about,
        entry.kind,
        entry.v,
        entry.body,
        entry.seal,
    )


def sealed(entry: Entry) -> tuple[Any, ...]:
    """The same of an entry that is brought in; what has no seal gets one."""
    values = row_of(entry)
    return values if entry.seal else (*values[:10], seal_of(values))


def entry_of(row: Sequence[Any]) -> Entry:
    """The entry a row holds.

    Raises:
        ValueError: the day is no ISO day.
    """
    # Of what many rows say alike, one is kept: a fifth of all that a large journal's entries take.
    return Entry(
        id=row[0],
        act=row[1],
        device=intern(row[2]),
        day=_day_of(row[3]),
        at_us=row[4],
        by=intern(row[5]),
        about=intern(row[6]),
        kind=intern(row[7]),
        v=row[8],
        body=row[9],
        seal=(row[10] if SEAL.fullmatch(row[10]) else NO_SEAL) if len(row) > 10 else "",
    )


_day_of = lru_cache(maxsize=10_000)(date.fromisoformat)


@dataclass(frozen=True, slots=True)
class RowAside:
    """A row that does not count: something else wrote it, or wrote over it."""

    seq: int
    id: str
    act: str
    device: str
    day: str
    kind: str
    why: str


def aside_words(row: RowAside) -> str:
    """A row that does not count, in one line: what it says it is, who wrote it, and why."""
    what = one_line(row.kind, 30) or "an entry"
    who = one_line(row.device, 20) or "nobody named"
    return f"{what} of {one_line(row.day, 20)}, act {one_line(row.act, 40) or '-'}, by {who}: {row.why}"


def entry_or_aside(row: Sequence[Any]) -> Entry | RowAside:
    """What a row with its seq says: an entry, or why it does not count."""
    try:
        entry = entry_of(row[1:])
        why = fault_of(entry)
    except (TypeError, ValueError, AttributeError):
        why = "its day cannot be read"
    if not why:
        return entry
    id_, act, device, day, kind = (str(row[place]) for place in (1, 2, 3, 4, 8))
    return RowAside(row[0], id_, act, device, day, kind, why)


def parted(rows: Iterable[Sequence[Any]]) -> tuple[list[tuple[int, Entry]], list[RowAside]]:
    """The entries of rows, with their seq, and the rows that do not count."""
    counting: list[tuple[int, Entry]] = []
    aside: list[RowAside] = []
    for row in rows:
        read = entry_or_aside(row)
        if isinstance(read, Entry):
            counting.append((row[0], read))
        else:
            aside.append(read)
    return counting, aside


def entries_in(rows: Iterable[Sequence[Any]]) -> list[Entry]:
    """The entries of rows with their seq, without those that do not count."""
    return [entry for row in rows if isinstance(entry := entry_or_aside(row), Entry)]


def storable(entry: Entry) -> Entry:
    """The same entry, if the file can keep it byte for byte.

    Raises:
        UserError: half a character, or what would be set aside when it is read (``journal.valid``).
    """
    for name in ("id", "act", "device", "by", "about", "kind", "body"):
        try:
            getattr(entry, name).encode("utf-8")
        except UnicodeEncodeError:
            raise UserError(
                f"The {name} of a {_shown(entry.kind)} entry holds half a character (a lone surrogate).",
                "Type it anew; nothing was written.",
            ) from None
    if why := fault_of(entry):
        raise UserError(f"A {_shown(entry.kind)} entry cannot be kept: {why}.", "Nothing was written.")
    return entry


def _shown(text: str) -> str:
    return text.encode("ascii", "backslashreplace").decode()[:40]
