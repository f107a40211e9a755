"""A tournament of stem forecasts on every open set: this program's, its parts left out in turn, and plain rivals.

Run as ``TUNNELTUI_OPEN_DATA=... .venv/bin/python -m tests.benchmarks.forecasts``. Whole files, read through the
door; all methods see the same readings, are asked on the same days for the same stems one visit and two visits
ahead, and know the weather that came. The first line is the program itself, whose weather ahead is guessed. Bands
of rivals go by their own earlier errors. Trusses and picks follow, by the program's backtest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from itertools import pairwise
from math import exp, log, sqrt
from random import Random
from statistics import fmean
from typing import NamedTuple, Protocol

from tests.growth.open_sets import SETS, through_the_door
from tunneltui.growth.air import AirSeries
from tunneltui.growth.backtest import Score, backtest
from tunneltui.growth.courses import Course, stem_course
from tunneltui.growth.evidence import evidence_of
from tunneltui.growth.forecast import basis_of
from tunneltui.growth.response import day_length_h
from tunneltui.growth.stems import LEADER_SD, READING_CM2, Grown, GrowthSeen, StemGroup
from tunneltui.growth.widths import AS_USUAL
from tunneltui.season.fold import fold

WIDE = 1.645
AHEAD = (7, 14)
BASE_C = 10.0


class Stretch(NamedTuple):
    """Some days, as each method counts them."""

    days: int
    response: float
    """Sum of the program's stem response."""
    warmth: float
    """The same without day length."""
    light: float
    """Sum of day lengths over 12 h; days where lamps are lit."""
    degrees: float
    """Degree days over ``BASE_C``."""


class Visit(NamedTuple):
    age_days: float
    """Of the crop on the visit's day."""
    stretch: Stretch
    read: Sequence[Grown]

    @property
    def mean_cm(self) -> float:
        return fmean(grown.cm for grown in self.read)


class Question(NamedTuple):
    """A stem's growth from a visit on, and what it was."""

    leader: str
    horizon: int
    stretch: Stretch
    actual_cm: float
    persistence_cm: float
    stems: int


class Set(NamedTuple):
    ln_rate: float
    age_days: float
    """On the day of planting: one that was long when first read was planted before its sheet begins."""
    visits: Sequence[tuple[Visit, Sequence[Question]]]
    """Each with what is asked on its day."""


class Foreseen(NamedTuple):
    cm: float
    cm2: float | None
    """Reading errors included; None: no band of its own."""


class Method(Protocol):
    def learn(self, visit: Visit) -> None: ...
    def foresee(self, question: Question) -> Foreseen: ...


@dataclass(frozen=True)
class Result:
    n: int
    mae_cm: float
    persistence_cm: float
    inside: float
    width_cm: float
    bias_cm: float
    """Foreseen less read."""

    @property
    def ratio(self) -> float:
        return self.mae_cm / self.persistence_cm


# ------------------------------------------------------------------------------------------------ plain rivals


class Persistence:
    """Each stem's last rate carried on."""

    def learn(self, visit: Visit) -> None: ...

    def foresee(self, question: Question) -> Foreseen:
        return Foreseen(question.persistence_cm, None)


@dataclass
class MeanOfThree:
    rates: list[float] = field(default_factory=list)

    def learn(self, visit: Visit) -> None:
        self.rates.append(visit.mean_cm / visit.stretch.days)

    def foresee(self, question: Question) -> Foreseen:
        return Foreseen(fmean(self.rates[-3:]) * question.stretch.days, None)


@dataclass
class Smoother:
    """The group's mean growth over what drives it, half of the last and half of all before."""

    over: Callable[[Stretch], float]
    weight: float = 0.5
    skips_days: int = 0
    """Stretches that began sooner after planting are left out."""
    level: float | None = None

    def learn(self, visit: Visit) -> None:
        over = self.over(visit.stretch)
        began = visit.age_days - visit.stretch.days
        if over <= 0 or (began < self.skips_days and self.level is None):
            return
        rate = visit.mean_cm / over
        self.level = rate if self.level is None else self.level + self.weight * (rate - self.level)

    def foresee(self, question: Question) -> Foreseen:
        if self.level is None:
            return Foreseen(question.persistence_cm, None)
        return Foreseen(self.level * self.over(question.stretch), None)


@dataclass
class LogKalman:
    """A logarithm of the mean rate over day length that walks 6 % a week and is read to 6 %."""

    level: float = log(3.5)
    variance: float = 0.25

    def learn(self, visit: Visit) -> None:
        self.variance += 0.06**2 * visit.stretch.days / 7
        if visit.mean_cm > 0:
            gain = self.variance / (self.variance + 0.06**2 * 7 / visit.stretch.days)
            self.level += gain * (log(visit.mean_cm / visit.stretch.light) - self.level)
            self.variance *= 1 - gain

    def foresee(self, question: Question) -> Foreseen:
        return Foreseen(exp(self.level) * question.stretch.light, None)


@dataclass
class DampedTrend:
    """Holt's level and trend with a damping of 0.8 a visit (Gardner and McKenzie 1985, Management Science 31)."""

    level: float | None = None
    trend: float = 0.0
    days: int = 7

    def learn(self, visit: Visit) -> None:
        rate, self.days = visit.mean_cm / visit.stretch.days, visit.stretch.days
        if self.level is None:
            self.level = rate
            return
        foreseen = self.level + 0.8 * self.trend
        before, self.level = self.level, foreseen + 0.5 * (rate - foreseen)
        self.trend = 0.8 * self.trend + 0.2 * (self.level - before - 0.8 * self.trend)

    def foresee(self, question: Question) -> Foreseen:
        assert self.level is not None
        visits = max(1, round(question.stretch.days / self.days))
        trends = [self.trend * sum(0.8**n for n in range(1, ahead + 1)) for ahead in range(1, visits + 1)]
        rates = [self.level + trend for trend in trends]
        return Foreseen(fmean(rates) * question.stretch.days, None)


# ----------------------------------------------------------------------------------------- the parts of the filter


class _Ratio(StemGroup):
    """Learns from the ratio less one, also above it."""

    __slots__ = ()

    def _seen(self, days: float, response: float, visit: Sequence[Grown]) -> list[GrowthSeen]:
        seen = super()._seen(days, response, visit)
        return [one._replace(surprise=exp(one.surprise) - 1) if one.surprise > 0 else one for one in seen]


@dataclass
class Filter:
    group: StemGroup
    light: bool = True
    starts: bool = True
    """The first days after planting teach no slow pace."""
    widths: bool = True

    def _response(self, stretch: Stretch) -> float:
        return stretch.response if self.light else stretch.warmth

    def learn(self, visit: Visit) -> None:
        read = visit.read if self.starts else [one._replace(rooting=False) for one in visit.read]
        self.group.pass_days(visit.age_days - self.group.age_days)
        self.group.learn(visit.stretch.days, self._response(visit.stretch), read)

    def foresee(self, question: Question) -> Foreseen:
        days = question.stretch.days
        cm, cm2 = self.group.growth(question.leader, self._response(question.stretch), days, days, question.stems)
        widths = self.group.widths if self.widths else AS_USUAL
        return Foreseen(cm, cm2 * widths.over(days) + 2 * READING_CM2 / question.stems)


def _filter(group: Callable[..., StemGroup] = StemGroup, **given: bool) -> Callable[[Set], Method]:
    parts = {name: given.pop(name) for name in ("light", "starts", "widths") if name in given}
    sd = LEADER_SD if given.pop("leaders", True) else 0.0
    return lambda of: Filter(group(of.ln_rate, age_days=of.age_days, leader_sd=sd, **given), **parts)


RIVALS: dict[str, Callable[[Set], Method]] = {
    "persistence": lambda _: Persistence(),
    "mean of three": lambda _: MeanOfThree(),
    "smoother with day length": lambda _: Smoother(lambda s: s.light),
    "smoother without": lambda _: Smoother(lambda s: s.days),
    "thermal time": lambda _: Smoother(lambda s: s.degrees),
    "log Kalman": lambda _: LogKalman(),
    "damped trend": lambda _: DampedTrend(),
}
FILTERS: dict[str, Callable[[Set], Method]] = {
    "filter": _filter(),
    "no day length": _filter(light=False),
    "no walk": _filter(walks=False),
    "no leader effect": _filter(leaders=False),
    "no guard": _filter(guard=False),
    "first days learned": _filter(starts=False),
    "ratio less one": _filter(_Ratio),
    "width not learned": _filter(widths=False),
    "smoother, first days skipped": lambda _: Smoother(lambda s: s.light, skips_days=7),
}


# ------------------------------------------------------------------------------------------------ the sets


@cache
def asked(name: str) -> Set:
    """A set's visits and what is asked on each. All stems of a set are read on the same days."""
    season = fold(through_the_door(name), SETS[name].last)
    known = next(iter(basis_of(season).leaders.values()))
    first = min(leader.planted_on for leader in season.leaders.values()).toordinal()
    sums = _Sums(known.air, known.coming.stems, None if season.holding.lit else season.holding.latitude_deg)
    older = known.estimate.age_days - (known.estimate.state_day - first)
    read: dict[tuple[int, int], list[Grown]] = defaultdict(list)
    for leader in season.leaders.values():
        found = evidence_of(leader, season.layout.rows[leader.row][1], season.crop_of(leader))
        for growth in found.growths:
            read[growth.start, growth.end].append(growth.grown)
    order = sorted(read, key=lambda days: days[1])
    visits = []
    for at, (start, end) in enumerate(order):
        visit = Visit(end - first + older, sums.over(start, end), read[start, end])
        visits.append((visit, list(_questions(visit, end, order[at + 1 :], read, sums))))
    return Set(known.kind.ln_stem_rate, older, visits)


def _questions(
    visit: Visit,
    end: int,
    coming: Sequence[tuple[int, int]],
    read: Mapping[tuple[int, int], Sequence[Grown]],
    sums: _Sums,
) -> Iterable[Question]:
    for number, horizon in enumerate(AHEAD, start=1):
        chain = coming[:number]
        if len(chain) < number or chain[0][0] != end or any(a[1] != b[0] for a, b in pairwise(chain)):
            continue
        stretch = sums.over(end, chain[-1][1])
        for grown in visit.read:
            later = [one.cm for days in chain for one in read[days] if one.leader == grown.leader]
            if len(later) == number:
                carried = grown.cm / visit.stretch.days * stretch.days
                yield Question(grown.leader, horizon, stretch, sum(later), carried, grown.stems)


class _Sums:
    def __init__(self, air: AirSeries, responses: Course, latitude_deg: float | None) -> None:
        self._air, self._latitude = air, latitude_deg
        self._responses, self._warmth = responses, stem_course(air, None)

    def over(self, start: int, end: int) -> Stretch:
        days = [date.fromordinal(day) for day in range(start, end)]
        light = [1.0 if self._latitude is None else day_length_h(day, self._latitude) / 12 for day in days]
        degrees = [max(0.0, self._air.mean_c(day) - BASE_C) for day in days]
        return Stretch(
            end - start,
            self._responses.between(start, end),
            self._warmth.between(start, end),
            sum(light),
            sum(degrees),
        )


def uneven(of: Set, seed: int, sd: float = 0.09) -> Set:
    """The same stems, each faster or slower than it was by a share of its own."""
    rng, shares = Random(seed), dict[str, float]()
    visits = []
    for visit, questions in of.visits:
        for grown in visit.read:
            shares.setdefault(grown.leader, exp(rng.gauss(0, sd)))
        read = [grown._replace(cm=grown.cm * shares[grown.leader]) for grown in visit.read]
        scaled = [
            one._replace(
                actual_cm=one.actual_cm * shares[one.leader],
                persistence_cm=one.persistence_cm * shares[one.leader],
            )
            for one in questions
        ]
        visits.append((visit._replace(read=read), scaled))
    return of._replace(visits=visits)


def played(method: Method, of: Set) -> dict[int, Result]:
    """A method through a set, by horizon."""
    found: dict[int, list[tuple[float, float, float]]] = defaultdict(list)
    """Error, persistence's error, half a band."""
    waiting: list[tuple[float, int, float, float]] = []
    """Age when it is known, horizon, error and what such a stretch usually varies by: for bands of rivals."""
    own: dict[int, list[float]] = defaultdict(list)
    for visit, questions in of.visits:
        for known_at, horizon, error, usual2 in [one for one in waiting if one[0] <= visit.age_days]:
            own[horizon].append(error**2 / usual2)
            waiting.remove((known_at, horizon, error, usual2))
        method.learn(visit)
        for question in questions:
            cm, cm2 = method.foresee(question)
            usual2 = (2 + question.stretch.days) / question.stems + (0.1 * cm) ** 2
            past = own[question.horizon]
            reach2 = usual2 * (6 + sum(past)) / (6 + len(past)) if cm2 is None else cm2
            error = cm - question.actual_cm
            waiting.append((visit.age_days + question.stretch.days, question.horizon, error, max(1e-9, usual2)))
            found[question.horizon].append(
                (error, question.persistence_cm - question.actual_cm, WIDE * sqrt(reach2))
            )
    return {
        horizon: Result(
            len(errors),
            fmean(abs(error) for error, _, _ in errors),
            fmean(abs(carried) for _, carried, _ in errors),
            fmean(abs(error) <= reach for error, _, reach in errors),
            fmean(2 * reach for _, _, reach in errors),
            fmean(error for error, _, _ in errors),
        )
        for horizon, errors in found.items()
    }


@cache
def through_backtest(name: str) -> dict[tuple[str, int], Score]:
    """The program's own scores: what, days ahead."""
    held = backtest(through_the_door(name), SETS[name].last)
    return {(b.what, s.days): s for b in held.backtests if b.cultivar == "" for s in b.horizons}


def _cell(ratio: float, inside: float, width: float) -> str:
    return f"{ratio:.2f} {inside:.0%} {width:.0f}"


def main() -> None:
    print("Stems: error over persistence's, share inside 90 % bands, width in cm; one visit, two visits ahead\n")
    print(f"| | {' | '.join(SETS)} |")
    print("|---" * (len(SETS) + 1) + "|")
    print(f"| the program | {' | '.join(_program(name, 'stem', 100) for name in SETS)} |")
    for label, made in (FILTERS | RIVALS).items():
        cells = []
        for name in SETS:
            results = played(made(asked(name)), asked(name))
            cells.append(", ".join(_cell(r.ratio, r.inside, r.width_cm) for _, r in sorted(results.items())))
        print(f"| {label} | {' | '.join(cells)} |")
    print("\nOhio's ten stems made uneven (sd 9 %), six draws; one visit, two visits ahead")
    for label in ("filter", "no leader effect", "smoother with day length"):
        made = (FILTERS | RIVALS)[label]
        draws = [played(made(one), one) for one in (uneven(asked("ohio"), seed) for seed in range(6))]
        ratios = (fmean(draw[horizon].ratio for draw in draws) for horizon in AHEAD)
        print(f"| {label} | {', '.join(f'{ratio:.2f}' for ratio in ratios)} |")
    for what in ("truss", "picks"):
        print(f"\n{what}: as above, a week and a fortnight ahead, widths in their unit")
        for name in SETS:
            print(f"| {name} | {_program(name, what, 1)} |")


def _program(name: str, what: str, scale: float) -> str:
    cells = []
    for score in (through_backtest(name)[what, days] for days in AHEAD):
        if score.mae is None or score.inside_90 is None or score.width is None or not score.mae_persistence:
            continue
        width = f"{score.width * scale:.{0 if scale > 1 else 2}f}"
        cells.append(f"{score.mae / score.mae_persistence:.2f} {score.inside_90:.0%} {width} (n {score.n})")
    return ", ".join(cells)


if __name__ == "__main__":
    main()
