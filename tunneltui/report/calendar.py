"""Dated chores as an iCalendar file (RFC 5545) that other programs read.

All-day events by default: the common calendars on phones do not show to-dos. Identifiers are stable, so that
taking a newer file in changes events and doubles none.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta

from tunneltui.chores.chore import Chore

LINE_OCTETS = 75
PRODUCT = "-//tunneltui//chores//EN"


def chores_calendar(
    chores: Iterable[Chore], written: datetime, journal_id: str, *, as_todos: bool = False, sequence: int = 0
) -> str:
    """The chores on their latest day, or as to-dos due then.

    ``sequence`` rises with every export of the same journal (its count of entries will do), so that readers take
    the newer of two versions.
    """
    stamp = written.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN"]
    for chore in chores:
        lines += _component(chore, stamp, journal_id, as_todos, sequence)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded}\r\n" for line in lines for folded in _folded(line))


def _component(chore: Chore, stamp: str, journal_id: str, as_todo: bool, sequence: int) -> list[str]:
    name = "VTODO" if as_todo else "VEVENT"
    where = f"{chore.about}: " if chore.about else ""
    return [
        f"BEGIN:{name}",
        # The chore's own id names kind, place and day; the journal's keeps two growers' files apart.
        f"UID:{escaped(f'{chore.id}@{journal_id}')}",
        f"DTSTAMP:{stamp}",
        f"SEQUENCE:{sequence}",
        f"SUMMARY:{escaped(where + chore.proposal)}",
        f"DESCRIPTION:{escaped(chore.why)}",
        *_when(chore.latest, as_todo),
        f"END:{name}",
    ]


def _when(day: date, as_todo: bool) -> Sequence[str]:
    if as_todo:
        return (f"DUE;VALUE=DATE:{day:%Y%m%d}", "STATUS:NEEDS-ACTION")
    after = day + timedelta(days=1)
    return (f"DTSTART;VALUE=DATE:{day:%Y%m%d}", f"DTEND;VALUE=DATE:{after:%Y%m%d}", "TRANSP:TRANSPARENT")


def escaped(text: str) -> str:
    """Text as a property value, RFC 5545 section 3.3.11; other control characters are dropped."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = "".join(c for c in text if c == "\n" or (ord(c) >= 32 and ord(c) != 127))
    return text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def _folded(line: str) -> list[str]:
    """Cut to 75 octets, never within a character; a line carried on begins with a blank (section 3.1)."""
    parts, current, room = [], "", LINE_OCTETS
    for character in line:
        size = len(character.encode())
        if size > room:
            parts.append(current)
            current, room = " ", LINE_OCTETS - 1
        current += character
        room -= size
    return [*parts, current]
