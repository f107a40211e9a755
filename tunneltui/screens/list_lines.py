"""A round as the lines of its list, and as plain text. Pure: no widget, no terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.screens.picture import Picture, State

PLACE_CELLS = 9
MARK_CELLS = 10
MARKS: dict[State, str] = {
    "": "",
    "writing": "… writing",
    "done": "✓ done",
    "put off": "» put off",
    "no longer": "- no need",
}
"""A shape and a word for every state, so that none rests on colour."""


class Part(NamedTuple):
    """A stretch of a line in one style; ``cells`` 0: as long as it is."""

    text: str
    style: str = ""
    cells: int = 0


class Line(NamedTuple):
    """One line of a list."""

    key: str
    parts: tuple[Part, ...]
    heading: bool = False


def round_lines(picture: Picture, marks: Mapping[str, State] | None = None) -> list[Line]:
    """The walk under its row headings, then what is for later. ``marks`` override the picture's states."""
    shown = {**picture.states, **(marks or {})}
    lines: list[Line] = []
    row = None
    for spot in picture.round.spots:
        if spot.row != row:
            row = spot.row
            lines.append(heading_line(picture, row))
        for number, chore in enumerate(spot.chores):
            lines.append(chore_line(chore, shown.get(chore.id, ""), spot.place if number == 0 else ""))
    if picture.round.later:
        lines.append(Line("later", (Part(" Later, when there is time", "heading"),), heading=True))
        lines += [chore_line(chore, shown.get(chore.id, ""), chore.about) for chore in picture.round.later]
    return lines


def heading_line(picture: Picture, row: str) -> Line:
    facts = picture.rows.get(row)
    words = facts.heading if facts else (f"Row {row}" if row else "The whole house")
    return Line(f"row {row}", (Part(f" {words}", "heading"),), heading=True)


def chore_line(chore: Chore, state: State, place: str) -> Line:
    mark = MARKS[state] or ("! must" if chore.must else "")
    style = {"": "must" if chore.must else "mark", "writing": "writing"}.get(state, "done")
    words = "gone" if state in ("done", "put off", "no longer") else ""
    return Line(
        chore.id,
        (
            Part(place, "place", PLACE_CELLS),
            Part(mark, style, MARK_CELLS),
            Part(chore.proposal, words),
        ),
    )


def header_parts(picture: Picture, row: str, width: int) -> tuple[str, str]:
    """Left and right half of the header: where and when, and how far."""
    round_ = picture.round
    planned = picture.planned()
    done = sum(1 for chore in planned if picture.states.get(chore.id) in ("done", "put off", "no longer"))
    left_minutes = sum(chore.minutes for chore in planned if not picture.states.get(chore.id))
    tunnel = picture.rows[row].tunnel if row in picture.rows else ""
    where = picture.holding + (f", {tunnel}" if tunnel else "")
    day = picture.day
    left = [f"{day:%a} {day.day} {day:%b}", where]
    if picture.air and width >= 100:
        left.append(picture.air)
    if round_.part != "day":
        left.append(round_.part)
    over = " of " + f"{round_.minutes_there:.0f}" if left_minutes > round_.minutes_there else ""
    right = f"{done} of {len(planned)} done   {left_minutes:.0f}{over} min left"
    return "  ".join(left), right
