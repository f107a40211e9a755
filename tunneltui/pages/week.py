"""The week in words: what it holds more than there is time for, and what gives."""

from __future__ import annotations

from tunneltui.cells import Quantity, Sentence, joined, say
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


def _minutes(minutes: float) -> Quantity:
    return Quantity(minutes, "min", 0)
