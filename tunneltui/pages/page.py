"""A page: everything one subject says, as typed cells, before anyone has decided how wide or in which units.

A subject's module makes it from facts, once; ``lines.list_lines`` turns it into lines of a list,
``text`` into 80-column text, lines for a reader, or HTML::

    def stores_page(season: Season) -> Page:
        return Page(
            say("{}  stores", season.day),
            (
                Section(
                    "kinds",
                    columns=(Column("thing"), Column("kind"), Column("there", right=True)),
                    items=tuple(
                        Item(f"{own.item} {own.kind}", cells=(own.item, own.kind, say("{}", own.in_store)))
                        for own in stores
                    ),
                ),
                Section(
                    "needs",
                    say("Still wanted"),
                    items=(
                        Item(
                            "clip",
                            # The same in up to three lengths, longest first: the widest that fits is shown.
                            lengths=(say("clips: {} more, {} there", 40, 12), say("clips {} short", 28)),
                            more=(say("Counted from the stems' growth to the last pick."),),
                        ),
                    ),
                ),
            ),
        )

Quantities that share a unit stand right under it: ``Column("now", unit="N", right=True)`` says the unit in its
head and its cells as bare figures (``say("{}", load(23.0))``). A narrow list leaves out the columns of the lowest
``rank`` first; rank 0 always stays. ``inked("must", ...)`` colours a cell; a sign or word must say the same.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from tunneltui.cells import Sentence, Unit

NOTHING = Sentence()
NO_DOCUMENT: Mapping[str, Any] = MappingProxyType({})


class Column(NamedTuple):
    """One column of a section's table."""

    head: str = ""
    unit: Unit | None = None
    """Said in the head; quantities in the column are figures only."""
    right: bool = False
    rank: int = 0
    """0 always stays; of the others the lowest leaves first where it is narrow."""
    room: int = 0
    """Cells it has at the least, so that pages beside each other align."""


class Item(NamedTuple):
    """One thing said: a line of a list, a row of a table, a paragraph."""

    key: str
    cells: tuple[str, ...] = ()
    """One a column of its section; each a sentence or a grower's word."""
    lengths: tuple[str, ...] = ()
    """What stands after the columns, the same in up to three lengths, longest first."""
    more: tuple[str, ...] = ()
    """Said beside the list while the cursor is on it, and indented below it on paper."""
    beside: tuple[str, ...] = ()
    """Said beside the list only: what paper need not repeat."""


class Section(NamedTuple):
    """Things of one kind under a heading."""

    key: str
    title: str = NOTHING
    columns: tuple[Column, ...] = ()
    items: tuple[Item, ...] = ()


class Page(NamedTuple):
    title: str
    sections: tuple[Section, ...] = ()
    foot: tuple[str, ...] = ()
    """What it all rests on, and cautions."""
    document: Mapping[str, Any] = NO_DOCUMENT
    """The same facts for other programs: SI, rounded at the edge, null where unknown (bytes depend on entries and
    day only)."""

    def find(self, key: str) -> tuple[Section, Item | None]:
        """The section of a line of the list and its item; None under a heading. Raises ``KeyError``."""
        for section in self.sections:
            if key in (f"section {section.key}", f"heads {section.key}"):
                return section, None
            for item in section.items:
                if item.key == key:
                    return section, item
        raise KeyError(key)


def rounded(value: float | None, digits: int = 3) -> float | None:
    """For a document: half to even; None for unknown and for what is no number; never minus nought."""
    if value is None or not math.isfinite(value):
        return None
    return round(value, digits) + 0.0
