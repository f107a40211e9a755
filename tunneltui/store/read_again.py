"""Which rows of an outside file are new, known already or changed (rule 4 of the journal, DEVELOPERS.md).

A row's id is worked out from what it speaks of, never from the file's name or path; so a file read again, a grown
file and a second laptop add nothing twice. A row whose value differs from the one in force is "changed": it is
listed, and taken only when asked for, by crossing out the act that brought the old value and writing that act's
rows anew.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import count

from tunneltui.journal.body import draft, typed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import KIND_OF, Body
from tunneltui.journal.kinds_journal import CrossedOut
from tunneltui.journal.naming import import_id
from tunneltui.journal.order import live


@dataclass(frozen=True, slots=True)
class FileRow:
    """One row as an entry to be; ``line`` is where it stands in its file."""

    line: int
    day: date
    about: str
    body: Body

    @property
    def speaks_of(self) -> tuple[str, str, date]:
        """Kind, name and day: rows alike in these are told apart by their order only."""
        name = getattr(self.body, "leader", "") or f"{self.about} {getattr(self.body, 'cultivar', '')}".strip()
        return KIND_OF[type(self.body)], name, self.day


@dataclass(frozen=True, slots=True)
class ChangedRow:
    row: FileRow
    kept: Entry
    """The entry in force, which differs."""


@dataclass(frozen=True, slots=True)
class ReadAgain:
    new: tuple[tuple[date, Draft], ...]
    same: int
    changed: tuple[ChangedRow, ...]


def sort_rows(
    entries: Iterable[Entry], source: str, rows: Sequence[FileRow], without: Collection[str] = ()
) -> ReadAgain:
    """Sorts rows of a file of the shape ``source`` by what the journal knows; acts ``without`` do not count."""
    journal = list(entries)
    ids = {entry.id for entry in journal}
    in_force = {entry.id: entry for entry in live(journal) if entry.act not in without}
    seen: Counter[tuple[str, str, date]] = Counter()
    new: list[tuple[date, Draft]] = []
    changed: list[ChangedRow] = []
    same = 0
    for row in rows:
        id_ = _next_id(source, row, seen[row.speaks_of], ids, in_force)
        seen[row.speaks_of] += 1
        new_draft = draft(row.about, row.body)._replace(id=id_)
        kept = in_force.get(id_)
        if kept is None:
            new.append((row.day, new_draft))
        elif (kept.about, kept.body) == (new_draft.about, new_draft.body):
            same += 1
        else:
            changed.append(ChangedRow(row, kept))
    return ReadAgain(tuple(new), same, tuple(changed))


def _next_id(
    source: str, row: FileRow, occurrence: int, journal_ids: Collection[str], in_force: Collection[str]
) -> str:
    """The row's id; where that was crossed out, the id of its next telling."""
    tellings = (f"{source} ({times})" if times else source for times in count())
    ids = (import_id(telling, *row.speaks_of, occurrence) for telling in tellings)
    return next(id_ for id_ in ids if id_ not in journal_ids or id_ in in_force)


def put_right(entries: Sequence[Entry], source: str, rows: Sequence[FileRow]) -> list[tuple[date, Draft]]:
    """One act that brings a file's changed rows in force, besides its new ones.

    Acts are crossed out whole, so the rest of theirs is written anew.
    """
    acts = {changed.kept.act for changed in sort_rows(entries, source, rows).changed}
    in_file = {row.speaks_of for row in rows}
    old = [entry for entry in live(entries) if entry.act in acts]
    kept = [
        row for entry in old if (row := FileRow(0, entry.day, entry.about, typed(entry))).speaks_of not in in_file
    ]
    marks = [
        (min(entry.day for entry in old if entry.act == act), draft("", CrossedOut(act))) for act in sorted(acts)
    ]
    return [*marks, *sort_rows(entries, source, [*rows, *kept], without=acts).new]
