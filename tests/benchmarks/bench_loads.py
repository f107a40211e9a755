"""Speed of the loads: against the frame library on the same stems, and on a house of 44 plants.

Run as ``.venv/bin/python -m tests.benchmarks.bench_loads``. It prints what it measured and fails on nothing.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from statistics import median
from time import perf_counter

from tests.loads.made import DAY, holding, outlook, row, season, tiered
from tests.published.test_beam import frame_of, random_stem
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.model import Place
from tunneltui.loads.beam import pull_only
from tunneltui.loads.chain import loads, update_loads
from tunneltui.loads.lines import line_loads
from tunneltui.loads.overhead import hoops, wire_loads, wires
from tunneltui.loads.stem import stems_on
from tunneltui.loads.weak_points import weak_points
from tunneltui.season.state import Season
from tunneltui.values import replace

PLANTS = 44


def house() -> tuple[Season, Outlook]:
    """44 standard stems of 3.9 m along one row, clipped to every string."""
    strings = 53
    long_row = replace(
        row(1, strings), length_m=29.0, places=tuple(Place(f"W1-{i:02d}", 0.58 * i) for i in range(1, PLANTS + 1))
    )
    made = [tiered(f"l{i}", round(0.55 * i + 0.3, 3), strings=strings) for i in range(PLANTS)]
    leaders = [one for one, _ in made]
    return season(*leaders, stands=holding(long_row)), outlook({one.id: grown for one, grown in made})


def _one_clip_opened(standing: Season) -> Season:
    one = standing.leaders["l20"]
    opened = replace(one, fixings=one.fixings[1:])
    return replace(standing, leaders={**standing.leaders, one.id: opened})


def milliseconds(work: Callable[[], object], times: int) -> float:
    taken = []
    for _ in range(times):
        start = perf_counter()
        work()
        taken.append(perf_counter() - start)
    return median(taken) * 1000


def against_the_frame_library() -> None:
    rng = random.Random(1)
    ratios = []
    for _ in range(20):
        supports, points = random_stem(rng)
        model = frame_of(supports, points)
        library = milliseconds(lambda model=model: model.analyze(check_stability=False, max_iter=60), 3)  # type: ignore[misc]
        ours = milliseconds(lambda s=supports, p=points: pull_only(s, p), 50)  # type: ignore[misc]
        ratios.append(library / ours)
    print(f"pull-only beam, solve only: {median(ratios):.0f} times faster than the frame library (median of 20)")
    print(f"  slowest {min(ratios):.0f}, fastest {max(ratios):.0f}")


def whole_house() -> None:
    standing, coming = house()

    def today() -> None:
        borne = {leader: stem.borne for leader, stem in stems_on(standing, coming, DAY).items()}
        lines = line_loads(standing, borne)
        hanging = wires(standing, borne, lines)
        wire_loads(standing, hanging)
        hoops(standing, hanging)

    stems = stems_on(standing, coming, DAY)
    strength_n = {fixing.id: 21.4 for stem in stems.values() for fixing in stem.leader.fixings}
    print(f"{PLANTS} plants, {len(strength_n)} clips")
    print(f"  clips, strings, wires, hoops: {milliseconds(today, 15):.1f} ms")
    print(f"  weak points: {milliseconds(lambda: weak_points(standing, stems, strength_n), 9):.1f} ms")
    print(
        f"  everything, strengths learned before: {milliseconds(lambda: loads(standing, coming, DAY), 9):.1f} ms"
    )
    was = loads(standing, coming, DAY)
    fewer = _one_clip_opened(standing)
    update_loads(was, fewer, coming)
    learned = milliseconds(lambda: update_loads(was, fewer, coming), 9)
    print(f"  one leader changed, strengths learned before: {learned:.1f} ms")
    kept = milliseconds(lambda: update_loads(was, fewer, coming, learn=False), 9)
    print(f"  one leader changed, strengths kept: {kept:.1f} ms")


if __name__ == "__main__":
    against_the_frame_library()
    whole_house()
