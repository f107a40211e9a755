"""One morning worked out from the journal: season, outlook, loads, chores, round, in that order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

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
    part: Part = "day",
) -> Morning:
    """Fold, forecast, load, list and plan. ``minutes`` None: the holding's."""
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
    todo = tuple(chores(season, coming, bearing))
    walk = plan_round(season, todo, coming, minutes=minutes, part=part)
    return Morning(season.day, season, coming, bearing, todo, walk, entries)
