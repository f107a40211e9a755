"""Which of some offered entries are new to a journal: plain values, no file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tunneltui.journal.entry import Entry


@dataclass(frozen=True, slots=True)
class Differing:
    """One id that says two things: as kept here, and as offered."""

    here: Entry
    offered: Entry


@dataclass(frozen=True, slots=True)
class Added:
    """What becomes of the offered entries."""

    new: tuple[Entry, ...]
    """Their ids were not in the journal."""
    same: int
    """Entries that are there already."""
    differing: tuple[Differing, ...]
    """Entries whose ids are there with other content."""
    rows: tuple[tuple[int, Entry], ...]
    """What is to be written, with the version of each: 0, or more for a second entry of an id."""


def sort_out(standing: Mapping[str, Sequence[Entry]], offered: Iterable[Entry]) -> Added:
    """Compares the offered entries with the versions ``standing`` here of their ids.

    Two laptops that read one file have the same ids with other times: such a version is kept too, so that all
    laptops end with the same rows, but it says nothing new and counts as the same.
    """
    held = {id_: list(versions) for id_, versions in standing.items()}
    new: list[Entry] = []
    same = 0
    differing: list[Differing] = []
    rows: list[tuple[int, Entry]] = []
    for carried in offered:
        # What is here is read without its seal, and an entry is the same with and without.
        entry = carried._replace(seal="")
        versions = held.setdefault(entry.id, [])
        if not versions:
            new.append(entry)
        elif any(_says(version) == _says(entry) for version in versions):
            same += 1
        else:
            differing.append(Differing(versions[0], entry))
        if entry not in versions:
            rows.append((len(versions), carried))
            versions.append(entry)
    return Added(tuple(new), same, tuple(differing), tuple(rows))


def _says(entry: Entry) -> tuple[object, ...]:
    return (entry.day, entry.about, entry.kind, entry.v, entry.body)
