"""A loop begun in mid season, or half walked: which of its stems nobody has noted yet."""

from __future__ import annotations

from datetime import date, timedelta

from tunneltui.chores.lowering_head import height_limit
from tunneltui.growth.outlook import Outlook
from tunneltui.season.noted_late import may_be_older
from tunneltui.season.state import Done, Leader, Season

KIND = "put_right"
"""The chore that asks for a put-right walk, and what the entries of each of its steps answer."""
TAKEN_UP_DAYS = 3
"""A walk stopped half way is taken up within this many days, later it begins anew (assumed)."""


UNTOLD_DAYS = 28
"""What was ticked and nothing told of is asked for again after so long: who reads nothing is not to be nagged for
it every week (assumed)."""
WALKED_DAYS = 7
UNSURE_TIP_M, UNSURE_SHARE = 0.20, 0.25
"""A walk is worth its minutes where over a quarter of the tips may hang so much otherwise (own simulation)."""


def is_unnoted(season: Season, outlook: Outlook, leader: Leader) -> bool:
    """Longer than there is height for, with neither hook, lowering nor lying clip noted."""
    if leader.hook or leader.lowerings or any(fixing.on != "head" for fixing in leader.fixings):
        return False
    return outlook.stem(leader.id, season.day).length_m.mid > height_limit(season, leader)[0]


def unsure_tips(season: Season, outlook: Outlook, loop: str) -> list[Leader]:
    """Heads whose tips are known to no better than 20 cm either way and were not walked to this week, where they
    are over a quarter of a loop's and some may be at their limit; none where the walk was lately ticked and
    nothing told."""
    heads = [
        leader
        for leader in season.leaders_of_loop(loop)
        if leader.tip_taken_out_on is None and leader.id in outlook.leaders
    ]
    tips = {leader.id: outlook.stem(leader.id, season.day).tip_z_m for leader in heads}
    since = season.day - timedelta(days=WALKED_DAYS - 1)
    walked = {done.answers[1] for done in season.done if _is_walk(done, since)}
    unsure = [
        leader
        for leader in heads
        if tips[leader.id].high - tips[leader.id].low > 2 * UNSURE_TIP_M and leader.name not in walked
    ]
    near = any(tips[leader.id].high > height_limit(season, leader)[0] for leader in unsure)
    enough = near and len(unsure) > UNSURE_SHARE * len(heads)
    return unsure if enough and not nothing_noted(season, loop) else []


def nothing_noted(season: Season, loop: str) -> bool:
    """Whether the walk was lately ticked whole: a walk that is answered writes its answers stem by stem."""
    since = season.day - timedelta(days=UNTOLD_DAYS - 1)
    return any(_is_walk(done, since) and done.answers[1] == loop for done in season.done)


def _is_walk(done: Done, since: date) -> bool:
    return done.answers[0] == KIND and done.put_off_until is None and done.day >= since


def walked_lately(season: Season) -> frozenset[str]:
    """Keys of the steps that were answered on walks of these days."""
    since = season.day - timedelta(days=TAKEN_UP_DAYS)
    return frozenset(
        done.answers[1]
        for done in season.done
        if done.answers[0] == KIND and done.day >= since and not done.put_off_until
    )


def stems_to_note(season: Season, outlook: Outlook, loop: str) -> list[Leader]:
    """The unnoted stems of a loop, where they are so many that it must be walked before anything on it is lowered,
    or where that walk was begun; none where it was lately ticked and nothing told: who does not walk it must lower
    them all the same."""
    if nothing_noted(season, loop):
        return []
    leaders = season.leaders_of_loop(loop)
    foreseen = [leader for leader in leaders if leader.id in outlook.leaders]
    unnoted = [
        leader for leader in foreseen if is_unnoted(season, outlook, leader) or may_be_older(season, leader)
    ]
    if not unnoted:
        return []
    many = len(unnoted) > season.holding.limits.assumed_share * len(leaders)
    return unnoted if many or any(leader.name in walked_lately(season) for leader in leaders) else []
