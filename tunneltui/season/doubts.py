"""What a grower notes that can hardly be, told at once and again in the look back: written all the same."""

from __future__ import annotations

from tunneltui.cells import Sentence, kg, many, say
from tunneltui.season.state import Season

MOST_KG_A_PLANT = 5.0
"""More is not picked from one plant on one day, after three weeks away neither. Common practice, no source."""


def pick_doubt(weighed_kg: float, plants: int) -> Sentence:
    """Why a pick from so many plants can hardly be; empty where it can, or where no plant is known."""
    if plants == 0 or weighed_kg <= MOST_KG_A_PLANT * plants:
        return Sentence()
    each = kg(weighed_kg / plants)
    return say("{} from {} is {} a plant at one pick: weighed so?", kg(weighed_kg), many(plants, "plant"), each)


def plants_picked(season: Season, about: str, cultivar: str) -> int:
    """How many plants of a cultivar stand in a row or tunnel, ended ones not counted."""
    return len(
        {
            leader.plant
            for leader in season.leaders.values()
            if leader.cultivar == cultivar
            and about in ("", leader.row, leader.place, season.layout.rows[leader.row][0].key)
        }
    )
