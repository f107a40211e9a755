"""One hand among several: a program that writes acts to a shared journal, and starts others that it takes back.

``python -m tests.store.hand ADDRESS NAME ACTS``: prints the ids of what it wrote, a line an act.
"""

from __future__ import annotations

import json
import random
import sys
from contextlib import closing, suppress

from tests.store.making import DAY, entry
from tunneltui.journal.entry import Draft, Entry
from tunneltui.store import shared_connection, shared_tables
from tunneltui.store.journals import open_journal
from tunneltui.store.rows import sealed
from tunneltui.store.shared_connection import Connection
from tunneltui.store.where import SharedAt, where

KINDS = ("measured", "picked", "note", "side_shooted", "deleafed", "clip_failed")
"""What a hand writes: as the season's own entries of these kinds say."""
ONE_IN = 4
"""Acts of which one more is begun and taken back."""


class _TakenBack(Exception):
    pass


def main(at: SharedAt, name: str, acts: int) -> None:
    draw = random.Random(name)
    with open_journal(at, create=False, device=name) as journal, closing(shared_connection.connect(at)) as raw:
        patterns = [one for one in journal.entries() if one.kind in KINDS]
        for number in range(acts):
            if draw.randrange(ONE_IN) == 0:
                _begin_and_take_back(raw, f"taken-back-{name}-{number}")
            written = journal.append(_act(patterns, draw), DAY, by=name)
            print(*(one.id for one in written))


def _act(patterns: list[Entry], draw: random.Random) -> list[Draft]:
    chosen = draw.sample(patterns, draw.randint(1, 3))
    return [Draft(one.kind, one.about, _unasked(one.body)) for one in chosen]


def _unasked(body: str) -> str:
    """Without the chore it ticked off: one chore is done once, whoever writes."""
    said = json.loads(body)
    return json.dumps({key: value for key, value in said.items() if key not in ("answers", "pieces")})


def _begin_and_take_back(raw: Connection, name: str) -> None:
    """An act that has its number already when its transaction is rolled back."""
    with suppress(_TakenBack), shared_connection.writing(raw):
        shared_tables.insert(raw, [(0, *sealed(entry(name)))])
        raise _TakenBack


if __name__ == "__main__":
    address = where(sys.argv[1])
    assert isinstance(address, SharedAt)
    main(address, sys.argv[2], int(sys.argv[3]))
