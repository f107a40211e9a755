"""Look for failures, and make good those that are noted."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from math import exp

from tunneltui.care.scouting import last_scouted, scouting, weekly_look
from tunneltui.cells import Day, Sentence, cm, day_word, joined, listed, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.leaves import side_shoot_days
from tunneltui.chores.making import (
    PlannedPiece,
    at_root,
    at_row,
    fixing_again,
    in_order_of_work,
    make_chore,
    on_the_loop,
    whole,
)
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.chores.wording import on_what, stem_name
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_care import Scouted
from tunneltui.journal.kinds_holding_up import HowFailed
from tunneltui.journal.kinds_journal import Looked
from tunneltui.loads.result import Loads
from tunneltui.season.state import Ending, Leader, Season
from tunneltui.season.work_days import LOOK_DAYS, next_work_day

_HOW: dict[HowFailed, str] = {
    "popped_open": "popped open",
    "broke": "broke",
    "slid": "slid",
    "stem_pulled_out": "let the stem go",
    "knot": "came off with its knot",
    "twine": "came down with its twine",
    "knocked": "was knocked off",
}
_FIRST: dict[HowFailed, str] = {
    "knot": "tie the twine again, then clip",
    "twine": "hang new twine, then clip",
    "stem_pulled_out": "clip again, under a leaf",
    "slid": "clip again, under a leaf",
}


LOOK = ChoreKind(
    "look",
    "look for failures",
    "row",
    "look",
    worth=0.04,
    minutes=0.08,
    part="morning",
    taken="look",
    blank=("failed, place and string", 16),
)
LOOK_OVER = ChoreKind(
    "look_over",
    "look plants over",
    "row",
    "look",
    worth=0.015,
    minutes=0.1,
    part="morning",
    taken="look",
    blank=("found, place", 12),
)
REPAIR = ChoreKind(
    "repair", "repair", "stem", "plants", worth=0.15, minutes=1.0, reach="stem", lasts="facts", joins=True
)
WORST = 3
"""Warnings of what would follow a failure that reach a day's round."""


ON_THE_WAY_SHARE = 0.3
"""Hands are at every plant for its side shoots: looking it over for pests takes so much of a walk of its own
(assumed)."""
WAITS_DAYS = 10
"""So long it waits for that pass."""
LOOK_AT_ODDS = 0.10
"""A row is looked along once the odds are so high that something let go since the last look (assumed)."""
MUST_DAYS = 3
"""A row looked along since then, or on the work day before, may wait for its turn (assumed)."""


def look(season: Season, _outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    """Every row in which something hangs, as often as its clips make it worth while."""
    worst = _worst(season, loads)
    row_of = {leader.name: leader.row for leader in season.leaders.values()}
    failures_a_week: dict[str, float] = defaultdict(float)
    for clip in loads.clips:
        failures_a_week[row_of.get(clip.leader, "")] += clip.chance_7d
    for row in season.layout.rows:
        hanging = [leader for leader in season.leaders_of_row(row) if leader.hook or leader.fixings]
        unseen = [leader for leader in hanging if leader.looked_on != season.day]
        if not unseen:
            continue
        days = (season.day - min(_seen(leader) for leader in unseen)).days
        odds = 1 - exp(-failures_a_week[row] * days / LOOK_DAYS)
        begun = any(done.answers[:2] == (LOOK.key, row) and done.day == season.day for done in season.done)
        if days >= LOOK_DAYS or odds >= LOOK_AT_ODDS or begun:
            minutes_a_head = max(0.5 / len(hanging), minutes_for(season, LOOK))
            yield _look(season, row, in_order_of_work(unseen), worst.get(row, []), minutes_a_head)


def _seen(leader: Leader) -> date:
    """When it was looked at last, else since when something of it hangs."""
    if leader.looked_on is not None:
        return leader.looked_on
    return leader.hook.hung_on if leader.hook else leader.fixings[0].hung_on


def _worst(season: Season, loads: Loads) -> dict[str, list[str]]:
    """By row, what would come down if one clip, string or hook let go: the worst three of the day."""
    row_of = {leader.name: leader.row for leader in season.leaders.values()}
    clips = {clip.id: clip for clip in loads.clips}
    causes: dict[tuple[str, Sentence], list[str]] = {}
    for weak in loads.weak_points[:WORST]:
        string = season.strings.get(weak.fixing)
        row = string.row if string else row_of.get(weak.leader)
        if row is None or not (weak.drops or weak.first_over):
            continue
        if string is not None:
            what = season.string_name(string.id)
        elif clip := clips.get(weak.fixing):
            what = say("{}'s clip on {}", clip.leader, clip.on)
        else:
            what = say("{}'s hook", weak.leader)
        consequence = (
            say("{} would drop", listed(weak.drops, 1)) if weak.drops else say("{} would go next", weak.first_over)
        )
        causes.setdefault((row, consequence), []).append(what)
    warnings: dict[str, list[str]] = {}
    for (row, consequence), things in causes.items():
        warnings.setdefault(row, []).append(say("if {} goes, {}", joined(" or ", things), consequence))
    return warnings


def _look(season: Season, row: str, hanging: list[Leader], worst: list[str], minutes_a_head: float) -> Chore:
    fixings = sum(len(leader.fixings) for leader in hanging)
    clips = say(" and {}", many(fixings, "clip")) if fixings else ""
    last = season.last.get(("looked", row))
    warnings = joined("", (say("; {}", warning) for warning in worst))
    since = say("last looked over on {}", Day(last, season.day)) if last else "not looked over yet"
    return make_chore(
        LOOK,
        row,
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=season.day,
        must=last is None or (_was_missed_since(season, last) and (season.day - last).days >= MUST_DAYS),
        proposal=say("look along {} for what hangs loose", row),
        why=say("{}{} here, {}{}.", many(len(hanging), "head"), clips, since, warnings),
        pieces=[
            PlannedPiece(
                x.id,
                at_root(x),
                minutes_a_head,
                ((row, Looked((x.id,))),),
                (x.id,),
                f"{x.name}, {many(len(x.fixings), 'clip')}",
            )
            for x in hanging
        ],
    )


def _was_missed_since(season: Season, looked_on: date) -> bool:
    """Whether a work day has passed since on which it was not looked along."""
    return next_work_day(season, looked_on) < season.day


def look_over(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Once a week every planted row is looked over for what its weather and the season bring, unless its whole
    tunnel is to be."""
    for row, (tunnel, _) in season.layout.rows.items():
        leaders = in_order_of_work(season.leaders_of_row(row))
        targets = weekly_look(season, row) if leaders and not list(scouting(season, tunnel)) else ""
        on_the_way = any(side_shoot_days(season, leader)[0] <= season.day for leader in leaders)
        if targets and (on_the_way or _looked_over_days(season, row, tunnel.key) >= WAITS_DAYS):
            where = at_row(season, row)
            share = ON_THE_WAY_SHARE if on_the_way else 1.0
            yield make_chore(
                LOOK_OVER,
                row,
                where,
                when="any",
                earliest=season.day,
                latest=season.day,
                proposal=say("look {} over for sickness and pests", row),
                why=say("Once a week, {}: look for {}.", many(len(leaders), "stem"), targets),
                pieces=whole(where, minutes_for(season, LOOK_OVER, share * len(leaders)), (row, Scouted())),
            )


def _looked_over_days(season: Season, row: str, tunnel: str) -> int:
    last = last_scouted(season, row, tunnel)
    return WAITS_DAYS if last is None else (season.day - last).days


def repair(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """A failure not made good. Plants that dropped have their own card."""
    for leader in season.leaders.values():
        for ending in leader.endings:
            fixing = ending.fixing
            # What was on a string that hangs no more is for whoever hangs a new one.
            gone = fixing.on == "string" and fixing.string not in season.strings
            if ending.how is not None and not ending.made_good and not ending.dropped and not gone:
                yield _repair(season, leader, ending, ending.how)


def _repair(season: Season, leader: Leader, ending: Ending, how: HowFailed) -> Chore:
    fixing = ending.fixing
    on = on_what(season, fixing.on, fixing.string)
    z_m = fixing.z_m
    reach_m = season.holding.work.reach_m
    thing = "tie" if fixing.tie else "clip"
    where = on_the_loop(season, leader.loop, fixing.u_m)
    again = _FIRST.get(how, thing + " again")
    what = say("{}, stem {}", again, stem_name(season, leader, where.row))
    failed_on = day_word(ending.day, season.day)
    return make_chore(
        REPAIR,
        f"{leader.name} {on} at {cm(fixing.s_m).shown()}",
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        must=True,
        overhead=z_m is not None and z_m > reach_m,
        proposal=f"{leader.name}: {again}, {on}",
        why=say(
            "Its {} on the {}, {} up the stem, {} {} and nothing stands in for it; its neighbours bear its share.",
            thing,
            on,
            cm(fixing.s_m),
            _HOW[how],
            failed_on if failed_on == "today" else say("on {}", failed_on),
        ),
        pieces=whole(
            where,
            minutes_for(season, REPAIR),
            (leader.place, fixing_again(ending)),
            leaders=[leader.id],
            what=what,
            key=fixing.id,
        ),
    )


RULES = (
    ChoreRule(look, (LOOK,)),
    ChoreRule(look_over, (LOOK_OVER,)),
    ChoreRule(repair, (REPAIR,)),
)
