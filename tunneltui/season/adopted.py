"""The plan for a coming season that is in force: the last one adopted, until its plants are out."""

from __future__ import annotations

from datetime import date, timedelta

from tunneltui.holding.model import Holding
from tunneltui.holding.setting_out import SettingOut, set_out
from tunneltui.journal.kinds_standing import PlanAdopted
from tunneltui.season.state import Season
from tunneltui.values import replace

WAITED_FOR_DAYS = 60
"""Past its planting day by this, a plan is over; later batches are out by then."""


def adopted_plan(season: Season) -> tuple[date, PlanAdopted] | None:
    """Day of adoption and the plan; None where there is none ahead."""
    if not season.plans:
        return None
    on, plan = season.plans[-1]
    return (on, plan) if season.day <= plan.plant + timedelta(days=WAITED_FOR_DAYS) else None


def setting_of(plan: PlanAdopted) -> SettingOut:
    """How it sets the holding out."""
    return SettingOut(
        plan.places,
        plan.cultivars,
        plan.leaders,
        plan.rows,
        plan.trainings,
        plan.partners,
        plan.first_tier_m,
        plan.run_slope,
    )


def holding_of(holding: Holding, plan: PlanAdopted) -> Holding:
    """The holding as the plan would have it, its end with it."""
    out = set_out(holding, setting_of(plan))
    return replace(out, work=replace(out.work, bed_wanted_back=plan.last_pick))
