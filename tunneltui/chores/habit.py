"""The least that forecasts and loads live on: marked plants read weekly, and a picture that is true."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from statistics import median

from tunneltui.cells import Day, cm, listed, many, say
from tunneltui.chores.begun_late import KIND as PUT_RIGHT_KEY
from tunneltui.chores.begun_late import (
    UNSURE_TIP_M,
    UNTOLD_DAYS,
    nothing_noted,
    stems_to_note,
    unsure_tips,
    walked_lately,
)
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import PlannedPiece, at_head, make_chore, on_the_loop, ticked_since, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.put_right import CropStep, begin
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.growth.sparse import month_unread_m
from tunneltui.growth.topping import in_last_fortnight
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.kinds_standing import MarkedPlant
from tunneltui.loads.path import hook_u_m
from tunneltui.loads.result import Loads
from tunneltui.season.noted_late import may_be_older
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import WEEK_DAYS

MARK_PLANTS = ChoreKind(
    "mark_plants",
    "mark plants",
    "loop",
    "plants",
    worth=0.03,
    window=True,
    minutes=2.0,
    part="morning",
    blank=("which", 12),
)
READ_AGAIN = ChoreKind(
    "read_again",
    "read again",
    "stem",
    "plants",
    worth=0.03,
    window=True,
    minutes=1.0,
    part="morning",
    reach="stem",
    lasts="kept",
    joins=True,
    blank=("read", 12),
)
PUT_RIGHT = ChoreKind(
    PUT_RIGHT_KEY,
    "put the picture right",
    "loop",
    "look",
    worth=0.03,
    minutes=0.1,
    lasts="kept",
    taken="walk",
    blank=("seen", 16),
)
BLIND_DAYS = 10
"""A weekly reading three days late: from then on a cultivar's forecasts run blind."""
SETTLED_READINGS, LATE_DAYS = 6, 14
"""From so many readings on the pace of a cultivar is known, and a fortnight between them does (assumed)."""
A_READ_ONE_HOLDS_FOR = 5
"""Stems of a cultivar that one marked plant speaks for (assumed)."""
WALK_WORTH = 0.15
"""Kg a minute of a walk of a few minutes on which all lowerings of a loop rest (assumed)."""
FAULT_AGAIN_DAYS = 14
"""A stem that does not fit its notes is looked at again after so long (assumed)."""
HOW_IT_HANGS = "where each hook hangs, how many stems on each string"
FEWEST_HELD = 4
"""A picture of fewer clips and hooks than this is put right by looking."""


def mark_plants(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Once a week, for every loop and cultivar whose stems nobody has read lately."""
    for (loop, cultivar), leaders in _by_loop_and_cultivar(season, outlook).items():
        read_on = max((d for x in leaders if (d := outlook.leaders[x.id].measured_on)), default=None)
        settled = sum(len(leader.readings) for leader in leaders) >= SETTLED_READINGS
        if read_on is not None and (season.day - read_on).days < (LATE_DAYS if settled else BLIND_DAYS):
            continue
        enough = -(-len(leaders) // A_READ_ONE_HOLDS_FOR)
        count = max(1, min(season.holding.limits.marked_plants, enough))
        chosen = [leader for leader in _typical(leaders, count) if not _marked_lately(season, leader)]
        if chosen:
            yield _mark_plants(season, outlook, loop, cultivar, leaders, chosen, read_on)


def _marked_lately(season: Season, leader: Leader) -> bool:
    day = season.last.get(("marked_plant", leader.place))
    if day is None:
        return False
    was_read = any(reading.day >= day for reading in leader.readings)
    return (season.day - day).days < (WEEK_DAYS if was_read else UNTOLD_DAYS)


def _by_loop_and_cultivar(season: Season, outlook: Outlook) -> dict[tuple[str, str], list[Leader]]:
    """Those of which there is still a thing to foresee."""
    groups: dict[tuple[str, str], list[Leader]] = defaultdict(list)
    ending = in_last_fortnight(season)
    for leader in season.leaders.values():
        ends = season.layout.rows[leader.row][0].key in ending
        if not ends and leader.id in outlook.leaders and leader.tip_taken_out_on is None:
            groups[(leader.loop, leader.cultivar)].append(leader)
    return groups


def _mark_plants(
    season: Season,
    outlook: Outlook,
    loop: str,
    cultivar: str,
    leaders: list[Leader],
    chosen: list[Leader],
    read_on: date | None,
) -> Chore:
    read = say("last read {}", Day(read_on, season.day)) if read_on else "never read"
    names = listed([leader.name for leader in chosen])
    m_a_week = median(outlook.leaders[leader.id].growth_m_per_week.mid for leader in leaders)
    won, unread = (cm(month_unread_m(m_a_week, count)) for count in (len(chosen), 0))
    return make_chore(
        MARK_PLANTS,
        f"{loop} {cultivar}",
        at_head(season, chosen[0]),
        when="any",
        earliest=season.day,
        latest=season.day if read_on is None else max(season.day, read_on + timedelta(days=LATE_DAYS + 3)),
        proposal=say("mark {}, read growth since the last mark, flowering truss, lowest unpicked", names),
        why=say(
            "{} of {} on {}, {}: the forecast rests on weather alone. In a month it is out by up to "
            "{} a stem; with these read weekly, by {}.",
            many(len(leaders), "stem"),
            cultivar,
            " and ".join(dict.fromkeys(leader.row for leader in leaders)),  # a loop by the name of its first row
            read,
            unread,
            won,
        ),
        pieces=[
            PlannedPiece(
                leader.id,
                at_head(season, leader),
                minutes_for(season, MARK_PLANTS),
                ((leader.place, MarkedPlant(leader.id)),),
                (leader.id,),
                say("mark {}", leader.name),
            )
            for leader in chosen
        ],
    )


def _typical(leaders: list[Leader], count: int) -> list[Leader]:
    """Those marked already, filled up with plants spread evenly along the loop, ends left out; who marks one of
    them is asked for the same others."""
    along = sorted(leaders, key=lambda leader: (leader.u_m, leader.name))
    marked = [number for number, leader in enumerate(along) if leader.marked_on][:count]
    spread = [(2 * n + 1) * len(along) // (2 * count) for n in range(count)]
    for number in marked:
        spread.remove(min(spread, key=lambda slot: abs(slot - number)))
    return [along[number] for number in (*marked, *(slot for slot in spread if slot not in marked))]


def read_again(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """A reading of this week that makes no sense and that nothing since has settled."""
    for leader in season.leaders.values():
        doubted = outlook.leaders[leader.id].doubted if leader.id in outlook.leaders else None
        if doubted is None or (season.day - doubted.day).days >= WEEK_DAYS:
            continue
        if not ticked_since(season, READ_AGAIN, leader.name, doubted.day):
            where = at_head(season, leader)
            yield make_chore(
                READ_AGAIN,
                leader.name,
                where,
                when="any",
                earliest=season.day,
                latest=doubted.day + timedelta(days=WEEK_DAYS),
                proposal=say("{}: read it again, or note what happened to it", leader.name),
                why=say("Read {}: {}. Nothing is learned from it.", Day(doubted.day, season.day), doubted.why),
                pieces=whole(
                    where,
                    minutes_for(season, READ_AGAIN),
                    (leader.place, Note(say("{}: looked at again, still to be read", leader.name))),
                    leaders=[leader.id],
                ),
            )


def put_right(season: Season, outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    """A loop of which more was ticked than seen, or of which nothing is noted though its stems must have been
    lowered; and stems that cannot be where they are noted."""
    for loop in season.layout.loops:
        leaders = season.leaders_of_loop(loop)
        if any(may_be_older(season, leader) for leader in leaders):
            # When they were planted is asked first.
            continue
        if to_answer := _half_walked(season, outlook, loop, leaders):
            yield _to_go_on(season, loop, leaders[0].u_m, to_answer)
        elif unnoted := stems_to_note(season, outlook, loop):
            yield _begun_late(season, loop, unnoted)
        elif unsure := unsure_tips(season, outlook, loop):
            yield _look_up(season, loop, unsure, len(leaders))
        elif (held := _mostly_assumed(season, leaders)) and not nothing_noted(season, loop):
            yield _put_right(season, loop, leaders, sum(held), len(held))
    for leader in season.leaders.values():
        path = loads.paths.get(leader.id)
        lately = season.day - timedelta(days=FAULT_AGAIN_DAYS - 1)
        already_asked = may_be_older(season, leader) or ticked_since(season, PUT_RIGHT, leader.name, lately)
        if path is not None and path.fault and not already_asked:
            yield _fault(season, leader, path.fault)


def _mostly_assumed(season: Season, leaders: list[Leader]) -> list[bool]:
    """Of each clip and hook whether it was only ticked, where that is more of them than may be; else none."""
    held = [fixing.assumed for leader in leaders for fixing in leader.fixings]
    held += [leader.hook.assumed for leader in leaders if leader.hook]
    many_held = len(held) >= FEWEST_HELD
    return held if many_held and sum(held) > season.holding.limits.assumed_share * len(held) else []


def _put_right(season: Season, loop: str, leaders: list[Leader], assumed: int, held: int) -> Chore:
    where = on_the_loop(season, loop, leaders[0].u_m)
    return make_chore(
        PUT_RIGHT,
        loop,
        where,
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=WEEK_DAYS),
        proposal=say("walk {}: {}", loop, HOW_IT_HANGS),
        why=say(
            "{} of {} clips and hooks of {} were ticked and not seen; its loads rest on them.", assumed, held, loop
        ),
        pieces=whole(where, max(1.0, minutes_for(season, PUT_RIGHT, held))),
    )


def _look_up(season: Season, loop: str, unsure: list[Leader], heads: int) -> Chore:
    where = on_the_loop(season, loop, unsure[0].u_m)
    return make_chore(
        PUT_RIGHT,
        loop,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say("walk {} looking up: how each tip hangs", loop),
        why=say(
            "{} of {} of {} are known to no better than {} either way: what is let out rests on them.",
            len(unsure),
            many(heads, "tip"),
            loop,
            cm(UNSURE_TIP_M),
        ),
        pieces=whole(where, max(1.0, minutes_for(season, PUT_RIGHT, heads)), worth=WALK_WORTH),
    )


def _half_walked(season: Season, outlook: Outlook, loop: str, leaders: list[Leader]) -> int:
    """Answers that are left of a walk begun in these days, where any of them is about what nobody noted yet."""
    if walked_lately(season).isdisjoint(leader.name for leader in leaders):
        return 0
    walk = begin(season, outlook, loop)
    unnoted = any(isinstance(step, CropStep) or not step.noted for step in walk.left)
    return len(walk.left) if walk.done and unnoted else 0


def _to_go_on(season: Season, loop: str, u_m: float, to_answer: int) -> Chore:
    where = on_the_loop(season, loop, u_m)
    return make_chore(
        PUT_RIGHT,
        loop,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say(
            "go on with the walk of {}: {} left", loop, many(to_answer, "hook or string", "hooks and strings")
        ),
        why=say("The walk of {} was stopped half way: till it is ended its loads rest on half a picture.", loop),
        pieces=whole(where, max(1.0, minutes_for(season, PUT_RIGHT, to_answer)), worth=WALK_WORTH),
    )


def _begun_late(season: Season, loop: str, unnoted: list[Leader]) -> Chore:
    rows = {stretch.row for stretch in season.layout.loops[loop].stretches}
    strings = [string for string in season.strings.values() if string.row in rows]
    where = on_the_loop(season, loop, unnoted[0].u_m)
    return make_chore(
        PUT_RIGHT,
        loop,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say("walk {}: {}", loop, HOW_IT_HANGS),
        why=say(
            "{} of {} must be longer than there is height for, and nothing is noted of how they "
            "hang: loads and lowerings cannot be told.",
            many(len(unnoted), "stem"),
            loop,
        ),
        pieces=whole(
            where, max(1.0, minutes_for(season, PUT_RIGHT, len(unnoted) + len(strings))), worth=WALK_WORTH
        ),
    )


def _fault(season: Season, leader: Leader, fault: str) -> Chore:
    where = on_the_loop(season, leader.loop, hook_u_m(leader, season.layout.loops[leader.loop]))
    return make_chore(
        PUT_RIGHT,
        leader.name,
        where,
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=WEEK_DAYS),
        proposal=say("{}: see where its hook and clips hang, and note it", leader.name),
        why=fault,
        pieces=whole(where, 1.0, leaders=[leader.id]),
    )


RULES = (
    ChoreRule(mark_plants, (MARK_PLANTS,)),
    ChoreRule(read_again, (READ_AGAIN,)),
    ChoreRule(put_right, (PUT_RIGHT,)),
)
