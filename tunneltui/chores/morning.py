"""One morning worked out from the journal: season, outlook, loads, chores, round, in that order; from nothing, or
after a key from what is known."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

from tunneltui.chores.chore import Chore, DayPart, Round
from tunneltui.chores.lowering import LoweringJob, lowering_jobs
from tunneltui.chores.rules import plan_chores
from tunneltui.chores.walk import plan_round
from tunneltui.growth.forecast import outlook, plan_outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.entry import Entry
from tunneltui.loads.chain import loads, plan_loads
from tunneltui.loads.result import Loads
from tunneltui.memo import Stages
from tunneltui.season.fold import fold
from tunneltui.season.state import Season
from tunneltui.values import replace


class PlannedDay(NamedTuple):
    """What is to do on a day."""

    chores: tuple[Chore, ...]
    round: Round


@dataclass(frozen=True, eq=False)
class Morning:
    """Everything the screens and documents of one day are made from. Chores and round are worked out when first
    asked for, so that nothing about stems alone waits for them."""

    season: Season
    outlook: Outlook
    loads: Loads
    entries: Sequence[Entry] = ()
    """What it was planned from, for what looks back over the whole journal."""
    minutes: float | None = None
    """None: the holding's."""
    part: DayPart = "day"
    known: PlannedDay | None = None
    """What is to do, where that is known."""

    @property
    def day(self) -> date:
        return self.season.day

    @cached_property
    def planned(self) -> PlannedDay:
        if self.known is not None:
            return self.known
        return _planned(Stages(), self.season, self.outlook, self.loads, self.minutes, self.part)

    @cached_property
    def lowerings(self) -> list[LoweringJob]:
        """Of every loop, head by head."""
        return lowering_jobs(self.season, self.outlook, self.loads)

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
    part: DayPart = "day",
) -> Morning:
    """Fold, forecast and load; list and plan what is to do when that is asked for."""
    return morning_of(fold(entries, day), entries, minutes=minutes, part=part)


def morning_of(
    season: Season, entries: Sequence[Entry], *, minutes: float | None = None, part: DayPart = "day"
) -> Morning:
    """The morning of a season that was folded from ``entries``."""
    coming = outlook(season)
    return Morning(season, coming, loads(season, coming, season.day), entries, minutes, part)


def plan(
    stages: Stages,
    season: Season,
    entries: Sequence[Entry] = (),
    *,
    stems: Set[str] | None = None,
    minutes: float | None = None,
    part: DayPart = "day",
) -> Morning:
    """A morning pulled stage by stage: growth, loads, chores, round.

    At a stem's depth it is that of the leaders ``stems`` alone, of a season of their rows (``Fold.rows_of``):
    their outlook, their clips, and what is to do to each by itself.
    """
    coming = plan_outlook(stages, season, of=stems)
    if stems is not None:
        season = replace(season, leaders={id_: leader for id_, leader in season.leaders.items() if id_ in stems})
    bearing = plan_loads(stages, season, coming, season.day)
    planned = _planned(stages, season, coming, bearing, minutes, part)
    return Morning(season, coming, bearing, entries, minutes, part, planned)


def _planned(
    stages: Stages, season: Season, coming: Outlook, bearing: Loads, minutes: float | None, part: DayPart
) -> PlannedDay:
    todo = plan_chores(stages, season, coming, bearing)
    if stages.depth == "stem":
        return PlannedDay(tuple(todo), Round(season.day, part, 0.0, 0.0, (), ()))
    return PlannedDay(tuple(todo), plan_round(season, todo, coming, minutes=minutes, part=part))
