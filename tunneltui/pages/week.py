"""The week in words: what it holds more than there is time for, and what gives."""

from __future__ import annotations

from tunneltui.cells import Quantity, Sentence, day_word, joined, say
from tunneltui.chores.chore import Round

LEAST_MINUTES = 0.5
MOST_NAMED = 4


def gives_way(walk: Round) -> Sentence:
    """By how much the week is over-full and what waits for it; empty where all fits."""
    if walk.short_minutes < LEAST_MINUTES:
        return Sentence()
    named = [say("{} {}", work.says, _minutes(work.minutes)) for work in walk.gives[:MOST_NAMED]]
    more = walk.gives[MOST_NAMED:]
    if more:
        named.append(say("other work {}", _minutes(sum(work.minutes for work in more))))
    return say(
        "The week holds {} more than there is time for: {} can wait longest.",
        _minutes(walk.short_minutes),
        joined(", ", named),
    )


def week_lines(walk: Round) -> list[str]:
    """Each work day of the week with its work, the most minutes first, and what the week has no room for."""
    lines: list[str] = ["As it would be if each day's work is done; each morning plans it anew.", ""]
    for ahead in walk.week:
        lines.append(
            say("{}  {} of {}", day_word(ahead.day), _minutes(ahead.minutes), _minutes(ahead.minutes_there))
        )
        long = [work for work in ahead.what if work.minutes >= LEAST_MINUTES]
        lines += [say("  {} {}", _minutes(work.minutes), work.says) for work in long]
        if short := [work.says for work in ahead.what if work.minutes < LEAST_MINUTES]:
            lines.append(say("  under a minute: {}", joined(", ", short)))
        elif not long:
            lines.append("  nothing")
        lines.append("")
    gives = gives_way(walk)
    return [*lines, gives] if gives else lines[:-1]


def _minutes(minutes: float) -> Quantity:
    return Quantity(minutes, "min", 0)
