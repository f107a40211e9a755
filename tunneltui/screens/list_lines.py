"""A round as the lines of its list, and as plain text. Pure: no widget, no terminal."""

from __future__ import annotations

from typing import NamedTuple

from tunneltui.cells import day_word as day_words
from tunneltui.cells import many
from tunneltui.chores.chore import Chore
from tunneltui.screens.edges import Head
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.picture import Picture, State

PLACE_CELLS = 9
MARK_CELLS = 10
MARKS: dict[State, str] = {
    "": "",
    "writing": "… writing",
    "done": "✓ done",
    "partly": "½ partly",
    "put off": "» put off",
    "no longer": "- no need",
}
"""A shape and a word for every state, so that none rests on colour."""


class Far(NamedTuple):
    """How far the round has come."""

    counted: int = 0
    done: int = 0
    minutes: float = 0.0
    """Left to do."""
    musts: int = 0
    """Left to do."""

    def plus(self, chore: Chore, state: State, sign: int = 1) -> Far:
        """With one chore more; with ``sign`` -1 without it."""
        if state == "no longer":
            return self
        if state in ("", "partly"):
            minutes = self.minutes + sign * chore.minutes
            return Far(self.counted + sign, self.done, minutes, self.musts + sign * chore.must)
        return Far(self.counted + sign, self.done + sign, self.minutes, self.musts)


def round_lines(picture: Picture) -> list[Line]:
    """The walk under its row headings, then what is for later."""
    shown = picture.states
    lines: list[Line] = []
    row = None
    for spot in picture.round.spots:
        if spot.row != row:
            row = spot.row
            lines.append(heading_line(picture, row))
        for number, chore in enumerate(spot.chores):
            lines.append(chore_line(chore, shown.get(chore.id, ""), spot.place if number == 0 else ""))
    if picture.round.later:
        lines.append(Line("later", (Part(" Later, when there is time", "bold"),), heading=True))
        lines += [chore_line(chore, shown.get(chore.id, ""), chore.about) for chore in picture.round.later]
    if picture.since:
        words = f" {picture.since} more came up since; r plans anew"
        lines.append(Line("since", (Part(words, "bold"),), heading=True))
    return lines


def heading_line(picture: Picture, row: str) -> Line:
    """The row, its tunnel, and from which end it is walked."""
    words = [f"Row {row}" if row else "The whole house"]
    facts = picture.rows.get(row)
    if facts is not None:
        words.append(facts.tunnel)
    reached = [spot.x_m for spot in picture.round.spots if spot.row == row]
    if reached and reached[-1] != reached[0]:
        words.append("from the leading end" if reached[-1] > reached[0] else "from the far end")
    return Line(f"row {row}", (Part(f" {', '.join(words)}", "bold"),), heading=True)


def chore_line(chore: Chore, state: State, place: str) -> Line:
    mark = MARKS[state] or ("! must" if chore.must else "")
    style = {"": "must" if chore.must else "", "writing": "quiet", "partly": "near"}.get(state, "done")
    words = "quiet" if state in ("done", "put off", "no longer") else ""
    return Line(
        chore.id,
        (
            Part(place, "bold", PLACE_CELLS),
            Part(mark, style, MARK_CELLS),
            Part(chore.proposal, words),
        ),
    )


def round_head(picture: Picture, far: Far) -> Head:
    """The day and its air; the minutes and musts that are left."""
    round_ = picture.round
    part = "" if round_.part == "day" else f", {round_.part}"
    there = f" of {round_.minutes_there:.0f}" if far.minutes > round_.minutes_there + 0.5 else ""
    left = f"{far.minutes:.0f}{there} min left"
    right = [] if picture.confirmed else [Part("not yet confirmed", "quiet")]
    right.append(Part(left, shorter=(f"{far.minutes:.0f} min",)))
    if far.musts:
        right.append(Part(many(far.musts, "must"), "must"))
    return Head((f"{day_words(picture.day)}{part}",), (picture.air,) if picture.air else (), tuple(right))
