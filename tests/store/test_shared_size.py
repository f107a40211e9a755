"""What 200,000 plants and 20 hands would need of a server and of each hand's machine, told from what is measured.

How much is written about a plant is the made-up season's; what reading, folding, planning and writing take is
measured here and multiplied. Nothing is asserted about times: the figures are printed.
"""

from __future__ import annotations

import os
import time
import tracemalloc
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from threading import Barrier

from tests.demo_once import demo_entries
from tests.store.making import DAY, note
from tests.store.private_server import PrivateServer
from tunneltui.chores.morning import plan_morning
from tunneltui.journal.entry import Entry
from tunneltui.season.fold import fold
from tunneltui.store.journals import open_journal
from tunneltui.store.shared_journal import SharedJournal
from tunneltui.store.where import SharedAt

PLANTS = 200_000
HANDS = 20
ACTS = 10
"""Of each hand."""
SEASONS = 8
"""Copies of the made-up season in the journal that is measured."""
WORKING_HOURS = 8
OPENING_SECONDS = 10
"""What one may be asked to wait once a morning; for the size of a journal that is told at the end."""


@dataclass(slots=True)
class _Took:
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class _Measured:
    season: Sequence[Entry]
    plants: int
    rows: int
    """Of the journal that was measured."""
    disk_bytes: int
    memory_bytes_each: float
    read_seconds: float
    """All rows; the other two are of one season."""
    fold_seconds: float
    plan_seconds: float
    slowest_act_seconds: float
    usual_act_seconds: float
    acts_per_second: float


@contextmanager
def _timed() -> Iterator[_Took]:
    took = _Took()
    started = time.perf_counter()
    yield took
    took.seconds = time.perf_counter() - started


def test_what_200_000_plants_and_20_hands_would_need(
    server: PrivateServer, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    at = server.new()
    season = demo_entries()
    with open_journal(at) as journal:
        for number in range(SEASONS):
            journal.append_entries([one._replace(id=f"{number}-{one.id}") for one in season])
    rows = SEASONS * len(season)
    with server.durable():
        slowest, usual, per_second = _hands_at_once(at, rows, tmp_path)
    with open_journal(at, read_only=True) as journal, _timed() as reading:
        read = journal.entries_after(0)
    assert len(read) == rows + HANDS * ACTS
    with _timed() as folding:
        plants = len(fold(season, DAY).leaders)
    assert plants > 30
    with _timed() as planning:
        assert plan_morning(season, DAY).round.spots
    size = server.sql("SELECT pg_total_relation_size('tunneltui.entries')", server.database(at))[0][0]
    assert isinstance(size, int)
    assert size > sum(len(one.body) for one in season) * SEASONS
    took = (reading.seconds, folding.seconds, planning.seconds)
    measured = _Measured(season, plants, rows, size, _bytes_each(at, rows), *took, slowest, usual, per_second)
    record_property("tells", _told(measured))


def _told(of: _Measured) -> str:
    times = PLANTS / of.plants
    entries = len(of.season) * times
    read_seconds = of.read_seconds / of.rows * entries
    fold_seconds, plan_seconds = of.fold_seconds * times, of.plan_seconds * times
    acts_of_days = Counter(day for _, day in {(one.act, one.day) for one in of.season})
    wanted = max(acts_of_days.values()) * times / WORKING_HOURS / 3600
    in_time = PLANTS * OPENING_SECONDS / (read_seconds + fold_seconds + plan_seconds)
    return f"""\
Written of {of.plants} plants in the made-up season: {len(of.season)} entries. Measured in a journal of {of.rows}
on {os.cpu_count()} processors with {os.getloadavg()[0]:.1f} programs at work,
multiplied in step to {PLANTS} plants in one journal:
- {entries / 1e6:.1f} million entries, {of.disk_bytes / of.rows * entries / 1e9:.1f} GB on the server.
- Opened anew: read in {read_seconds:.0f} s, folded in {fold_seconds:.0f} s, planned in {plan_seconds:.0f} s;
  {of.memory_bytes_each * entries / 1e9:.0f} GB of memory for the entries alone.
- {HANDS} hands writing at once, every commit on the disk: {of.acts_per_second:.0f} acts/s; an act took
  {of.usual_act_seconds * 1000:.0f} ms at the median and {of.slowest_act_seconds * 1000:.0f} ms at most.
- The busiest day asks for {wanted:.1f} acts/s over {WORKING_HOURS} h ({wanted / of.acts_per_second:.0%} of that):
  one act every {HANDS / wanted:.1f} s by each hand.
- Read, folded and planned within {OPENING_SECONDS} s: about {in_time:.0f} plants. So a server takes the writing,
  and {PLANTS} plants want about {PLANTS / in_time:.0f} journals (databases), a house or a part of one each."""


def _hands_at_once(at: SharedAt, before: int, tmp_path: Path) -> tuple[float, float, float]:
    """Slowest and usual act in seconds, and acts per second, of all hands begun at the same time."""
    together = Barrier(HANDS)

    def work(hand: int) -> tuple[float, float, list[float], list[Entry]]:
        wrote: list[Entry] = []
        took: list[float] = []
        with SharedJournal.open(at, create=False, state_dir=tmp_path / str(hand), device=f"hand{hand}") as journal:
            together.wait(60)
            began = time.perf_counter()
            for number in range(ACTS):
                with _timed() as one:
                    wrote += journal.append([note(f"{hand} {number}")], DAY)
                took.append(one.seconds)
            return began, time.perf_counter(), took, wrote

    with ThreadPoolExecutor(HANDS) as pool:
        done = list(pool.map(work, range(HANDS)))
    _all_there(at, before, [one for *_, wrote in done for one in wrote])
    every = [seconds for _, _, took, _ in done for seconds in took]
    whole = max(end for _, end, *_ in done) - min(began for began, *_ in done)
    return max(every), median(every), HANDS * ACTS / whole


def _all_there(at: SharedAt, before: int, wrote: Sequence[Entry]) -> None:
    with open_journal(at, read_only=True) as journal:
        came = journal.entries_after(before)
    assert [seq for seq, _ in came] == [before + n for n in range(1, HANDS * ACTS + 1)]
    assert sorted(one.id for _, one in came) == sorted(one.id for one in wrote)


def _bytes_each(at: SharedAt, rows: int) -> float:
    """Memory of an entry as it is read."""
    with open_journal(at, read_only=True) as journal:
        tracemalloc.start()
        try:
            read = journal.entries_after(rows - 3000)
            held, _ = tracemalloc.get_traced_memory()
        finally:
            tracemalloc.stop()
    return held / len(read)
