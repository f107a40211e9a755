"""Raising, tray by tray, and planting out once soil is warm and the first truss shows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.care.covers import nights_words
from tunneltui.cells import cm, degc, listed, many, say
from tunneltui.chores.batches import HARDEN_AT_DAYS, HARDENED_IN_DAYS, POT_ON_AFTER_DAYS, UP_AFTER_DAYS
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import THE_HOUSE, PlannedPiece, Where, at_row, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.chores.trusses import week_mean_c
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_standing import Germinated, Hardened, Planted, PottedOn
from tunneltui.loads.result import Loads
from tunneltui.season.adopted import adopted_plan
from tunneltui.season.state import Season

RAISE = ChoreKind("raise", "raising", "house", "tap", worth=0.3, minutes=10.0)
PLANT_OUT = ChoreKind("plant_out", "plant out", "row", "plants", worth=0.3, minutes=3.0)
WARM_ENOUGH_C = 12.0
"""Below this mean there is no growth (Criddle 1997 in Vanthoor 2011)."""
LEGGY_AT_DAYS = 56
"""Plants go out at five to eight weeks (agronomy.md 10.2); those that wait longer grow leggy."""
SPACED_DAYS = 10
"""What waits is set apart anew after so many days (common practice, no source)."""
LEGGY_BURIED_M = 0.15
"""A leggy plant is set so much deeper: its stem roots where it is buried (common practice, no source)."""
_SPACE = (
    "set them apart, leaves clear of each other, cool and bright, each to a cane, in a bigger pot if roots show"
)
OF_THIS_SEASON_DAYS = 90
"""Trays sown longer ago than this are no longer waited for."""


class _Tray(Struct, frozen=True):
    tray: str
    cultivar: str
    sown_on: date
    plants: int
    """As counted last: seeds, seedlings or pots."""
    germinated_on: date | None
    potted_on: date | None
    hardened_on: date | None


def _trays(season: Season) -> list[_Tray]:
    """Trays sown this season that a place waits for, with the last that was done to each since it was sown."""
    trays = {body.tray: (day, body) for day, _, body in season.sowings}
    raised = []
    for name, (sown_on, sown) in trays.items():
        up = [(d, b.count) for d, _, b in season.germinations if b.tray == name and d >= sown_on]
        potted = [(d, b.count) for d, _, b in season.pottings if b.tray == name and d >= sown_on]
        hardened = [d for d, _, b in season.hardenings if b.tray == name and d >= sown_on]
        counted = [*up, *potted]
        raised.append(
            _Tray(
                name,
                sown.cultivar,
                sown_on,
                counted[-1][1] if counted else sown.seeds,
                up[-1][0] if up else None,
                potted[-1][0] if potted else None,
                hardened[-1] if hardened else None,
            )
        )
    waited_for = {season.layout.places[name].place.cultivar for name in _empty_places(season)}
    coming = adopted_plan(season)
    if coming is not None:
        waited_for |= set(coming[1].cultivars) - {""}
    return [
        tray
        for tray in raised
        if tray.cultivar in waited_for and (season.day - tray.sown_on).days <= OF_THIS_SEASON_DAYS
    ]


def _empty_places(season: Season) -> list[str]:
    taken = {leader.place for leader in season.leaders.values()}
    return [name for name in season.layout.places if name not in taken]


def raising(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """The next chore of every tray."""
    needed = {season.layout.places[name].place.cultivar for name in _empty_places(season)}
    for tray in _trays(season):
        old = (season.day - tray.sown_on).days
        if tray.hardened_on is not None and tray.plants > 0:
            touched = max(tray.potted_on or tray.hardened_on, tray.hardened_on)
            waits = tray.cultivar in needed and _left(season, tray) > 0
            if waits and old >= LEGGY_AT_DAYS and (season.day - touched).days >= SPACED_DAYS:
                yield _raise(season, tray, _SPACE, old, PottedOn)
        if tray.plants <= 0 or tray.hardened_on:
            continue
        if tray.germinated_on is None:
            if old >= UP_AFTER_DAYS:
                yield _raise(
                    season, tray, "count what came up, all of it unless you say otherwise", old, Germinated
                )
        elif tray.potted_on is None:
            if (season.day - tray.germinated_on).days >= POT_ON_AFTER_DAYS:
                yield _raise(season, tray, say("pot on {}", many(tray.plants, "seedling")), old, PottedOn)
        elif old >= HARDEN_AT_DAYS:
            yield _raise(season, tray, say("put {} out by day to harden", many(tray.plants, "plant")), old, None)


def _raise(
    season: Season, tray: _Tray, proposal: str, old: int, body: type[Germinated] | type[PottedOn] | None
) -> Chore:
    writes: Body = body(tray.tray, tray.plants) if body else Hardened(tray.tray)
    return make_chore(
        RAISE,
        tray.tray,
        THE_HOUSE,
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=3),
        proposal=say("tray {}: {}", tray.tray, proposal),
        why=say(
            "Sown {} ago, {} {}.{}",
            many(old, "day"),
            tray.plants,
            tray.cultivar,
            say(" {}", nights_words(season)) if body is None else "",
        ),
        pieces=whole(THE_HOUSE, minutes_for(season, RAISE), ("", writes)),
    )


def plant_out(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Empty places of a cultivar whose tray is hardened, or that is to be bought, row by row, in a tunnel that is
    warm enough."""
    empty = _empty_places(season)
    for tray in _trays(season):
        if tray.hardened_on is None or (season.day - tray.hardened_on).days < HARDENED_IN_DAYS:
            continue
        by_row: dict[str, list[str]] = defaultdict(list)
        for name in [n for n in empty if season.layout.places[n].place.cultivar == tray.cultivar][
            : _left(season, tray)
        ]:
            by_row[season.layout.places[name].row_id].append(name)
            empty.remove(name)
        days = (season.day - tray.sown_on).days
        old = say("Tray {} is {} old and hardened", tray.tray, many(days, "day"))
        for row, places in by_row.items():
            yield from _plant_out(
                season, row, places, tray.cultivar, tray.tray, old, LEGGY_BURIED_M if days > LEGGY_AT_DAYS else 0.0
            )
    yield from _bought(season, empty)


def _bought(season: Season, empty: list[str]) -> Iterator[Chore]:
    """From an adopted plan's planting day on: places of a cultivar that was never sown for it."""
    taken = adopted_plan(season)
    if taken is None or season.day < taken[1].plant:
        return
    on, plan = taken
    sown = {x.cultivar for day, _, x in season.sowings if (season.day - day).days <= OF_THIS_SEASON_DAYS}
    by_row: dict[tuple[str, str], list[str]] = defaultdict(list)
    for name in empty:
        standing = season.layout.places[name]
        if standing.place.cultivar in set(plan.cultivars) - sown - {""}:
            by_row[standing.row_id, standing.place.cultivar].append(name)
    for (row, cultivar), places in by_row.items():
        why = say(
            "Plan {}, adopted on {}, plants on {}, and none were sown",
            plan.name,
            on,
            plan.plant,
        )
        yield from _plant_out(season, row, places, cultivar, "", why)


def _left(season: Season, tray: _Tray) -> int:
    """Plants of a tray not planted yet; ``planted`` need not name it, so its cultivar since it hardened counts."""
    since = tray.hardened_on or tray.sown_on
    planted = {x.plant for x in season.leaders.values() if x.cultivar == tray.cultivar and x.planted_on >= since}
    return max(0, tray.plants - len(planted))


def _plant_out(
    season: Season, row: str, places: list[str], cultivar: str, tray: str, why: str, buried_m: float = 0.0
) -> Iterator[Chore]:
    """``tray`` '': plants that were bought. Nothing where the last week was too cold."""
    week_c = week_mean_c(season, season.layout.rows[row][0].key)
    if week_c is not None and week_c < WARM_ENOUGH_C:
        return
    warm = (
        say("the last week was {}", degc(week_c)) if week_c is not None else "no air is read: feel the soil first"
    )
    what = (
        say("{} of tray {}", many(len(places), "plant"), tray)
        if tray
        else say("{} bought {}", len(places), cultivar)
    )
    laid = say("laid slanting, {} of their long stem in the soil", cm(buried_m))
    yield make_chore(
        PLANT_OUT,
        f"{row} {tray or cultivar}",
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=7),
        proposal=say(
            "plant {} on {}, {}, {}: {}",
            what,
            row,
            laid if buried_m else "as deep as they stood in the pot",
            season.crop(cultivar).ready_to_plant,
            _from_to(places),
        ),
        why=say("{}; {}.", why, warm),
        pieces=[_planting(season, place, cultivar, tray, buried_m) for place in places],
    )


def _from_to(places: list[str]) -> str:
    """Places by name, those one after the other as a stretch."""
    numbers = [int(digits) if (digits := place.rpartition("-")[2]).isdigit() else None for place in places]
    parts: list[list[str]] = []
    for at, place in enumerate(places):
        number, before = numbers[at], numbers[at - 1] if at else None
        if parts and number is not None and before is not None and number == before + 1:
            parts[-1] = [parts[-1][0], place]
        else:
            parts.append([place])
    return listed([" to ".join(part) for part in parts])


def _planting(season: Season, place: str, cultivar: str, tray: str, buried_m: float) -> PlannedPiece:
    standing = season.layout.places[place]
    where = Where(standing.row_id, standing.place.x_m, standing.u_m, place)
    writes = (place, Planted(cultivar, standing.place.leaders, tray, buried_m))
    return PlannedPiece(
        place, where, minutes_for(season, PLANT_OUT), (writes,), (), say("{} at {}", cultivar, place)
    )


RULES = (
    ChoreRule(raising, (RAISE,)),
    ChoreRule(plant_out, (PLANT_OUT,)),
)
