"""The shape of a day, as facts: what comes first, what is picked, carried, decided, left, and when."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from math import hypot
from typing import NamedTuple

from tunneltui.care import feed
from tunneltui.care.heat_hours import day_heat
from tunneltui.care.stores import stores
from tunneltui.chores.chore import Chore, DayAhead, Piece, Round, WorkOfAKind
from tunneltui.chores.feeding import bearing
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.passes import Pass, passes
from tunneltui.growth.outlook import Outlook, PickOutlook
from tunneltui.journal.body import parsed
from tunneltui.season.state import Season

CUTS = frozenset({"deleaf", "side_shoot", "tip_out", "weak_plant", "truss_prune", "scout", "strip_green"})
"""Kinds for which a knife is carried, and something to wipe it with."""


class Urgent(NamedTuple):
    """Musts of one kind; those that hang on one thing are listed together."""

    kind: str
    times: int
    days_ago: int | None
    """When all of them let go, where they did on one day."""
    places: tuple[str, ...]
    """In walking order, one for each; a row or tunnel where it is all along it."""
    strings: tuple[int, ...]
    """The string of each, in the same order; none where they are on none."""
    minutes: float
    chores: tuple[str, ...]
    """Ids."""


class PickOfDay(NamedTuple):
    minutes: float
    likely_kg: float
    least_kg: float
    """Nineteen days of twenty bring more: rows err apart from each other (assumed)."""
    by_fruit: tuple[tuple[str, float], ...]
    """Fruit kind and kilograms likely, the most first."""
    blind: int
    """Rows of which no pick was weighed yet."""
    most_kg: float
    """To bring crates for: what is likely, and of rows never weighed the most it may be."""


class Carry(NamedTuple):
    """What the day's entries take out of the store and bring back, if all is done as proposed."""

    clips: Mapping[str, int]
    """By kind, for the work by day."""
    evening_clips: Mapping[str, int]
    """For the work overhead."""
    come_off: int
    hooks: int
    cans: Mapping[str, tuple[int, int]]
    """Of made-up feed, from and to, by tunnel."""
    short: Mapping[str, int]
    """Clips there are of a kind that is needed, where those are too few."""
    knife: bool
    kg: float
    never_weighed: bool
    """Some of it comes from rows of which no pick was weighed yet."""


class Overhead(NamedTuple):
    loop: str
    heads: int
    minutes: float
    until_hour: int | None
    """By day it should be done by then, for the heat."""


class Decision(NamedTuple):
    kind: str
    about: str
    times: int
    why: str
    chore: str


class DayCard(NamedTuple):
    day: date
    minutes: float
    minutes_there: float
    first: tuple[Urgent, ...]
    rows_looked_along: int
    pick: PickOfDay | None
    carry: Carry
    overhead: tuple[Overhead, ...]
    decisions: tuple[Decision, ...]
    not_today: tuple[WorkOfAKind, ...]
    """What is due and there is no room for, today or in the week."""
    passes: tuple[Pass, ...]
    week: tuple[DayAhead, ...]
    """Today first."""
    week_kg: Mapping[date, float]
    """Likely on the pick days to come."""


def day_card(season: Season, outlook: Outlook, walk: Round) -> DayCard:
    """The round's day, and the week if each day's work is done."""
    walk_passes = passes(season, walk)
    chores = [chore for spot in walk.spots for chore in spot.chores]
    pick = _pick(season, outlook, chores)
    return DayCard(
        walk.day,
        walk.minutes_planned,
        walk.minutes_there,
        tuple(_urgent(season, walk_passes, walk.day)),
        sum(1 for chore in chores if chore.kind == "look"),
        pick,
        _carry(season, outlook, chores, pick),
        tuple(_overhead(season, chores)),
        tuple(_decisions(chores)),
        (*walk.waits, *walk.gives),
        walk_passes,
        walk.week,
        _week_kg(outlook),
    )


def _urgent(season: Season, walk_passes: Iterable[Pass], day: date) -> Iterable[Urgent]:
    """Musts but for the looking along rows, in the order in which kinds are done."""
    pieces: dict[str, list[tuple[str, Chore, Piece]]] = defaultdict(list)
    for laid in walk_passes:
        for place in laid.places:
            for chore in place.chores:
                if chore.must and chore.kind != "look":
                    pieces[chore.kind] += [(place.name, chore, piece) for piece in chore.pieces]
    urgent_lines = []
    for kind in sorted(pieces, key=list(KINDS).index):
        together = pieces[kind]
        strings = tuple(number for _, _, piece in together if (number := _string(season, piece)) is not None)
        urgent = Urgent(
            kind,
            len(together),
            _let_go(season, together, day),
            tuple(place for place, _, _ in together),
            strings if len(strings) == len(together) else (),
            sum(piece.minutes for _, _, piece in together),
            tuple(dict.fromkeys(chore.id for _, chore, _ in together)),
        )
        urgent_lines.append(urgent)
    # What hangs on too little before what is to be looked for.
    return sorted(urgent_lines, key=lambda line: not line.strings)


def _string(season: Season, piece: Piece) -> int | None:
    for draft in piece.writes:
        string = (
            season.strings.get(str(parsed(draft).get("string", ""))) if draft.kind in ("clipped", "tied") else None
        )
        if string is not None:
            return string.number
    return None


def _let_go(season: Season, together: Iterable[tuple[str, Chore, Piece]], day: date) -> int | None:
    days = set()
    for _, chore, piece in together:
        if chore.kind != "repair":
            return None
        ends = [
            ending.day
            for leader in piece.leaders
            if leader in season.leaders
            for ending in season.leaders[leader].endings
            if not ending.made_good and ending.how is not None
        ]
        days.add(max(ends, default=None))
    since = days.pop() if len(days) == 1 else None
    return (day - since).days if since is not None else None


def _pick(season: Season, outlook: Outlook, chores: Iterable[Chore]) -> PickOfDay | None:
    picks = {chore.about: chore for chore in chores if chore.kind == "pick"}
    if not picks:
        return None
    likely: dict[str, float] = defaultdict(float)
    downwards, blind, blind_kg = 0.0, 0, 0.0
    by_cultivar: dict[str, PickOutlook] = {}
    for coming in (*outlook.picks, *outlook.ripe_today):
        if coming.day == season.day:
            by_cultivar.setdefault(f"{coming.row} {coming.cultivar}", coming)
    fruits = {cultivar.key: cultivar.fruit for cultivar in season.holding.cultivars}
    for about in picks:
        forecast = by_cultivar.get(about)
        if forecast is None or forecast.blind:
            blind += 1
            blind_kg = hypot(blind_kg, forecast.kg.high if forecast is not None else 0.0)
            continue
        likely[fruits.get(forecast.cultivar, forecast.cultivar)] += forecast.kg.mid
        downwards = hypot(downwards, forecast.kg.mid - forecast.kg.low)
    total = sum(likely.values())
    return PickOfDay(
        sum(chore.minutes for chore in picks.values()),
        total,
        max(0.0, total - downwards),
        tuple(sorted(likely.items(), key=lambda cultivar_kg: (-cultivar_kg[1], cultivar_kg[0]))),
        blind,
        total + blind_kg,
    )


def _carry(season: Season, outlook: Outlook, chores: Iterable[Chore], pick: PickOfDay | None) -> Carry:
    by_day, evening = Counter[str](), Counter[str]()
    come_off = hooks = 0
    cans: dict[str, tuple[int, int]] = {}
    knife = False
    for chore in chores:
        overhead = KINDS[chore.kind].walk == "overhead"
        knife |= chore.kind in CUTS
        if chore.kind == "feed":
            cans[chore.about] = feed.cans(len({x.plant for x in bearing(season, outlook, chore.about)}))
        for draft in chore.writes:
            body = parsed(draft)
            if draft.kind == "clipped":
                (evening if overhead else by_day)[str(body.get("clip_kind", ""))] += 1
            elif draft.kind == "unclipped":
                come_off += 1
            elif draft.kind == "hung":
                hooks += 1
    in_store = {
        store.kind: int(store.known_stock)
        for store in stores(season)
        if store.item == "clip" and store.known_stock is not None
    }
    needed = by_day + evening
    short = {kind: in_store[kind] for kind, count in needed.items() if count > in_store.get(kind, count)}
    kg, likely_kg = (pick.most_kg, pick.likely_kg) if pick is not None else (0.0, 0.0)
    return Carry(by_day, evening, come_off, hooks, cans, short, knife, kg, kg > likely_kg)


def _overhead(season: Season, chores: Iterable[Chore]) -> Iterable[Overhead]:
    for chore in chores:
        if chore.kind == "lower":
            tunnel = season.layout.rows[chore.row][0].key if chore.row in season.layout.rows else ""
            heat = day_heat(season, tunnel, season.day) if tunnel and chore.overhead else None
            yield Overhead(
                chore.about, len(chore.pieces), chore.minutes, heat.done_by if heat is not None else None
            )


def _decisions(chores: Iterable[Chore]) -> Iterable[Decision]:
    for chore in chores:
        if chore.choices:
            yield Decision(chore.kind, chore.about, len(chore.pieces), chore.why, chore.id)


def _week_kg(outlook: Outlook) -> dict[date, float]:
    week_kg: dict[date, float] = defaultdict(float)
    for pick in outlook.picks:
        if not pick.blind:
            week_kg[pick.day] += pick.kg.mid
    return dict(week_kg)
