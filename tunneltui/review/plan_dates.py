"""Sowing, potting on, hardening, planting and taking tips out, from the typical year and the chosen end."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import median_low

from tunneltui.care.frost import FLEECE_ADDS_K, PLANTING_SOIL_C, SECOND_SHARE, barrels_hold_k, cover_m2
from tunneltui.chores.batches import HARDENED_IN_DAYS, POT_ON_AFTER_DAYS, RAISED_IN_DAYS, UP_AFTER_DAYS
from tunneltui.growth.air import air_series, typical_c
from tunneltui.growth.ripening import RipeningFactor
from tunneltui.growth.topping import TOO_COLD_C, last_useful_flowering
from tunneltui.holding.user_error import UserError
from tunneltui.review.plan_season import ComingSeason
from tunneltui.review.plan_values import (
    Conflict,
    Dates,
    EndTooLate,
    NothingRipe,
    PlantedTooLate,
    SoilTooCold,
    SowingGoneBy,
    Wishes,
)
from tunneltui.season.growing_year import growing_year, picked_from, usual_growing_year, year_on
from tunneltui.season.state import Season

SPRING_DAYS = 181
"""Of a growing year: to the end of June in the north. Soil that is not warm by then is taken as a fault in the
holding's latitude."""
MOST_AHEAD_DAYS = 730
"""Planting further off than this is no coming season."""
COLD_DAY_SPREAD = timedelta(days=14)
"""The typical year's first day too cold comes sooner or later by so much in a year that is lived: a last pick no
further on, the one that is taken by itself among them, is no fault. Assumed."""
MOST_SEASON_DAYS = 366
"""From planting to the last pick: vines cleared later than this are of another season."""


def planting_day(after: date, latitude_deg: float | None, covers_add_k: float = 0.0) -> date | None:
    """The first day of the next season's spring on which the soil is warm; None where the typical year has none.

    The typical tunnel mean of the day stands for the soil (assumed), with what covers add; the soil is to be felt
    before planting. The planting chore asks for less warmth, so on this day it agrees.
    """
    season = usual_growing_year(latitude_deg).of(after)
    return _warm_day(season + 1, latitude_deg, covers_add_k)


MEAN_SHARE = 0.5
"""Of what fleece and barrels add at night, the day's mean gains so much. Assumed."""


def covers_add_k(season: Season) -> float:
    """What the fleece in store, a second one where it is enough, and barrels add to the day's mean.

    The least of all tunnels: one day is planned for the house."""
    tunnels = [t for t in season.holding.tunnels if any(row.places for row in t.rows)]
    pieces = sum(left for (item, _), left in season.stock.items() if item == "fleece")
    layers = min(2, int(pieces // max(1, len(tunnels))))
    fleece = FLEECE_ADDS_K[1] * (min(layers, 1) + SECOND_SHARE * max(0, layers - 1))
    barrels = [barrels_hold_k(t.barrels_l, cover_m2(t.length_m, t.width_m)) / 2 for t in tunnels]
    return MEAN_SHARE * (fleece + min(barrels, default=0.0))


def next_planting_day(season: Season) -> date | None:
    """This spring's where it is still to come and nothing was planted this season, else the next one's. Who picks
    over the winter plants again when the last crop was planted."""
    if (planted_on := _over_winter(season)) is not None:
        return planted_on
    latitude_deg = season.holding.latitude_deg
    growing = usual_growing_year(latitude_deg)
    this_season = growing.of(season.day)
    standing = any(growing.of(leader.planted_on) == this_season for leader in season.leaders.values())
    more_k = covers_add_k(season)
    this_spring = _warm_day(this_season, latitude_deg, more_k)
    if this_spring is not None and this_spring > season.day and not standing:
        return this_spring
    return planting_day(season.day, latitude_deg, more_k)


def _over_winter(season: Season) -> date | None:
    """A year after half of the last crop was planted, where crops are picked over the usual end of the growing
    year; None where they are not."""
    latitude_deg = season.holding.latitude_deg
    planted = {stem.plant: stem.planted_on for stem in (*season.gone.values(), *season.leaders.values())}
    stood = ((on, season.ended.get(plant)) for plant, on in planted.items())
    weighed = (pick.day for pick in season.picks if pick.picked.kg is not None or pick.picked.count is not None)
    own = growing_year(picked_from(stood, weighed), latitude_deg)
    if own == usual_growing_year(latitude_deg):
        return None
    last = own.of(max(planted.values()))
    day = median_low(on for on in planted.values() if own.of(on) == last)
    while day <= season.day:
        day = year_on(day)
    return day


def _warm_day(season: int, latitude_deg: float | None, more_k: float) -> date | None:
    first = usual_growing_year(latitude_deg).span(season)[0]
    for day in (first + timedelta(days=n) for n in range(SPRING_DAYS)):
        if typical_c(day.toordinal(), latitude_deg) + more_k >= PLANTING_SOIL_C:
            return day
    return None


def chosen_planting_day(season: Season, wishes: Wishes) -> date:
    """The day wished for, else the first warm one.

    Raises:
        UserError: the typical year has no warm spring, or the chosen days cannot be.
    """
    plant = wishes.plant or next_planting_day(season)
    if plant is None:
        raise UserError(
            "The typical year here has no day in spring with soil warm enough to plant.",
            "Check `latitude_deg` in the holding.",
        )
    if plant <= season.day:
        raise UserError(f"Planting on {plant} has gone by: it is {season.day}.", "Choose a later day.")
    if wishes.end is not None and wishes.end <= plant:
        raise UserError(f"The end, {wishes.end}, comes before planting, {plant}.", "Choose a later end.")
    if (plant - season.day).days > MOST_AHEAD_DAYS:
        raise UserError(f"Planting on {plant} is more than two years off.", "Choose a day of the coming season.")
    if wishes.end is not None and (wishes.end - plant).days > MOST_SEASON_DAYS:
        raise UserError(
            f"The end, {wishes.end}, is more than a year after planting, {plant}.", "Choose a sooner end."
        )
    return plant


def dates(planned: ComingSeason) -> Dates:
    """The season's days, from its planting day; the same days come as chores."""
    season, end = planned.season, planned.end
    plant = season.day
    sow = plant - timedelta(days=RAISED_IN_DAYS)
    tip_out = None
    stems = season.leaders.values()
    if stems and all(stem.training == "pinched_at_wire" for stem in stems):
        tip_out = min((stem.tip_taken_out_on for stem in stems if stem.tip_taken_out_on), default=None)
    elif end is not None and season.layout.rows:
        tunnel = next(iter(season.layout.rows.values()))[0].key
        air = air_series(season, tunnel, plant, end.day)
        tip_out = last_useful_flowering(end.day, air, RipeningFactor())
        full = [season.leaders[name].tip_taken_out_on for name in planned.full]
        tip_out = min((day for day in (tip_out, *full) if day is not None), default=None)
    return Dates(
        sow,
        sow + timedelta(days=UP_AFTER_DAYS + POT_ON_AFTER_DAYS),
        plant - timedelta(days=HARDENED_IN_DAYS),
        plant,
        tip_out,
        end.day if end else None,
        end is None or end.assumed,
    )


def date_conflicts(planned: Dates, season: Season) -> list[Conflict]:
    """Every day that has gone by or comes too early or late; none if all can be kept."""
    conflicts: list[Conflict] = []
    latitude_deg, more_k = season.holding.latitude_deg, covers_add_k(season)
    if planned.sow <= season.day:
        conflicts.append(SowingGoneBy(planned.sow))
    soil_c = typical_c(planned.plant.toordinal(), latitude_deg) + more_k
    warm = _warm_day(usual_growing_year(latitude_deg).of(planned.plant), latitude_deg, more_k)
    if soil_c < PLANTING_SOIL_C and warm is not None and planned.plant < warm:
        conflicts.append(SoilTooCold(planned.plant, soil_c, PLANTING_SOIL_C, warm))
    elif soil_c < PLANTING_SOIL_C:
        conflicts.append(PlantedTooLate(planned.plant))
    if (planned.last_pick is not None and planned.tip_out is None) or (
        planned.tip_out is not None and planned.tip_out <= planned.plant
    ):
        conflicts.append(NothingRipe(planned.plant, planned.last_pick))
    if planned.last_pick is not None and not planned.assumed_end:
        cold = _first_cold_day(planned.plant, planned.last_pick, latitude_deg)
        if cold is not None and planned.last_pick - cold > COLD_DAY_SPREAD:
            conflicts.append(EndTooLate(planned.last_pick, cold, TOO_COLD_C))
    return conflicts


def _first_cold_day(plant: date, last: date, latitude_deg: float | None) -> date | None:
    """The first day too cold for the crop once it has been warm enough; None up to ``last``."""
    warm = False
    for ordinal in range(plant.toordinal(), last.toordinal() + 1):
        cold = typical_c(ordinal, latitude_deg) < TOO_COLD_C
        if cold and warm:
            return date.fromordinal(ordinal)
        warm = warm or not cold
    return None
