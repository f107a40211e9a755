"""Speed of the fold: the demo's journal and a house of 1000 plants, against reading the same bodies as JSON.

Run as ``.venv/bin/python -m tests.benchmarks.bench_fold``. It prints what it measured and fails on nothing.
"""

from __future__ import annotations

import json
from datetime import date, timedelta
from time import perf_counter

from tests.season.entries import FIRST, Book
from tunneltui.demo.make import demo_entries
from tunneltui.holding.model import Cultivar, Holding, HookKind, Place, Row, String, Tunnel
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import Picked, SideShooted
from tunneltui.journal.kinds_holding_up import Clipped, Lowered
from tunneltui.journal.kinds_journal import CrossedOut, Looked
from tunneltui.journal.kinds_standing import Planted
from tunneltui.season.fold import Fold, fold

ROWS, PLACES, WEEKS = 20, 50, 20


def big_season() -> Book:
    """Every leader clipped and lowered each week, every row looked over, picked and side-shooted."""
    rows = tuple(
        Row(
            number=row,
            wire_height_m=2.1,
            length_m=30.0,
            places=tuple(Place(f"W{row}-{n:02}", 0.5 * n) for n in range(1, PLACES + 1)),
            strings=tuple(String(n, 0.5 * n) for n in range(1, PLACES + 1)),
        )
        for row in range(1, ROWS + 1)
    )
    book = Book()
    tunnel = Tunnel("W", "wide", 40.0, 90.0, rows=rows)
    book.set(Holding("big", tunnels=(tunnel,), cultivars=(Cultivar("c"),), hooks=(HookKind("hook", 0.2),)))
    names = {row.number: [place.name for place in row.places] for row in rows}
    for name in (name for row in names.values() for name in row):
        book.write(Planted("c"), name, id=name)
    for week in range(WEEKS):
        for row, leaders in names.items():
            book.write(Looked(), f"W{row}", day=7 * week)
            book.write(Picked("c", 5.0), f"W{row}", day=7 * week)
            book.write(SideShooted(tuple(leaders)), f"W{row}", day=7 * week)
            for leader in leaders:
                book.write(
                    Clipped(leader, 0.5 + 0.2 * week, string=f"W{row}/{week + 1}", assumed=True), day=7 * week
                )
                lowered = Lowered(leader, turns=1, hook_u_m=1.0 + 0.2 * week, as_proposed=True)
                book.write(lowered, day=7 * week, answers=("lower", f"W{row}", FIRST.isoformat()))
    return book


def against_json(name: str, entries: list[Entry], day: date) -> None:
    start = perf_counter()
    for entry in entries:
        json.loads(entry.body)
    read_s = perf_counter() - start
    folded_s = []
    for _ in range(2):
        start = perf_counter()
        fold(entries, day)
        folded_s.append(perf_counter() - start)
    first, again = (f"{1000 * s:.0f} ms, {s / read_s:.1f} times json.loads" for s in folded_s)
    print(f"{name}, {len(entries)} entries: first {first}; again {again}")


def one_more(book: Book, day: date) -> None:
    folding = Fold(day)
    folding.add(book.entries)
    folding.season()
    ticked = book.write(Lowered("W1-03", turns=1), day=150)
    book.write(CrossedOut(f"act of {ticked}"), day=150)
    book.write(Looked(), "W1", day=150)
    for what, entry in zip(("a tick", "its undo", "a row looked over"), book.entries[-3:], strict=True):
        start = perf_counter()
        folding.add([entry])
        added_s = perf_counter() - start
        folding.season()
        print(f"  {what}: added {1000 * added_s:.1f} ms, with the season {1000 * (perf_counter() - start):.1f} ms")


def main() -> None:
    against_json("demo", demo_entries(), date(2026, 8, 20))
    book = big_season()
    day = FIRST + timedelta(days=160)
    against_json(f"{ROWS * PLACES} plants", book.entries, day)
    one_more(book, day)


if __name__ == "__main__":
    main()
