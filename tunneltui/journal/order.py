"""Which entries count, and in what order (rules 1 to 3 of the journal, DEVELOPERS.md).

A mark is a ``crossed_out`` or ``restored`` entry; both name an act. A mark is in force unless its own act is out.
An act's fate is that of the last mark in force that names it. So undoing an undo works either way (crossing out
the act of the ``crossed_out``, or ``restored``), whatever the clocks of the machines said: who names an act wrote
after it. Marks that name each other in a circle, which no machine writes, are gone through from the last in order
on, so that the rule ends for every journal. An ordinary entry may come before or after a mark that names its act.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable

from tunneltui.journal.entry import Entry

CROSSED_OUT = "crossed_out"
RESTORED = "restored"
MARKS = frozenset({CROSSED_OUT, RESTORED})


def live(entries: Iterable[Entry]) -> list[Entry]:
    """The entries that count, in the order (day, at, id).

    An entry given twice counts once; unknown kinds and marks in force are kept.
    """
    once = one_of_each(entries)
    out = acts_out(entry for entry in once if entry.kind in MARKS)
    if out:
        once = [entry for entry in once if entry.act not in out]
    return sorted(once, key=_order)


def one_of_each(entries: Iterable[Entry]) -> list[Entry]:
    """Every id once. Of two different entries with one id the same one is kept whichever came first."""
    by_id: dict[str, Entry] = {}
    for entry in entries:
        kept = by_id.setdefault(entry.id, entry)
        if kept is not entry:
            by_id[entry.id] = kept_of_two(kept, entry)
    return list(by_id.values())


def kept_of_two(entry: Entry, other: Entry) -> Entry:
    """Which of two entries with one id counts: the earlier written, whatever the order of arrival."""
    return entry if _all_of(entry) <= _all_of(other) else other


def acts_out(marks: Iterable[Entry]) -> frozenset[str]:
    """The acts that are crossed out, by the rule above. A mark without a readable act marks nothing."""
    own: dict[str, list[tuple[Entry, str]]] = {}
    """Marks with the act that each names, by their own act."""
    named: Counter[str] = Counter()
    """By how many marks an act is named that are still to be looked at."""
    for mark in sorted(marks, key=_order, reverse=True):
        if (target := act_named(mark)) is not None:
            own.setdefault(mark.act, []).append((mark, target))
            named[target] += 1
    last: dict[str, Entry] = {}
    ready = [act for act in own if not named[act]]
    looked_at: set[str] = set()
    in_a_circle = iter(own)
    while ready or len(looked_at) < len(own):
        act = ready.pop() if ready else next(name for name in in_a_circle if name not in looked_at)
        looked_at.add(act)
        is_out = act in last and last[act].kind == CROSSED_OUT
        for mark, target in own[act]:
            named[target] -= 1
            if not is_out and (target not in last or _order(last[target]) < _order(mark)):
                last[target] = mark
            if not named[target] and target in own and target not in looked_at:
                ready.append(target)
    return frozenset(act for act, mark in last.items() if mark.kind == CROSSED_OUT)


def act_named(mark: Entry) -> str | None:
    """The act that a mark names; None where its body cannot be read."""
    try:
        plain = json.loads(mark.body)
    except (ValueError, RecursionError):
        return None
    act = plain.get("act") if isinstance(plain, dict) else None
    return act if isinstance(act, str) else None


def _order(entry: Entry) -> tuple[object, int, str]:
    return (entry.day, entry.at_us, entry.id)


def _all_of(entry: Entry) -> tuple[object, ...]:
    return (
        entry.day,
        entry.at_us,
        entry.act,
        entry.device,
        entry.by,
        entry.about,
        entry.kind,
        entry.v,
        entry.body,
    )
