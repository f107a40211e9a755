"""The program as it is measured: as a grower starts it, but telling in a file when it painted what.

``python -m tests.benchmarks.subject JOURNAL TOLD [DAY]``. It imports no more than the program does.
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from time import perf_counter

from tunneltui.chores.kinds import KINDS
from tunneltui.cli import collect_seldom
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.start import run
from tunneltui.screens.walk_pane import WalkPane


def tell_views(told: Path) -> None:
    """A line in ``told`` for every confirmed view that is painted."""
    watch = TunnelApp.watch_view

    def tell() -> None:
        with told.open("a", encoding="ascii") as out:
            out.write(f"{perf_counter()}\n")

    def told_watch(app: TunnelApp, shown: RoundView | None) -> None:
        watch(app, shown)
        if shown is not None and shown.confirmed:
            app.call_after_refresh(tell)

    TunnelApp.watch_view = told_watch  # type: ignore[method-assign,assignment]


def walk_by_stems() -> None:
    """The key to the next pass goes to the next stop of a single leader, so that ticks can be compared."""

    def onwards(pane: WalkPane) -> None:
        laid = pane.walk.walk
        stops = list(laid.stops.values())
        at = stops.index(pane.walk.stop) if pane.walk.stop in stops else -1
        for stop in stops[at + 1 :]:
            chores = laid.here(stop)
            leaders = {leader for chore in chores for leader in chore.leaders}
            if (
                len(leaders) == 1
                and pane.walk.is_open(stop)
                and all(KINDS[c.kind].walk == "plants" and KINDS[c.kind].is_ticked for c in chores)
            ):
                pane.walk.go_to_stop(stop.key)
                pane.refresh_pass()
                return

    WalkPane.action_pass_after = onwards  # type: ignore[method-assign,assignment]


def main() -> None:
    collect_seldom()
    journal, told, *day = sys.argv[1:]
    tell_views(Path(told))
    walk_by_stems()
    run(Path(journal), date.fromisoformat(day[0]) if day else None)


if __name__ == "__main__":
    main()
