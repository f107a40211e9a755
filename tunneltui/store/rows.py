"""Entries as rows of the ``entries`` table, and what a row must keep to before it may go in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from tunneltui.holding.trouble import Trouble
from tunneltui.journal.entry import Entry

COLUMNS = "id, act, device, day, at, by, about, kind, v, body"
PLACES = ", ".join("?" * 10)
_INT64 = 1 << 63


def row_of(entry: Entry) -> tuple[Any, ...]:
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
    )


def entry_of(row: Sequence[Any]) -> Entry:
    """The entry a row holds.

    Raises:
        ValueError: the day is no ISO day.
    """
    return Entry(
        id=row[0],
        act=row[1],
        device=row[2],
        day=date.fromisoformat(row[3]),
        at_us=row[4],
        by=row[5],
        about=row[6],
        kind=row[7],
        v=row[8],
        body=row[9],
    )


def storable(entry: Entry) -> Entry:
    """The same entry, if the file can keep it byte for byte.

    Raises:
        Trouble: an empty id, act or kind, half a character, or a number beyond 64 bits.
    """
    for name in ("id", "act", "kind"):
        if not getattr(entry, name):
            raise Trouble(f"An entry without {name} cannot be kept.", "Nothing was written.")
    for name in ("id", "act", "device", "by", "about", "kind", "body"):
        try:
            getattr(entry, name).encode("utf-8")
        except UnicodeEncodeError:
            raise Trouble(
                f"The {name} of a {_shown(entry.kind)} entry holds half a character (a lone surrogate).",
                "Type it anew; nothing was written.",
            ) from None
    for name in ("at_us", "v"):
        if not -_INT64 <= getattr(entry, name) < _INT64:
            raise Trouble(
                f"The {name} of a {_shown(entry.kind)} entry is no usable number.", "Nothing was written."
            )
    return entry


def _shown(text: str) -> str:
    return text.encode("ascii", "backslashreplace").decode()[:40]
