"""A row at its end: green fruit first, then clips bottom up and counted, sick stems last, then what comes next."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from tunneltui.cells import Day, listed, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.coming import READY_DAYS
from tunneltui.chores.crop_end import crop_over_since, crop_taken_on
from tunneltui.chores.making import PlannedPiece, at_root, at_row, in_order_of_work, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Bed, Tunnel
from tunneltui.journal.kinds_crop import GreenStripped, Removed
from tunneltui.journal.kinds_standing import BedMade
from tunneltui.loads.result import Loads
from tunneltui.season.adopted import adopted_plan
from tunneltui.season.stage import CLEARED_DAYS
from tunneltui.season.state import Leader, Season

STRIP_GREEN = ChoreKind("strip_green", "strip green", "row", "pick", worth=0.3, minutes=1.0, window=True)
CLEARING = ChoreKind("clearing", "clearing", "row", "plants", worth=0.002, minutes=5.0)
MAKE_BED = ChoreKind("make_bed", "make the bed", "tunnel", "tap", worth=0.002, minutes=30.0)
STRIP_AHEAD_DAYS = 3
"""Common practice, no source: green fruit comes off so long before the bed is wanted back."""
MEASURED_DAYS = 14
"""A stem read within this is not measured again when it comes down. Common practice, no source."""


class _BareBy(NamedTuple):
    """When a row has to be bare, whose plants that means, and why."""

    day: date
    planted_before: date
    why: str


def clearing(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Around the day the bed is wanted back, or is needed for the coming crop: rows still standing, and beds that
    stand empty since."""
    for tunnel in season.holding.tunnels:
        end = _end(season, tunnel)
        if end is None or season.day < end.day - timedelta(days=STRIP_AHEAD_DAYS):
            continue
        for row in (row_id(tunnel, standing) for standing in tunnel.rows):
            # Plants put in since then are the next crop.
            leaders = in_order_of_work(x for x in season.leaders_of_row(row) if x.planted_on < end.planted_before)
            bearing = [leader for leader in leaders if not _is_stripped(leader, end.day)]
            if bearing:
                yield _strip(season, outlook, row, bearing, end)
            if leaders and end.day <= season.day:
                yield _clear(season, row, leaders, end.why)
        for bed in tunnel.beds:
            emptied = _emptied_on(season, tunnel, bed)
            if emptied is not None:
                yield _make_bed(season, tunnel, bed, emptied)


def _end(season: Season, tunnel: Tunnel) -> _BareBy | None:
    wanted_back, taken = season.holding.work.bed_wanted_back, adopted_plan(season)
    ends = []
    frost = crop_taken_on(season, tunnel.key)
    if frost is not None:
        ends.append(_BareBy(frost, frost, why=say("frost took the plants ({})", Day(frost, season.day))))
    over = crop_over_since(season, tunnel.key)
    if over is not None:
        ends.append(_BareBy(over, over, why=say("their crop is over since {}", Day(over, season.day))))
    if wanted_back is not None:
        ends.append(
            _BareBy(wanted_back, wanted_back, why=say("the bed is wanted back {}", Day(wanted_back, season.day)))
        )
    if taken is not None:
        on, plan = taken
        bare = plan.plant - timedelta(days=READY_DAYS)
        # What was put in since the plan was made, or its sowing, is its own or a crop between.
        ends.append(
            _BareBy(
                bare, min(on, plan.sow), why=say("plan {} plants there {}", plan.name, Day(plan.plant, season.day))
            )
        )
    return min(ends, default=None)


def _is_stripped(leader: Leader, wanted_back: date) -> bool:
    last = leader.stripped_on
    return last is not None and last >= wanted_back - timedelta(days=STRIP_AHEAD_DAYS)


def _strip(season: Season, outlook: Outlook, row: str, leaders: list[Leader], end: _BareBy) -> Chore:
    trusses = sum(len(outlook.stem(x.id, season.day).trusses) for x in leaders if x.id in outlook.leaders)
    green = many(trusses, *season.crop_of(leaders[0]).bears)
    sick = [leader.name for leader in leaders if leader.suspect]
    apart = say(" Fruit of {} is kept apart and looked at first.", listed(sick)) if sick else ""
    return make_chore(
        STRIP_GREEN,
        row,
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=max(end.day, season.day),
        proposal=say(
            "strip {} green{}, weigh it, lay it to ripen", row, " before frost" if end.day > season.day else ""
        ),
        why=say(
            "About {} still hang on {} of {}: {}. Noted again later with what ripened, the rest is lost.{}",
            green,
            many(len(leaders), "stem"),
            row,
            end.why,
            apart,
        ),
        pieces=[
            PlannedPiece(
                x.id,
                at_root(x),
                minutes_for(season, STRIP_GREEN),
                ((row, GreenStripped((x.id,))),),
                (x.id,),
                say("strip {}", x.name),
            )
            for x in leaders
        ],
    )


def _clear(season: Season, row: str, leaders: list[Leader], reason: str) -> Chore:
    plants = {leader.plant: leader for leader in leaders}
    clips = sum(not fixing.tie for leader in leaders for fixing in leader.fixings)
    hooks = many(sum(leader.hook is not None for leader in leaders), "hook")
    back = hooks if _rots(season, leaders) else say("{} and {}", many(clips, "clip"), hooks)
    # Stems whose end length would be lost.
    unread = [leader.name for leader in leaders if leader.marked_on and not read_lately(season, leader)]
    return make_chore(
        CLEARING,
        row,
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say("clear {} bottom up, count {} back", row, back),
        why=say(
            "{} still {} on {}: {}. {}{}",
            many(len(plants), "plant"),
            "stands" if len(plants) == 1 else "stand",
            row,
            reason,
            _where_to(season, leaders),
            say(" Measure {} once they lie down.", listed(unread)) if unread else "",
        ),
        pieces=[
            PlannedPiece(
                plant,
                at_root(leader),
                minutes_for(season, CLEARING),
                ((leader.place, Removed(plant)),),
                (leader.id,),
                say("clear {}", leader.place),
            )
            for plant, leader in plants.items()
        ],
    )


def _rots(season: Season, leaders: list[Leader]) -> bool:
    """Whether clips and twine may go on the heap with the plants."""
    holding = season.holding
    clips = {fixing.clip_kind for leader in leaders for fixing in leader.fixings if not fixing.tie}
    hooks = {hook.key: hook.twine for hook in holding.hooks}
    twines = {string.twine for leader in leaders for string in season.strings_of_loop(leader.loop)}
    twines |= {hooks.get(leader.hook.kind, "") for leader in leaders if leader.hook is not None}
    rotting = {clip.key for clip in holding.clips if clip.biodegradable}
    rotting |= {twine.key for twine in holding.twines if twine.biodegradable}
    return bool(clips or twines) and clips | twines <= rotting


def _where_to(season: Season, leaders: list[Leader]) -> str:
    """What may go on the compost: a cool heap kills no sickness (common practice, no source)."""
    sick = [leader.name for leader in leaders if leader.suspect]
    if not sick and _rots(season, leaders):
        return "None is noted as suspect: look once more, then all to the compost, clips and twine too."
    if not sick:
        return "None is noted as suspect: look once more, then to the compost."
    well = " The others to the compost." if len(sick) < len(leaders) else ""
    return say("{} last, bagged and off the land, knife and hands cleaned.{}", listed(sick), well)


def read_lately(season: Season, leader: Leader) -> bool:
    """Whether its length was read in the last two weeks."""
    since = season.day - timedelta(days=MEASURED_DAYS)
    return any(reading.day >= since and reading.length_m is not None for reading in leader.readings)


def _emptied_on(season: Season, tunnel: Tunnel, bed: Bed) -> date | None:
    """Day on which the last plant of the bed was cleared; None while one stands, the bed was made since, or too
    long ago."""
    rows = {row_id(tunnel, row) for row in tunnel.rows if row.bed == bed.key}
    if any(leader.row in rows for leader in season.leaders.values()):
        return None
    ends = [season.ended[leader.id] for leader in season.gone.values() if leader.row in rows]
    emptied = max(ends, default=None)
    if emptied is None or (season.day - emptied).days >= CLEARED_DAYS:
        return None
    abouts = [*rows, *([tunnel.key] if len(tunnel.beds) == 1 else [])]
    made_on = max(
        (season.last[key] for key in (("bed_made", about) for about in abouts) if key in season.last), default=None
    )
    return emptied if made_on is None or made_on < emptied else None


def _make_bed(season: Season, tunnel: Tunnel, bed: Bed, emptied: date) -> Chore:
    rows = [row_id(tunnel, row) for row in tunnel.rows if row.bed == bed.key]
    where = at_row(season, rows[0])
    stood = sorted({leader.cultivar for leader in season.gone.values() if leader.row in rows})
    return make_chore(
        MAKE_BED,
        f"{tunnel.key} {bed.key}",
        where,
        when="any",
        earliest=season.day,
        latest=emptied + timedelta(days=CLEARED_DAYS),
        proposal=say("{}: next crop in, or cover it, and say how it was made", bed.key),
        why=say(
            "{} lies bare since {}; {} stood there on {}. Another family of plants breaks the round "
            "of their sicknesses.",
            bed.key,
            Day(emptied, season.day),
            listed(stood),
            many(len(rows), "row"),
        ),
        pieces=whole(
            where,
            minutes_for(season, MAKE_BED, len(rows)),
            (rows[0], BedMade(bed.key, "made ready after clearing")),
        ),
    )


RULES = (ChoreRule(clearing, (STRIP_GREEN, CLEARING, MAKE_BED)),)
