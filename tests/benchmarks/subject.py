"""The program as it is measured: as a grower starts it, but telling in a file when it painted what.

``python -m tests.benchmarks.subject open JOURNAL TOLD [DAY] | chores N TOLD``
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date
from pathlib import Path
from time import perf_counter

from tests.benchmarks.made import DAY, picture
from tunneltui.journal.entry import Draft, Entry
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.picture import Picture
from tunneltui.screens.start import run
from tunneltui.screens.walk_list import WalkList
from tunneltui.store.seen import Head


class NoJournal:
    """Reads as empty and writes nothing."""

    device = ""

    def head(self) -> Head | None:
        return None

    def entries(self) -> list[Entry]:
        return []

    def submit(self, _drafts: Sequence[Draft], _day: date) -> Future[list[Entry]]:
        raise NotImplementedError

    def close(self) -> None:
        return


class Shows:
    """Always the same round."""

    def __init__(self, shown: Picture) -> None:
        self._shown = shown

    def whole(self, *_: object) -> Picture:
        return self._shown

    def written(self, *_: object) -> None:
        return None

    def near(self) -> None:
        return None

    def today(self) -> None:
        return None


def tell_pictures(told: Path) -> None:
    """A line in ``told`` for every confirmed picture that is painted."""
    watch = TunnelApp.watch_picture

    def tell() -> None:
        with told.open("a", encoding="ascii") as out:
            out.write(f"{perf_counter()}\n")

    def told_watch(app: TunnelApp, shown: Picture | None) -> None:
        watch(app, shown)
        if shown is not None and shown.confirmed:
            app.call_after_refresh(tell)

    TunnelApp.watch_picture = told_watch  # type: ignore[method-assign,assignment]


def walk_by_stems() -> None:
    """The key to the next heading goes to the next chore of a single leader, so that ticks can be compared."""

    def onwards(walk: WalkList) -> None:
        chores = {chore.id: chore for chore in walk.chores}
        for number in range(walk.cursor + 1, len(walk.lines)):
            chore = chores.get(walk.lines[number].key)
            if chore is not None and walk.is_open(chore) and len(chore.leaders) == 1 and chore.writes:
                walk.move_to(number)
                return

    WalkList.action_heading_after = onwards  # type: ignore[method-assign,assignment]


def main() -> None:
    gc.set_threshold(50_000)  # as the command line sets it
    what, first, told, *day = sys.argv[1:]
    tell_pictures(Path(told))
    if what == "open":
        walk_by_stems()
        run(Path(first), date.fromisoformat(day[0]) if day else None)
    else:
        shown = picture(int(first))
        TunnelApp(NoJournal(), on=DAY, first=shown, planner=Shows(shown)).run(mouse=False)


if __name__ == "__main__":
    main()
