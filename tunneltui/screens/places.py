"""The view from above: which place is chosen, what lies beside it, and what is to do there. Pure."""

from __future__ import annotations

from tunneltui.chores.chore import Chore
from tunneltui.draw.plan_picture import rows_across
from tunneltui.holding.layout import Layout, row_id
from tunneltui.holding.model import Place, Row
from tunneltui.screens.picture import Picture
from tunneltui.season.state import Season

MOST_NAMED = 2
"""Chores of a place told beside the picture; the rest is counted."""


def due_by_place(picture: Picture) -> dict[str, int]:
    """Number of chores still to do, by place and by row."""
    due: dict[str, int] = {}
    for chore in picture.planned():
        if picture.is_open(chore):
            for name in {*_places(picture, chore), chore.row}:
                due[name] = due.get(name, 0) + 1
    return due


def _places(picture: Picture, chore: Chore) -> set[str]:
    return {leader.place for leader in picture.leaders_of(chore)}


def first_place(season: Season, loop: str, leader: str) -> str:
    """Where the leader stands, else the loop's first place; '' where it has none."""
    if leader in season.leaders:
        return season.leaders[leader].place
    standing = season.layout.places.values()
    return next((one.place.name for one in standing if one.loop.id == loop), "")


def place_beside(layout: Layout, place: str, along: int, across: int) -> str:
    """The place ``along`` places further from the door in its row, or the nearest one ``across`` rows away.

    Rows of the next tunnel follow those of the one before. The same place where nothing lies in that direction.
    """
    rows = [(row_id(tunnel, row), row) for tunnel in layout.holding.tunnels for row in rows_across(tunnel)]
    rows = [(name, row) for name, row in rows if row.places]
    here = layout.places.get(place)
    if here is None:
        return place
    at = next(index for index, (name, _) in enumerate(rows) if name == here.row_id)
    if across:
        _, row = rows[max(0, min(at + across, len(rows) - 1))]
        from_door_m = here.row.start_m + here.place.x_m
        return min(row.places, key=lambda one: abs(row.start_m + one.x_m - from_door_m)).name
    beside = _along(here.row)
    index = [one.name for one in beside].index(here.place.name)
    return beside[max(0, min(index + along, len(beside) - 1))].name


def _along(row: Row) -> list[Place]:
    return sorted(row.places, key=lambda one: one.x_m)


def place_words(picture: Picture, place: str) -> list[str]:
    """Who stands there and what is to do, a line each."""
    if not place:
        return ["No place has a name in this tunnel."]
    there = [leader for leader in picture.leaders.values() if leader.place == place]
    names = ", ".join(leader.name for leader in there) or "no stem stands there"
    due = [one for one in picture.planned() if picture.is_open(one) and place in _places(picture, one)]
    lines = [f"{place}: {names}. {len(due) or 'Nothing'} to do. enter shows it from the side."]
    lines += ["  " + chore.proposal for chore in due[:MOST_NAMED]]
    if len(due) > MOST_NAMED:
        lines.append(f"  and {len(due) - MOST_NAMED} more on the round.")
    return lines
