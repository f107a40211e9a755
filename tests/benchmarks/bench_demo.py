"""What the demo costs: ``.venv/bin/python -m tests.benchmarks.bench_demo``. Aimed at: a file made in under 1 s.

Prints the season lived and the file made (season, journal, commit), best and median of some runs; it fails on
nothing.
"""

from __future__ import annotations

import os
import statistics
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from tunneltui.demo.make import demo_entries, make_demo
from tunneltui.store.folders import HOME_VARIABLE

RUNS = 7


def main() -> None:
    print(f"{len(demo_entries())} entries")
    say("season lived", [timed(demo_entries) for _ in range(RUNS)])
    with tempfile.TemporaryDirectory() as folder:
        os.environ[HOME_VARIABLE] = str(Path(folder) / "home")
        paths = [Path(folder) / f"{run}.db" for run in range(RUNS)]
        say("demo made", [timed(lambda path=path: make_demo(path)) for path in paths])  # type: ignore[misc]


def timed(work: Callable[[], object]) -> float:
    begun = perf_counter()
    work()
    return perf_counter() - begun


def say(what: str, seconds: list[float]) -> None:
    print(f"{what}: best {min(seconds):.3f} s, median {statistics.median(seconds):.3f} s")


if __name__ == "__main__":
    main()
