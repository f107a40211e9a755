"""What an adopted plan asks for before its plants stand: sowing by batch, wire, strings and hooks made ready."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta

from tunneltui.cells import cm, m, many, say
from tunneltui.chores.batches import Batch, batches
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import WIRE, ChoreKind
from tunneltui.chores.making import THE_HOUSE, Written, at_row, make_chore, ticked_since, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.toml import to_toml
from tunneltui.journal.kinds_journal import Looked, Note
from tunneltui.journal.kinds_standing import HoldingSet, PlanAdopted, Sown
from tunneltui.loads.result import Loads
from tunneltui.season.adopted import adopted_plan, holding_of, setting_of
from tunneltui.season.state import Season

AHEAD_DAYS = 14
"""Sowing is announced so long before its day."""
READY_DAYS = 21
"""Before planting: time to buy a wire or twine. Common practice, no source."""
SET_OUT = ChoreKind("set_out", "set the holding out", "house", "tap", worth=0.03, minutes=5.0, lasts="kept")
SOW = ChoreKind("sow", "sow", "house", "tap", worth=0.3, minutes=10.0)
LOOK_WIRE = ChoreKind(
    "look_wire",
    "look at wire and knots",
    "row",
    "look",
    worth=0.03,
    minutes=5.0,
    taken="look",
    cautions=(WIRE,),
)
HANG_STRINGS = ChoreKind("hang_strings", "hang strings", "row", "overhead", worth=0.1, minutes=3.0, lasts="kept")
LOAD_HOOKS = ChoreKind("load_hooks", "load hooks", "house", "tap", worth=0.1, minutes=0.5, lasts="kept")


def coming_season(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Everything between adopting a plan and planting by it, save what the trays ask for."""
    taken = adopted_plan(season)
    if taken is None:
        return
    on, plan = taken
    yield from _set_out(season, on, plan)
    yield from _sow(season, on, plan)
    if plan.plant - timedelta(days=READY_DAYS) <= season.day:
        yield from _ready(season, on, plan)


def _set_out(season: Season, on: date, plan: PlanAdopted) -> Iterator[Chore]:
    """The plan's rows and cultivars come into force once the old crop is cleared, or when sowing begins."""
    new_holding = holding_of(season.holding, plan)
    if (
        new_holding == season.holding
        or ticked_since(season, SET_OUT, "", on)
        or (season.leaders and season.day < plan.sow)
    ):
        return
    heads = setting_of(plan).heads
    yield make_chore(
        SET_OUT,
        "",
        THE_HOUSE,
        when="any",
        earliest=season.day,
        latest=plan.sow if season.day <= plan.sow else max(season.day, plan.plant),
        proposal=say("set the holding out by plan {}", plan.name),
        why=say(
            "Plan {} was adopted on {}: {}, first tier {} up. Done, it is what your tunnels intend at each place.",
            plan.name,
            on,
            many(heads, "head"),
            cm(plan.first_tier_m),
        ),
        pieces=whole(THE_HOUSE, minutes_for(season, SET_OUT), ("", HoldingSet(to_toml(new_holding)))),
    )


def plan_batches(season: Season, plan: PlanAdopted) -> tuple[Batch, ...]:
    """The plan's trays, as the bench has room for them."""
    plants = Counter(cultivar for cultivar in plan.cultivars if cultivar)
    return batches(plants, plan.plant, season.holding.work.bench_pots)


def _sow(season: Season, on: date, plan: PlanAdopted) -> Iterator[Chore]:
    """By batch; seeds sown for this spring count, whatever their tray is called, also before it was adopted."""
    since = min(on, plan.sow - timedelta(days=AHEAD_DAYS))
    sown = Counter[str]()
    for day, _, body in season.sowings:
        if day >= since:
            sown[body.cultivar] += body.seeds
    for batch in plan_batches(season, plan):
        seeds = max(0, batch.seeds - sown[batch.cultivar])
        sown[batch.cultivar] = max(0, sown[batch.cultivar] - batch.seeds)
        if seeds and batch.sow - timedelta(days=AHEAD_DAYS) <= season.day <= batch.plant:
            yield _sowing(season, batch, seeds)


def _sowing(season: Season, batch: Batch, seeds: int) -> Chore:
    latest = batch.sow + timedelta(days=7)
    late = " It is late: plants will be small, or buy them." if season.day > latest else ""
    return make_chore(
        SOW,
        batch.tray,
        THE_HOUSE,
        when="any",
        earliest=batch.sow,
        latest=latest,
        proposal=say("sow {} {} in tray {}", seeds, batch.cultivar, batch.tray),
        why=say(
            "For {} on {} and a fifth spare: pot on about {}, harden from {}.{}",
            many(batch.plants, "plant"),
            batch.plant,
            batch.pot_on,
            batch.harden,
            late,
        ),
        pieces=whole(THE_HOUSE, minutes_for(season, SOW), ("", Sown(batch.tray, batch.cultivar, seeds))),
    )


def _ready(season: Season, on: date, plan: PlanAdopted) -> Iterator[Chore]:
    """Wire, hangers and knots looked at, strings hung, hooks loaded, row by row."""
    rows = _rows_to_plant(season, plan)
    for row, heads in rows.items():
        if season.last.get(("looked", row), date.min) < plan.plant - timedelta(days=READY_DAYS):
            yield _ready_chore(
                season,
                plan,
                (LOOK_WIRE, row),
                1,
                say("{}: look at knots, hangers and wire before anything hangs on them", row),
                say("{} will hang on {} from {} on.", many(heads, "head"), row, plan.plant),
                (row, Looked()),
            )
    for row in rows:
        strings = len(season.layout.rows[row][1].strings)
        if strings and not ticked_since(season, HANG_STRINGS, row, on):
            yield _ready_chore(
                season,
                plan,
                (HANG_STRINGS, row),
                strings,
                say("{}: hang its {}", row, many(strings, "string")),
                say(
                    "Planting is on {}; {} stand in the holding for {}.",
                    plan.plant,
                    many(strings, "string"),
                    row,
                ),
                (row, Note(say("{} strings hung on {}", strings, row), "planting")),
            )
    heads = sum(rows.values())
    if heads and not ticked_since(season, LOAD_HOOKS, "", on):
        turns = (
            say("{} turns, {} of twine", plan.turns, m(plan.spare_m)) if plan.turns else say("{}", m(plan.spare_m))
        )
        yield _ready_chore(
            season,
            plan,
            (LOAD_HOOKS, ""),
            heads,
            say("load {} with {} to spare", many(heads, "hook"), turns),
            say(
                "So much stem, and a fifth, is expected to outgrow the wire by the end; planting is on {}.",
                plan.plant,
            ),
            ("", Note(say("{} hooks loaded with {} to spare", heads, m(plan.spare_m)), "planting")),
        )


def _ready_chore(
    season: Season,
    plan: PlanAdopted,
    name: tuple[ChoreKind, str],
    pieces: int,
    proposal: str,
    why: str,
    writes: Written,
) -> Chore:
    kind, about = name
    where = at_row(season, about) if about else THE_HOUSE
    return make_chore(
        kind,
        about,
        where,
        when="any",
        earliest=plan.plant - timedelta(days=READY_DAYS),
        latest=plan.plant,
        proposal=proposal,
        why=why,
        pieces=whole(where, minutes_for(season, kind, pieces), writes),
    )


def _rows_to_plant(season: Season, plan: PlanAdopted) -> dict[str, int]:
    """Heads of the plan by row that still stands, in walking order; rows planted by it are off."""
    rows = Counter[str]()
    for name, cultivar, leaders in zip(plan.places, plan.cultivars, plan.leaders, strict=True):
        standing = season.layout.place(name)
        if cultivar and standing is not None:
            rows[standing.row_id] += leaders
    return {row: rows[row] for row in season.layout.rows if rows[row] and not _planted(season, row, plan)}


def _planted(season: Season, row: str, plan: PlanAdopted) -> bool:
    since = plan.plant - timedelta(days=READY_DAYS)
    return any(leader.row == row and leader.planted_on >= since for leader in season.leaders.values())


RULES = (ChoreRule(coming_season, (SET_OUT, SOW, LOOK_WIRE, HANG_STRINGS, LOAD_HOOKS)),)
