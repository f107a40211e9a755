"""Figures that can hardly be true: questioned at once and again in the look back, but written all the same."""

from __future__ import annotations

from tunneltui.season.state import Season

MOST_KG_A_PLANT = 5.0
"""More is not picked from one plant on one day, after three weeks away neither. Common practice, no source."""


def is_doubted(weighed_kg: float, plants: int) -> bool:
    """Whether a pick from so many plants can hardly be true; False where no plant is known."""
    return plants > 0 and weighed_kg > MOST_KG_A_PLANT * plants


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
