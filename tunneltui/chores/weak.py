"""A weak plant among vigorous ones: pinch it out or take it out, before its neighbours must pass it all season."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from statistics import median

from tunneltui.cells import Quantity, cm, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import at_head, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_crop import LetItRun, Removed, TipTakenOut
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season

WEAK_PLANT = ChoreKind(
    "weak_plant",
    "weak one",
    "stem",
    "plants",
    worth=0.01,
    minutes=1.0,
    part="morning",
    reach="loop",
    taken="choice",
)
NEIGHBOURS = 4
"""The nearest on its loop, two on either side in the middle of a row."""
SETTLED_DAYS = 60
"""A plant has so long to find its pace: planted in spring, judged in July (common practice, no source)."""
PASSES_SAVED = 4.5
"""Passes a half-vigour plant costs its neighbours in a season (own simulation)."""


def weak_plant(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Growth no more than ``limits.weak_share`` of its neighbours'."""
    for leader in season.leaders.values():
        # A tip that snapped makes no plant a weak one.
        began = max(
            [leader.since, *(accident.day for accident in leader.accidents if accident.kind == "tip_snapped")]
        )
        decided = leader.let_it_run or leader.kept_though_weak or leader.tip_taken_out_on
        if decided or (season.day - began).days < SETTLED_DAYS or leader.id not in outlook.leaders:
            continue
        others = _others(season, outlook, leader)
        if len(others) < 2:
            continue
        # The nearest may be of the same short kind, all of them passed by the rest of the loop.
        usual_m = max(
            median(outlook.leaders[other.id].growth_m_per_week.mid for other in some)
            for some in (_nearest(leader, others), others)
        )
        own_m = outlook.leaders[leader.id].growth_m_per_week.mid
        if usual_m > 0 and own_m <= season.holding.limits.weak_share * usual_m + 1e-9:
            yield _weak_plant(season, leader, own_m, usual_m)


def _others(season: Season, outlook: Outlook, leader: Leader) -> list[Leader]:
    return [
        other
        for other in season.leaders_of_loop(leader.loop)
        if other.plant != leader.plant and other.tip_taken_out_on is None and other.id in outlook.leaders
    ]


def _nearest(leader: Leader, others: list[Leader]) -> list[Leader]:
    return sorted(others, key=lambda other: (abs(other.u_m - leader.u_m), other.name))[:NEIGHBOURS]


def _weak_plant(season: Season, leader: Leader, own_m: float, usual_m: float) -> Chore:
    passes = (
        say("; its neighbours pass it about {} times more", Quantity(PASSES_SAVED, ""))
        if leader.training == "tiered"
        else ""
    )
    where = at_head(season, leader)
    return make_chore(
        WEAK_PLANT,
        leader.name,
        where,
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=14),
        proposal=say("{}: keep it as it is, or take its tip out, or the plant", leader.name),
        why=say("It grows {} a week where the others of its loop make {}{}.", cm(own_m), cm(usual_m), passes),
        pieces=whole(where, minutes_for(season, WEAK_PLANT), leaders=[leader.id]),
        choices=[
            ("l", "keep it as it is, to the end of the season", [("", (leader.place, LetItRun(leader.id, True)))]),
            ("t", "take its tip out", [("", (leader.place, TipTakenOut(leader.id)))]),
            ("p", "take the plant out", [("", (leader.place, Removed(leader.plant)))]),
        ],
    )


RULES = (ChoreRule(weak_plant, (WEAK_PLANT,)),)
