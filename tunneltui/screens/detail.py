"""What stands beside a line of the round: what to do, why, what of its stem is known. Plain lines."""

from __future__ import annotations

from collections.abc import Sequence

from tunneltui.cells import day_word as day_words
from tunneltui.chores.chore import Chore
from tunneltui.screens.picture import Picture


def detail_lines(
    picture: Picture, chore: Chore | None, below: Sequence[Chore], *, every: bool = False
) -> list[str]:
    """The lines for one chore, or for a heading with the chores ``below`` it. ``every``: each stem of a row job
    with its own facts, where otherwise only their names stand."""
    if chore is None:
        return _heading(picture, below)
    when = "" if chore.when == "any" else f"  ({chore.when})"
    lines = [f"{chore.proposal}{when}", chore.why]
    if chore.waiting:
        lines.append(f"If it waits: {chore.waiting}")
    lines.append(_how_long(chore))
    leaders = picture.leaders_of(chore)
    if len(leaders) > 1 and not every:
        lines.append(f"{len(leaders)} stems: {', '.join(leader.name for leader in leaders)}")
    else:
        for leader in leaders:
            lines += ["  ".join((leader.name, *leader.facts[:1])), *leader.facts[1:]]
    return [line for line in lines if line]


def _how_long(chore: Chore) -> str:
    minutes = f"About {chore.minutes:.0f} min" if chore.minutes >= 1 else "Under a minute"
    overhead = ", overhead" if chore.overhead else ""
    return f"{minutes}{overhead}; at the latest {day_words(chore.latest)}."


def _heading(picture: Picture, below: Sequence[Chore]) -> list[str]:
    left = [chore for chore in below if picture.is_open(chore)]
    if not below:
        return []
    minutes = sum(chore.minutes for chore in left)
    overhead = sum(1 for chore in left if chore.overhead)
    lines = [f"{len(left)} of {len(below)} to do here, about {minutes:.0f} min."]
    if overhead:
        lines.append(f"{overhead} of them overhead: steps, and someone who knows where you are.")
    lines.append("Space ticks all of them; u crosses that out again.")
    return lines
