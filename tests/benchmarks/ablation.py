"""What each part of the stem filter is worth: ten stems of Ohio 2024 foreseen with one part left out at a time.

Run as ``TUNNELTUI_OPEN_DATA=... .venv/bin/python -m tests.benchmarks.ablation``. Each forecast knows the readings
up to its own visit and the weather that came; persistence is the last week's rate carried on. The table is that
of DEVELOPERS.md.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from random import Random

from tests.growth.open_data import ohio_air, ohio_visits
from tunneltui.growth.response import day_length_h, stem_response
from tunneltui.growth.stems import LEADER_SD, Grown, StemGroup

LATITUDE = 40.8
READING_CM2 = 2.0
Growths = Mapping[tuple[str, date], float]


@dataclass(frozen=True)
class Variant:
    name: str
    day_length: bool = True
    drift: bool = True
    leader: bool = True
    guard: bool = True

    def group(self) -> StemGroup:
        return StemGroup(
            age_days=21, walks=self.drift, leader_sd=LEADER_SD if self.leader else 1e-6, guard=self.guard
        )


VARIANTS = (
    Variant("all of it"),
    Variant("no day length", day_length=False),
    Variant("no drift", drift=False),
    Variant("no leader effect", leader=False),
    Variant("no guard", guard=False),
)


@dataclass(frozen=True)
class Result:
    n: int
    mae_cm: float
    persistence_cm: float
    inside: float
    width_cm: float

    @property
    def gain(self) -> float:
        return 1 - self.mae_cm / self.persistence_cm


def growths() -> Growths:
    return {(visit.label, visit.day): visit.grown_cm for visit in ohio_visits()}


def misread(true: Growths, share: float, seed: int) -> Growths:
    """Some heights misread by 10 to 20 cm: one week's growth too long, the next as much too short, or reversed."""
    rng = Random(seed)
    days = sorted({day for _, day in true})
    read = dict(true)
    for label in sorted({label for label, _ in true}):
        for day, after in pairwise(days[1:]):
            if rng.random() < share:
                off = rng.choice((-1, 1)) * rng.uniform(10, 20)
                read[label, day] += off
                read[label, after] -= off
    return read


def replay(variant: Variant, read: Growths, true: Growths, visits: int) -> Result:
    """Forecasts ``visits`` visits ahead, from the first visit on that has a week's growth behind it."""
    days = sorted({day for _, day in read})
    labels = sorted({label for label, _ in read})
    response = _responses(days, day_length=variant.day_length)
    group = variant.group()
    errors, persistence, inside, widths = [], [], 0, []
    for at in range(1, len(days)):
        span = (days[at] - days[at - 1]).days
        group.pass_days(span)
        group.learn(span, response[at], [Grown(label, read[label, days[at]]) for label in labels])
        if at + visits >= len(days):
            continue
        ahead = (days[at + visits] - days[at]).days
        for label in labels:
            cm, cm2 = group.growth(label, sum(response[at + 1 : at + visits + 1]), ahead, ahead)
            actual = sum(true[label, days[at + step]] for step in range(1, visits + 1))
            reach = 1.645 * (cm2 + READING_CM2) ** 0.5
            errors.append(abs(cm - actual))
            persistence.append(abs(read[label, days[at]] / span * ahead - actual))
            inside += abs(cm - actual) <= reach
            widths.append(2 * reach)
    n = len(errors)
    return Result(n, sum(errors) / n, sum(persistence) / n, inside / n, sum(widths) / n)


def _responses(days: Sequence[date], *, day_length: bool) -> list[float]:
    """Sum of the stem's response over the days before each visit, since the visit before."""
    air = ohio_air()
    sums = [0.0]
    for before, day in pairwise(days):
        between = [before + timedelta(days=n) for n in range((day - before).days)]
        sums.append(sum(stem_response(air[d], day_length_h(d, LATITUDE) if day_length else None) for d in between))
    return sums


def main() -> None:
    true = growths()
    ahead = "cm | gain | inside 90 % | width"
    print(f"| Ohio, ten stems | one visit ahead: {ahead} | two visits ahead: {ahead} |")
    print("|---|---|---|---|---|---|---|---|---|")
    for variant in VARIANTS:
        cells = [_cells(replay(variant, true, true, visits)) for visits in (1, 2)]
        print(f"| {variant.name} | {' | '.join(cells)} |")
    for variant in (VARIANTS[0], VARIANTS[-1]):
        drawn = [replay(variant, misread(true, 0.06, seed), true, 1) for seed in range(40)]
        mean = sum(result.mae_cm for result in drawn) / len(drawn)
        print(f"6 % of heights misread by 10 to 20 cm, {variant.name}: {mean:.2f} cm one visit ahead")


def _cells(result: Result) -> str:
    return f"{result.mae_cm:.2f} | {result.gain:.1%} | {result.inside:.1%} | {result.width_cm:.1f}"


if __name__ == "__main__":
    main()
