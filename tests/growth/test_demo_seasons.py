"""Intervals on made-up seasons, whose laws differ on purpose from the forecaster's and were settled before.

Each season is the demo's holding lived again with another seed up to 19 August. Aims: 90 % intervals of tips and
of picks hold 85 to 95 %, and a fortnight's kg is foreseen 15 % better than "the same as last fortnight".
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from statistics import fmean

import pytest

from tunneltui.demo.make import demo_entries
from tunneltui.growth.backtest import Outcome, Scored, outcomes, scored
from tunneltui.season.fold import fold
from tunneltui.season.state import Season

LAST = date(2026, 8, 19)
MORNINGS = 8
"""Mornings of a season on which forecasts are scored, drawn at random."""


@dataclass(frozen=True)
class Held:
    found: list[Scored]
    last_fortnight_errors_kg: list[float]

    def of(self, what: str, days: int) -> list[Scored]:
        return [one for one in self.found if (one.outcome.what, one.outcome.horizon) == (what, days)]


def _seasons(seeds: range) -> Held:
    found: list[Scored] = []
    fortnights: list[float] = []
    for seed in seeds:
        entries = demo_entries(seed)
        season = fold(entries, LAST)
        known = list(outcomes(season))
        origins = sorted({outcome.origin for outcome in known})
        drawn = set(Random(seed).sample(origins, MORNINGS))
        wanted = [outcome for outcome in known if outcome.origin in drawn]
        found += scored(entries, wanted)
        fortnights += _last_fortnight_errors(season, wanted)
    return Held(found, fortnights)


def _last_fortnight_errors(season: Season, wanted: list[Outcome]) -> list[float]:
    """What the same kg a day as in the fortnight up to the origin would have missed by."""
    kg: dict[tuple[str, str, str], dict[date, float]] = defaultdict(lambda: defaultdict(float))
    for pick in season.picks:
        if pick.picked.kg is not None:
            kg[pick.picked.cultivar, pick.row, pick.tunnel][pick.day] += pick.picked.kg
    errors = []
    for outcome in wanted:
        if (outcome.what, outcome.horizon) == ("picks", 14):
            days = kg[outcome.cultivar, *outcome.scope]
            since = outcome.origin - timedelta(days=14)
            rate = sum(value for day, value in days.items() if since < day <= outcome.origin) / 14
            errors.append(abs(rate * (outcome.on - outcome.origin).days - outcome.actual))
    return errors


def _inside(found: list[Scored]) -> float:
    return fmean([one.inside for one in found])


def test_a_few_seasons() -> None:
    """The small version: wide limits, so that chance does not decide."""
    held = _seasons(range(100, 103))
    assert 0.80 <= _inside(held.of("stem", 7)) <= 0.99
    assert _inside(held.of("picks", 14)) >= 0.75
    kg = fmean([abs(one.error) for one in held.of("picks", 14)])
    assert kg < fmean(held.last_fortnight_errors_kg)


@pytest.mark.long
def test_two_hundred_seasons() -> None:
    """To the whole percent. Measured: tips 93.6 % a week and 92.9 % a fortnight ahead, picks 95.1 and 93.9 %; a
    fortnight's kg missed by 0.89 kg where the last fortnight's misses by 1.59."""
    held = _seasons(range(200))
    for what, days in (("stem", 7), ("stem", 14), ("picks", 7), ("picks", 14)):
        assert 0.845 <= _inside(held.of(what, days)) < 0.955, (what, days)
    kg = fmean([abs(one.error) for one in held.of("picks", 14)])
    assert kg <= 0.85 * fmean(held.last_fortnight_errors_kg)
