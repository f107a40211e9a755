"""Names of entries, acts and leaders (rules 4 and 5 of the journal, DEVELOPERS.md).

Typed entries get time-ordered random names (UUID version 7, RFC 9562 section 5.7, its method 3: the twelve
bits after the version hold the part of the millisecond). Imported rows get a name worked out from what they say
(version 5, RFC 9562 section 5.5), so that a file read again, or on another laptop, adds nothing twice.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from uuid import UUID, uuid5

RandomBits = Callable[[int], int]
"""Gives that many random bits, such as ``secrets.randbits`` or ``random.Random(seed).getrandbits``."""

IMPORTS = UUID("6f2b1c1e-5d0a-4a57-9a3c-2c8d3f1b7e40")
"""Our name space for imported rows; drawn once, never to change."""

LETTERS = "abcdefghijklmnopqrstuvwxyz"
"""Letters of a plant's leaders; the first is ``a``."""


def entry_id(at_us: int, random_bits: RandomBits) -> str:
    """Name of an entry or act written at ``at_us`` (microseconds since 1970 UTC), as UUID text.

    Text order is order in time to a quarter of a microsecond.
    """
    ms, us = divmod(at_us, 1000)
    part_of_ms = us * 4096 // 1000
    number = (ms & (1 << 48) - 1) << 80 | 7 << 76 | part_of_ms << 64 | 0b10 << 62 | random_bits(62)
    return str(UUID(int=number))


act_id = entry_id
"""An act is named in the same way."""


def import_id(source: str, kind: str, name: str, day: date, occurrence: int = 0) -> str:
    """Name of an imported row: ``source`` is the shape of the file, ``name`` the plant, place or tunnel the
    row speaks of, ``occurrence`` counts rows that are alike in all of these."""
    # JSON keeps the parts apart: ("a", "bc") and ("ab", "c") must not share a name.
    return str(uuid5(IMPORTS, json.dumps([source, kind, name, day.isoformat(), occurrence], ensure_ascii=False)))


def leader_id(planted: str, letter: str) -> str:
    """Id of a leader made by the ``planted`` entry of that id: the first has the plant's own id."""
    return planted if letter == LETTERS[0] else f"{planted}+{letter}"


def leader_name(place: str, letter: str) -> str:
    """Such as ``W1-07a``."""
    return place + letter
