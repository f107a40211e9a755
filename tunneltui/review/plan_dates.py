"""Sowing, potting on, hardening, planting and taking tips out, from the typical year and the chosen end."""

from __future__ import annotations

from datetime import date, timedelta

from tunneltui.care.frost import PLANTING_SOIL_C
from tunneltui.chores.raising import (
    HARDEN_AT_DAYS,
    HARDENED_IN_DAYS,
    POT_ON_AFTER_DAYS,
    UP_AFTER_DAYS,
)
from tunneltui.growth.air import air_series, typical_c
from tunneltui.growth.ripening import RipeningFactor
from tunneltui.growth.topping import last_useful_flowering
from tunneltui.review.plan_season import Coming
from tunneltui.review.plan_values import Dates


def planting_day(after: date, latitude_deg: float | None) -> date | None:
    """The first day of the next spring on which the soil is warm; None where the typical year has none.

    The typical tunnel mean of the day stands for the soil (assumed); the soil is to be felt before planting. The
    planting chore asks for less warmth, so on this day it agrees.
    """
    spring = date(after.year + 1, 1, 1)
    for ahead in range(182):
        day = spring + timedelta(days=ahead)
        if typical_c(day.toordinal(), latitude_deg) >= PLANTING_SOIL_C:
            return day
    return None


def dates(planned: Coming) -> Dates:
    """The season's days, from its planting day; once the trays are sown then, the same days come as chores."""
    season, end = planned.season, planned.end
    plant = season.day
    sow = plant - timedelta(days=HARDEN_AT_DAYS + HARDENED_IN_DAYS)
    tip_out = None
    if end is not None and season.layout.rows:
        tunnel = next(iter(season.layout.rows.values()))[0].key
        air = air_series(season, tunnel, plant, end.day)
        tip_out = last_useful_flowering(end.day, air, RipeningFactor())
    return Dates(
        sow,
        sow + timedelta(days=UP_AFTER_DAYS + POT_ON_AFTER_DAYS),
        plant - timedelta(days=HARDENED_IN_DAYS),
        plant,
        tip_out,
        end.day if end else None,
        end is None or end.assumed,
    )


def cannot_be_kept(found: Dates, today: date) -> list[str]:
    """A sentence for every day that has gone by or comes too late; none if all can be kept."""
    says = []
    if found.sow <= today:
        says.append(f"Sowing on {found.sow} has gone by: buy plants, or plant later.")
    if found.tip_out is not None and found.tip_out <= found.plant:
        says.append(f"Nothing planted on {found.plant} is ripe by {found.last_pick}: choose a later end.")
    return says
