"""What an entry must keep to, however it came in; one that does not is set aside and never stops a season. Pure.

A file or a server may hold rows that another program wrote. They stay where they are and are listed by
``journal check``; nothing counts that is not of a day and a time that can be reckoned with.
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from tunneltui.journal.entry import Entry

FIRST_DAY, LAST_DAY = date(1970, 1, 1), date(2199, 12, 31)
"""The planner adds and takes away weeks and years: days near the ends of the calendar cannot be reckoned with."""
LAST_US = (datetime(2200, 1, 1) - datetime(1970, 1, 1)) // timedelta(microseconds=1) - 1
LONGEST_BODY, LONGEST_NAME = 4_100_000, 100_000
"""Letters: of a holding of twenty thousand places with its quotes, and of any name."""
MOST_V = 1_000_000
_DAY_IN_BODY = re.compile(r'"(\d{4,})-\d\d-\d\d"')
_SAYS_ANYTHING = frozenset({"note"})


def fault_of(entry: Entry) -> str:
    """Why an entry is set aside, as the end of a sentence; '' where it counts."""
    if not FIRST_DAY <= entry.day <= LAST_DAY:
        return f"its day {entry.day} is not between {FIRST_DAY.year} and {LAST_DAY.year}"
    if not 0 <= entry.at_us <= LAST_US:
        return f"its time is not between {FIRST_DAY.year} and {LAST_DAY.year}"
    if not 0 <= entry.v <= MOST_V:
        return "the version of its kind is no usable number"
    for name in ("id", "act", "kind"):
        if not getattr(entry, name):
            return f"it has no {name}"
    for name in ("id", "act", "device", "by", "about", "kind"):
        if len(getattr(entry, name)) > LONGEST_NAME:
            return f"its {name} is longer than {LONGEST_NAME} letters"
    if len(entry.body) > LONGEST_BODY:
        return f"it is longer than {LONGEST_BODY:,} letters"
    if entry.kind not in _SAYS_ANYTHING and '"' in entry.body:
        for match in _DAY_IN_BODY.finditer(entry.body):
            if not FIRST_DAY.year <= int(match[1]) <= LAST_DAY.year:
                return f"it speaks of {match[0][1:-1]}, which is not between {FIRST_DAY.year} and {LAST_DAY.year}"
    return ""
