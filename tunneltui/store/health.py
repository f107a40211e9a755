"""``journal check``: what is wrong with a journal file, in plain sentences, and nothing changed by looking."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from tunneltui.cells import one_line
from tunneltui.holding.check import checked_holding
from tunneltui.holding.user_error import Fault, UserError
from tunneltui.journal.body import BodyFault, typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.journal.order import MARKS, acts_out
from tunneltui.season.fold import fold
from tunneltui.store import folders, opening, seals, seen
from tunneltui.store.backup import backups
from tunneltui.store.clock import Clock, local_day, now_us
from tunneltui.store.connection import connect, in_plain_words
from tunneltui.store.journal_file import JournalFile
from tunneltui.store.journals import is_there, open_journal
from tunneltui.store.rows import RowAside, aside_words, parted
from tunneltui.store.where import Where

_TOLD_OF_A_KIND = 10
_DAY_US = 86_400_000_000


def check_journal(where: Where, *, state_dir: Path | None = None, clock: Clock = now_us) -> list[Fault]:
    """Everything that is wrong with a journal; an empty list where nothing is.

    Raises:
        UserError: its server is away.
    """
    if isinstance(where, Path):
        return check_file(where, state_dir=state_dir, clock=clock)
    from tunneltui.store.shared_health import faults_of_server

    state = state_dir or folders.state_folder()
    faults, rows = faults_of_server(where, state)
    return [*faults, *_rows(rows, clock())]


def check_file(path: Path, *, state_dir: Path | None = None, clock: Clock = now_us) -> list[Fault]:
    """Everything that is wrong with the journal at ``path``; an empty list where nothing is.

    Damage comes first and alone: what a damaged file says is not worth checking.
    """
    path = path.expanduser().resolve()
    state = state_dir or folders.state_folder()
    try:
        with JournalFile.open(path, create=False, read_only=True, state_dir=state, accept_older=True) as journal:
            rows = journal.sealed_rows()
    except UserError as trouble:
        return [Fault(trouble), *_damage(path), *_backup_faults(path)]
    # Opening looks at every page; what an index lacks is only found by looking at all of it.
    if damage := list(_damage(path)):
        return [*damage, *_backup_faults(path)]
    return [
        *_older(path, state),
        *_rights(path),
        *_conflict_copies(path),
        *_rows(rows, clock()),
    ]


def _rows(rows: Sequence[Sequence[Any]], now_us: int) -> list[Fault]:
    """What is wrong with what is written, wherever it is kept: every row with its seal, in order of arrival."""
    numbered, aside = parted(rows)
    entries = [entry for _, entry in numbered]
    return [
        *aside_faults(aside, entries),
        *_numbers([row[0] for row in rows]),
        *_first_of(seals.faults(rows, acts_out(entry for entry in entries if entry.kind in MARKS))),
        *_says_two_things(entries),
        *_of_tomorrow(entries, now_us),
        *_first_of(fault for entry in entries for fault in _body_fault(entry)),
        *_set_aside(entries),
    ]


def aside_faults(aside: Sequence[RowAside], entries: Sequence[Entry]) -> list[Fault]:
    """Rows that do not count, save those whose act was crossed out since."""
    out = acts_out(entry for entry in entries if entry.kind in MARKS)
    return _first_of(Fault(f"Set aside: {aside_words(row)}.") for row in aside if row.act not in out)


def _numbers(seqs: Sequence[int]) -> Iterator[Fault]:
    """Numbers are given without gaps, from 1 on."""
    if below := sum(seq < 1 for seq in seqs):
        yield Fault(f"{below} entries are numbered below 1: something else than this program wrote them.")
    if missing := max(0, max(seqs, default=0)) - (len(seqs) - below):
        between = f"{missing} numbers between the first entry and the last are missing"
        yield Fault(f"{between}: rows were taken out by hand.")


def accept_as_found(where: Where, *, state_dir: Path | None = None) -> None:
    """From now on the journal counts as it is found, also where it was newer once or is gone.

    Raises:
        UserError: the file is there and damaged.
    """
    where = where.expanduser().resolve() if isinstance(where, Path) else where
    state = state_dir or folders.state_folder()
    seen.forget(state, where)
    if is_there(where):
        open_journal(where, create=False, read_only=True, state_dir=state).close()


def _damage(path: Path) -> Iterator[Fault]:
    """All that SQLite finds, up to a hundred faults, where the file can be opened at all."""
    try:
        with in_plain_words(path), closing(connect(path, read_only=True)) as connection:
            faults = connection.execute("PRAGMA integrity_check").fetchall()
    except UserError:
        return
    lines = [line for (text,) in faults for line in str(text).splitlines() if line != "ok"]
    yield from (Fault(f"SQLite says: {one_line(line, 200)}.") for line in lines[:_TOLD_OF_A_KIND])
    if len(lines) > _TOLD_OF_A_KIND:
        yield Fault(f"SQLite says {len(lines) - _TOLD_OF_A_KIND} more things of this sort.")


def _backup_faults(path: Path) -> list[Fault]:
    kept = backups(path)
    if not kept:
        return [Fault("There is no backup of this journal on this machine.")]
    newest = f"The newest backup is of {kept[0].day.isoformat()}"
    return [Fault(f"{newest}; there are {len(kept)} in {kept[0].path.parent}.")]


def _older(path: Path, state: Path) -> list[Fault]:
    try:
        with closing(connect(path, read_only=True)) as connection:
            opening.refuse_if_older(path, connection, seen.last_seen(state, path))
    except UserError as trouble:
        return [Fault(trouble)]
    return []


def _rights(path: Path) -> list[Fault]:
    mode = path.stat().st_mode
    if os.name == "nt" or not mode & 0o077:
        return []
    keeps = f"`chmod 600 {path}` keeps it private."
    return [Fault(f"Other users of this machine may read or write the journal. {keeps}")]


def _conflict_copies(path: Path) -> list[Fault]:
    """Folder synchronisers leave such copies where two machines wrote one file: each may hold entries."""
    conflict_copies = [
        other.name
        for other in path.parent.iterdir()
        if other != path and other.name.startswith(path.stem) and "conflict" in other.name.lower()
    ]
    return [
        Fault(
            f"A synchroniser left the copy {name} beside the journal: it may hold entries that are missing here. "
            "Merge it, and keep the live journal out of synchronised folders."
        )
        for name in sorted(conflict_copies)
    ]


def _says_two_things(entries: Sequence[Entry]) -> list[Fault]:
    contents: dict[str, set[tuple[object, ...]]] = {}
    for entry in entries:
        contents.setdefault(entry.id, set()).add((entry.day, entry.about, entry.kind, entry.v, entry.body))
    doubles = [entry for entry in entries if len(contents[entry.id]) > 1]
    once = {entry.id: entry for entry in reversed(doubles)}
    return _first_of(
        Fault(
            f"The {one_line(entry.kind, 30)} of {entry.day} about {one_line(entry.about, 30) or 'the house'} came "
            "in two versions by a merge; the one written first counts. Cross it out if it is the wrong one."
        )
        for entry in once.values()
    )


def _of_tomorrow(entries: Sequence[Entry], now_us: int) -> list[Fault]:
    """A clock that ran ahead: later entries of that device are numbered on from there until the time has come."""
    ahead = Counter(entry.device for entry in entries if entry.at_us > now_us + _DAY_US)
    return [
        Fault(
            f"{count} entries of the machine {one_line(device, 20)} are written later than today "
            f"({local_day(now_us)}): its clock ran ahead. They count, in the order in which they were made."
        )
        for device, count in sorted(ahead.items())
    ]


def _body_fault(entry: Entry) -> Iterator[Fault]:
    where = f"{one_line(entry.kind, 30)} of {entry.day} (entry {one_line(entry.id, 40)})"
    try:
        body = typed(entry)
    except (BodyFault, RecursionError) as fault:
        yield Fault(f"The {where} cannot be read and does not count: {one_line(fault)}.")
        return
    if isinstance(body, HoldingSet):
        try:
            checked_holding(body.toml, "holding")
        except UserError as trouble:
            faults = "; ".join(trouble.problem.splitlines())
            yield Fault(f"The {where} is no holding that can be used: {one_line(faults, 300)}")


def _set_aside(entries: Sequence[Entry]) -> list[Fault]:
    if not entries:
        return []
    season = fold(entries, max(entry.day for entry in entries))
    return _first_of(
        Fault(
            f"The {one_line(aside.entry.kind, 30)} of {aside.entry.day} about "
            f"{one_line(aside.entry.about, 30) or 'the house'} does not count: {one_line(aside.why)}."
        )
        for aside in season.set_aside
    )


def _first_of(faults: Iterator[Fault]) -> list[Fault]:
    listed = list(faults)
    more = (
        [Fault(f"And {len(listed) - _TOLD_OF_A_KIND} more like these.")] if len(listed) > _TOLD_OF_A_KIND else []
    )
    return listed[:_TOLD_OF_A_KIND] + more
