"""Every figure of speed that is aimed at: ``python -m tests.benchmarks [--json FILE] [NAME ...]``.

Each subject is measured turn by turn with its reference in the same run, after its output was checked. The ratio
is the median of pairs, its interval holds the median in 19 of 20 runs. NAMEs choose some; all of them take about
half an hour and 8 GB, most of it for houses of 20,000 leaders. On a busy machine ratios hold better than
milliseconds.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import asdict
from pathlib import Path

from tests.benchmarks import on_screen, worked_out
from tests.benchmarks.figures import Figure
from tunneltui.cli import collect_seldom

BENCHES: dict[str, Callable[[Path], Iterator[Figure]]] = {
    "start": on_screen.first_paint,
    "start-large": on_screen.first_paint_large,
    "keys": on_screen.keys,
    "ticks": on_screen.ticks,
    "screens": on_screen.change_of_screen,
    "memory": on_screen.memory,
    "fold": worked_out.fold_of_a_journal,
    "recompute": worked_out.recompute,
    "seasons": worked_out.ten_seasons,
    "plan": worked_out.plan_after_a_tick,
    "row": worked_out.row_after_a_tick,
    "outlook": worked_out.outlooks,
    "strength": worked_out.strength_fit,
}


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(BENCHES))
    parser.add_argument("--json", type=Path, metavar="FILE", help="the same figures as JSON")
    asked = parser.parse_args()
    collect_seldom()
    if unknown := [name for name in asked.names if name not in BENCHES]:
        parser.error(f"no such bench: {', '.join(unknown)}; there are {', '.join(BENCHES)}")
    figures = []
    print(f"{'':52}{'figure':>9}  {'interval':>15}  {'aim':>7}  {'subject':>10}  {'reference':>10}")
    for name in asked.names or BENCHES:
        with tempfile.TemporaryDirectory(prefix="tunneltui-bench-") as folder:
            for found in BENCHES[name](Path(folder)):
                figures.append(found)
                print(line(found), flush=True)
    if asked.json is not None:
        told = [{**asdict(found), "reached": found.reached} for found in figures]
        asked.json.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")
    missed = sum(not found.reached for found in figures)
    print(f"{len(figures) - missed} of {len(figures)} figures reached", file=sys.stderr)


def line(found: Figure) -> str:
    ends = f"{found.low:.2f} to {found.high:.2f}"
    taken = [f"{ms:.1f} ms" if ms is not None else "" for ms in (found.subject_ms, found.reference_ms)]
    mark = "  " if found.reached else " *"
    note = f"    {found.unit}; {found.note}" if found.note else f"    {found.unit}"
    shown = f"{found.what:<52}{found.value:9.2f}{mark}{ends:>15}  {found.aim:7.2f}"
    return f"{shown}  {taken[0]:>10}  {taken[1]:>10}\n{note}"


if __name__ == "__main__":
    main()
