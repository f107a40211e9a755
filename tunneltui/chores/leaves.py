"""Row passes in the crop: leaves from below, side shoots from above."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from tunneltui.cells import Day, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import (
    PlannedPiece,
    at_head,
    at_root,
    at_row,
    in_order_of_work,
    make_chore,
    weekly_due,
)
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.growth.topping import in_last_fortnight
from tunneltui.holding.model import Limits
from tunneltui.journal.kinds_crop import Deleafed, SideShooted
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season

SIDE_SHOOT = ChoreKind(
    "side_shoot",
    "side shoots",
    "row",
    "plants",
    worth=0.03,
    window=True,
    minutes=0.75,
    part="morning",
    reach="loop",
    lasts="facts",
)
DELEAF = ChoreKind(
    "deleaf",
    "take leaves",
    "row",
    "plants",
    worth=0.008,
    window=True,
    minutes=0.5,
    part="morning",
    reach="loop",
    lasts="facts",
)


SHOOTS_EARLY_DAYS, SHOOTS_LATE_DAYS = 1, 2
"""Side shoots may come out so long before their day, and wait so long after it (own simulation)."""
GROWN_OVER_A_DAY, MOST_GROWN_OVER = 0.04, 2.0
"""More time for every day that shoots are left past theirs (assumed)."""
LEAVES_LATE_DAYS = 5
"""Leaves may wait so long after their day: little is lost by it (own simulation)."""
STOPPED_TIMES = 4
"""So many times as seldom once the tip is out (assumed)."""
SHOOTS_WORTH = ((21, 0.12), (14, 0.06), (10, 0.03), (8, 0.015), (0, 0.005))
"""Kg a minute by the days since they were out: shoots take what fruit would get (own simulation)."""
LONG_LEFT_DAYS, LONG_LEFT_WORTH = 21, 0.03
"""Leaves left so long shade the fruit and hold the damp (own simulation)."""


def side_shoot(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """A row job every ``limits.side_shoot_days``, on the row's work day where it has one; else each head has some
    days in which it may be laid where the minutes are."""
    # A new shoot takes nothing any more from fruit that still ripens: common practice, no source.
    ending = in_last_fortnight(season)
    every = season.holding.limits.side_shoot_days
    for row, (tunnel, standing) in season.layout.rows.items():
        if tunnel.key in ending:
            continue
        leaders = season.leaders_of_row(row)
        due = {
            leader.id: weekly_due(_side_shooted(leader), _every(leader, every), standing.work_day)
            for leader in leaders
        }
        if standing.work_day is not None:
            is_due = any(day <= season.day for day in due.values())
            taken = [x for x in leaders if is_due and (season.day - _side_shooted(x)).days * 2 > every]
            latest = {leader.id: season.day for leader in taken}
        else:
            early = timedelta(days=SHOOTS_EARLY_DAYS)
            taken = [leader for leader in leaders if due[leader.id] - early <= season.day]
            late = timedelta(days=SHOOTS_LATE_DAYS)
            latest = {leader.id: max(season.day, due[leader.id] + late) for leader in taken}
        if taken:
            yield _side_shoot(season, outlook, row, in_order_of_work(taken), latest)


def side_shoot_days(season: Season, leader: Leader) -> tuple[date, date]:
    """From when its side shoots may come out again, and by when."""
    standing = season.layout.rows[leader.row][1]
    every = season.holding.limits.side_shoot_days
    due = weekly_due(_side_shooted(leader), _every(leader, every), standing.work_day)
    if standing.work_day is not None:
        return due, due
    return due - timedelta(days=SHOOTS_EARLY_DAYS), due + timedelta(days=SHOOTS_LATE_DAYS)


def _every(leader: Leader, days: int) -> int:
    """A stem whose tip is out makes few shoots more, at its top."""
    return days if leader.tip_taken_out_on is None else STOPPED_TIMES * days


def _side_shooted(leader: Leader) -> date:
    return leader.side_shooted_on or leader.since


def _side_shoot(
    season: Season, outlook: Outlook, row: str, leaders: list[Leader], latest: dict[str, date]
) -> Chore:
    oldest = max((season.day - _side_shooted(leader)).days for leader in leaders)
    noted = any(leader.side_shooted_on for leader in leaders)
    reach_m = season.holding.work.reach_m
    tips = [outlook.stem(x.id, season.day).tip_z_m.mid for x in leaders if x.id in outlook.leaders]
    return make_chore(
        SIDE_SHOOT,
        row,
        at_row(season, row),
        when="early and dry",
        earliest=season.day,
        latest=min(latest.values()),
        overhead=any(tip > reach_m for tip in tips),
        proposal=say("side shoots out, {}", many(len(leaders), "head")),
        why=say(
            "{} since {} was {}; every {} days they are still small enough to snap out.",
            many(oldest, "day"),
            row,
            "last side-shooted" if noted else "planted",
            season.holding.limits.side_shoot_days,
        ),
        pieces=[
            PlannedPiece(
                leader.id,
                at_head(season, leader),
                minutes_for(season, SIDE_SHOOT) * _grown_over(season, leader),
                ((row, SideShooted((leader.id,))),),
                (leader.id,),
                say("side shoots, {}", leader.name),
                latest=latest[leader.id],
                worth=_shoots_worth((season.day - _side_shooted(leader)).days),
            )
            for leader in leaders
        ],
        waiting="shoots over a finger long leave wounds",
    )


def _grown_over(season: Season, leader: Leader) -> float:
    """How much longer a head takes whose shoots were left: they are cut then, and no longer rubbed off."""
    late = (season.day - _side_shooted(leader)).days - season.holding.limits.side_shoot_days
    return min(MOST_GROWN_OVER, 1 + GROWN_OVER_A_DAY * max(0, late))


def _shoots_worth(days: int) -> float:
    return next(worth for least, worth in SHOOTS_WORTH if days >= least)


def deleaf(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Leaves below the lowest truss that still ripens, a few a visit, a backlog over several."""
    for row, (_, standing) in season.layout.rows.items():
        to_take: dict[str, int] = {}
        for leader in season.leaders_of_row(row):
            due = weekly_due(_deleafed(leader), season.holding.limits.deleaf_days, standing.work_day)
            if due <= season.day and leader.id in outlook.leaders:
                stem = outlook.stem(leader.id, season.day)
                to_take[leader.id] = leaves_to_take(stem, season.holding.limits)
        enough = {x for x, leaves in to_take.items() if _is_worth_a_stop(season, season.leaders[x], leaves)}
        leaders = in_order_of_work(season.leaders[x] for x in enough)
        if leaders:
            yield _deleaf(season, outlook, row, leaders, to_take)


def _is_worth_a_stop(season: Season, leader: Leader, leaves: int) -> bool:
    """A visit's worth; fewer wait for the next, but half of it not for weeks."""
    limits = season.holding.limits
    waited = (season.day - _deleafed(leader)).days >= 2 * limits.deleaf_days
    return leaves > 0 and (2 if waited else 1) * leaves >= limits.leaves_a_visit


def _deleafed(leader: Leader) -> date:
    return leader.deleafed[-1][0] if leader.deleafed else leader.since


def leaves_below_ripening(stem: StemOn) -> int:
    """Leaves under the lowest truss that is not ripe yet; leaves are spread evenly over the leafy stem."""
    ripening = [truss.s_m for truss in stem.trusses if truss.z < 1.0]
    leafy_m = stem.length_m.mid - stem.bare_below_m
    if not ripening or leafy_m <= 0:
        return 0
    return max(0, int(stem.leaves * (min(ripening) - stem.bare_below_m) / leafy_m + 1e-9))


def leaves_to_take(stem: StemOn, limits: Limits) -> int:
    """As many as a visit may take: no more than asked for, a share of the foliage, or what must stay."""
    most = min(
        limits.leaves_a_visit,
        int(limits.foliage_share_a_visit * stem.leaves + 1e-9),
        int(stem.leaves - limits.leaves_kept + 1e-9),
    )
    return max(0, min(leaves_below_ripening(stem), most))


def _deleaf(season: Season, outlook: Outlook, row: str, leaders: list[Leader], to_take: dict[str, int]) -> Chore:
    below = sum(leaves_below_ripening(outlook.stem(leader.id, season.day)) for leader in leaders)
    taken = sum(to_take[leader.id] for leader in leaders)
    counts = [to_take[leader.id] for leader in leaders]
    least, most = min(counts), max(counts)
    count = f"{most}" if least == most else say("{} to {}", least, most)
    left = say("; {} more are left for the next visit", below - taken) if below > taken else ""
    days = [leader.deleafed[-1][0] for leader in leaders if leader.deleafed]
    last = say("last taken {}", Day(max(days))) if days else "none taken yet"
    weekly = season.layout.rows[row][1].work_day is not None
    waits = timedelta(days=0 if weekly else season.holding.limits.deleaf_days + LEAVES_LATE_DAYS)
    latest = {leader.id: max(season.day, _deleafed(leader) + waits) for leader in leaders}
    return make_chore(
        DELEAF,
        row,
        at_row(season, row),
        when="early and dry",
        earliest=season.day,
        latest=min(latest.values()),
        proposal=say(
            "{} {} off {}",
            count,
            "leaf" if most == 1 else "leaves",
            say("each of {} plants", len(leaders)) if len(leaders) > 1 else leaders[0].name,
        ),
        why=say(
            "{} leaves on {} hang below the lowest {} that still ripens{}; {}. Scars must be dry by evening.",
            below,
            row,
            season.crop_of(leaders[0]).bears[0],
            left,
            last,
        ),
        pieces=[
            PlannedPiece(
                leader.id,
                at_root(leader),
                minutes_for(season, DELEAF),
                ((row, Deleafed((leader.id,), to_take[leader.id])),),
                (leader.id,),
                f"{many(to_take[leader.id], 'leaf', 'leaves')}, {leader.name}",
                latest=latest[leader.id],
                worth=LONG_LEFT_WORTH if (season.day - _deleafed(leader)).days > LONG_LEFT_DAYS else None,
            )
            for leader in leaders
        ],
        waiting="air stands still round low leaves",
    )


RULES = (
    ChoreRule(side_shoot, (SIDE_SHOOT,)),
    ChoreRule(deleaf, (DELEAF,)),
)
