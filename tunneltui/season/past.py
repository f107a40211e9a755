"""What ended seasons come to: a journal of ten years is folded from there, not from its first day (``Fold.past``).

It is a fold on one day, of which everything is kept that a later entry may still touch: those entries as they are,
to be folded again, and of all others only what the season has of them. What comes later is added as any entry is.
One that speaks of the time before, or of what has ended, is refused with ``PastTouched``: then the whole journal
is folded, which is always right.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from msgspec import DecodeError, Raw, Struct, msgpack

from tunneltui.journal.body import typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KINDS
from tunneltui.season.plant import PlantNow
from tunneltui.season.state import SetAside
from tunneltui.season.touch import Record
from tunneltui.values import replace

SETTLED_AFTER = timedelta(days=60)
"""So long after it ended a plant is left alone: what is written late is mostly written sooner (assumed)."""


class PastTouched(Exception):
    """An entry speaks of what ended seasons had settled."""


class Past(Struct, frozen=True, array_like=True):
    """A fold on a day, in short."""

    day: date
    until: date
    """Every entry that was left out is of this day or an earlier one."""
    plants: dict[str, PlantNow]
    """Ended plants by id, none of whose own entries is kept."""
    of_house: dict[str, list[Record]]
    """Records by kind, in order, of which the season has a list; their entries are not folded again."""
    first_hung: dict[str, tuple[date, int, str]]
    """When the leaders of those plants were first hung up: hooks are numbered through the house."""
    on_strings: dict[str, list[str]]
    """Leaders of those plants that were clipped to a string, by string."""
    last_days: list[tuple[str, str, date]]
    """Kind, about and last day of what was left out."""
    ids: frozenset[str]
    """Of every entry that was left out."""
    acts: frozenset[str]
    repeats: list[SetAside]
    """Of what was left out, what had been noted before."""
    entries: list[Entry]
    """All others."""


def packed(past: Past) -> bytes:
    """A past as bytes; ``unpacked`` makes the same of them. Raises ``ValueError`` where they cannot say all."""
    house = {kind: list(map(_with_body, records)) for kind, records in past.of_house.items()}
    return msgpack.encode((replace(past, of_house={}), house))


def unpacked(data: bytes) -> Past:
    """Raises ``ValueError`` where the bytes are none of ``packed``'s."""
    past, house = msgpack.decode(data, type=tuple[Past, dict[str, Raw]])
    return replace(past, of_house={kind: list(_records(kind, raw)) for kind, raw in house.items()})


def _records(kind: str, data: Raw) -> Iterator[Record]:
    pair: Any = tuple[Entry, KINDS[kind] | None]  # type: ignore[valid-type]
    for entry, body in msgpack.decode(data, type=list[pair]):
        yield Record(entry.day, entry.at_us, entry.id, entry, typed(entry) if body is None else body)


def comes_back(value: Any) -> bool:
    """Whether a value is the very same once packed and unpacked; a whole number noted as such would not be."""
    try:
        data = msgpack.encode(value)
        return msgpack.encode(msgpack.decode(data, type=type(value))) == data
    except (DecodeError, TypeError, ValueError, OverflowError):
        return False


def _with_body(record: Record) -> tuple[Entry, Any]:
    """None for a body that its entry's text says better."""
    if comes_back(record.body):
        return record.entry, record.body
    if typed(record.entry) != record.body:
        raise ValueError(record.id)
    return record.entry, None
