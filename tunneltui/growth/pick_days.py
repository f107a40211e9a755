"""The next pick days of every cultivar and row, from modelled ripe trusses and the picks so far."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import dropwhile
from math import hypot

from msgspec import Struct

from tunneltui.growth.defaults import Traits
from tunneltui.growth.outlook import Band, PickOutlook
from tunneltui.growth.picks import (
    BLIND_SD,
    BLIND_SHARE,
    FLOW_HOLDS_DAYS,
    GOES_A_TRUSS,
    MEAN_FROM_DAYS,
    MEAN_SHARE,
    Flow,
    Learned,
    PickStretch,
    irregularity,
    learned,
    pick_band,
    pick_sd,
)
from tunneltui.journal.kinds_crop import Picked
from tunneltui.season.state import Leader, Pick, Season
from tunneltui.season.work_days import pick_weekdays

FIRST_STRETCH_DAYS = 14
"""What the first pick of a season finds ripe has ripened within so many days."""
UNNOTED_DAYS = 21
"""Nobody leaves the first ripe fruit hanging for so long (common practice, no source)."""

Scope = tuple[str, str]
"""(row, tunnel) that a pick was noted for; ('', '') is the whole house."""
Picks = tuple[Flow, Sequence[PickStretch]]
"""What was weighed of some stems, with the flow of their trusses."""


def pick_days(season: Season, days: int) -> tuple[date, ...]:
    """The pick days from today to ``days`` on."""
    weekdays = pick_weekdays(season)
    coming = (season.day + timedelta(days=ahead) for ahead in range(days + 1))
    return tuple(day for day in coming if day.weekday() in weekdays)


class CultivarYield(Struct, frozen=True):
    """What the weighed picks taught of one cultivar."""

    cultivar: str
    learned: Learned
    irregular: float
    """By the earlier forecasts of all cultivars."""
    blind: bool
    goes_a_truss: float
    """In how many a truss is picked."""

    def coming(self, flow: Flow, now: int, start: int, end: int) -> tuple[Band, float]:
        """Kg of what ripens in a stretch, seen from the day ``now``, and how many trusses that is taken to be."""
        trusses = max(0.0, flow.work(start, end, now))
        kg = self.learned.kg_per_truss * trusses
        near = min(end, now + FLOW_HOLDS_DAYS)
        if end - now > MEAN_FROM_DAYS and near > start and not self.blind:
            evenly = self.learned.mean_kg_per_truss * flow.per_day(now) * (near - start)
            later = self.learned.kg_per_truss * max(0.0, trusses - flow.work(start, near, now))
            kg = (1 - MEAN_SHARE) * kg + MEAN_SHARE * (evenly + later)
        sd = pick_sd(end - start, self.irregular)
        return pick_band(kg, hypot(sd, BLIND_SD) if self.blind else sd, trusses * self.goes_a_truss), trusses


def yields(past: Mapping[str, Sequence[Picks]], kinds: Mapping[str, Traits], now: int) -> dict[str, CultivarYield]:
    """By cultivar. ``past``: what was weighed of each."""
    goes = {key: min(GOES_A_TRUSS, max(1.0, kinds[key].fruits_per_truss)) for key in past}
    learned_yields = {
        key: learned(picks, now, _before_any_pick(kinds[key]), goes[key]) for key, picks in past.items()
    }
    irregular = irregularity(
        [error for cultivar_yield in learned_yields.values() for error in cultivar_yield.errors]
    )
    return {
        key: CultivarYield(key, learned_yields[key], irregular, not past[key], goes[key]) for key in learned_yields
    }


def _before_any_pick(kind: Traits) -> float:
    """Kg a truss is taken to give. What is picked at a size is of that size from the first."""
    return kind.truss_kg if kind.crop.picked_by_size else BLIND_SHARE * kind.truss_kg


def ripe_today(
    season: Season, ripe: Mapping[str, Sequence[float]], learned: Mapping[str, CultivarYield]
) -> tuple[PickOutlook, ...]:
    """What hangs ripe today, by cultivar and row."""
    return _foreseen(season, ripe, learned, (season.day,))


def pick_outlooks(
    season: Season, ripe: Mapping[str, Sequence[float]], learned: Mapping[str, CultivarYield], days: int
) -> tuple[PickOutlook, ...]:
    """What the coming pick days bring, by cultivar, row and day."""
    return _foreseen(season, ripe, learned, pick_days(season, days))


def _foreseen(
    season: Season,
    ripe: Mapping[str, Sequence[float]],
    learned: Mapping[str, CultivarYield],
    coming: Sequence[date],
) -> tuple[PickOutlook, ...]:
    standing: dict[tuple[str, str], list[Sequence[float]]] = defaultdict(list)
    for leader in season.leaders.values():
        standing[leader.cultivar, leader.row].append(ripe[leader.id])
    cleared = _cleared_on(season)
    unclean: dict[tuple[str, str], list[Pick]] = defaultdict(list)
    for pick in season.picks:
        if not pick.picked.clean:
            unclean[pick.picked.cultivar, pick.row].append(pick)
    return tuple(
        outlook
        for (cultivar, row), trusses in sorted(standing.items())
        for outlook in _of_row(
            season.day.toordinal(),
            learned[cultivar],
            row,
            Flow(trusses),
            cleared[cultivar, row],
            coming,
            _taken_kg(season, cultivar, row, cleared[cultivar, row], unclean[cultivar, row]),
        )
    )


def _taken_kg(season: Season, cultivar: str, row: str, cleared: int | None, unclean: Sequence[Pick]) -> float:
    """Weighed off a row since it was last picked clean, by picks that left some."""
    planted = min(x.planted_on for x in _standing(season, cultivar, (row, ""))).toordinal()
    since = planted if cleared is None else cleared + 1
    return sum(pick.picked.kg or 0.0 for pick in unclean if pick.day.toordinal() >= since)


def _of_row(
    now: int,
    learned: CultivarYield,
    row: str,
    flow: Flow,
    cleared: int | None,
    coming: Sequence[date],
    taken_kg: float,
) -> Iterator[PickOutlook]:
    start = _hanging_since(flow, now) if cleared is None else cleared
    if start is None:
        return
    for day in coming:
        end = day.toordinal()
        if end > start:
            band, trusses = learned.coming(flow, now, start, end)
            # What was picked already is off the first stretch, a likely share of its trusses with it.
            left = max(0.0, 1 - taken_kg / band.mid) if taken_kg and band.mid > 0 else 1.0
            kg = Band(*(max(0.0, kg - taken_kg) for kg in (band.low, band.mid, band.high)))
            yield PickOutlook(learned.cultivar, row, day, kg, trusses * left, learned.blind)
            start, taken_kg = end, 0.0


def pick_until(
    season: Season, ripe: Mapping[str, Sequence[float]], learned: CultivarYield, scope: Scope, end: int
) -> Band:
    """All that will be picked of a cultivar in a scope from today, its last pick day, to the day ``end``."""
    flow = _flow(season, learned.cultivar, scope, ripe)
    now = season.day.toordinal()
    return learned.coming(flow, now, now, end)[0]


def _flow(season: Season, cultivar: str, scope: Scope, ripe: Mapping[str, Sequence[float]]) -> Flow:
    return Flow([ripe[leader.id] for leader in _standing(season, cultivar, scope)])


def _standing(season: Season, cultivar: str, scope: Scope) -> list[Leader]:
    row, tunnel = scope
    leaders = season.leaders_of_row(row) if row else season.leaders.values()
    in_scope = (x for x in leaders if row or not tunnel or season.layout.rows[x.row][0].key == tunnel)
    return [leader for leader in in_scope if leader.cultivar == cultivar]


def weighed_picks(season: Season, cultivar: str, ripe: Mapping[str, Sequence[float]]) -> list[Picks]:
    """Weighed picks of the stems that stand, by what they were noted for: a row, a tunnel or the house.

    What was picked before these were planted came from others.
    """
    picks: dict[Scope, list[Pick]] = defaultdict(list)
    for pick in season.picks:
        if pick.picked.cultivar == cultivar and not pick.picked.leader and pick.day <= season.day:
            picks[pick.row, pick.tunnel].append(pick)
    past: list[Picks] = []
    for scope in sorted(picks):
        since = min((x.planted_on for x in _standing(season, cultivar, scope)), default=date.max)
        clean_kg = clean_picks(pick for pick in picks[scope] if pick.day >= since)
        flow = _flow(season, cultivar, scope, ripe)
        stretches = _stretches(flow, clean_kg, len(pick_weekdays(season)))
        # Picks that found nothing before the first fruit say when it comes, not how heavy it is.
        stretches = list(dropwhile(lambda stretch: stretch.kg == 0, stretches))
        if stretches:
            past.append((flow, stretches))
    return past


def clean_picks(picks: Iterable[Pick]) -> dict[int, float | None]:
    """Kilograms by the day, an ordinal, on which ripe fruit was picked clean, in order; None where not weighed.

    What a pick left is weighed with the next. After a fortnight of such picks none is taken to be left.
    """
    by_day: dict[int, list[Picked]] = defaultdict(list)
    for pick in picks:
        by_day[pick.day.toordinal()].append(pick.picked)
    clean_kg: dict[int, float | None] = {}
    kg, last = 0.0, min(by_day, default=0)
    for day, picked in sorted(by_day.items()):
        weights = [body.kg for body in picked if body.kg is not None]
        kg += sum(weights)
        if any(body.clean for body in picked) or day - last > FIRST_STRETCH_DAYS:
            clean_kg[day] = kg if weights else None
            kg, last = 0.0, day
    return clean_kg


def _stretches(flow: Flow, clean_kg: Mapping[int, float | None], picks_a_week: int) -> list[PickStretch]:
    """Weighed clean picks with the clean pick before each, weighed or not.

    Fruit that has been ripe for weeks was picked before anything was noted, a season that is begun in its
    middle: what the first pick noted found had ripened since the pick day before, and once there is another it is
    left out.
    """
    cleared = list(clean_kg)
    unknown = bool(cleared) and flow.first is not None and flow.first < cleared[0] - UNNOTED_DAYS
    stretches = []
    for at, (day, kg) in enumerate(clean_kg.items()):
        if kg is None:
            continue
        first = day - round(7 / picks_a_week) if unknown else _first_start(flow, day)
        start = cleared[at - 1] if at else first
        none_before = all(clean_kg[before] == 0 for before in cleared[:at])
        stretches.append(PickStretch(start, day, kg, first=none_before and not unknown))
    guessed = unknown and stretches and stretches[0].end == cleared[0]
    return stretches[1:] if guessed and len(stretches) > 1 else stretches


def _first_start(flow: Flow, day: int) -> int:
    first = flow.first
    return (
        day - FIRST_STRETCH_DAYS if first is None else min(day - 1, max(day - FIRST_STRETCH_DAYS, int(first) - 1))
    )


def _cleared_on(season: Season) -> dict[tuple[str, str], int | None]:
    """Last day on which a cultivar's ripe fruit was picked clean, by cultivar and row; None: never since it was
    planted."""
    last: dict[tuple[str, str, str], int] = {}
    for pick in season.picks:
        if pick.picked.clean and not pick.picked.leader:
            scope = (pick.picked.cultivar, pick.row, "" if pick.row else pick.tunnel)
            last[scope] = max(pick.day.toordinal(), last.get(scope, 0))
    planted: dict[tuple[str, str], int] = {}
    for leader in season.leaders.values():
        key, on = (leader.cultivar, leader.row), leader.planted_on.toordinal()
        planted[key] = min(on, planted.get(key, on))
    cleared: dict[tuple[str, str], int | None] = {}
    for cultivar, row in planted:
        tunnel = season.layout.rows[row][0].key
        scopes = ((cultivar, row, ""), (cultivar, "", tunnel), (cultivar, "", ""))
        day = max((last[scope] for scope in scopes if scope in last), default=0)
        cleared[cultivar, row] = day if day >= planted[cultivar, row] else None
    return cleared


def _hanging_since(flow: Flow, now: int) -> int | None:
    """From which day on what is ripe now has hung, where nothing was picked; None: nothing ripens."""
    if flow.first is None or flow.first == float("inf"):
        return None
    return max(int(flow.first) - 1, now - FIRST_STRETCH_DAYS)
