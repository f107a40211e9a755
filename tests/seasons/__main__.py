"""The score of the rules over whole seasons in tunnels nobody has seen.

    .venv/bin/python -m tests.seasons --houses 8 --seed 1              # obedient and sloppy, full minutes
    .venv/bin/python -m tests.seasons --growers "obedient,ticks only,away" --jobs 2 --json /tmp/score.json
    .venv/bin/python -m tests.seasons --minutes 0.3                    # three tenths of each house's minutes
    .venv/bin/python -m tests.seasons --minutes unlimited              # the ceiling
    .venv/bin/python -m tests.seasons --look 1017                      # one season, day by day
    .venv/bin/python -m tests.seasons --look 1017 --only W1-07a        # one stem of it

Houses are drawn by number, from ``--seed`` times 1000 on; fresh houses are another seed. Growers: obedient, ticks
only, sloppy, away; the fixed passes that they are held against are always run. The table is pooled over them,
and below it stands, house by house, what the rounds should not have said. The same seed gives the same score. A
season of 20 stems takes about 20 s of one core.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from tests.seasons.growers import BY_NAME, FIXED, ByTheRound
from tests.seasons.houses import House, Minutes, Truth, house
from tests.seasons.score import Row, causes, document, line, minutes_by_kind, row_of, table
from tests.seasons.season import live
from tests.seasons.truth.garden import Garden
from tunneltui.chores.morning import Morning

HOUSES_A_SEED = 1000


def run(
    numbers: list[int],
    growers: list[str],
    minutes: Minutes,
    most: int | None = None,
    jobs: int = 1,
    truth: Truth = "first",
) -> list[Row]:
    """Every house with every grower, and with the fixed passes; in a stated order."""
    tasks = [(number, grower, minutes, most, truth) for number in numbers for grower in (FIXED, *growers)]
    if jobs <= 1:
        return [_told(_one(task)) for task in tasks]
    with ProcessPoolExecutor(jobs) as pool:
        return [_told(row) for row in pool.map(_one, tasks)]


def _one(task: tuple[int, str, Minutes, int | None, Truth]) -> Row:
    number, grower, minutes, most, truth = task
    return row_of(live(house(number, minutes=minutes, most_leaders=most, truth=truth), grower))


def _told(row: Row) -> Row:
    """Says on the side how far it has come: seasons take their time."""
    print(line(row), file=sys.stderr, flush=True)
    return row


def numbers_of(seed: int, houses: int) -> list[int]:
    return [seed * HOUSES_A_SEED + number for number in range(houses)]


def _minutes(text: str) -> Minutes:
    if text in ("full", "unlimited"):
        return "full" if text == "full" else "unlimited"
    return float(text)


def _look(there: House, grower: str, only: str) -> None:
    """Prints a season: what was asked, what was done, how it truly stood after it."""
    print(f"house {there.seed}, {grower}: {there.says()}")

    def tell(garden: Garden, shown: Morning, who: ByTheRound) -> None:
        walk, book = shown.round, garden.book
        ripe_kg = sum(truss.kg for stem in garden.stems for truss in stem.trusses if truss.ripe_on)
        print(
            f"\n{walk.day} {walk.day:%a}  planned {walk.minutes_planned:.0f} of {walk.minutes_there:.0f} min, "
            f"took {who.spent.all:.0f}; {len(walk.later)} later; picked {book.picked_kg:.1f} kg, ripe hanging "
            f"{ripe_kg:.1f} kg"
        )
        done = set(who.done)
        for chore in [chore for spot in walk.spots for chore in spot.chores] if not only else []:
            signs = f"{'x' if (chore.kind, chore.about) in done else ' '}{'!' if chore.must else ' '}"
            print(f"  {signs} {chore.minutes:4.1f} {chore.kind}: {chore.proposal[:150]}")
        for chore in (c for c in walk.later if c.earliest <= walk.day and not only):
            print(f"   -      {chore.minutes:4.1f} later {chore.kind}: {chore.proposal[:120]}")
        for stem in garden.stems:
            told = shown.outlook.leaders.get(stem.id)
            if (only and stem.name != only) or (not only and not _is_odd(stem.over_m, stem.loose_m, stem.grows)):
                continue
            says = ""
            if told is not None and stem.id in shown.season.leaders:
                on = shown.outlook.stem(stem.id, walk.day)
                says = (
                    f"; told {on.length_m.low:.2f}-{on.length_m.high:.2f} m, tip {on.tip_z_m.low:.2f}-"
                    f"{on.tip_z_m.high:.2f}"
                )
            print(
                f"      {stem.name} {stem.length_m:.2f} m, tip {stem.tip_m:.2f} ({-stem.over_m:.2f} under), loose "
                f"{stem.loose_m:.2f}, hook {(stem.hook_u_m or 0) - stem.root_u_m:.2f} on, {stem.hanging_kg:.1f} kg"
                f"{', stopped' if stem.stopped_on else ''}{', dropped' if stem.dropped_on else ''}"
                f"{', dead' if stem.dead_on else ''}{says}"
            )

    lived = live(there, grower, tell)
    print(f"\n{causes([row_of(lived)], most=30)}")


def _is_odd(over_m: float, loose_m: float, grows: bool) -> bool:
    return grows and (over_m > 0.02 or loose_m > 0.45)


def main(argv: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.seasons", description=__doc__.split("\n", 1)[0])
    parser.add_argument("--houses", type=int, default=8)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--growers", default="obedient,sloppy", help=f"of {', '.join(BY_NAME)}")
    parser.add_argument("--minutes", type=_minutes, default="full", help="full, unlimited, or a share such as 0.3")
    parser.add_argument("--most", type=int, default=None, metavar="STEMS", help="only houses so small")
    parser.add_argument("--truth", choices=("first", "other", "mixed"), default="mixed", help="the hidden laws")
    parser.add_argument("--json", type=Path, default=None, metavar="FILE")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--no-causes", action="store_true", help="the table alone")
    parser.add_argument("--look", type=int, default=None, metavar="HOUSE", help="one season day by day")
    parser.add_argument("--only", default="", metavar="STEM", help="with --look: that stem alone")
    args = parser.parse_args(argv)
    growers = [name.strip() for name in args.growers.split(",")]
    os.environ.setdefault("TUNNELTUI_HOME", "/nonexistent")
    if args.look is not None:
        there = house(args.look, minutes=args.minutes, most_leaders=args.most, truth=args.truth)
        _look(there, growers[0], args.only)
        return 0
    rows = run(numbers_of(args.seed, args.houses), growers, args.minutes, args.most, args.jobs, args.truth)
    asked = {"seed": args.seed, "houses": args.houses, "growers": growers, "minutes": args.minutes}
    asked["truth"] = args.truth
    print(
        f"{args.houses} houses of seed {args.seed}, {args.truth} truth, minutes {args.minutes}\n"
        f"{table(rows)}\n{minutes_by_kind(rows)}"
    )
    if not args.no_causes:
        print(f"\n{causes(rows)}")
    if args.json is not None:
        args.json.write_text(json.dumps(document(rows, asked), indent=1), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
