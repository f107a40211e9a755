"""Days away: what is to be done before, and a plain list for whoever waters and picks meanwhile."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tunneltui.care.row_water import row_water
from tunneltui.care.water import drip_minutes
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.growth.outlook import PickOutlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.user_error import UserError

MINDED = frozenset({"pick", "water"})
"""Kinds that whoever minds the house does; the lists below give them row by row."""


class RowToWater(Struct, frozen=True):
    """Litres are for all plants of the row, a day; None where no air was read or the latitude is unknown."""

    row: str
    plants: int
    low_l: float | None
    high_l: float | None
    drip_minutes: tuple[float, float] | None


class AwayPlan(Struct, frozen=True):
    first: date
    last: date
    before: list[Chore]
    """Due by the last day away and possible before the first."""
    meanwhile: list[Chore]
    """Due in that time and not ripe before: to be brought forward or handed over."""
    at_wire: list[tuple[str, date]]
    """Heads that may touch the wire by the last day, with the early day of it."""
    picks: list[PickOutlook]
    water: list[RowToWater]
    foreseen_to: date | None
    """Last day the picks are foreseen to, where that is before the last day away."""


def away(morning: Morning, first: date, last: date) -> AwayPlan:
    """Raises ``UserError`` where the days are the wrong way round or begin before today."""
    if last < first:
        raise UserError("The last day away is before the first.", "Such as: away 2026-09-01 2026-09-07.")
    if first < morning.day:
        raise UserError(f"{first} is over: today is {morning.day}.", "Give the days that are still to come.")
    due = [chore for chore in morning.chores if chore.kind not in MINDED and chore.latest <= last]
    foreseen = max((max(ahead.days) for ahead in morning.outlook.leaders.values()), default=morning.day)
    return AwayPlan(
        first,
        last,
        [chore for chore in due if _possible_before(chore, morning.day, first)],
        [chore for chore in due if not _possible_before(chore, morning.day, first)],
        _at_wire(morning, last),
        sorted(
            (p for p in morning.outlook.picks if first <= p.day <= last), key=lambda p: (p.day, p.row, p.cultivar)
        ),
        _water(morning),
        foreseen if foreseen < last else None,
    )


def _possible_before(chore: Chore, today: date, first: date) -> bool:
    """What is overdue can be done today where the absence begins tomorrow; on the first day nobody is there."""
    return max(chore.earliest, today) < first


def _at_wire(morning: Morning, last: date) -> list[tuple[str, date]]:
    stems = []
    for id_, leader in morning.season.leaders.items():
        ahead = morning.outlook.leaders.get(id_)
        early = ahead.at_wire[0] if ahead else None
        if early is not None and early <= last and leader.tip_taken_out_on is None:
            stems.append((leader.name, early))
    return stems


def _water(morning: Morning) -> list[RowToWater]:
    rows = []
    for tunnel in morning.season.holding.tunnels:
        for row in tunnel.rows:
            name = row_id(tunnel, row)
            plants = len({leader.plant for leader in morning.season.leaders_of_row(name)})
            need = row_water(morning.season, morning.outlook, tunnel, row)
            if not plants:
                continue
            if need is None:
                rows.append(RowToWater(name, plants, None, None, None))
                continue
            water = need[0]
            rate = next((bed.drip_lph_per_plant for bed in tunnel.beds if bed.key == row.bed), None)
            drip = (drip_minutes(water.low_l, rate), drip_minutes(water.high_l, rate)) if rate else None
            rows.append(RowToWater(name, plants, water.low_l * plants, water.high_l * plants, drip))
    return rows
