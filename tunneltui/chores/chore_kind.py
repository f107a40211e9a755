"""What a kind of chore is: everything about it that does not depend on the day. Declared beside its rule."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Scope = Literal["stem", "place", "row", "loop", "tunnel", "house"]
"""What one chore of a kind is about."""
Reach = Literal["stem", "loop", "house"]
"""How much its rule looks at: one stem at a time, a loop of rows at a time, or all there is. It is shown no more
(``chores.reach``), and asked again only once that changed."""
PassName = Literal["look", "pick", "plants", "tap", "overhead"]
"""The walk it is done on. ``tap``: what is done once for a row, a tunnel or the house."""
PartOfDay = Literal["morning", "evening", "either"]
Taken = Literal["fact", "amount", "look", "walk", "choice"]
"""How its answer is given.

- ``fact``: a tick says that it was done as proposed;
- ``amount``: a number, or "not weighed";
- ``look``: only who looked can say so, in the place itself, never "all";
- ``walk``: question by question, and only what was answered is written;
- ``choice``: by the letter of an answer.
"""
Lasts = Literal["facts", "day", "kept"]
"""How long a tick takes a chore off: not at all, since its rule looks at the facts that the tick changed; for its
day; or until its rule says otherwise (``season.entry_index.LASTING``)."""


STEPS = "Overhead: steps on level ground, nobody beneath what hangs, someone within call."
WIRE = "Wire: slacken it before you work on it, stand out of its line, cover your eyes."
"""Usual cautions (common practice, no source)."""


class ChoreKind(Struct, frozen=True):
    key: str
    heading: str
    """What the work is called on a heading."""
    scope: Scope
    walk: PassName
    worth: float
    """Kilograms saved by a minute of it if it is done this week rather than not, where a piece does not say its
    own (reckoned with 0.5 kg a stem and week, 25 kg an hour picked, a snapped tip 3 weeks; own simulation)."""
    minutes: float
    """For one piece of it: a head, plant, clip, string. Common practice, no source, save where said."""
    part: PartOfDay = "either"
    """Where two rounds a day are kept: morning for looking, fruit and leaves, evening for limp stems."""
    reach: Reach = "house"
    lasts: Lasts = "day"
    taken: Taken = "fact"
    window: bool = False
    """Its due days are counted from what caused them, so that it may be laid where the minutes are; what is not so
    counted is due on the day it is asked."""
    joins: bool = False
    """It joins this morning's walk when it comes up; all else waits until the round is planned anew."""
    blank: tuple[str, int] | None = None
    """What is written by hand beside it on paper, and how much room that needs in em."""
    cautions: tuple[str, ...] = ()
    """What to mind, where the work can hurt: usual cautions, no more."""

    @property
    def is_ticked(self) -> bool:
        """Whether ``space``, "all" or a line of several may say that it was done."""
        return self.taken == "fact"
