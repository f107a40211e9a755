"""How long a chore takes: what the grower timed, else what the holding says, else the trade's usual figures."""

from __future__ import annotations

from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.holding.model import FruitKind
from tunneltui.season.state import Season

PICKED_KG_PER_HOUR: dict[FruitKind, float] = {
    "cherry": 8.0,
    "cocktail": 25.0,
    "plum": 25.0,
    "standard": 25.0,
    "beef": 25.0,
    "long": 40.0,
    "short": 20.0,
}
"""Common practice, no source."""


def minutes_for(season: Season, kind: ChoreKind, pieces: float = 1.0) -> float:
    """Minutes for so many pieces of work of a kind (heads, plants, clips, strings)."""
    timed = season.timings.get(kind.key)
    if timed is not None and timed[1] > 0:
        return pieces * timed[0] / timed[1]
    return pieces * season.holding.work.minutes_by_chore.get(kind.key, kind.minutes)


def minutes_to_pick(season: Season, kind: ChoreKind, fruit: FruitKind, kg: float, plants: int) -> float:
    """Minutes for a pick: as timed per plant, else by the weight expected; never less than one."""
    if kind.key in season.timings or kind.key in season.holding.work.minutes_by_chore:
        return max(1.0, minutes_for(season, kind, plants))
    return max(1.0, 60.0 * kg / PICKED_KG_PER_HOUR[fruit])
