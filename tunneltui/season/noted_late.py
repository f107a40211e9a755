"""Plants noted in the middle of a season, of which nobody said yet whether they stood before."""

from __future__ import annotations

from tunneltui.season.growing_year import usual_growing_year
from tunneltui.season.state import Leader, Season

STOOD_BEFORE_KEY = "stood_before"
"""The chore that asks when plants noted in mid season were planted."""
LATE_MONTHS = (6, 7, 8, 9)
"""Of the growing year. Who notes a planting in these months may note on that day what stood already."""
JUST_NOTED_DAYS = 14
"""So long after it that is asked (assumed)."""


def may_be_older(season: Season, leader: Leader) -> bool:
    """Noted as planted in the middle of a season, and nothing else is noted of it: its day may be that of the
    note, and its length is anything."""
    if (season.day - leader.planted_on).days >= JUST_NOTED_DAYS:
        return False  # First of all, as every forecast asks it of every stem.
    month = usual_growing_year(season.holding.latitude_deg).month_of(leader.planted_on)
    # A hook tells where it hangs, and nothing of how long the stem is.
    noted = leader.readings or leader.lowerings or leader.fixings or leader.buried_m or leader.planted_about
    if month not in LATE_MONTHS or noted or _was_noted_from_spring(season, leader):
        return False
    return not any(done.answers[:2] == (STOOD_BEFORE_KEY, leader.loop) for done in season.done)


def _was_noted_from_spring(season: Season, leader: Leader) -> bool:
    """Whether its loop was, this growing year: then a plant noted later is a new one, in a gap or after a crop."""
    year = usual_growing_year(season.holding.latitude_deg)
    return any(
        other.loop == leader.loop
        and not other.planted_about
        and year.of(other.planted_on) == year.of(leader.planted_on)
        and year.month_of(other.planted_on) not in LATE_MONTHS
        for plants in (season.leaders, season.gone)
        for other in plants.values()
    )
