"""What a durable append costs: ``python -m tests.benchmarks.bench_append [FOLDER]``.

Times one act of three entries from the call to the return of the commit, in a journal of some years, on the disk
that FOLDER is on (a memory disk tells nothing). Aimed at: 25 ms at the median.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from pathlib import Path

from tunneltui.journal.entry import Draft
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.writer import Writer

BEFORE = 30_000
ACTS = 200
DAY = date(2026, 8, 20)


def main(folder: Path) -> None:
    with tempfile.TemporaryDirectory(dir=folder) as inside:
        path = Path(inside) / "journal.db"
        state = Path(inside) / "state"
        with JournalFile.open(path, state_dir=state) as journal:
            journal.append_days([(DAY - timedelta(days=n % 900), _draft(n)) for n in range(BEFORE)])
            _say("append, in one thread", [_timed(partial(journal.append, _act(n), DAY)) for n in range(ACTS)])
        with Writer(path, state_dir=state) as writer:
            writer.submit(_act(0), DAY).result()
            _say(
                "tick, through the writer thread",
                [_timed(partial(_ticked, writer, n)) for n in range(ACTS)],
            )
        opened = partial(JournalFile.open, path, state_dir=state)
        _say("open with every check", [_timed(lambda: opened().close()) for _ in range(20)])


def _ticked(writer: Writer, number: int) -> None:
    writer.submit(_act(number), DAY).result()


def _draft(number: int) -> Draft:
    return Draft("note", f"W1-{number % 40:02}", f'{{"text":"the {number}th thing that was done there"}}')


def _act(number: int) -> list[Draft]:
    return [_draft(number + part) for part in range(3)]


def _timed(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return (time.perf_counter() - start) * 1000


def _say(what: str, times_ms: list[float]) -> None:
    ordered = sorted(times_ms)
    print(
        f"{what:<34} median {statistics.median(ordered):6.2f} ms   "
        f"95 % {ordered[int(0.95 * len(ordered)) - 1]:6.2f} ms   most {ordered[-1]:6.2f} ms"
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path.cwd())
