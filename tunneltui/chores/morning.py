"""One morning worked out from the journal: season, outlook, loads, chores, round, in that order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from tunneltui.chores.chore import Chore, Round
from tunneltui.chores.rules import chores
from tunneltui.chores.walk import plan_round
from tunneltui.growth.forecast import outlook
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.entry import Entry
from tunneltui.loads.chain import loads
from tunneltui.loads.result import Loads
from tunneltui.season.fold import fold
from tunneltui.season.state import Season


@dataclass(frozen=True, slots=True, eq=False)
class Morning:
    """Everything the screens and documents of one day speak from."""

    day: date
    season: Season
    outlook: Outlook
    loads: Loads
    chores: tuple[Chore, ...]
    round: Round
    entries: Sequence[Entry] = ()
    """What it was planned from, for what looks back over the whole journal."""


def plan_morning(
    entries: Sequence[Entry],
    day: date,
    *,
    minutes: float | None = None,
    part: Literal["day", "morning", "evening"] = "day",
) -> Morning:
    """Fold, forecast, load, list and plan. ``minutes`` None: the holding's."""
    season = fold(entries, day)
    coming = outlook(season)
    bearing = loads(season, coming, day)
    todo = tuple(chores(season, coming, bearing))
    walk = plan_round(season, todo, minutes=minutes, part=part)
    return Morning(day, season, coming, bearing, todo, walk, entries)
