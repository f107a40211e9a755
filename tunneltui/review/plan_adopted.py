"""A plan taken for next season: what is written, and what it is expected to bear before anything is planted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tunneltui.chores.coming import SET_OUT
from tunneltui.holding.layout import layout
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_standing import HoldingSet, PlanAdopted
from tunneltui.loads.result import Loads
from tunneltui.loads.strength import Strength
from tunneltui.loads.workings import NOTHING_TAUGHT
from tunneltui.review.plan import SeasonPlans
from tunneltui.review.plan_loads import look_days, peak, planned_loads, stems_on
from tunneltui.review.plan_records import cultivar_records
from tunneltui.review.plan_season import coming
from tunneltui.season.adopted import holding_of
from tunneltui.season.state import Season
from tunneltui.values import replace


def adoption(planned: SeasonPlans, name: str) -> PlanAdopted:
    """The plan of that name as an entry. Raises ``UserError`` where there is none."""
    plan, dates = planned.named(name), planned.dates
    setting = plan.setting
    return PlanAdopted(
        name,
        dates.sow,
        dates.plant,
        setting.places,
        setting.cultivars,
        setting.leaders,
        setting.rows,
        setting.trainings,
        setting.partners,
        round(setting.first_tier_m, 3),
        round(setting.run_slope, 4),
        None if dates.assumed_end else dates.last_pick,
        dates.tip_out,
        plan.turns or 0,
        round(plan.spare_m, 2),
    )


def adoption_drafts(season: Season, taken: PlanAdopted) -> list[Draft]:
    """The plan; where nothing stands any more also the holding set out by it, else a chore does that later.

    Nothing where that very plan is adopted already.
    """
    if season.plans and season.plans[-1][1] == taken:
        return []
    drafts = [draft("", taken)]
    new_holding = holding_of(season.holding, taken)
    if not season.leaders and new_holding != season.holding:
        drafts.append(draft("", HoldingSet(to_toml(new_holding)), (SET_OUT.key, "", season.day.isoformat())))
    return drafts


def expected_loads(
    entries: Sequence[Entry],
    season: Season,
    taken: PlanAdopted,
    taught: Mapping[str, Strength] = NOTHING_TAUGHT,
) -> Loads:
    """What the plan would bear on the day of its fullest string, by the same code as any morning's loads.

    Rows carry the greatest mass of all days looked at. ``taught``: how strong kinds of clip are, as the clips of
    this season tell. Raises ``UserError`` where nothing would stand.
    """
    holding = holding_of(season.holding, taken)
    ahead = replace(season, holding=holding, layout=layout(holding))
    cultivar_of = dict(zip(taken.places, taken.cultivars, strict=True))
    planned = coming(ahead, cultivar_of, cultivar_records(entries, season), taken.plant)
    days = look_days(taken.plant, planned.last_day)
    fullest = peak(planned, days)
    day = fullest.day if fullest is not None else taken.plant
    bearing = planned_loads(planned.season, stems_on(planned, day), day, taught=taught)
    if fullest is None:
        return bearing
    rows = tuple(
        replace(row, peak_kg=fullest.hanging_kg[row.row], peak_day=fullest.heaviest_on[row.row])
        for row in bearing.rows
    )
    return replace(bearing, rows=rows)
