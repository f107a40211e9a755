"""How drafts become the entries of one act, alike wherever a journal is kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tunneltui.holding.trouble import Trouble
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import VERSION as KIND_VERSION
from tunneltui.journal.naming import RandomBits, entry_id

Dated = tuple[date, Draft]


def named(drafts: Sequence[Dated], first_us: int, bits: RandomBits) -> list[Dated]:
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
        Trouble: it says something else.
    """
    if kept is None:
        return False
    if (kept.day, kept.kind, kept.about, kept.body) != (day, draft.kind, draft.about, draft.body):
        raise Trouble(
            f"The journal has another value for {kept.kind} of {kept.day} about {kept.about or 'the house'}.",
            "Nothing was written. Cross the old one out and enter the new one.",
        )
    return True


def next_at_us(now_us: int, last_us: int | None) -> int:
    """Now, or just after this device's last entry where the clock was set back."""
    return now_us if last_us is None else max(now_us, last_us + 1)
