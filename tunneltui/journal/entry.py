"""One line of the journal, and the order in which lines count (rules of the journal, DEVELOPERS.md)."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import NamedTuple


class Entry(NamedTuple):
    """A fact once written, never changed. ``body`` is JSON text, kept byte for byte."""

    id: str
    act: str
    """Entries of one key press, form or import share it; undo crosses out the act."""
    device: str
    day: date
    """The local civil day the fact belongs to."""
    at_us: int
    """Microseconds since 1970 UTC; rises strictly per device."""
    by: str
    about: str
    """Place, row, tunnel or ''."""
    kind: str
    v: int
    body: str
    seal: str = ""
    """By which ``journal check`` knows it again (``store.seals``); only there where rows are carried over."""

    @property
    def order(self) -> tuple[date, int, str]:
        return (self.day, self.at_us, self.id)


class Draft(NamedTuple):
    """An entry not yet written: what a key press or an import means to say. ``body`` is JSON text.

    ``id`` is set only where it must be known beforehand: imports (uuid5) and entries that later drafts of
    the same act refer to.
    """

    kind: str
    about: str
    body: str
    id: str = ""


def written_at(entry: Entry) -> datetime:
    """When the entry was written, in UTC."""
    return datetime.fromtimestamp(entry.at_us / 1_000_000, UTC)
