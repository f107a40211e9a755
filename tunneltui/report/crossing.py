"""Crossing an act out and taking that back, by what a grower can type (rule 3 of the journal, DEVELOPERS.md)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal

from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_journal import CrossedOut, Restored
from tunneltui.journal.order import MARKS, act_named, live
from tunneltui.journal.valid import LAST_DAY, LAST_US
from tunneltui.store.rows import RowAside

LEAST_LETTERS = 4
Word = Literal["cross-out", "restore-act"]


def crossing(
    entries: Sequence[Entry],
    act: str,
    how: Word,
    aside: Sequence[RowAside] = (),
    today: date = LAST_DAY,
    now_us: int = LAST_US,
) -> list[tuple[date, Draft]]:
    """The marks to write for the act that ``act`` begins, or that the entry of that id belongs to.

    The mark's day is that of the act's first entry, or of a later mark on it: a mistake is one from its first day;
    of an act whose rows are all set ``aside`` it is ``today``. A mark that says the opposite and was written by a
    clock that is ahead of ``now_us`` (microseconds since 1970 UTC) would still be the last: it is crossed out too.

    Raises:
        UserError: no or several acts fit, or the act is (or is not) crossed out already.
    """
    named = act_of(entries, act, aside)
    if not any(entry.act == named for entry in entries):
        return [(today, draft("", CrossedOut(named) if how == "cross-out" else Restored(named)))]
    counting = live(entries)
    in_force = {entry.act for entry in counting}
    if how == "cross-out" and named not in in_force:
        raise UserError(
            f"The act {named} is crossed out already.", "`tunneltui journal restore-act` takes that back."
        )
    if how == "restore-act" and named in in_force:
        raise UserError(f"The act {named} is in force: there is nothing to restore.")
    days = [min(entry.day for entry in entries if entry.act == named)]
    days += [entry.day for entry in entries if entry.kind in MARKS and act_named(entry) == named]
    mark = CrossedOut(named) if how == "cross-out" else Restored(named)
    ahead = [
        entry for entry in counting if entry.kind in MARKS and entry.at_us > now_us and act_named(entry) == named
    ]
    written = [mark, *(CrossedOut(name) for name in dict.fromkeys(entry.act for entry in ahead))]
    return [(max(days), draft("", body)) for body in written]


def act_of(entries: Sequence[Entry], text: str, aside: Sequence[RowAside] = ()) -> str:
    """The one act whose name, or one of whose entries' ids, begins with ``text``."""
    prefix = text.strip().lower()
    every: list[Entry | RowAside] = [*entries, *aside]
    exact = {entry.act for entry in every if prefix and prefix in (entry.act.lower(), entry.id.lower())}
    if len(exact) == 1:
        return exact.pop()
    if len(prefix) < LEAST_LETTERS:
        raise UserError(
            f"{text!r} is too short for the name of an act.", f"Write at least {LEAST_LETTERS} letters of it."
        )
    acts = dict.fromkeys(
        e.act for e in every if e.act.lower().startswith(prefix) or e.id.lower().startswith(prefix)
    )
    if not acts:
        raise UserError(f"No act or entry begins with {text!r}.", "`tunneltui journal show` lists them.")
    if len(acts) > 1:
        raise UserError(f"{len(acts)} acts begin with {text!r}: {', '.join(list(acts)[:4])}.", "Write more of it.")
    return next(iter(acts))
