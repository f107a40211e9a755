"""What is worked out behind the screen: in processor time, so that what else the machine does counts little."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import partial
from math import exp, inf, log
from os import environ
from pathlib import Path
from unittest.mock import patch

from tests.benchmarks.figures import Figure, figure, of_processor, times
from tests.benchmarks.made import DAY, LEADERS, house
from tests.season.entries import differences
from tunneltui.chores.chore import Round
from tunneltui.chores.morning import morning_of, plan, plan_morning
from tunneltui.demo.make import demo_entries
from tunneltui.growth.forecast import outlook, plan_outlook
from tunneltui.journal.entry import Entry
from tunneltui.loads.chain import loads, update_loads
from tunneltui.loads.strength import BucketTest, Prior, _learned, learn
from tunneltui.memo import Depth, Memo, Stages
from tunneltui.report.open_journal import read_journal
from tunneltui.season.entry_index import _read
from tunneltui.season.fold import Fold, fold
from tunneltui.season.state import Reading, Season
from tunneltui.store.folders import HOME_VARIABLE
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

FLAT = Prior(
    median_n=1.0, median_sd_ln=1e4, spread_ln=1.0, spread_sd_ln=1e4, weakening_per_week=0.0, bench_sd_ln=0.0
)
"""So wide that the strength learned is the maximum of the likelihood."""


def fold_of_a_journal(_folder: Path) -> Iterator[Figure]:
    for what, entries, runs in (("demo", demo_entries(), 25), ("1,000 leaders", house(1_000), 5)):
        piece = Fold(DAY)
        for start in range(0, len(entries), 997):
            piece.add(entries[start : start + 997])
        assert not differences(piece.season(), fold(entries, DAY)), "in pieces it is another season"
        yield times(
            f"fold of a journal, {what}",
            of_processor(partial(fold, entries, DAY), before=_read.cache_clear),
            of_processor(partial(_read_as_json, entries)),
            runs=runs,
            aim=4.0,
            note=f"{len(entries)} entries; reference: json.loads of the same bodies",
        )


def recompute(_folder: Path, sizes: tuple[int, ...] = (LEADERS, 2_000, 20_000)) -> Iterator[Figure]:
    """Season, forecast, loads, chores and round, from nothing."""
    found = []
    for leaders in sizes:
        entries = demo_entries() if leaders == LEADERS else house(leaders)
        runs = 5 if leaders == LEADERS else 1
        measure = of_processor(partial(_planned, entries), before=_forget)
        count = len(fold(entries, DAY).leaders)
        each = [measure() / count for _ in range(runs)]
        found.append(min(each))
        yield figure(
            f"whole recompute, {leaders} leaders", "ms a leader", each, aim=2.0, note=f"{len(entries)} entries"
        )
    for (small, a), (large, b) in zip(
        zip(sizes, found, strict=True), zip(sizes[1:], found[1:], strict=True), strict=False
    ):
        yield figure(f"a leader's cost, {large} leaders against {small}", "times", [b / a], aim=1.1)


def ten_seasons(folder: Path) -> Iterator[Figure]:
    """A morning of the tenth season against one of the first: read from a file, folded, planned. The first morning
    of the long journal, which reads and keeps all of it, is a figure of its own."""
    seasons = 10
    lived = {years: house(LEADERS, years, seasons) for years in (1, seasons)}
    first, tenth = (folder / f"{years}.db" for years in lived)
    for path, entries in zip((first, tenth), lived.values(), strict=True):
        with JournalFile.open(path, state_dir=folder) as file:
            file.append_entries(entries)
    kept = partial(_morning_of_a_file, tenth, folder)
    whole = of_processor(kept, before=_forget)()
    shown = kept()
    assert shown == plan_morning(lived[seasons], DAY).round, "not as planned from every entry"
    yield times(
        "a morning of the tenth season, of the first",
        of_processor(kept, before=_forget),
        of_processor(partial(_morning_of_a_file, first, folder), before=_forget),
        runs=9,
        aim=1.5,
        note=f"{len(lived[seasons])} entries; the very first of it {whole:.0f} ms",
    )


def _morning_of_a_file(path: Path, home: Path) -> Round:
    """As a command does it, in a home of its own."""
    with patch.dict(environ, {HOME_VARIABLE: str(home)}):
        journal = read_journal(path, DAY, datetime(2026, 8, 20, 12, tzinfo=UTC))
        return morning_of(journal.ready_season(), journal.entries).round


def row_after_a_tick(_folder: Path) -> Iterator[Figure]:
    """One leader's loads anew, the rest kept: what is shown must be what a cold recompute gives."""
    season = fold(demo_entries(), DAY)
    coming = outlook(season)
    was = loads(season, coming, DAY)
    leader = next(one for one in season.leaders.values() if len(one.fixings) > 2)
    opened = replace(leader, fixings=leader.fixings[1:])
    after = replace(season, leaders={**season.leaders, leader.id: opened})
    assert update_loads(was, after, coming).clips == loads(after, coming, DAY).clips, "not as a cold recompute"
    measure = of_processor(lambda: update_loads(was, after, coming, learn=False))
    yield figure("loads anew after one leader changed", "ms", [measure() for _ in range(15)], aim=100.0)


def plan_after_a_tick(_folder: Path, sizes: tuple[int, ...] = (LEADERS, 2_000)) -> Iterator[Figure]:
    """A second clip ticked: the plan at each depth from what was known before, and the house after its loop."""
    for leaders in sizes:
        entries = demo_entries() if leaders == LEADERS else house(leaders)
        folding = Fold(DAY)
        folding.add(entries)
        before, cold = folding.season(), Stages()
        chore = next(one for one in plan(cold, before).chores if one.kind == "second_clip")
        ticked = [
            Entry(f"tick {n}", "tick", "", DAY, 2**52 + n, "", draft.about, draft.kind, 1, draft.body)
            for n, draft in enumerate(chore.writes)
        ]
        stems = folding.add(ticked).leaders
        season, near = folding.season(), Stages(cold.memo, "loop")
        plan(near, season)
        after = plan(Stages(near.memo), season)
        assert after.round == plan_morning([*entries, *ticked], DAY).round, "not as planned from nothing"
        whole_aim = 80.0 if leaders == LEADERS else 900.0
        for what, aim, measure in (
            ("its stem", 4.0, partial(_plan_stem, cold.memo, folding, before, stems)),
            ("its loop", 100.0, partial(_plan_from, cold.memo, "loop", season)),
            ("the whole", whole_aim, partial(_plan_from, cold.memo, "house", season)),
            ("the whole after its loop", whole_aim, partial(_plan_from, near.memo, "house", season)),
        ):
            timed = of_processor(measure)
            each = [timed() for _ in range(9 if leaders == LEADERS else 3)]
            yield figure(f"plan after a tick, {what}, {leaders} leaders", "ms", each, aim=aim)


def _plan_from(memo: Memo, depth: Depth, season: Season) -> None:
    plan(Stages(memo, depth), season)


def _plan_stem(memo: Memo, folding: Fold, before: Season, stems: frozenset[str]) -> None:
    plan(Stages(memo, "stem"), folding.rows_of(stems, before), stems=stems)


def outlooks(_folder: Path) -> Iterator[Figure]:
    season = fold(demo_entries(), DAY)
    first = next(iter(season.leaders.values()))
    read = replace(first, readings=(*first.readings, Reading("read", DAY, length_m=3.0)))
    stages, after = Stages(), replace(season, leaders=season.leaders | {first.id: read})
    plan_outlook(stages, season)
    row = replace(after, leaders={id_: x for id_, x in after.leaders.items() if x.row == first.row})
    whole = of_processor(partial(outlook, season))
    one = of_processor(lambda: plan_outlook(Stages(stages.memo, "stem"), row, of={first.id}))
    small = [whole() for _ in range(25)]
    yield figure("outlook of 44 leaders, warm", "ms", small, aim=50.0)
    yield figure("outlook after one measurement, its leader", "ms", [one() for _ in range(50)], aim=2.0)
    costs = []
    for leaders in (2_000, 20_000):
        large = fold(house(leaders), DAY)
        costs.append(of_processor(partial(outlook, large))() / len(large.leaders))
    yield figure("a leader's outlook, 20,000 leaders against 2,000", "times", [costs[1] / costs[0]], aim=1.1)


def strength_fit(_folder: Path) -> Iterator[Figure]:
    """5,000 records, each another one: a third broke at a load, a third between two, a third held."""
    from scipy import stats

    rng = random.Random(3)
    tests, logs = [], []
    for number in range(5_000):
        strength = rng.gauss(log(30.0), 0.35)
        low, high = strength - rng.random() / 5, strength + rng.random() / 5
        ends = ((strength, strength), (low, high), (low, inf))[number % 3]
        tests.append(BucketTest(exp(ends[0]), None if ends[1] == inf else exp(ends[1])))
        logs.append(ends)
    tests = [replace(test, upper_n=test.lower_n) if n % 3 == 0 else test for n, test in enumerate(tests)]
    data = stats.CensoredData(interval=logs)
    mu, sigma = stats.norm.fit(data)
    ours = learn(FLAT, (), tests)
    assert abs(ours.mu - mu) < 1e-3, "another median than scipy's"
    assert abs(ours.s - sigma) < 1e-3, "another spread than scipy's"
    yield times(
        "strength fit, 5,000 records",
        of_processor(partial(learn, FLAT, (), tests), before=_learned.cache_clear),
        of_processor(partial(stats.norm.fit, data)),
        runs=9,
        aim=1.0,
        note="reference: scipy's censored fit of the same",
    )


def _read_as_json(entries: list[Entry]) -> None:
    for entry in entries:
        json.loads(entry.body)


def _planned(entries: list[Entry]) -> Round:
    return plan_morning(entries, DAY).round


def _forget() -> None:
    for kept in (_read, _learned):
        kept.cache_clear()
