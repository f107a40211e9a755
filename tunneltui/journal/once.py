"""One chore is done once (rule 11 of the journal, DEVELOPERS.md): of two acts that answer one thing the first
counts.

What was answered is a chore (kind, about, due day) and, of that, one thing: a piece, a leader, a plant or a clip.
Two hands may do the one half of a row each; only what both say they did is done twice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from tunneltui.journal.body import Answers, answers_in, parsed, pieces_in
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.order import MARKS, acts_out

STATES = frozenset({"put_off", "fleece", "doors", "shade", "forecast", "air"})
"""Kinds of entry that say how things stand now: said twice nothing is counted twice, and later in the day they may
stand otherwise."""
WALKED_AGAIN = frozenset({"put_right"})
"""Kinds of chore whose later answer puts an earlier one right."""


def answered(kind: str, plain: dict[str, Any]) -> tuple[Answers, frozenset[str]] | None:
    """The chore that an entry answers, and which things of it; None where it may be said again.

    ``plain`` is the body's JSON object.
    """
    given = answers_in(plain)
    if given is None or kind in STATES or kind in MARKS or given[0] in WALKED_AGAIN:
        return None
    return given, things(plain)


def things(plain: dict[str, Any]) -> frozenset[str]:
    """Pieces where the entry names them, else the leaders, leader, plant or clip it speaks of; else ''."""
    if pieces := pieces_in(plain):
        return frozenset(pieces)
    leaders = plain.get("leaders")
    if isinstance(leaders, list) and leaders:
        return frozenset(str(leader) for leader in leaders)
    return frozenset({str(plain.get("leader") or plain.get("plant") or plain.get("fixing") or "")})


def done_before(drafts: Iterable[Draft], there: Sequence[Entry]) -> Entry | None:
    """The first of ``there`` that answers what one of the drafts answers too; None where none counts.

    ``there``: entries that may answer it, and the marks that may cross those out.
    """
    out = acts_out(entry for entry in there if entry.kind in MARKS)
    before: dict[tuple[Answers, str], Entry] = {}
    for entry in sorted(there, key=lambda entry: entry.order):
        found = answered(entry.kind, parsed(entry)) if entry.act not in out else None
        if found is not None:
            before = {(found[0], thing): entry for thing in found[1]} | before
    for draft in drafts:
        found = answered(draft.kind, parsed(draft))
        for thing in sorted(found[1]) if found is not None else ():
            if found is not None and (found[0], thing) in before:
                return before[found[0], thing]
    return None
