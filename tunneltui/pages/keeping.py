"""What became of the journal's file: backed up, put back, merged, copied, saved from damage. For the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

MOST_TOLD = 20


def backed_up(entries: int, path: str, kept: int, oldest: date) -> tuple[str, ...]:
    return (f"{entries} entries copied to {path}", f"{kept} backups are kept, the oldest of {oldest}.")


def put_back(entries: int, source: str, kept: str, passed_over: Sequence[str]) -> tuple[str, ...]:
    """``kept``: where the file that was there is now, '' where there was none."""
    lines = [f"Passed over: {why}" for why in passed_over]
    lines.append(f"{entries} entries are back, from {source}")
    if kept:
        lines.append(f"What was there is kept at {kept}; `journal merge` takes over what it has more.")
    return tuple(lines)


def counts(new: int, same: int, differing: int, *, look: bool) -> str:
    summary = f"{new} new, {same} here already, {differing} that say something else."
    return f"Would bring: {summary}" if look else summary


def differing(entries: Sequence[tuple[str, date, str]]) -> list[str]:
    """Kind, day and thing of the entries that two journals know otherwise."""
    shown = entries[:MOST_TOLD]
    return [f"  {kind} of {day} about {about or 'the house'} says two things" for kind, day, about in shown]


def holdings(pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Lines of two holdings that differ, side by side."""
    if not pairs:
        return []
    lines = ["The two holdings differ (this one, the other); the later one governs:"]
    lines += [f"  {ours or '-':<36} | {theirs or '-'}" for ours, theirs in pairs[:MOST_TOLD]]
    return [*lines, *left_out(len(pairs), "more lines")]


def aside(rows: Sequence[str], *, look: bool) -> list[str]:
    """Entries of the other journal that cannot count, a line each."""
    if not rows:
        return []
    return [
        f"{len(rows)} of its entries cannot count and {'stay' if look else 'stayed'} there:",
        *(f"  {row}" for row in rows[:MOST_TOLD]),
    ]


def copied_before(backup: str, way_back: str) -> list[str]:
    return [f"Before it this journal was copied to {backup};", f"to go back: {way_back}."]


def left_out(count: int, more: str = "more") -> list[str]:
    """What a list of at most ``MOST_TOLD`` lines does not show."""
    return [f"  and {count - MOST_TOLD} {more}; --json lists all"] if count > MOST_TOLD else []


def let_in(hand: str, statements: Sequence[str], *, removed: bool, look: bool) -> tuple[str, ...]:
    lines = [f"{'Would run' if look else 'Ran'} on the server:", *(f"  {statement};" for statement in statements)]
    if not removed and not look:
        lines.append(
            f"{hand} may read and append, under its own name, and nothing else. A password is yours to set."
        )
    return tuple(lines)


def salvaged(entries: int, into: str, unreadable: int, missing: int) -> tuple[str, ...]:
    return (
        f"{entries} entries saved into {into}",
        f"{unreadable} could not be read, at least {missing} are missing.",
        "The damaged journal was left as it is.",
    )
