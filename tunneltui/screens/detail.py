"""What stands beside a line of the round: what to do, why, what of its stem is known. Plain lines."""

from __future__ import annotations

from collections.abc import Sequence

from tunneltui.chores.chore import Chore
from tunneltui.screens.picture import Picture

MOST_LEADERS = 3
"""Leaders told of beside one chore; a row pass has dozens."""


def detail_lines(picture: Picture, chore: Chore | None, below: Sequence[Chore]) -> list[str]:
    """The lines for one chore, or for a heading with the chores ``below`` it."""
    if chore is None:
        return _heading(picture, below)
    when = "" if chore.when == "any" else f"  ({chore.when})"
    lines = [f"{chore.proposal}{when}", chore.why]
    if chore.waiting:
        lines.append(f"If it waits: {chore.waiting}")
    leaders = picture.leaders_of(chore)
    for leader in leaders[:MOST_LEADERS]:
        lines += ["  ".join((leader.name, *leader.facts[:1])), *leader.facts[1:]]
    if len(leaders) > MOST_LEADERS:
        rest = [leader.name for leader in leaders[MOST_LEADERS:]]
        lines.append(f"and {len(rest)} more: {', '.join(rest)}")
    lines.append(_how_long(chore))
    return [line for line in lines if line]


def _how_long(chore: Chore) -> str:
    overhead = ", overhead" if chore.overhead else ""
    latest = f"{chore.latest:%a} {chore.latest.day} {chore.latest:%b}"
    return (
        f"About {chore.minutes:.0f} min{overhead}; at the latest {latest}."
        if chore.minutes >= 1
        else (f"Under a minute{overhead}; at the latest {latest}.")
    )


def _heading(picture: Picture, below: Sequence[Chore]) -> list[str]:
    left = [chore for chore in below if not picture.states.get(chore.id)]
    if not below:
        return []
    minutes = sum(chore.minutes for chore in left)
    overhead = sum(1 for chore in left if chore.overhead)
    lines = [f"{len(left)} of {len(below)} to do here, about {minutes:.0f} min."]
    if overhead:
        lines.append(f"{overhead} of them overhead: steps, and someone who knows where you are.")
    lines.append("Space ticks all of them; u crosses that out again.")
    return lines
