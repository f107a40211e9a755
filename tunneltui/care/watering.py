"""What to change about water today: the timer, or a can round, only where it differs from what was given last."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tunneltui.care.advice import Advice
from tunneltui.care.row_water import bed_of, row_water, timer_on, water_balance
from tunneltui.care.water import drip_minutes, litres_range
from tunneltui.cells import Quantity, Range, say
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Row, Tunnel
from tunneltui.journal.kinds_care import Watered
from tunneltui.season.state import Season

WATER_AGAIN_DAYS = 7
"""Without a drip timer, ask anew after so many days."""
WATER_ANEW_DAYS = 28
"""What still holds is said again after so many days (assumed)."""
HAND_DAYS = 3
"""What is watered by hand is held against what so many days ask: soil holds about as much (assumed)."""
SOURCE = "FAO-56, inside radiation method and Hargreaves; crop factor known to 30%"


def watering(season: Season, outlook: Outlook, tunnel: Tunnel, row: Row) -> Iterable[Advice]:
    """One advice for a row, or none where the last watering is within what it asks."""
    water_and_plants = row_water(season, outlook, tunnel, row)
    if water_and_plants is None:
        return
    water, plants = water_and_plants
    name = row_id(tunnel, row)
    last = last_watered(season, (name, tunnel.key, ""))
    bed = bed_of(tunnel, row)
    given, short = None, False
    per_plant = litres_range(water.low_l, water.high_l)
    if bed is not None and bed.drip_lph_per_plant is not None:
        low, high = (drip_minutes(x, bed.drip_lph_per_plant) for x in (water.low_l, water.high_l))
        stands = _minutes_now(season, (name, tunnel.key, ""))
        if stands is not None and low <= stands <= high:
            return
        change: str = say("timer {} a day", Range(low, high, "min"))
        if stands is not None:
            change = say("timer {} to {}", Quantity(stands, ""), Quantity((low + high) / 2, "min"))
        middle = Watered(minutes=round((low + high) / 2), timer=True)
    else:
        counted = last is not None and last[1].litres is not None and not last[1].as_proposed
        given = water_balance(season, outlook, tunnel, row, season.day, HAND_DAYS) if counted else None
        short = given is not None and (given.short is True or not given.times)
        if (
            last is not None
            and not short
            and _still_holds(season, last, water.low_l * plants, water.high_l * plants)
        ):
            return
        whole = litres_range(water.low_l * plants, water.high_l * plants)
        change = say("water {}, {} a day for {}", name, whole, plants)
        middle = Watered(litres=round(water.mid_l * plants, 1), as_proposed=True)
    why = say("{} asks {} a plant and day by the last days' air; look at the soil first", name, per_plant)
    if given is not None and short:
        why += say(". In {} days: {}", HAND_DAYS, given.words)
    yield Advice("water", name, False, "any", change, why, SOURCE, ((name, middle),))


def _still_holds(season: Season, last: tuple[date, Watered], low_l: float, high_l: float) -> bool:
    """Whether the last watering is still within what is needed, or was noted a few days ago."""
    days = (season.day - last[0]).days
    held = last[1].as_proposed and low_l <= (last[1].litres or 0.0) <= high_l
    return days < (WATER_ANEW_DAYS if held else WATER_AGAIN_DAYS)


def _minutes_now(season: Season, abouts: tuple[str, ...]) -> float | None:
    """What the timer is set to, or the minutes of the last time the drip was run by hand."""
    timer = timer_on(season, abouts, season.day)
    last = last_watered(season, abouts)
    newest = timer[2] if timer is not None else last[1] if last is not None else None
    return newest.minutes if newest is not None else None


def last_watered(season: Season, abouts: tuple[str, ...]) -> tuple[date, Watered] | None:
    given = season.waterings_of(abouts)
    return (given[-1][0], given[-1][2]) if given else None
