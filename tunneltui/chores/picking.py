"""Pick: on pick days, one chore per row side and cultivar."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date, timedelta
from math import hypot
from operator import itemgetter
from typing import NamedTuple

from tunneltui.cells import Day, Quantity, Range, kg, many, say, words
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import PlannedPiece, at_row, in_order_of_work, make_chore
from tunneltui.chores.minutes import minutes_to_pick
from tunneltui.chores.rule import ChoreRule
from tunneltui.chores.week import Task
from tunneltui.growth.defaults import PLANTED_TRUSS_SD, traits
from tunneltui.growth.groups import WIDE
from tunneltui.growth.outlook import Band, Outlook, PickOutlook
from tunneltui.growth.ripening import RipeningFactor
from tunneltui.holding.crops import crop_of, kind_of
from tunneltui.holding.model import Cultivar
from tunneltui.journal.body import parsed
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_crop import Picked
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Pick, Season
from tunneltui.season.work_days import next_work_day, pick_weekdays, sure_work_day

PICK = ChoreKind(
    "pick",
    "pick",
    "row",
    "pick",
    worth=0.42,
    minutes=1.0,
    part="morning",
    reach="loop",
    taken="amount",
    blank=("weighed, kg", 5),
)
SHARE_MINUTES = 3.0
"""A pick may be stopped after every so many minutes."""
FRESH_DAYS, FRESH_SHARE = 5, 0.7
"""So much of a pick would still be there at the next, where the last was so few days before (own simulation)."""
NOTHING_KG = Band(0.0, 0.0, 0.0)
FIRST_LOOK_WORTH = 0.04
"""As any look, where nothing is foreseen to be ripe yet (own simulation)."""
RIPENING_DAYS, TRUSS_DAYS = 50, 7
"""From flower to ripe, and from one truss to the next, at 20 degC (Adams et al. 2001; Heuvelink 1996)."""
LEFT_KG = 0.2
"""Less than this left hanging waits for the next pick day (assumed)."""
KEEPS_DAYS = 7
"""Ripe fruit keeps about so long on the plant before it splits (common practice, no source)."""
WORTH_PICKING_KG = 0.05
"""Less than this expected in a row is no chore: about two cherries (common practice, no source)."""


def pick(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Today's pick day; on every day after it what was left hanging, and what would hang too long if the next pick
    day were missed."""
    today = [pick for pick in season.picks if pick.day == season.day and not pick.picked.leader]
    pick_day = _last_pick_day(season)
    comings = [coming for coming in outlook.picks if coming.day == season.day]
    if pick_day < season.day:
        comings += [hangs for hangs in outlook.ripe_today if hangs.kg.mid >= LEFT_KG]
    else:
        yield from _first_looks(season, outlook, {(coming.row, coming.cultivar) for coming in comings})
    for coming in comings:
        leaders = [x for x in season.leaders_of_row(coming.row) if x.cultivar == coming.cultivar]
        was_left = any(leader.picked_clean_on is None or leader.picked_clean_on < pick_day for leader in leaders)
        # What ripened since the last pick keeps till the next pick day, but not till it is sure to be picked.
        cleaned = [leader.picked_clean_on for leader in leaders if leader.picked_clean_on is not None]
        is_due = was_left or (bool(cleaned) and (_surely_picked_on(season) - min(cleaned)).days > KEEPS_DAYS)
        if coming.kg.high >= WORTH_PICKING_KG and is_due and not _is_among(today, season, coming):
            yield _pick(season, coming, in_order_of_work(leaders), was_left)


def _first_looks(season: Season, outlook: Outlook, foreseen: Collection[tuple[str, str]]) -> Iterator[Chore]:
    """Kinds of which nothing was picked yet and nothing is ``foreseen`` to be ripe, from the early end of their
    first truss's days on: a week too late at the first ripe fruit, and it is over."""
    kinds: dict[tuple[str, str], list[Leader]] = defaultdict(list)
    for leader in season.leaders.values():
        kinds[leader.row, leader.cultivar].append(leader)
    for (row, cultivar), leaders in kinds.items():
        look = PickOutlook(cultivar, row, season.day, NOTHING_KG, 0.0, blind=True)
        if (row, cultivar) in foreseen or _is_among(season.picks, season, look):
            continue
        if (first := _first_ripe(season, outlook, cultivar, leaders)) is not None and first.low <= season.day:
            why = say(
                "Pick day, and nothing of it was picked yet: its first trusses may be ripe, {} is likely, give or "
                "take {}.",
                Day(first.mid, season.day),
                many(first.days, "day"),
            )
            yield _pick(season, look, in_order_of_work(leaders), was_left=False)._replace(why=why)


class _FirstRipe(NamedTuple):
    mid: date
    days: int
    """Either way."""

    @property
    def low(self) -> date:
        return self.mid - timedelta(days=self.days)


def _first_ripe(season: Season, outlook: Outlook, cultivar: str, leaders: Iterable[Leader]) -> _FirstRipe | None:
    """When the first truss of a kind is ripe; None: not within the days foreseen."""
    stems = [outlook.stem(leader.id, season.day) for leader in leaders if leader.id in outlook.leaders]
    firsts = [(truss.ripe_on, stem) for stem in stems for truss in stem.trusses[:1] if truss.ripe_on is not None]
    if not firsts:
        return None
    ripe_on, stem = min(firsts, key=itemgetter(0))
    factor = outlook.ripening.get(cultivar, RipeningFactor())
    sd_days = RIPENING_DAYS * factor.log_sd(RIPENING_DAYS)
    return _FirstRipe(ripe_on, round(WIDE * hypot(sd_days, min(stem.flowering_sd, PLANTED_TRUSS_SD) * TRUSS_DAYS)))


def _surely_picked_on(season: Season) -> date:
    return sure_work_day(season, _next_pick_day(season) - timedelta(days=1))


def picks_ahead(season: Season, outlook: Outlook, ended: Collection[str]) -> Iterator[Task]:
    """What the pick days of the coming week will ask for, each on the first work day from it on; nothing of rows
    that are ``ended``."""
    for coming in outlook.picks:
        leaders = [x for x in season.leaders_of_row(coming.row) if x.cultivar == coming.cultivar]
        too_little = coming.kg.mid < WORTH_PICKING_KG or not leaders or coming.row in ended
        if coming.day <= season.day or too_little:
            continue
        cultivar = season.layout.cultivars.get(coming.cultivar, Cultivar(coming.cultivar))
        minutes = _minutes(season, cultivar, coming, len(leaders))
        on = next_work_day(season, coming.day - timedelta(days=1))
        worth = _worth(coming, minutes, coming.day, leaders)
        about = f"{PICK.key} {coming.row} {coming.cultivar} {coming.day.isoformat()}"
        for number in range(max(1, round(minutes / SHARE_MINUTES))):
            share = minutes / max(1, round(minutes / SHARE_MINUTES))
            yield Task(about, f"#{number}", PICK.key, share, on, on, worth)


def left_some(written: Draft) -> Draft:
    """A pick that left ripe fruit hanging."""
    body = parsed(written) | {"clean": False}
    return written._replace(body=json.dumps(body, ensure_ascii=False, separators=(",", ":")))


def _last_pick_day(season: Season) -> date:
    """Today where it is one."""
    days = pick_weekdays(season)
    back = (season.day - timedelta(days=n) for n in range(7))
    return next((day for day in back if day.weekday() in days), season.day)


def _minutes(season: Season, cultivar: Cultivar, coming: PickOutlook, plants: int) -> float:
    return minutes_to_pick(season, PICK, kind_of(cultivar.crop, cultivar.fruit), coming.kg.mid, plants)


def _worth(coming: PickOutlook, minutes: float, day: date, leaders: Sequence[Leader]) -> float:
    """Its kilograms a minute; less where the last pick is so fresh that little would be lost by the next."""
    if coming.kg.mid <= 0:
        return FIRST_LOOK_WORTH
    cleaned = [leader.picked_clean_on for leader in leaders]
    fresh = all(clean is not None and (day - clean).days < FRESH_DAYS for clean in cleaned)
    return (FRESH_SHARE if fresh else 1.0) * coming.kg.mid / minutes


def _is_among(picks: Iterable[Pick], season: Season, coming: PickOutlook) -> bool:
    tunnel = season.layout.rows[coming.row][0].key
    return any(
        p.picked.cultivar == coming.cultivar and (p.row == coming.row or (not p.row and p.tunnel in ("", tunnel)))
        for p in picks
    )


def _pick(season: Season, coming: PickOutlook, leaders: list[Leader], was_left: bool) -> Chore:
    tunnel = season.layout.rows[coming.row][0].key
    blocked_until = season.picking_blocked_until.get(tunnel)
    earliest = max(season.day, blocked_until) if blocked_until else season.day
    cultivar = season.layout.cultivars.get(coming.cultivar, Cultivar(coming.cultivar))
    where = at_row(season, coming.row)
    minutes = _minutes(season, cultivar, coming, len(leaders))
    by_size = crop_of(cultivar.crop).picked_by_size
    left_on = "fruit left on grows coarse and holds the next back" if by_size else "ripe fruit splits"
    return make_chore(
        PICK,
        f"{coming.row} {coming.cultivar}",
        where,
        when="early and dry",
        earliest=earliest,
        latest=earliest,
        proposal=say("pick {} {}, {}", coming.row, coming.cultivar, _how_much(coming)),
        why=_why(season, coming, leaders, earliest, was_left) + _size_words(cultivar),
        pieces=[
            PlannedPiece(
                "",
                where,
                minutes,
                ((coming.row, Picked(coming.cultivar)),),
                tuple(leader.id for leader in leaders),
                worth=_worth(coming, minutes, season.day, leaders),
            )
        ],
        waiting=say("next pick day is {}; {}", Day(_next_pick_day(season), season.day), left_on),
    )


def _size_words(cultivar: Cultivar) -> str:
    """From what size on, where size and not colour says when."""
    if not crop_of(cultivar.crop).picked_by_size:
        return ""
    return say(" By size: from about {} on, whatever its colour.", Quantity(traits(cultivar).fruit_g / 1000, "g"))


def _how_much(coming: PickOutlook) -> str:
    if coming.blind:
        return "what is ripe"
    low, high = coming.kg.low, coming.kg.high
    if round(low, 1) == 0:
        return say("up to {}", _kg(high))
    return say("{}", Range(low, high, "kg", 0 if high >= WHOLE_FROM_KG else 1))


WHOLE_FROM_KG = 3.0
"""From here on whole kilograms are fine enough."""


def _kg(mass: float) -> Quantity:
    return kg(mass, 0 if mass >= WHOLE_FROM_KG else 1)


def _why(season: Season, coming: PickOutlook, leaders: Iterable[Leader], earliest: date, was_left: bool) -> str:
    if earliest > season.day:
        return say(
            "Ripe now, but the treatment's label keeps it on the plant until {}.", Day(earliest, season.day)
        )
    trusses = many(max(1, round(coming.trusses)), *season.crop(coming.cultivar).bears)
    if _last_pick_day(season) == season.day:
        when = words("Pick day")
    elif was_left and all(leader.picked_clean_on is None for leader in leaders):
        # Who begins in mid season may have picked on the last pick day.
        when = words("No pick of it is noted")
    elif was_left:
        when = say("Left hanging since {}", Day(_last_pick_day(season), season.day))
    else:
        when = say(
            "By the weeks before it may be {} before it is picked next, too long for ripe fruit",
            Day(_surely_picked_on(season), season.day),
        )
    if coming.blind:
        span = Range(coming.kg.low, coming.kg.high, "kg", 0 if coming.kg.high >= WHOLE_FROM_KG else 1)
        return say("{}, and fruit is ripe on about {}; no pick weighed yet, so {}.", when, trusses, span)
    return say("{}: {} likely ripe, {}, on about {}.", when, _kg(coming.kg.mid), _how_much(coming), trusses)


def _next_pick_day(season: Season) -> date:
    days = pick_weekdays(season)
    ahead = (season.day + timedelta(days=n) for n in range(1, 8))
    return next((day for day in ahead if day.weekday() in days), season.day + timedelta(days=7))


RULES = (ChoreRule(pick, (PICK,)),)
