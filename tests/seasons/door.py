"""The program's own door, in one process: the checkers and functions that its commands call, on a journal file.

A season is a few thousand commands; each as a process of its own would take half a second. What differs from the
command line is only that the file stays open between them and that the clock is the season's.
"""

from __future__ import annotations

import tempfile
from bisect import insort
from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from pathlib import Path
from random import Random
from types import TracebackType
from typing import Self

from tunneltui.chores.morning import Morning, morning_of
from tunneltui.holding.check import checked_holding
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.report.done_line import done_line
from tunneltui.report.open_journal import refuse_future, refuse_past_forecast
from tunneltui.report.typed_entry import typed_entries
from tunneltui.season.fold import Fold
from tunneltui.season.state import Season
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.kept_round import as_shown

SHARED_MEMORY = Path("/dev/shm")  # noqa: S108 (a season's journal need not outlive it, and must not wait for a disk)


class Door:
    """One journal and the day it is used on. Use it in a ``with``."""

    def __init__(self, seed: int, day: date) -> None:
        self._folder = tempfile.TemporaryDirectory(dir=SHARED_MEMORY if SHARED_MEMORY.is_dir() else None)
        here = Path(self._folder.name)
        self._now_us = 0
        self.day = day
        self.entries: list[Entry] = []
        self.refused: list[str] = []
        """What the program did not take, with its sentence."""
        self._folding: Fold | None = None
        self._unread: list[Entry] = []
        """Written since the season was last folded: most of a morning's acts are read only the next day."""
        self._journal = JournalFile.open(
            here / "season.db",
            state_dir=here / "state",
            clock=self._clock,
            device="season",
            random_bits=Random(f"ids {seed}").getrandbits,
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._journal.close()
        self._folder.cleanup()

    def _clock(self) -> int:
        """Six in the morning of the season's day, a second after the act before."""
        morning = datetime.combine(self.day, time(6), UTC)
        self._now_us = max(int(morning.timestamp() * 1_000_000), self._now_us + 1_000_000)
        return self._now_us

    def go_to(self, day: date) -> None:
        if day != self.day:
            self.day, self._folding = day, None

    # ------------------------------------------------------------------------------------------ what it shows

    @property
    def season(self) -> Season:
        return self._fold().season()

    def _fold(self) -> Fold:
        if self._folding is None:
            self._folding = Fold(self.day)
            self._folding.add(self.entries)
        elif self._unread:
            self._folding.add(self._unread)
        self._unread = []
        return self._folding

    def round(self, minutes: float | None = None) -> Morning:
        """What ``round`` works out and prints; for so many minutes where they are said."""
        return morning_of(self.season, tuple(self.entries), minutes=minutes)

    # ------------------------------------------------------------------------------------------ what it takes

    def new(self, toml: str, day: date) -> None:
        """``holding edit --from FILE``, the checked text of ``new`` with what differs put right."""
        checked_holding(toml)
        self.write([draft("", HoldingSet(toml))], day)

    def add(self, kind: str, *words: str, about: str | None = None, on: date | None = None) -> list[Entry]:
        """``add KIND KEY=VALUE ... --about PLACE --on DAY``; nothing is written where it is refused."""
        try:
            return self.write(typed_entries(self._season_of(on), kind, words, about), on)
        except UserError as fault:
            self.refused.append(f"{self.day} add {kind} {' '.join(words)}: {fault}")
            return []

    def add_each(self, kind: str, every: Sequence[tuple[Sequence[str], date]]) -> None:
        """Entries of one kind about the house, one a day, each checked as if it were typed; one act."""
        season = self.season if every else None
        dated = [
            (day, one)
            for words, day in every
            if season is not None
            for one in typed_entries(season, kind, words, "")
        ]
        self._append(dated)

    def _season_of(self, on: date | None) -> Season:
        if on is None or on == self.day:
            return self.season
        folding = Fold(on)
        folding.add(self.entries)
        return folding.season()

    def done(self, line: str, morning: Morning) -> list[Entry]:
        """``done LINE`` of the round that was shown."""
        try:
            return self.write(done_line(line, morning, as_shown(morning.round)).drafts)
        except UserError as fault:
            self.refused.append(f"{self.day} done {line}: {fault}")
            return []

    def write(self, drafts: Sequence[Draft], on: date | None = None) -> list[Entry]:
        """One act: what a tick, a form or a command writes; nothing where it is refused."""
        try:
            return self._append([(on or self.day, one) for one in drafts])
        except UserError as fault:
            self.refused.append(f"{self.day} {', '.join(dict.fromkeys(one.kind for one in drafts))}: {fault}")
            return []

    def _append(self, dated: Sequence[tuple[date, Draft]]) -> list[Entry]:
        if not dated:
            return []
        refuse_future(dated, self.day)
        refuse_past_forecast(dated)
        written = self._journal.append_days(dated)
        for entry in written:
            insort(self.entries, entry, key=lambda one: one.order)
        self._unread += written
        return written
