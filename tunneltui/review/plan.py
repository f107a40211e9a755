"""Several plans for next season side by side, each with what it would bear, give, ask for and give up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date

from msgspec import Struct

from tunneltui.chores.batches import batches, bench_weeks
from tunneltui.holding.layout import Layout
from tunneltui.holding.model import Training
from tunneltui.holding.setting_out import SettingOut
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.review.plan_apart import set_apart
from tunneltui.review.plan_arrange import (
    AS_PLANTED,
    LAID_DOWN,
    SHORT_APART,
    all_short,
    arrangements,
    as_planted,
    loops_of,
    rearranged,
    short_apart,
)
from tunneltui.review.plan_buy import clips_to_set, spare_m, to_buy, turns_of
from tunneltui.review.plan_dates import chosen_planting_day, date_conflicts, dates
from tunneltui.review.plan_hours import hours
from tunneltui.review.plan_loads import look_days, peak
from tunneltui.review.plan_order import cost_m
from tunneltui.review.plan_records import cultivar_records
from tunneltui.review.plan_season import ComingSeason, coming, set_out_season
from tunneltui.review.plan_trade_offs import trade_offs
from tunneltui.review.plan_trellis import trellis
from tunneltui.review.plan_values import Conflict, CultivarRecord, Dates, LoopFit, Plan, TradeOffs, Wishes
from tunneltui.review.season_learned import SeasonTaught, Taught, season_taught
from tunneltui.season.state import Season
from tunneltui.values import replace


class ShortCultivar(Struct, frozen=True):
    """A cultivar that stays short amid longer stems of its loop, whose heads must pass it."""

    cultivar: str
    length_m: float
    """On the last pick day, its tip left in."""
    longest_m: float
    """Of the cultivar that grows longest there."""
    stands: tuple[str, ...]
    goes_to: tuple[str, ...]
    """Where the first plan has it."""


class SeasonPlans(Struct, frozen=True, eq=False):
    """Next season as far as it can be worked out."""

    day: date
    wishes: Wishes
    records: dict[str, CultivarRecord]
    rows: Mapping[str, Taught]
    """See ``season_learned.SeasonTaught.rows``."""
    row_ends: Taught
    dates: Dates
    date_conflicts: tuple[Conflict, ...]
    plans: tuple[Plan, ...]
    standing: Plan
    """What stands now, planted again. It is among the plans, first of all, unless it stands a short cultivar amid
    longer ones."""
    short: tuple[ShortCultivar, ...]

    def named(self, name: str) -> Plan:
        """What stands now too, whether it is offered or not. Raises ``UserError`` where there is no plan of that
        name."""
        for offered in (*self.plans, self.standing):
            if offered.name == name:
                return offered
        raise UserError(
            f"There is no plan called {name!r}.", f"There are: {', '.join(p.name for p in self.plans)}."
        )


class _PlanningFacts(Struct, frozen=True, eq=False):
    season: Season
    """With the chosen end in its holding."""
    records: Mapping[str, CultivarRecord]
    taught: SeasonTaught
    planted_on: date


def plan(
    entries: Sequence[Entry],
    season: Season,
    wishes: Wishes | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> SeasonPlans:
    """Plans from the places there are and the records so far; ``progress`` is told how many of how many are made.

    Raises:
        UserError: there are no places, no cultivar is named for any, the typical year has no warm spring, or the
            chosen days cannot be.
    """
    wishes = wishes or Wishes()
    given = intended(season)
    if not any(given.values()):
        raise UserError(
            "No place has a cultivar yet, so there is nothing to arrange.",
            "Name one for each place: `tunneltui holding edit`.",
        )
    planted_on = chosen_planting_day(season, wishes)
    taught = season_taught(season)
    records = cultivar_records(entries, season, taught)
    learned = _PlanningFacts(_with_end(season, wishes), records, taught, planted_on)
    stood = as_planted(season.holding, given, _heads(season))
    standing, planned = _plan(learned, AS_PLANTED, stood, None)
    length_m = lengths_m(planned)
    others = arrangements(season.holding, stood, length_m, wishes)
    apart = short_apart(season.holding, standing.setting, length_m)
    if apart is not None:
        others = {SHORT_APART: apart} | others
    if (lying := _laid_down(standing, planned)) is not None:
        others[LAID_DOWN] = (
            lying if apart is None else replace(lying, cultivars=apart.cultivars, leaders=apart.leaders)
        )
    plans: list[Plan] = []
    for name, setting in others.items():
        if progress is not None:
            progress(len(plans) + 1, len(others) + 1)
        plans.append(_plan(learned, name, setting, standing)[0])
    plan_dates = dates(planned)
    short: tuple[ShortCultivar, ...] = ()
    if apart is not None:
        stay = all_short(season.holding, standing.setting, length_m)
        short = tuple(_short(standing.setting, apart, stay, length_m))
    return SeasonPlans(
        season.day,
        wishes,
        records,
        taught.rows,
        taught.row_ends,
        plan_dates,
        tuple(date_conflicts(plan_dates, season)),
        tuple(plans if apart else [standing, *plans]),
        standing,
        short,
    )


def _short(
    standing: SettingOut, apart: SettingOut, short: frozenset[str], length_m: Mapping[str, float]
) -> Iterator[ShortCultivar]:
    """The short cultivars that go to an end of their loop."""
    stood, will_stand = standing.cultivar_of, apart.cultivar_of
    moved = [place for place in stood if stood[place] != will_stand[place]]
    longest_m = max(length_m[will_stand[place]] for place in moved)
    for cultivar in sorted(short, key=lambda name: (length_m[name], name)):
        stands = tuple(place for place in moved if stood[place] == cultivar)
        goes_to = tuple(place for place in moved if will_stand[place] == cultivar)
        if stands:
            yield ShortCultivar(cultivar, length_m[cultivar], longest_m, stands, goes_to)


def _with_end(season: Season, wishes: Wishes) -> Season:
    if wishes.end is None and not wishes.until_frost:
        return season
    work = replace(season.holding.work, bed_wanted_back=wishes.end)
    return replace(season, holding=replace(season.holding, work=work))


def intended(season: Season) -> dict[str, str]:
    """What stands at each place, else what the holding intends there, in walking order."""
    standing = {leader.place: leader.cultivar for leader in season.leaders.values()}
    return {name: standing.get(name) or s.place.cultivar for name, s in season.layout.places.items()}


def _heads(season: Season) -> dict[str, int]:
    """Of the plant that stands at each place."""
    plants = {leader.place: leader.plant for leader in season.leaders.values()}
    every = Counter(leader.plant for leader in season.leaders.values())
    return {place: every[plant] for place, plant in plants.items()}


def lengths_m(planned: ComingSeason) -> dict[str, float]:
    """Stem on the last pick day by cultivar, the mean over where it stands, tips left in."""
    lengths: dict[str, list[float]] = {}
    for name, leader in planned.season.leaders.items():
        lengths.setdefault(leader.cultivar, []).append(planned.length_left_growing_m(name))
    return {cultivar: sum(values) / len(values) for cultivar, values in lengths.items()}


def _plan(
    learned: _PlanningFacts, name: str, setting: SettingOut, beside: Plan | None
) -> tuple[Plan, ComingSeason]:
    setting, planned, fits = _housed(learned, setting)
    days = look_days(learned.planted_on, planned.last_day)
    if name != AS_PLANTED and (moved := set_apart(planned, days)):
        other = rearranged(setting, moved)
        # What bears less must not stand a short cultivar amid longer ones.
        if short_apart(learned.season.holding, other, lengths_m(planned)) is None:
            setting, planned, fits = _housed(learned, other)
    crops = planned.crops(learned.taught)
    ends_m = {name: planned.stem(name, planned.last_day).length_m.mid for name in planned.season.leaders}
    spare = spare_m(planned.season, ends_m)
    plants = Counter(cultivar for cultivar in setting.cultivars if cultivar)
    trays = batches(plants, learned.planted_on, learned.season.holding.work.bench_pots)
    drawn_up = Plan(
        name,
        setting,
        spacing_m(planned.season.layout, setting.cultivar_of),
        _cost_m(planned, setting),
        fits,
        peak(planned, days),
        crops,
        hours(learned.season, planned, crops, clips_to_set(learned.season, planned.season, ends_m)),
        spare,
        turns_of(learned.season, spare),
        tuple(to_buy(learned.season, planned.season, ends_m, trays)),
        trays,
        bench_weeks(trays, learned.season.holding.work.bench_pots),
        TradeOffs(),
    )
    return replace(drawn_up, trade_offs=trade_offs(drawn_up, beside)), planned


def _housed(learned: _PlanningFacts, setting: SettingOut) -> tuple[SettingOut, ComingSeason, tuple[LoopFit, ...]]:
    """With the first tier, rise and training that its stems ask for."""
    season = set_out_season(learned.season, setting)
    planned = coming(season, setting.cultivar_of, learned.records, learned.planted_on)
    housed = trellis(planned, learned.records)
    setting = replace(setting, first_tier_m=housed.first_tier_m, run_slope=housed.run_slope)
    return setting, planned.set_out(setting), housed.fits


def _laid_down(standing: Plan, planned: ComingSeason) -> SettingOut | None:
    """What stands now with the rows laid down whose tiers cannot hold its stems, or not as long as their fruit
    asks for; None where all hold them. An offer beside the others: how the grower works is not changed unasked."""
    loop_of = planned.season.layout.loop_of_row
    loops = {fit.loop for fit in standing.fits if not fit.fits}
    loops |= {planned.season.leaders[name].loop for name in planned.full}
    full = {row for row in standing.setting.rows if loop_of[row].id in loops}
    if not full:
        return None
    trainings: list[Training] = [
        "laid_down" if training == "tiered" and row in full else training
        for row, training in zip(standing.setting.rows, standing.setting.trainings, strict=True)
    ]
    return replace(standing.setting, trainings=tuple(trainings))


def _cost_m(planned: ComingSeason, setting: SettingOut) -> float:
    cultivar_of = setting.cultivar_of
    loops = loops_of(planned.season.layout, cultivar_of)
    return cost_m([[cultivar_of[name] for name in loop] for loop in loops], lengths_m(planned))


def spacing_m(places: Layout, cultivar_of: Mapping[str, str]) -> dict[str, float]:
    """Mean distance of neighbours along each row that has two plants or more."""
    by_row: dict[str, list[float]] = {}
    for name, standing in places.places.items():
        if cultivar_of.get(name):
            by_row.setdefault(standing.row_id, []).append(standing.place.x_m)
    return {row: (max(x) - min(x)) / (len(x) - 1) for row, x in by_row.items() if len(x) > 1}
