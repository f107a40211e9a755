"""What a line on the screen is made of, and how it is brought to the width there is. Pure: no widget, no terminal.

The program's own words are never cut in two: a stretch has shorter forms, then whole columns go by their rank.
Only what a grower wrote is cut, in its middle.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from textwrap import wrap

from rich.cells import cell_len, set_cell_size

from tunneltui.pages.lines import Line as Line
from tunneltui.pages.lines import Part as Part
from tunneltui.pages.units import in_force, localize

LEAST_OWN = 7
"""Cells that are left of what a grower wrote before anything else gives way."""


def width_of(part: Part) -> int:
    """Cells it takes."""
    return max(cell_len(part.text), part.cells)


def padded(part: Part) -> str:
    """Its text in the cells it has."""
    blanks = " " * (part.cells - cell_len(part.text))
    return blanks + part.text if part.right else part.text + blanks


def in_units(line: Line) -> Line:
    """With its quantities in the grower's units."""
    if not in_force().imperial:
        return line
    return line._replace(parts=tuple(in_units_part(part) for part in line.parts))


def in_units_part(part: Part) -> Part:
    return part._replace(text=localize(part.text), shorter=tuple(localize(words) for words in part.shorter))


def fitted(parts: Sequence[Part], width: int) -> tuple[Part, ...]:
    """The parts in ``width`` cells: shorter forms from the right, then columns by rank, then a grower's own words
    cut in their middle, last the words at the end left out whole."""
    held = list(parts)
    over = sum(width_of(part) for part in held) - width
    while over > 0:
        at = next((n for n in range(len(held) - 1, -1, -1) if held[n].shorter), None)
        if at is not None:
            before = held[at]
            held[at] = before._replace(text=before.shorter[0], shorter=before.shorter[1:])
            over -= width_of(before) - width_of(held[at])
            continue
        worst = min((part.rank for part in held if part.rank), default=0)
        own = max((part for part in held if part.own), key=lambda part: width_of(part), default=None)
        if own is not None and width_of(own) - over >= LEAST_OWN:
            held[held.index(own)] = own._replace(text=cut_in_middle(own.text, width_of(own) - over), cells=0)
            over = 0
        elif worst:
            over -= sum(width_of(part) for part in held if part.rank == worst)
            held = [part for part in held if part.rank != worst]
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
        if width_of(part) > left:
            held.append(part._replace(text=whole_words(part.text, left), cells=0))
            break
        held.append(part)
        left -= width_of(part)
    return tuple(held)


def facts_in_lines(key: str, facts: Sequence[str], width: int) -> list[Line]:
    """Facts for a voice or a braille display: whole ones a line, those that do not fit in the lines below."""
    lines: list[list[str]] = [[]]
    for fact in facts:
        if lines[-1] and cell_len(", ".join([*lines[-1], localize(fact)])) > width:
            lines.append([])
        lines[-1].append(fact)
    return [Line(key, tuple(map(Part, line)), rest=number > 0) for number, line in enumerate(lines)]


def under(label: Part, sentence: str, width: int) -> list[tuple[Part, ...]]:
    """The sentence in lines of ``width`` cells right of the label; a figure keeps its unit beside it."""
    whole = re.sub(r"(\d) ([a-zA-Z]{1,3}\b)", "\\1\u00a0\\2", localize(sentence))
    lines = wrap(whole, max(width - label.cells, 8), break_on_hyphens=False) or [""]
    blank = Part("", cells=label.cells)
    return [(blank if number else label, Part(line.replace("\u00a0", " "))) for number, line in enumerate(lines)]
