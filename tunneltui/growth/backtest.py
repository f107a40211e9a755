"""How good the forecasts were: each made anew as of an earlier day, knowing only entries dated by then.

What then happened is held against the forecast and against persistence, the last interval's daily rate carried
on. An outcome counts for 1 day ahead if it is exactly that, for 7 if 5 to 9, for 14 if 11 to 17 days on. With
weekly visits 1 and 7 days ahead rest on the same reading and differ only by what is known of the weather. Readings
scatter: with white noise nothing can gain more than 29 % on persistence unless it foresees a trend.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import pairwise
from math import hypot
from typing import Literal

from msgspec import Struct

from tunneltui.growth.evidence import Evidence, Growth, evidence_of
from tunneltui.growth.forecast import Basis, basis_of
from tunneltui.growth.groups import WIDE, growth_over
from tunneltui.growth.leader import HeadOn, LeaderBasis, head_on
from tunneltui.growth.outlook import Band
from tunneltui.growth.pick_days import Scope, clean_picks, pick_until
from tunneltui.growth.stems import READING_CM2
from tunneltui.growth.truss_states import COUNT_TRUSS2, as_counted
from tunneltui.growth.trusses import MEAN_COUNT_SD
from tunneltui.journal.entry import Entry
from tunneltui.memo import Stages
from tunneltui.season.fold import fold, fold_days
from tunneltui.season.state import Pick, Season

What = Literal["stem", "truss", "picks"]
WHATS: tuple[What, ...] = ("stem", "truss", "picks")
WINDOWS: dict[int, range] = {1: range(1, 2), 7: range(5, 10), 14: range(11, 18)}
LONGEST = 17


class Score(Struct, frozen=True):
    """Forecasts of one horizon, in m, trusses or kg; None where nothing was to be scored."""

    days: int
    n: int
    mae: float | None
    mae_persistence: float | None
    inside_90: float | None
    """Share of outcomes inside the 90 % interval."""
    width: float | None
    """Mean width of that interval."""
    bias: float | None = None
    """Mean of what was foreseen less what came. Shown, never taken off: that cost accuracy on open crops."""


class Backtest(Struct, frozen=True):
    what: What
    cultivar: str
    """'' is all of them together."""
    horizons: tuple[Score, ...]


class Backtests(Struct, frozen=True):
    day: date
    backtests: tuple[Backtest, ...]
    """First of all cultivars, then of each; stem, truss and picks in that order."""


class Outcome(Struct, frozen=True):
    """Something that happened, and from when it is to be foreseen."""

    what: What
    cultivar: str
    horizon: int
    origin: date
    on: date
    about: str
    """Leader's id, or ''."""
    scope: Scope
    seen: str
    actual: float
    persistence: float
    reading_sd: float


class Scored(Struct, frozen=True):
    """A forecast held against its outcome, in the outcome's unit."""

    outcome: Outcome
    error: float
    inside: bool
    width: float


def backtest(entries: Sequence[Entry], day: date, season: Season | None = None) -> Backtests:
    """Score every forecast that could have been made up to ``day`` and whose outcome is known by then.

    ``season`` is that of the day, where it is at hand.
    """
    every = scored(entries, list(outcomes(season or fold(entries, day))))
    cultivars = sorted({score.outcome.cultivar for score in every})
    return Backtests(day, tuple(_gathered(every, what, key) for key in ["", *cultivars] for what in WHATS))


def scored(entries: Sequence[Entry], outcomes: Sequence[Outcome]) -> list[Scored]:
    """Each outcome held against the forecast of its origin, which knows entries dated by then only."""
    by_origin: dict[date, list[Outcome]] = defaultdict(list)
    for outcome in outcomes:
        by_origin[outcome.origin].append(outcome)
    scores: list[Scored] = []
    memo = None
    for season in fold_days(entries, sorted(by_origin)):
        stages = Stages(memo)
        scores += _score(season, basis_of(season, LONGEST, stages), by_origin[season.day])
        memo = stages.memo
    return scores


def _gathered(scores: Iterable[Scored], what: What, cultivar: str) -> Backtest:
    own = [score for score in scores if score.outcome.what == what and cultivar in ("", score.outcome.cultivar)]
    horizons = (_horizon(days, [score for score in own if score.outcome.horizon == days]) for days in WINDOWS)
    return Backtest(what, cultivar, tuple(horizons))


def _horizon(days: int, scores: Sequence[Scored]) -> Score:
    n = len(scores)
    if n == 0:
        return Score(days, 0, None, None, None, None)
    return Score(
        days,
        n,
        sum(abs(score.error) for score in scores) / n,
        sum(abs(score.outcome.persistence - score.outcome.actual) for score in scores) / n,
        sum(score.inside for score in scores) / n,
        sum(score.width for score in scores) / n,
        sum(score.error for score in scores) / n,
    )


def outcomes(season: Season) -> Iterator[Outcome]:
    """Everything that happened and can be held against a forecast."""
    for leader in season.leaders.values():
        evidence = evidence_of(leader, season.layout.rows[leader.row][1], season.crop_of(leader))
        yield from _stem_outcomes(evidence, leader.cultivar)
        yield from _truss_outcomes(evidence, leader.cultivar)
    yield from _pick_outcomes(season)


def _origins(days: Sequence[int], end: int) -> Iterator[tuple[int, int, int]]:
    """(horizon, origin, index of the last reading by then) for an outcome on the day ``end``.

    ``days`` are those read before it. A week or a fortnight ahead is foreseen on a day that was read, the one
    nearest to the horizon.
    """
    before = [at for at, day in enumerate(days) if day <= end - 1]
    if before:
        yield 1, end - 1, before[-1]
    for horizon in (7, 14):
        within = [at for at in before if end - days[at] in WINDOWS[horizon]]
        if within:
            at = min(within, key=lambda i: (abs(end - days[i] - horizon), i))
            yield horizon, days[at], at


def _stem_outcomes(evidence: Evidence, cultivar: str) -> Iterator[Outcome]:
    for chain in _chains(evidence.growths):
        days = [growth.end for growth in chain]
        for at, growth in enumerate(chain):
            for horizon, origin, last in _origins(days[:at], growth.end):
                base = chain[last]
                rate = base.grown.cm / (base.end - base.start)
                grown = sum(g.grown.cm for g in chain[last + 1 : at + 1])
                reading_sd = (max(READING_CM2, growth.grown.reading_cm2 / 2) / growth.grown.stems) ** 0.5
                yield Outcome(
                    "stem",
                    cultivar,
                    horizon,
                    date.fromordinal(origin),
                    date.fromordinal(growth.end),
                    evidence.leader,
                    ("", ""),
                    growth.seen,
                    (base.after_cm + grown) / 100,
                    (base.after_cm + rate * (growth.end - base.end)) / 100,
                    reading_sd / 100,
                )


def _chains(growths: Sequence[Growth]) -> Iterator[list[Growth]]:
    """Readings of one kind that follow each other without a break."""
    for seen in ("length", "tip"):
        chain: list[Growth] = []
        for growth in (g for g in growths if g.seen == seen):
            if chain and chain[-1].end != growth.start:
                yield chain
                chain = []
            chain.append(growth)
        if chain:
            yield chain


def _truss_outcomes(evidence: Evidence, cultivar: str) -> Iterator[Outcome]:
    counted = evidence.trusses
    for at in range(2, len(counted)):
        end, number = counted[at]
        seen = as_counted(number, evidence.stems)
        for horizon, origin, last in _origins([day for day, _ in counted[1:at]], end):
            (start, before), (count, latest) = counted[last], counted[last + 1]
            if count == start:
                continue
            persisted = latest + (latest - before) / (count - start) * (end - count)
            yield Outcome(
                "truss",
                cultivar,
                horizon,
                date.fromordinal(origin),
                date.fromordinal(end),
                evidence.leader,
                ("", ""),
                "number",
                seen,
                persisted + seen - number,
                hypot((COUNT_TRUSS2 / evidence.stems) ** 0.5, MEAN_COUNT_SD),
            )


def _pick_outcomes(season: Season) -> Iterator[Outcome]:
    picks: dict[tuple[str, Scope], list[Pick]] = defaultdict(list)
    for pick in season.picks:
        if not pick.picked.leader:
            picks[pick.picked.cultivar, (pick.row, pick.tunnel)].append(pick)
    for (cultivar, scope), of_scope in sorted(picks.items()):
        days = {day: kg for day, kg in clean_picks(of_scope).items() if kg is not None}
        order = sorted(days)
        for before, origin in pairwise(order):
            rate = days[origin] / (origin - before)
            for horizon, window in WINDOWS.items():
                # A window that ends sooner holds one pick or two by luck and flatters any smoothing forecast.
                ends = [day for day in order if day - origin in window and day - origin >= horizon - 1]
                if not ends:
                    continue
                end = ends[0]
                yield Outcome(
                    "picks",
                    cultivar,
                    horizon,
                    date.fromordinal(origin),
                    date.fromordinal(end),
                    "",
                    scope,
                    "kg",
                    sum(days[day] for day in order if origin < day <= end),
                    rate * (end - origin),
                    0.0,
                )


def _score(season: Season, basis: Basis, outcomes: Sequence[Outcome]) -> Iterator[Scored]:
    heads: dict[tuple[str, date], HeadOn] = {}
    for outcome in outcomes:
        foreseen = _foreseen(season, basis, heads, outcome)
        if foreseen is None:
            continue
        low = foreseen.mid - hypot(foreseen.mid - foreseen.low, WIDE * outcome.reading_sd)
        high = foreseen.mid + hypot(foreseen.high - foreseen.mid, WIDE * outcome.reading_sd)
        yield Scored(
            outcome,
            foreseen.mid - outcome.actual,
            low <= outcome.actual <= high,
            high - low,
        )


def _foreseen(
    season: Season, basis: Basis, heads: dict[tuple[str, date], HeadOn], outcome: Outcome
) -> Band | None:
    if outcome.what == "picks":
        if outcome.cultivar not in basis.traits:
            return None
        end = outcome.on.toordinal()
        return pick_until(season, basis.ripe, basis.yields[outcome.cultivar], outcome.scope, end)
    if outcome.about not in basis.leaders:
        return None
    stem_day = outcome.about, outcome.on
    if stem_day not in heads:
        heads[stem_day] = head_on(basis.leaders[outcome.about], outcome.on.toordinal())
    head = heads[stem_day]
    if outcome.what == "truss":
        reach = WIDE * head.flowering_sd
        return Band(head.flowering_truss - reach, head.flowering_truss, head.flowering_truss + reach)
    return head.tip_z_m if outcome.seen == "tip" else _since_read(basis.leaders[outcome.about], outcome.on, head)


def _since_read(leader: LeaderBasis, on: date, head: HeadOn) -> Band:
    """The length foreseen, as sure as the growth since the last reading: what was read is held against what was
    read, however little is known of the whole length."""
    estimate = leader.estimate
    grown = growth_over(estimate, estimate.position.day, on.toordinal(), leader.coming)
    reach = (
        WIDE
        * (grown.cm2 + estimate.position.grown_cm2 + min(estimate.position.length_cm2, READING_CM2)) ** 0.5
        / 100
    )
    return Band(head.length_m.mid - reach, head.length_m.mid, head.length_m.mid + reach)
