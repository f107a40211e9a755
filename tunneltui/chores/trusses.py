"""Trusses: pruned to their target, propped where that is too late, flowers shaken in cool or still weeks."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from tunneltui.cells import Quantity, degc, kg, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import PlannedPiece, at_head, at_root, at_row, in_order_of_work, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.air import daily_mean_c
from tunneltui.growth.fruit import set_share
from tunneltui.growth.outlook import Outlook, TrussOn
from tunneltui.journal.kinds_crop import Pollinated, TrussPruned
from tunneltui.journal.kinds_holding_up import Propped
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import WEEK_DAYS

TRUSS_PRUNE = ChoreKind(
    "truss_prune", "prune trusses", "row", "plants", worth=0.02, minutes=0.25, part="morning", reach="loop"
)
PROP = ChoreKind("prop", "prop trusses", "stem", "plants", worth=0.03, minutes=0.5, reach="stem")
POLLINATE = ChoreKind("pollinate", "shake the flowers", "row", "plants", worth=0.05, minutes=0.05, reach="loop")
SET_FROM_Z, PRUNED_BY_Z = 0.08, 0.40
"""Fruits can be told apart some days after flowering, and are cut while small (common practice, no source)."""
PROP_AGAIN_DAYS = 28
COOL_C = 18.0
"""Above this mean a poor set comes from heat, which shaking does not mend (Marcelis et al. 2009)."""


def truss_prune(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Young trusses with more fruits than their cultivar's target, row by row."""
    for row in season.layout.rows:
        over = [
            (leader, truss, target)
            for leader in in_order_of_work(season.leaders_of_row(row))
            for truss, target in _over_target(season, outlook, leader)
            if SET_FROM_Z <= truss.z <= PRUNED_BY_Z
        ]
        if over:
            yield _truss_prune(season, row, over)


def _over_target(season: Season, outlook: Outlook, leader: Leader) -> Iterator[tuple[TrussOn, int]]:
    cultivar = season.layout.cultivars.get(leader.cultivar)
    if cultivar is None or cultivar.truss_target is None or leader.id not in outlook.leaders:
        return
    for truss in outlook.stem(leader.id, season.day).trusses:
        if truss.fruits > cultivar.truss_target + 1e-9:
            yield truss, cultivar.truss_target


def _truss_prune(season: Season, row: str, over: list[tuple[Leader, TrussOn, int]]) -> Chore:
    leader, truss, target = max(over, key=lambda stem_truss: (stem_truss[1].fruits, stem_truss[0].name))
    return make_chore(
        TRUSS_PRUNE,
        row,
        at_row(season, row),
        when="early and dry",
        earliest=season.day,
        latest=season.day + timedelta(days=WEEK_DAYS),
        proposal=say("cut {} back to target", many(len(over), "truss", "trusses")),
        why=say(
            "Truss {} of {} has about {} fruits, its target is {}; {} on {} are over.",
            truss.number,
            leader.name,
            Quantity(truss.fruits, ""),
            target,
            len(over),
            row,
        ),
        pieces=[
            PlannedPiece(
                f"{stem.id} {truss.number}",
                at_head(season, stem),
                minutes_for(season, TRUSS_PRUNE),
                ((stem.place, TrussPruned(stem.id, truss.number, target)),),
                (stem.id,),
                say("truss {} of {} to {}", truss.number, stem.name, target),
            )
            for stem, truss, target in over
        ],
    )


def prop(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Trusses over their target and too big to prune: their stalks kink."""
    for leader in season.leaders.values():
        last = leader.propped_on
        if last is not None and (season.day - last).days < PROP_AGAIN_DAYS:
            continue
        heavy = [truss for truss, _ in _over_target(season, outlook, leader) if PRUNED_BY_Z < truss.z < 1.0]
        if heavy:
            yield _prop(season, leader, max(heavy, key=lambda truss: truss.kg))


def _prop(season: Season, leader: Leader, truss: TrussOn) -> Chore:
    where = at_root(leader)
    return make_chore(
        PROP,
        f"{leader.name} truss {truss.number}",
        where,
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=WEEK_DAYS),
        proposal=say("{}: prop truss {}", leader.name, truss.number),
        why=say(
            "Truss {} weighs about {} with {} fruits, over its target and too far on to prune; its stalk kinks "
            "first.",
            truss.number,
            kg(truss.kg),
            Quantity(truss.fruits, ""),
        ),
        pieces=whole(
            where,
            minutes_for(season, PROP),
            (leader.place, Propped(leader.id, round(truss.s_m, 2))),
            leaders=[leader.id],
        ),
    )


def pollinate(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Flowers shaken at midday in a cool week, or while doors stay shut."""
    for row, (tunnel, _) in season.layout.rows.items():
        every = [
            leader
            for leader in in_order_of_work(season.leaders_of_row(row))
            if leader.id in outlook.leaders
            and season.crop_of(leader).set_by_warmth
            and outlook.stem(leader.id, season.day).flowering_truss >= 1
        ]
        flowering = [leader for leader in every if not _shaken_lately(season, leader)]
        reason = _poor_set(season, tunnel.key)
        if flowering and reason:
            yield make_chore(
                POLLINATE,
                row,
                at_row(season, row),
                when="midday",
                earliest=season.day,
                latest=season.day + timedelta(days=1),
                proposal=say("shake the flowers of {} at midday", many(len(flowering), "plant")),
                why=reason,
                pieces=[
                    PlannedPiece(
                        leader.id,
                        at_head(season, leader),
                        max(1.0 / len(every), minutes_for(season, POLLINATE)),
                        ((row, Pollinated((leader.id,))),),
                        (leader.id,),
                        say("flowers of {}", leader.name),
                    )
                    for leader in flowering
                ],
            )


def _shaken_lately(season: Season, leader: Leader) -> bool:
    last = leader.pollinated_on
    return last is not None and (season.day - last).days < season.holding.limits.pollinate_days


def _poor_set(season: Season, tunnel: str) -> str:
    """Why flowers set poorly without a hand, else ''."""
    week_c = week_mean_c(season, tunnel)
    if week_c is not None and week_c < COOL_C and set_share(week_c) < season.holding.limits.pollinate_set_share:
        return say(
            "The last week was {} on average: {}% of flowers set.", degc(week_c), f"{100 * set_share(week_c):.0f}"
        )
    if season.doors_open.get(tunnel) is False:
        return "The doors are shut and the air stands still; shaken flowers set better."
    return ""


def week_mean_c(season: Season, tunnel: str) -> float | None:
    """Mean of the days read in the last week, from four on."""
    means = []
    for back in range(1, WEEK_DAYS + 1):
        day: date = season.day - timedelta(days=back)
        read = season.airs.get(tunnel, {}).get(day) or season.airs.get("", {}).get(day)
        mean_c = daily_mean_c(read) if read is not None else None
        if mean_c is not None:
            means.append(mean_c)
    return sum(means) / len(means) if 2 * len(means) > WEEK_DAYS else None


RULES = (
    ChoreRule(truss_prune, (TRUSS_PRUNE,)),
    ChoreRule(prop, (PROP,)),
    ChoreRule(pollinate, (POLLINATE,)),
)
