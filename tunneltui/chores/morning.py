"""One morning worked out from the journal: season, outlook, loads, chores, round, in that order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

from tunneltui.chores.chore import Chore, Part, Round
from tunneltui.chores.rules import chores
from tunneltui.chores.walk import plan_round
from tunneltui.growth.forecast import Basis, basis, outlook_from
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.entry import Entry
from tunneltui.loads.chain import loads, update_loads
from tunneltui.loads.result import Loads
from tunneltui.season.fold import fold
from tunneltui.season.state import Season


class Planned(NamedTuple):
    """What is to do on a day."""

    chores: tuple[Chore, ...]
    round: Round


@dataclass(frozen=True, eq=False)
class Morning:
    """Everything the screens and documents of one day speak from. What tells of stems alone waits for no chore:
    they are worked out when they are first asked for."""

    season: Season
    outlook: Outlook
    loads: Loads
    entries: Sequence[Entry] = ()
    """What it was planned from, for what looks back over the whole journal."""
    minutes: float | None = None
    """None: the holding's."""
    part: Part = "day"
    known: Planned | None = None
    """What is to do, where that is known."""

    @property
    def day(self) -> date:
        return self.season.day

    @cached_property
    def planned(self) -> Planned:
        if self.known is not None:
            return self.known
        todo = tuple(chores(self.season, self.outlook, self.loads))
        walk = plan_round(self.season, todo, self.outlook, minutes=self.minutes, part=self.part)
        return Planned(todo, walk)

    @property
    def chores(self) -> tuple[Chore, ...]:
        return self.planned.chores

    @property
    def round(self) -> Round:
        return self.planned.round


def plan_morning(
    entries: Sequence[Entry],
    day: date,
    *,
    minutes: float | None = None,
    part: Part = "day",
) -> Morning:
    """Fold, forecast and load; list and plan what is to do when that is asked for."""
    season = fold(entries, day)
    return morning_of(season, basis(season), entries, minutes=minutes, part=part)


def morning_of(
    season: Season,
    known: Basis,
    entries: Sequence[Entry],
    was: Loads | None = None,
    *,
    minutes: float | None = None,
    part: Part = "day",
) -> Morning:
    """The morning of a season that was folded from ``entries``, with what the forecast learned from it. ``was``:
    loads worked out before; of those of the same day only what changed since is worked out anew."""
    coming = outlook_from(known, season)
    if was is not None and was.day == season.day:
        bearing = update_loads(was, season, coming)
    else:
        bearing = loads(season, coming, season.day)
    return Morning(season, coming, bearing, entries, minutes, part)
