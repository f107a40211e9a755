"""Where the hours went: minutes by chore, per plant and per kg, from what was timed."""

from __future__ import annotations

from msgspec import Struct

from tunneltui.review.record import SeasonRecord

PLANT_WORK_H_PER_M2 = 0.27
PICKING_H_PER_KG = 0.01
"""Plant work and picking of a season in south-east Spain (Perez et al. 2003 in Vanthoor 2011, table 5.1)."""


class Labour(Struct, frozen=True):
    chore: str
    minutes: float
    times: int
    minutes_per_plant: float | None
    """None where the plants handled were not noted."""
    minutes_per_kg: float | None
    """Over all kg weighed in the span, whatever they were picked from; None where none was."""


def labour(record: SeasonRecord) -> list[Labour]:
    """A line for every chore timed, the longest first."""
    kg = sum(pick.kg or 0.0 for pick in record.picks)
    hours = []
    for chore in {hours.chore for hours in record.hours}:
        timed = [hours for hours in record.hours if hours.chore == chore]
        minutes = sum(hours.minutes for hours in timed)
        noted = [(h.minutes, h.plants) for h in timed if h.plants]
        per_plant = sum(m for m, _ in noted) / sum(p for _, p in noted) if noted else None
        hours.append(Labour(chore, minutes, len(timed), per_plant, minutes / kg if kg else None))
    return sorted(hours, key=lambda line: (-line.minutes, line.chore))


def minutes_per_kg(record: SeasonRecord) -> float | None:
    """All minutes timed over all kg picked; None without either."""
    kg = sum(pick.kg or 0.0 for pick in record.picks)
    minutes = sum(hours.minutes for hours in record.hours)
    return minutes / kg if kg and minutes else None


def yardstick_hours(area_m2: float, kg: float) -> tuple[float, float]:
    """(plant work, picking) hours a season by the Spanish figures."""
    return area_m2 * PLANT_WORK_H_PER_M2, kg * PICKING_H_PER_KG
