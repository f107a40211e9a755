"""The next pick days of every cultivar and row, from modelled ripe trusses and the picks so far."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import hypot

from tunneltui.growth.defaults import Traits
from tunneltui.growth.outlook import Band, PickOutlook
from tunneltui.growth.picks import BLIND_SD, Flow, Stretch, past_errors, pick_band, pick_sd, yield_factor
from tunneltui.holding.model import WEEKDAYS
from tunneltui.season.state import Leader, Season

FIRST_STRETCH_DAYS = 14
"""What the first pick of a season finds ripe has ripened within so many days."""

Scope = tuple[str, str]
"""(row, tunnel) that a pick was said of; ('', '') is the whole house."""


def pick_days(season: Season, days: int) -> tuple[date, ...]:
    """The holding's pick days from today to ``days`` on."""
    coming = (season.day + timedelta(days=ahead) for ahead in range(days + 1))
    return tuple(day for day in coming if WEEKDAYS[day.weekday()] in season.holding.work.pick_days)


def pick_outlooks(
    season: Season, ripe: Mapping[str, Sequence[float]], kinds: Mapping[str, Traits], days: int
) -> tuple[PickOutlook, ...]:
    """What the coming pick days bring, by cultivar, row and day. ``ripe``: by leader, when its trusses ripen."""
    outlooks: list[PickOutlook] = []
    by_cultivar: dict[str, list[Leader]] = defaultdict(list)
    for leader in season.leaders.values():
        by_cultivar[leader.cultivar].append(leader)
    coming = pick_days(season, days)
    for cultivar in sorted(by_cultivar):
        outlooks += _of_cultivar(season, cultivar, by_cultivar[cultivar], ripe, kinds[cultivar], coming)
    return tuple(outlooks)


@dataclass(frozen=True, slots=True, eq=False)
class _Past:
    """Picks of one scope."""

    flow: Flow
    stretches: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class _Learned:
    """What a cultivar's weighed picks taught."""

    kg_per_truss: float
    errors: tuple[tuple[float, float], ...]
    blind: bool

    def band(self, trusses: float, days: int) -> Band:
        sd = pick_sd(days, self.errors)
        return pick_band(self.kg_per_truss * trusses, hypot(sd, BLIND_SD) if self.blind else sd)


def _learned(
    season: Season, cultivar: str, leaders: Sequence[Leader], ripe: Mapping[str, Sequence[float]], kind: Traits
) -> _Learned:
    past = [_past(season, cultivar, scope, leaders, ripe) for scope in _scopes(season, cultivar)]
    weighed = [(p.flow, p.stretches) for p in past if p.stretches]
    factor = yield_factor(weighed, season.day.toordinal(), kind.truss_kg)
    errors = [e for flow, stretches in weighed for e in past_errors(flow, stretches, kind.truss_kg)]
    return _Learned(factor, tuple(errors), not weighed)


def pick_until(
    season: Season,
    ripe: Mapping[str, Sequence[float]],
    kinds: Mapping[str, Traits],
    cultivar: str,
    scope: Scope,
    end: int,
) -> Band:
    """All that will be picked in a scope from today, its last pick day, to the day ``end``."""
    leaders = [leader for leader in season.leaders.values() if leader.cultivar == cultivar]
    flow = Flow([ripe[leader.id] for leader in leaders if _covers(season, scope, leader.row)])
    now = season.day.toordinal()
    return _learned(season, cultivar, leaders, ripe, kinds[cultivar]).band(
        max(0.0, flow.work(now, end, now)), end - now
    )


def _of_cultivar(
    season: Season,
    cultivar: str,
    leaders: Sequence[Leader],
    ripe: Mapping[str, Sequence[float]],
    kind: Traits,
    coming: Sequence[date],
) -> list[PickOutlook]:
    now = season.day.toordinal()
    learned = _learned(season, cultivar, leaders, ripe, kind)
    outlooks = []
    by_row: dict[str, list[Sequence[float]]] = defaultdict(list)
    for leader in leaders:
        by_row[leader.row].append(ripe[leader.id])
    for row, trusses_of_row in sorted(by_row.items()):
        flow = Flow(trusses_of_row)
        start = _cleared(season, cultivar, row, flow)
        if start is None:
            continue
        for day in coming:
            end = day.toordinal()
            if end <= start:
                continue
            trusses = max(0.0, flow.work(start, end, now))
            band = learned.band(trusses, end - start)
            outlooks.append(PickOutlook(cultivar, row, day, band, trusses, learned.blind))
            start = end
    return outlooks


def _scopes(season: Season, cultivar: str) -> list[Scope]:
    return sorted(
        {(p.row, p.tunnel) for p in season.picks if p.picked.cultivar == cultivar and not p.picked.leader}
    )


def _past(
    season: Season, cultivar: str, scope: Scope, leaders: Sequence[Leader], ripe: Mapping[str, Sequence[float]]
) -> _Past:
    flow = Flow([ripe[leader.id] for leader in leaders if _covers(season, scope, leader.row)])
    kg: dict[int, float] = defaultdict(float)
    cleared: set[int] = set()
    for pick in season.picks:
        if pick.picked.cultivar != cultivar or pick.picked.leader or pick.day > season.day:
            continue
        if (pick.row, pick.tunnel) == scope:
            cleared.add(pick.day.toordinal())
            if pick.picked.kg is not None:
                kg[pick.day.toordinal()] += pick.picked.kg
    return _Past(flow, tuple(_stretches(flow, sorted(cleared), kg)))


def _stretches(flow: Flow, cleared: Sequence[int], kg: Mapping[int, float]) -> list[Stretch]:
    """Weighed picks with the pick before each, weighed or not."""
    stretches = []
    for at, day in enumerate(cleared):
        if day not in kg:
            continue
        start = cleared[at - 1] if at else _first_start(flow, day)
        stretches.append(Stretch(start, day, kg[day]))
    return stretches


def _first_start(flow: Flow, day: int) -> int:
    first = flow.first
    return (
        day - FIRST_STRETCH_DAYS if first is None else min(day - 1, max(day - FIRST_STRETCH_DAYS, int(first) - 1))
    )


def _covers(season: Season, scope: Scope, row: str) -> bool:
    said_row, tunnel = scope
    if said_row:
        return said_row == row
    return not tunnel or season.layout.rows[row][0].key == tunnel


def _cleared(season: Season, cultivar: str, row: str, flow: Flow) -> int | None:
    """Last day on which the row's ripe fruit was picked, or from which it has hung; None: nothing ripens."""
    picked = [
        p.day.toordinal()
        for p in season.picks
        if p.picked.cultivar == cultivar and p.picked.clean and not p.picked.leader
        if _covers(season, (p.row, p.tunnel), row)
    ]
    if picked:
        return max(picked)
    if flow.first is None or flow.first == float("inf"):
        return None
    return max(int(flow.first) - 1, season.day.toordinal() - FIRST_STRETCH_DAYS)
