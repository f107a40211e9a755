"""What a line on the screen is made of, and how it is brought to the width there is. Pure: no widget, no terminal.

The program's own words are never cut in two: a stretch has shorter forms, then whole columns go by their rank.
Only what a grower wrote is cut, in its middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len, set_cell_size

from tunneltui.report.spoken import said, units

LEAST_OWN = 7
"""Cells that are left of what a grower wrote before anything else gives way."""


class Part(NamedTuple):
    """A stretch of a line in one ink."""

    text: str
    ink: str = ""
    """One of ``themes.INKS``, ``bold``, or '' for plain ink."""
    cells: int = 0
    """At least as wide; 0: as wide as it is."""
    shorter: tuple[str, ...] = ()
    """What says the same in less room, the longest first."""
    rank: int = 0
    """Where there is no room the highest goes first, whole; 0 never goes."""
    right: bool = False
    """Stands at the right of its cells, as figures do."""
    own: bool = False
    """A grower's words, which may be cut in their middle."""

    @property
    def width(self) -> int:
        return max(cell_len(self.text), self.cells)

    @property
    def padded(self) -> str:
        blanks = " " * (self.cells - cell_len(self.text))
        return blanks + self.text if self.right else self.text + blanks


class Line(NamedTuple):
    """One line of a list."""

    key: str
    parts: tuple[Part, ...]
    heading: bool = False
    rest: bool = False
    """Goes on with what the line above says: chosen with it, never alone."""


def in_units(line: Line) -> Line:
    """With its quantities in the grower's units."""
    if not units().imperial:
        return line
    return line._replace(
        parts=tuple(
            part._replace(text=said(part.text), shorter=tuple(said(words) for words in part.shorter))
            for part in line.parts
        )
    )


def fitted(parts: Sequence[Part], width: int) -> tuple[Part, ...]:
    """The parts in ``width`` cells: shorter forms from the right, then columns by rank, then a grower's own words
    cut in their middle, last the words at the end left out whole."""
    held = list(parts)
    over = sum(part.width for part in held) - width
    while over > 0:
        at = next((n for n in range(len(held) - 1, -1, -1) if held[n].shorter), None)
        if at is not None:
            before = held[at]
            held[at] = before._replace(text=before.shorter[0], shorter=before.shorter[1:])
            over -= before.width - held[at].width
            continue
        worst = max((part.rank for part in held), default=0)
        own = max((part for part in held if part.own), key=lambda part: part.width, default=None)
        if own is not None and own.width - over >= LEAST_OWN:
            held[held.index(own)] = own._replace(text=cut_in_middle(own.text, own.width - over), cells=0)
            over = 0
        elif worst:
            at = max(n for n, part in enumerate(held) if part.rank == worst)
            over -= held.pop(at).width
        else:
            return _to_whole_words(held, width)
    return tuple(held)


def widest(forms: Sequence[str], width: int) -> str:
    """The first of ``forms``, longest first, that fits ``width`` cells; '' where none does."""
    return next((words for words in forms if cell_len(words) <= width), "")


def cut_in_middle(text: str, width: int) -> str:
    """A grower's words in ``width`` cells: both ends, where they may differ, and ``…`` between."""
    if cell_len(text) <= width or width < 1:
        return text if width >= 1 else ""
    ahead = (width - 1) * 2 // 3
    tail = text
    while cell_len(tail) > width - 1 - ahead:
        tail = tail[1:]
    return f"{set_cell_size(text, ahead).rstrip()}…{tail.lstrip()}"


def whole_words(text: str, width: int) -> str:
    """As many whole words as fit; of one that is longer than that, its beginning."""
    if cell_len(text) <= width:
        return text
    held = set_cell_size(text, max(width, 0))
    if not text[len(held) : len(held) + 1].isspace() and " " in held.strip():
        held = held[: held.rindex(" ")]
    return held.rstrip(" ,;")


def _to_whole_words(parts: Sequence[Part], width: int) -> tuple[Part, ...]:
    held: list[Part] = []
    left = width
    for part in parts:
        if part.width > left:
            held.append(part._replace(text=whole_words(part.text, left), cells=0))
            break
        held.append(part)
        left -= part.width
    return tuple(held)
