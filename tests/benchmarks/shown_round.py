"""The program with a made-up round of any length: ``python -m tests.benchmarks.shown_round N TOLD``."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from concurrent.futures import Future
from datetime import date
from pathlib import Path

from tests.benchmarks.made import DAY, view
from tests.benchmarks.subject import tell_views
from tunneltui.cli import collect_seldom
from tunneltui.journal.entry import Draft, Entry
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.round_view import RoundView
from tunneltui.store.seen import JournalHead


class NoJournal:
    """Reads as empty and writes nothing."""

    device = ""

    def head(self) -> JournalHead | None:
        return None

    def entries(self) -> list[Entry]:
        return []

    def settled(self, _day: date) -> list[Entry]:
        return self.entries()

    def submit(self, _drafts: Sequence[Draft], _day: date) -> Future[list[Entry]]:
        raise NotImplementedError

    def close(self) -> None:
        return


class Shows:
    """Always the same round."""

    def __init__(self, shown: RoundView) -> None:
        self._shown = shown

    def whole(self, *_: object) -> RoundView:
        return self._shown

    def written(self, *_: object) -> None:
        return None

    def near(self) -> None:
        return None

    def today(self) -> None:
        return None


def main() -> None:
    collect_seldom()
    count, told = sys.argv[1:]
    tell_views(Path(told))
    shown = view(int(count))
    TunnelApp(NoJournal(), on=DAY, first=shown, planner=Shows(shown)).run(mouse=False)


if __name__ == "__main__":
    main()
