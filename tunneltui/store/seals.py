"""Sums by which a changed, a lost and a foreign row are noticed (``journal check``).

A row's seal is the sum of the row that its machine wrote into this journal before, and its own; what was brought
in without one is sealed where it comes in, without a row before. Rows of older versions have none. No secret goes
in: seals tell of spoiled bytes, lost rows and other programs, not of one who works them out anew.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from tunneltui.cells import one_line
from tunneltui.holding.user_error import Fault

_LETTERS = 16
"""64 bits: of a million rows two have one sum once in 37 million journals (n^2 / 2^65)."""
SEAL = re.compile(rf"([0-9a-f]{{{_LETTERS}}}){{0,2}}")
NO_SEAL = "0" * _LETTERS
"""What is read where a seal was spoiled into something else."""


def seal_of(values: Sequence[Any], before: str = "") -> str:
    """The seal of a row that holds these ten values (``rows.COLUMNS``), behind the row of the sum ``before``."""
    text = before + json.dumps(values[:10], separators=(",", ":"))
    return before + hashlib.sha256(text.encode()).hexdigest()[:_LETTERS]


def own_sum(values: Sequence[Any]) -> str:
    """A row's own sum as the next one names it; the eleventh value is its seal."""
    return str(values[10] or seal_of(values))[-_LETTERS:]


def chained(rows: Iterable[tuple[Any, ...]], last: Sequence[Any] | None) -> Iterator[tuple[Any, ...]]:
    """The rows of one act with their seals, behind the ``last`` row that their machine wrote."""
    before = own_sum(last) if last is not None else ""
    for values in rows:
        seal = seal_of(values, before)
        yield (*values[:10], seal)
        before = seal[-_LETTERS:]


def faults(rows: Sequence[Sequence[Any]], out: frozenset[str]) -> Iterator[Fault]:
    """What the seals of all rows (seq, the ten values, the seal) tell, save of acts that were crossed out."""
    first = min((row[0] for row in rows if row[11]), default=None)
    sums = {own_sum(row[1:]) for row in rows}
    for seq, *values in rows:
        seal = values[10]
        before = seal[:-_LETTERS]
        named = f"{one_line(values[7], 30)} of {one_line(values[3], 20)} (entry {one_line(values[0], 40)})"
        if not seal:
            if first is not None and seq > first and values[1] not in out:
                yield Fault(f"Foreign: the {named} was written by something else: cross it out if it is wrong.")
        elif seal != seal_of(values, before):
            if values[1] not in out:
                yield Fault(f"Altered: the {named} is not as it was written: cross it out if it is wrong.")
        elif before and before not in sums:
            who = one_line(values[2], 20) or "no name"
            yield Fault(f"Missing: what the machine {who} wrote before the {named} is not here, or was altered.")
