"""Take the tip out: a choice, row by row, once no new truss can ripen any more or the wire is reached."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.cells import Day, cm, joined, listed, many, say
from tunneltui.chores.begun_late import KIND as PUT_RIGHT
from tunneltui.chores.begun_late import nothing_noted
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.heads import head_hold, held_on, stands_still
from tunneltui.chores.making import PlannedPiece, Written, at_head, at_row, in_order_of_work, make_chore
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.air import AirSeries, air_series
from tunneltui.growth.defaults import traits
from tunneltui.growth.outlook import Band, Outlook
from tunneltui.growth.ripening import RipeningFactor, SizePace
from tunneltui.growth.topping import LastPick, in_last_fortnight, last_pick, last_useful_flowering
from tunneltui.holding.model import Row
from tunneltui.journal.kinds_crop import LetItRun, TipTakenOut
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import sure_work_day

TIP_OUT = ChoreKind(
    "tip_out",
    "take the tip out",
    "row",
    "plants",
    worth=0.5,
    minutes=0.25,
    part="morning",
    reach="loop",
    taken="choice",
)
"""A quarter of a minute saves two minutes a week of holding, lowering and shoots, as long as the stem stands (own
simulation)."""
LOOK_BACK_DAYS = 100
"""A last useful flowering day further back than this is not looked for: nothing in flower will ripen."""
LOOK_AHEAD_DAYS = 120
"""A fruit of the coolest autumn ripens within so many days (open data: 36 to 42 days at 24 degC; half the rate at
15)."""
LATER_DAYS = 7
LEAN_LATE = timedelta(days=5)
"""The day is known to a week or so. Too early by less than the time to the next truss loses that truss, too late
costs some minutes a head: tips come out so long after it (own simulation)."""
GUESSED_M, WALKED_DAYS = 0.20, 14
"""A tip known no better than this is looked at before it comes out, on the walk that is asked for it."""
SEEN_UNDER_DAYS, SEEN_WELL_UNDER_DAYS = 4, 7
"""A head of unknown height that was held in these days was seen, and not stopped (assumed); one that is likelier
under its wire than at it is looked at when it is held, about weekly."""
ONLY_THERE = "; at the wire only those that have come to it"
AT_WIRE_M = 0.02
"""A tip so near to its wire is at it."""
OVER_WIRE_M = 0.10
"""A tip that would stand so far over the wire before the next work day comes out today."""


class LastFlower(Struct, frozen=True):
    """The last day on which a truss may flower and still ripen by the last pick."""

    day: date
    end: LastPick


def tip_out(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """One chore a row and reason; leaders that were let run, or are out already, are left alone."""
    last = LastFlowers(season, outlook)
    given_up = in_last_fortnight(season) if last.end is not None and last.end.day < season.day else frozenset()
    ends_soon = last.end is not None and (last.end.day - season.day).days <= LOOK_AHEAD_DAYS
    for row, (tunnel, standing) in season.layout.rows.items():
        if tunnel.key in given_up:
            continue
        growing = [
            leader
            for leader in in_order_of_work(season.leaders_of_row(row))
            if leader.tip_taken_out_on is None
            and not leader.let_it_run
            and leader.id in outlook.leaders
            and not stands_still(season, leader)
        ]
        flowers = {x.id: flower for x in growing if ends_soon and (flower := last.of(x)) is not None}
        ended = {id_: flower for id_, flower in flowers.items() if flower.day + LEAN_LATE <= season.day}
        over = [leader for leader in growing if leader.id in ended]
        at_wire = _at_the_wire(season, outlook, [x for x in growing if x.id not in ended])
        reasons = [_season_ends(season, row, over, list(ended.values()))] if over else []
        reasons += [_wire_reached(season, outlook, row, at_wire, standing)] if at_wire else []
        if reasons:
            why = joined(" ", reasons)
            yield _tip_out(season, outlook, row, in_order_of_work([*over, *at_wire]), why, at_wire)


class LastFlowers:
    """Each cultivar's last useful flower, by tunnel, worked out when first asked for."""

    def __init__(self, season: Season, outlook: Outlook) -> None:
        self._season = season
        self._ripening = outlook.ripening
        self.end = last_pick(season)
        self._airs: dict[str, AirSeries] = {}
        self._known: dict[tuple[str, str], LastFlower | None] = {}

    def of(self, leader: Leader) -> LastFlower | None:
        return self.of_cultivar(self._season.layout.rows[leader.row][0].key, leader.cultivar)

    def of_cultivar(self, tunnel: str, cultivar: str) -> LastFlower | None:
        """From the air read and to come; None where no last pick is in sight.

        A flower of the day after would still be green on the last pick. Never earlier than 100 days ago.
        """
        end = self.end
        if end is None:
            return None
        if (tunnel, cultivar) not in self._known:
            self._known[tunnel, cultivar] = self._worked_out(end, tunnel, cultivar)
        return self._known[tunnel, cultivar]

    def _worked_out(self, end: LastPick, tunnel: str, cultivar: str) -> LastFlower:
        first = self._season.day - timedelta(days=LOOK_BACK_DAYS)
        if end.day <= first:
            return LastFlower(first, end)
        if tunnel not in self._airs:
            self._airs[tunnel] = air_series(self._season, tunnel, first, end.day)
        kind = traits(self._season.layout.cultivars.get(cultivar))
        pace = None if kind.days_to_pick is None else SizePace(kind.days_to_pick, kind.crop.no_growth_c)
        factor = self._ripening.get(cultivar, RipeningFactor())
        return LastFlower(last_useful_flowering(end.day, self._airs[tunnel], factor, pace) or first, end)


def _season_ends(season: Season, row: str, leaders: list[Leader], flowers: list[LastFlower]) -> str:
    """``flowers``: the last useful one of each."""
    last = max(flowers, key=lambda flower: flower.day)
    end = say(
        "about {}, as years usually go, it is too cold to ripen"
        if last.end.assumed
        else "the bed is wanted back on {}",
        Day(last.end.day, season.day),
    )
    return say(
        "Trusses that flower after {} will be picked green: {}, {} later; {} of {} still {}.",
        Day(last.day, season.day),
        end,
        many((last.end.day - last.day).days, "day"),
        many(len(leaders), "tip"),
        row,
        "grows" if len(leaders) == 1 else "grow",
    )


def _at_the_wire(season: Season, outlook: Outlook, growing: list[Leader]) -> list[Leader]:
    """Leaders to be stopped at the wire whose tips are there, or will be well over it before the next work day."""
    before = sure_work_day(season, season.day) - timedelta(days=1)
    leaders = []
    for leader in growing:
        if leader.training == "pinched_at_wire" and not _is_seen_under(season, outlook, leader):
            limit_m = wire_or_plastic_m(season, leader)
            now_m, then_m = (_likely_m(outlook.stem(leader.id, day).tip_z_m) for day in (season.day, before))
            if now_m >= limit_m - AT_WIRE_M - 1e-9 or then_m >= limit_m + OVER_WIRE_M:
                leaders.append(leader)
    return leaders


def _asked_again_days(tip: Band, limit_m: float) -> int:
    return SEEN_UNDER_DAYS if tip.mid >= limit_m else SEEN_WELL_UNDER_DAYS


def _likely_m(tip: Band) -> float:
    """How high a tip may well stand: of one that is only guessed, one in five stands higher. Each is looked at
    before it comes out, and held where it is not there yet, as it would be anyway."""
    return tip.mid if tip.high - tip.low <= 2 * GUESSED_M else (tip.mid + tip.high) / 2


def _is_seen_under(season: Season, outlook: Outlook, leader: Leader) -> bool:
    """Where its tip is, is guessed, and nobody was on the walk that tells it, or its head was held since: a tip
    out too soon costs trusses."""
    tip = outlook.stem(leader.id, season.day).tip_z_m
    held_days, limit_m = (season.day - held_on(leader)).days, wire_or_plastic_m(season, leader)
    if tip.high - tip.low <= 2 * GUESSED_M:
        return held_days < 1
    since = season.day - timedelta(days=WALKED_DAYS)
    walked = any(done.answers[:2] == (PUT_RIGHT, leader.loop) and done.day >= since for done in season.done)
    # A walk that was ticked and told nothing is not asked for again for weeks: no tip may wait for it.
    return not (walked or nothing_noted(season, leader.loop)) or held_days < _asked_again_days(tip, limit_m)


def wire_or_plastic_m(season: Season, leader: Leader) -> float:
    tunnel, row = season.layout.rows[leader.row]
    return min(row.wire_height_m, tunnel.plastic_height_m or row.wire_height_m)


def _wire_reached(season: Season, outlook: Outlook, row: str, leaders: list[Leader], standing: Row) -> str:
    highest = max(leaders, key=lambda leader: (outlook.stem(leader.id, season.day).tip_z_m.mid, leader.name))
    over_m = outlook.stem(highest.id, season.day).tip_z_m.mid - standing.wire_height_m
    side = "over" if over_m > 0 else "under"
    where = "at the wire" if abs(over_m) < 0.005 else say("{} {} the wire", cm(abs(over_m)), side)
    came = say("{} of {} to be stopped at the wire came to it", many(len(leaders), "tip"), row)
    return say("{}: {} is {}.", came, highest.name, where)


def _tip_out(
    season: Season, outlook: Outlook, row: str, leaders: list[Leader], why: str, at_wire: list[Leader]
) -> Chore:
    seen = ONLY_THERE if at_wire else ""
    if 0 < len(at_wire) < len(leaders):
        seen += say(", {}", listed([leader.name for leader in at_wire]))
    return make_chore(
        TIP_OUT,
        row,
        at_row(season, row),
        when="early and dry",
        earliest=season.day,
        latest=season.day + timedelta(days=LATER_DAYS),
        proposal=say(
            "let it run, or take the tip out two leaves above the last {}: {}{}",
            season.crop_of(leaders[0]).bears[0],
            listed([leader.name for leader in leaders]),
            seen,
        ),
        why=why,
        pieces=tip_pieces(season, leaders),
        choices=[*tip_choices(leaders), *_wind_in(season, outlook, at_wire)],
    )


def _wind_in(season: Season, outlook: Outlook, at_wire: list[Leader]) -> list[TipAnswer]:
    """For tips that have not come to the wire yet."""
    if not at_wire:
        return []
    stems = [(x, outlook.stem(x.id, season.day)) for x in at_wire]
    writes = [(x.id, (x.place, head_hold(season, x, stem))) for x, stem in stems]
    return [("w", "still under the wire: hold its head, and ask again", writes)]


def tip_pieces(season: Season, leaders: Iterable[Leader]) -> list[PlannedPiece]:
    """A tip each, to be decided together or one by one."""
    minutes = minutes_for(season, TIP_OUT)
    return [
        PlannedPiece(x.id, at_head(season, x), minutes, (), (x.id,), say("tip of {}", x.name)) for x in leaders
    ]


TipAnswer = tuple[str, str, list[tuple[str, Written]]]
"""Letter, words, and the entries of each piece."""


def tip_choices(leaders: Iterable[Leader]) -> list[TipAnswer]:
    """Let it run, remembered to the end of the season, or take the tip out."""
    leaders = list(leaders)
    return [
        ("l", "let it run, to the end of the season", [(x.id, (x.place, LetItRun(x.id))) for x in leaders]),
        ("t", "take the tip out", [(x.id, (x.place, TipTakenOut(x.id))) for x in leaders]),
    ]


RULES = (ChoreRule(tip_out, (TIP_OUT,)),)
