"""Speed of the outlook: the demo's 44 leaders, one of them anew, and thousands of leaders.

Run as ``.venv/bin/python -m tests.benchmarks.bench_outlook [leaders ...]``. Prints medians and fails on nothing;
aims are 50 ms for 44 leaders warm, 2 ms for one leader after an entry of its own, time in proportion to leaders.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date, timedelta
from statistics import median
from time import perf_counter

from tests.growth.growing import Diary
from tunneltui.demo.make import demo_entries, saltmarsh
from tunneltui.growth.forecast import basis, leader_anew, outlook
from tunneltui.holding.model import Cultivar, Holding, Place, Row, Tunnel
from tunneltui.holding.toml import to_toml
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.journal.kinds_standing import HoldingSet, Measured, Planted
from tunneltui.season.fold import fold
from tunneltui.season.state import Season

IN_A_ROW = 50
PLANTED = date(2026, 5, 1)


def milliseconds(work: Callable[[], object], times: int) -> float:
    taken = []
    for _ in range(times):
        start = perf_counter()
        work()
        taken.append(perf_counter() - start)
    return median(taken) * 1000


def big_season(leaders: int) -> Season:
    """Rows of fifty, two plants of each read weekly, all lowered every three weeks with the tip noted."""
    rows = tuple(
        Row(
            number,
            2.1,
            60.0,
            places=tuple(Place(f"W{number}-{n:02d}", n * 1.0, "plum") for n in range(1, IN_A_ROW + 1)),
        )
        for number in range(1, leaders // IN_A_ROW + 1)
    )
    holding = Holding(
        "big",
        latitude_deg=50.0,
        tunnels=(Tunnel("W", "west", 70.0, 90.0, rows=rows),),
        cultivars=(Cultivar("plum"),),
    )
    diary = Diary()
    diary.write(PLANTED, "", HoldingSet(to_toml(holding)))
    names = [place.name for row in rows for place in row.places]
    ids = {name: diary.write(PLANTED, name, Planted("plum")) for name in names}
    diary.warm(PLANTED, PLANTED + timedelta(weeks=15), 19.0)
    for week in range(1, 16):
        day = PLANTED + timedelta(weeks=week)
        for name in names:
            if name.endswith(("-01", "-25")):
                diary.write(day, name, Measured(ids[name], length_m=0.35 + 0.25 * week, flowering_truss=week))
            if week > 6 and week % 3 == 0:
                diary.write(day, name, Lowered(ids[name], let_out_m=0.7, tip_under_wire_m=0.5))
    return fold(diary.entries, PLANTED + timedelta(weeks=15, days=2))


def main() -> None:
    playing = saltmarsh().plays_on
    if playing is None:
        raise SystemExit("the demo's holding says no day to play on")
    season = fold(demo_entries(), playing)
    known = basis(season)
    first = next(iter(season.leaders))
    print(f"outlook of {len(season.leaders)} leaders, warm: {milliseconds(lambda: outlook(season), 15):.1f} ms")
    print(f"one leader anew: {milliseconds(lambda: leader_anew(known, season, first), 50):.2f} ms")
    for leaders in [int(given) for given in sys.argv[1:]] or [1000, 4000]:
        big = big_season(leaders)
        taken = milliseconds(lambda big=big: outlook(big), 1)  # type: ignore[misc]
        print(f"outlook of {leaders} leaders: {taken / 1000:.2f} s, {taken / leaders:.2f} ms each")


if __name__ == "__main__":
    main()
