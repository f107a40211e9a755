"""The wire over a holding's plants as one line of signs, in the order they are walked past. Pure.

``┬`` something hangs here, ``!`` a must, ``?`` a decision, ``─`` nothing or done. As the work
goes it becomes bare.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from enum import IntEnum
from itertools import pairwise
from typing import NamedTuple

from tunneltui.draw.canvas import CanvasRow, Run, runs_of

TUNNEL_GAP, ROW_GAP = "   ", "  "
CORNER = "╮"
"""The wire goes on round the end of the row."""
MORE_BEFORE, MORE_AFTER = "‹", "›"
MOST_A_CELL = 4
"""Places that may share a cell before rows are left out."""


class Hangs(IntEnum):
    """What hangs at a place; the worst is the largest."""

    NOTHING = 0
    WORK = 1
    DECISION = 2
    MUST = 3


SIGNS = {Hangs.NOTHING: "─", Hangs.WORK: "┬", Hangs.DECISION: "?", Hangs.MUST: "!"}
INKS = {Hangs.NOTHING: "rule", Hangs.WORK: "", Hangs.DECISION: "near", Hangs.MUST: "must"}
WORDS = {Hangs.WORK: "to do", Hangs.DECISION: "to decide", Hangs.MUST: "a must"}


class WireRow(NamedTuple):
    """One row of the wire."""

    name: str
    tunnel: str
    places: tuple[str, ...]
    """Names of its places in the order they are walked past."""
    turns: bool = False
    """The next row is of the same loop: the wire goes on round the corner."""


class WireLine(NamedTuple):
    """The wire as it fits the width there is."""

    row: CanvasRow
    places: tuple[tuple[str, ...], ...]
    """For each column the places it stands for."""


def wire_line(rows: Sequence[WireRow], hangs: Mapping[str, Hangs], width: int, at_place: str = "") -> WireLine:
    """The wire in ``width`` cells; ``at_place`` is the place under the cursor, which is lit.

    Where it is too long a cell stands for several places and shows the worst of them, then rows far from
    ``at_place`` are left out, which ``‹`` and ``›`` say.
    """
    rows = [row for row in rows if row.places]
    for a_cell in range(1, MOST_A_CELL + 1):
        if _length(rows, a_cell) <= width:
            return _drawn(rows, a_cell, hangs, at_place)
    at = next((number for number, row in enumerate(rows) if at_place in row.places), 0)
    first, end, a_cell = _window(rows, at, width)
    return _drawn(rows[first:end], a_cell, hangs, at_place, first > 0, end < len(rows))


def wire_row_line(rows: Sequence[WireRow], hangs: Mapping[str, Hangs], width: int, at_place: str = "") -> WireLine:
    """Of the row of ``at_place`` alone."""
    alone = next((row for row in rows if at_place in row.places), None) or next(iter(rows), None)
    return wire_line([alone._replace(turns=False)] if alone is not None else [], hangs, width, at_place)


def wire_words(rows: Sequence[WireRow], hangs: Mapping[str, Hangs]) -> str:
    """What hangs there, for a voice: how many places, by row."""
    by_row = []
    for row in rows:
        states = [hangs.get(place, Hangs.NOTHING) for place in row.places]
        counts = [f"{states.count(state)} {words}" for state, words in reversed(WORDS.items()) if state in states]
        by_row.append(f"{row.name} {', '.join(counts) or 'bare'}")
    return "; ".join(by_row)


def places_of_number(rows: Sequence[WireRow], typed: str, at_place: str = "") -> tuple[tuple[str, ...], bool]:
    """Places whose number is ``typed`` or begins with it: those of that very number, then as they follow from
    the row of ``at_place``; and whether the first of them is the one meant, since no longer number begins so.

    A row may stand before the number, as in ``W2 5``; a place without a number is found by its name.
    """
    row_words, digits = _typed(typed)
    at = next((number for number, row in enumerate(rows) if at_place in row.places), 0)
    around = [place for row in (*rows[at:], *rows[:at]) for place in row.places]
    begins = [place for place in around if _meant(place, row_words, digits)]
    exact = [place for place in begins if digits and int(_typed(place)[1] or -1) == int(digits)]
    longer = [place for place in begins if place not in exact]
    names = any(_plain(row.name).startswith(_plain(typed)) for row in rows)
    return (*exact, *longer), bool(exact) and not longer and not names


def _plain(words: str) -> str:
    return "".join(sign for sign in words.casefold() if sign.isalnum())


def _typed(words: str) -> tuple[str, str]:
    """What stands before the number at the end, without what separates them, and the number."""
    before = words.rstrip("0123456789")
    return _plain(before), words[len(before) :]


def _meant(place: str, row_words: str, digits: str) -> bool:
    before, number = _typed(place)
    if not before.startswith(row_words):
        return False
    return number.startswith(digits) or number.lstrip("0").startswith(digits) if digits else bool(row_words)


def _cells(row: WireRow, a_cell: int) -> int:
    return -(-len(row.places) // a_cell)


def _length(rows: Sequence[WireRow], a_cell: int) -> int:
    gaps = sum(len(_gap(row, after)) for row, after in pairwise(rows))
    return gaps + sum(len(row.name) + 1 + _cells(row, a_cell) for row in rows)


def _gap(row: WireRow, after: WireRow) -> str:
    if row.turns:
        return f"{CORNER} "
    return ROW_GAP if row.tunnel == after.tunnel else TUNNEL_GAP


def _window(rows: Sequence[WireRow], at: int, width: int) -> tuple[int, int, int]:
    """First row, end and places a cell of as many rows around ``at`` as fit."""
    room = width - len(MORE_BEFORE) - len(MORE_AFTER) - 2
    a_cell = next(
        (n for n in range(1, len(rows[at].places) + 1) if _length(rows[at : at + 1], n) <= room),
        max(len(rows[at].places), 1),
    )
    first, end = at, at + 1
    while True:
        if end < len(rows) and _length(rows[first : end + 1], a_cell) <= room:
            end += 1
        elif first > 0 and _length(rows[first - 1 : end], a_cell) <= room:
            first -= 1
        else:
            return first, end, a_cell


def _drawn(
    rows: Sequence[WireRow],
    a_cell: int,
    hangs: Mapping[str, Hangs],
    at_place: str,
    before: bool = False,
    after: bool = False,
) -> WireLine:
    cells: list[tuple[Run, tuple[str, ...]]] = []
    for part in _parts(rows, a_cell, hangs, at_place, before, after):
        cells.append(part)
    return WireLine(runs_of(run for run, _ in cells), tuple(places for _, places in cells))


def _parts(
    rows: Sequence[WireRow], a_cell: int, hangs: Mapping[str, Hangs], at_place: str, before: bool, after: bool
) -> Iterator[tuple[Run, tuple[str, ...]]]:
    if before:
        yield from _words(f"{MORE_BEFORE} ")
    for number, row in enumerate(rows):
        yield from _words(f"{row.name} ", row.places[:1])
        for start in range(0, len(row.places), a_cell):
            places = row.places[start : start + a_cell]
            worst = max(hangs.get(place, Hangs.NOTHING) for place in places)
            ink = "lit" if at_place in places else INKS[worst]
            yield Run(SIGNS[worst], ink), places
        if number + 1 < len(rows):
            yield from _words(_gap(row, rows[number + 1]))
    if after:
        yield from _words(f" {MORE_AFTER}")


def _words(text: str, places: tuple[str, ...] = ()) -> Iterator[tuple[Run, tuple[str, ...]]]:
    for character in text:
        yield Run(character, "quiet"), places
