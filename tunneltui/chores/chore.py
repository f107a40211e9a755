"""A chore, a spot and a round as plain values; light enough for the first paint."""

from __future__ import annotations

from datetime import date
from typing import Literal, NamedTuple

from tunneltui.journal.entry import Draft

DayPart = Literal["day", "morning", "evening"]
When = Literal["early and dry", "limp", "midday", "any"]
"""``limp``: late morning or evening, when stems bend without snapping."""


class Piece(NamedTuple):
    """The least that can be done, left, or done differently: one head, plant, clip or string."""

    key: str
    """Stable from day to day within its chore: a leader's or a clip's id, a place; '' where the chore is one
    piece. Where its entries list leaders it is the leader's id."""
    place: str
    """Where the hands are, ``W1-07``; the row where they are all along it; '' for the house."""
    row: str
    x_m: float
    u_m: float
    leaders: tuple[str, ...]
    """Ids of those it handles."""
    what: str
    """A few words: ``second clip, stem W1-16``."""
    minutes: float
    writes: tuple[Draft, ...]
    """The entries it writes if done as proposed; none where it is not for a tick to say (a choice, a walk)."""
    earliest: date
    latest: date
    worth: float = 0.0
    """Kilograms saved a minute if it is done this week rather than not."""


class Choice(NamedTuple):
    """One answer to what is to be decided; only a grower gives it, by its letter."""

    key: str
    """One letter."""
    words: str
    writes: tuple[Draft, ...]


class Chore(NamedTuple):
    """One thing to do, in one place or piece by piece along a row."""

    id: str
    """``kind about due``: the same chore has the same id whenever it is planned on its day."""
    kind: str
    about: str
    """Leader's name, place, row, loop or tunnel; '' for the house."""
    row: str
    x_m: float
    """Where on the row the hands are: the head, clip or fruit, not the root."""
    u_m: float
    when: When
    earliest: date
    latest: date
    must: bool
    overhead: bool
    proposal: str
    """What to do, in a few words, as shown on its line."""
    why: str
    """One plain sentence with its numbers."""
    pieces: tuple[Piece, ...]
    """In order of work."""
    choices: tuple[Choice, ...] = ()
    """The answers where it is to be decided, the harmless one first."""
    cautions: tuple[str, ...] = ()
    """Warnings where the work can hurt."""
    waiting: str = ""
    """The price of waiting, where it can wait."""

    @property
    def answers(self) -> tuple[str, str, str]:
        """What an entry about all of it answers; a piece's own names the piece's own due day."""
        return (self.kind, self.about, self.latest.isoformat())

    @property
    def key(self) -> tuple[str, str]:
        """Kind and about: no two of a day are alike, and what is left of it asks the same, whenever it is due."""
        return (self.kind, self.about)

    @property
    def minutes(self) -> float:
        return sum(piece.minutes for piece in self.pieces)

    @property
    def writes(self) -> tuple[Draft, ...]:
        """The entries it writes if all of it is done as proposed."""
        return tuple(draft for piece in self.pieces for draft in piece.writes)

    @property
    def leaders(self) -> tuple[str, ...]:
        """Ids of the leaders it handles, in order of work."""
        return tuple(dict.fromkeys(leader for piece in self.pieces for leader in piece.leaders))


class Spot(NamedTuple):
    """A place on the walk."""

    place: str
    row: str
    x_m: float
    chores: tuple[Chore, ...]


class WorkOfAKind(NamedTuple):
    """Minutes of one kind of chore."""

    kind: str
    heading: str
    """What the work is called."""
    minutes: float


class DayAhead(NamedTuple):
    """What a work day of the coming week holds, if each day's work before it is done."""

    day: date
    minutes_there: float
    minutes: float
    what: tuple[WorkOfAKind, ...]
    """The most minutes first."""


class Round(NamedTuple):
    """The walk of one day."""

    day: date
    part: DayPart
    minutes_there: float
    minutes_planned: float
    spots: tuple[Spot, ...]
    later: tuple[Chore, ...]
    """Chores none of which fits today or whose time is the other part of the day, soonest due first."""
    week: tuple[DayAhead, ...] = ()
    """Today first."""
    gives: tuple[WorkOfAKind, ...] = ()
    """What the week has no room for, the most minutes first."""
    done_share: float = 1.0
    """Of what was asked for in the last weeks, how much was done: the coming days hold so much of their
    minutes."""
    waits: tuple[WorkOfAKind, ...] = ()
    """Due today, and laid on a later day: the most minutes first."""

    @property
    def short_minutes(self) -> float:
        """By how much the week holds more than there is time for."""
        return sum(work.minutes for work in self.gives)
