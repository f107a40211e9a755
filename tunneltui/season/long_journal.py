"""A journal of several seasons, of which the ended ones are read only when somebody asks for their entries."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from functools import cached_property
from operator import attrgetter
from typing import Any, overload

from tunneltui.journal.entry import Entry
from tunneltui.journal.order import one_of_each
from tunneltui.season.past import Past


class LongJournal(Sequence[Entry]):
    """Every entry in order. What is at hand is enough for a season (``season.fold``)."""

    def __init__(
        self,
        past: Past,
        later: Sequence[Entry],
        read: Callable[[], Sequence[Entry]],
        left_out: frozenset[str] = frozenset(),
    ) -> None:
        """``later``: what came after the past was made; ``read`` gives every entry that is written, also those;
        ``left_out``: ids of entries that are not looked at, none of them of an ended season."""
        self.past = past
        self.later = later
        self.left_out = left_out
        self._read = read

    @property
    def recent(self) -> list[Entry]:
        """Those that are at hand: of standing plants, of the last weeks, holdings, marks and what marks name."""
        return self._looked_at([*self.past.entries, *self.later])

    def with_later(self, entry: Entry) -> LongJournal:
        """And one more."""
        return LongJournal(self.past, [*self.later, entry], self._read, self.left_out)

    def without(self, ids: Set[str]) -> LongJournal:
        """Without some of those at hand."""
        return LongJournal(self.past, self.later, self._read, self.left_out | ids)

    def _looked_at(self, entries: Iterable[Entry]) -> list[Entry]:
        return [entry for entry in entries if entry.id not in self.left_out]

    @cached_property
    def _all(self) -> list[Entry]:
        """What was written since the journal was read is among the later ones."""
        return sorted(one_of_each(self._looked_at([*self._read(), *self.later])), key=attrgetter("order"))

    def __len__(self) -> int:
        return len(self.past.ids) + len(self.past.entries) + len(self.later) - len(self.left_out)

    @overload
    def __getitem__(self, index: int) -> Entry: ...
    @overload
    def __getitem__(self, index: slice) -> list[Entry]: ...
    def __getitem__(self, index: Any) -> Any:
        return self._all[index]

    def __iter__(self) -> Iterator[Entry]:
        return iter(self._all)


def at_hand(entries: Sequence[Entry]) -> Sequence[Entry]:
    """Enough of the entries for what asks for holdings, marks or the last weeks alone."""
    return entries.recent if isinstance(entries, LongJournal) else entries
