"""How drafts become the entries of one act, alike wherever a journal is kept."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta

from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import parsed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import VERSION as KIND_VERSION
from tunneltui.journal.naming import RandomBits, entry_id
from tunneltui.journal.once import answered, done_before

Dated = tuple[date, Draft]
ANSWERED_SINCE = timedelta(days=60)
"""A chore's answer is looked for so far back: none is asked for longer before it is due."""
Find = Callable[[str, date, str], Sequence[Entry]]
"""Entries about a thing, from a day on, with a text in their body."""


class DoneBefore(UserError):
    """Another act says already that it was done; ``first`` is its entry."""

    def __init__(self, first: Entry, device: str) -> None:
        self.first = first
        at = datetime.fromtimestamp(first.at_us / 1_000_000)
        who = first.by or (
            "another window here" if first.device == device else f"another machine ({first.device})"
        )
        kind, about, _ = parsed(first)["answers"]
        super().__init__(
            # Who and when come first: the rest may not fit on the screen's last line.
            f"{who[:1].upper()}{who[1:]} noted it {at:%d %b %H:%M}: {kind.replace('_', ' ')} "
            f"{about or 'of the house'} is not counted twice.",
            "Nothing was written. Look at the round again; what is left of it is still there.",
        )


def refuse_done_before(drafts: Sequence[Dated], device: str, find: Find, marks: Callable[[], list[Entry]]) -> None:
    """Raises ``DoneBefore`` where a live entry answers what one of these answers too (rule 11).

    To be called under the lock under which they are then written.
    """
    since = min((day for day, _ in drafts), default=date.max - ANSWERED_SINCE) - ANSWERED_SINCE
    sought = set()
    for _, draft in drafts:
        if '"answers"' in draft.body and (answer := answered(draft.kind, parsed(draft))) is not None:
            given = json.dumps(list(answer.chore[:2]), ensure_ascii=False, separators=(",", ":"))
            sought.add((draft.about, f'"answers":{given[:-1]},'))
    earlier = [entry for about, text in sorted(sought) for entry in find(about, since, text)]
    if not earlier or done_before(drafts, device, earlier) is None:
        # Marks only take claims away, and to find them the whole journal is read: not at every weekly tick.
        return
    if (first := done_before(drafts, device, [*earlier, *marks()])) is not None:
        raise DoneBefore(first, device)


def with_ids(drafts: Sequence[Dated], first_us: int, bits: RandomBits) -> list[Dated]:
    """The drafts, each with an id: its own, else a time-ordered one a microsecond after that before."""
    return [
        (day, draft if draft.id else draft._replace(id=entry_id(at_us, bits)))
        for at_us, (day, draft) in enumerate(drafts, first_us)
    ]


def stamped(drafts: Sequence[Dated], act: str, device: str, by: str, first_us: int) -> list[Entry]:
    """Entries of one act from named drafts, a microsecond apart."""
    return [
        Entry(draft.id, act, device, day, at_us, by, draft.about, draft.kind, KIND_VERSION, draft.body)
        for at_us, (day, draft) in enumerate(drafts, first_us)
    ]


def is_known(kept: Entry | None, day: date, draft: Draft) -> bool:
    """Whether a draft says what the entry ``kept`` under its id says.

    Raises:
        UserError: it says something else.
    """
    if kept is None:
        return False
    if (kept.day, kept.kind, kept.about, kept.body) != (day, draft.kind, draft.about, draft.body):
        raise UserError(
            f"The journal has another value for {kept.kind} of {kept.day} about {kept.about or 'the house'}.",
            "Nothing was written. Cross the old one out and enter the new one.",
        )
    return True


def next_at_us(now_us: int, last_us: int | None) -> int:
    """Now, or just after this device's last entry where the clock was set back."""
    return now_us if last_us is None else max(now_us, last_us + 1)
