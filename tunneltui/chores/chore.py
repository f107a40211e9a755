"""A chore, a spot and a round as plain values; light enough for the first paint."""

from __future__ import annotations

from datetime import date
from typing import Literal, NamedTuple

from tunneltui.journal.entry import Draft

Part = Literal["day", "morning", "evening"]
When = Literal["early and dry", "limp", "midday", "any"]
"""``limp``: late morning or evening, when stems bend without snapping."""


class Chore(NamedTuple):
    """One thing to do at one spot."""

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
    minutes: float
    overhead: bool
    proposal: str
    """What to do, in a few words, as shown on its line."""
    why: str
    """One plain sentence with its numbers."""
    writes: tuple[Draft, ...]
    """The entries it writes if done as proposed."""
    leaders: tuple[str, ...] = ()
    """Ids of the leaders it handles, in order of work; the exceptions of a row pass are taken from these."""
    waiting: str = ""
    """The price of waiting, where it can wait."""

    @property
    def answers(self) -> tuple[str, str, str]:
        return (self.kind, self.about, self.latest.isoformat())


class Spot(NamedTuple):
    """A place on the walk."""

    place: str
    row: str
    x_m: float
    chores: tuple[Chore, ...]


class Round(NamedTuple):
    """The walk of one day."""

    day: date
    part: Part
    minutes_there: float
    minutes_planned: float
    spots: tuple[Spot, ...]
    later: tuple[Chore, ...]
    """Chores that do not fit today or whose time is the other part of the day, soonest due first."""
