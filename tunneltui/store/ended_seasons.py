"""What ended seasons of a journal file come to, kept in the cache folder: a morning of a journal of ten years then
reads and folds little more than one of its first.

The file's first line says of which rows it was made, by a sum over all that they hold: it counts only while the
journal has those very rows, and only for this very program. Where it is missing, damaged or of other
rows the whole journal is read and folded. It may be lost at any time. Shared journals are always folded whole.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from contextlib import suppress
from datetime import date, timedelta
from functools import cache, partial
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tunneltui import __version__
from tunneltui.season.long_journal import LongJournal
from tunneltui.store.folders import PRIVATE_FILE, cache_folder, private_folder
from tunneltui.store.journal_file import JournalFile

if TYPE_CHECKING:
    from tunneltui.journal.entry import Entry
    from tunneltui.season.fold import Fold
    from tunneltui.store.journals import Journal
    from tunneltui.store.where import Where

_FORM = 1
"""Of the file; raised when a field of it changes its meaning."""
_FOLDS = ("holding", "journal", "season")
"""Folders of this program of which a fold is made."""
LEAST = 3_000
"""Entries of a journal of which ended seasons are kept: a season of fifty plants."""
MADE_ANEW_AFTER = timedelta(days=90)
"""What came after it is folded again each time."""
_SPOILT = (OSError, ValueError, KeyError, TypeError, IndexError)


class _Kept(NamedTuple):
    """The first line of the file."""

    form: int
    program: str
    day: str
    last_seq: int
    rows: str
    """The sum of the journal's rows up to ``last_seq``."""
    past: str
    """The sum of what follows; '' where nothing was to be kept."""


def read_entries(journal: Journal) -> list[Entry] | LongJournal:
    """Every entry in order; those of ended seasons only when somebody asks for them, where that is kept."""
    if isinstance(journal, JournalFile) and (head := journal.head()).count >= LEAST:
        with suppress(*_SPOILT):
            return _long_journal(journal, _file(head.journal_id))
    return journal.entries()


def settle(where: Where, entries: Sequence[Entry], folding: Fold) -> None:
    """Keeps what the ended seasons come to, where that is worth it; ``folding``: the fold of all ``entries``."""
    if isinstance(where, Path) and len(entries) >= LEAST and _is_worth_it(entries, folding):
        # Nothing but speed rests on it.
        with suppress(*_SPOILT), JournalFile.open(where, create=False, read_only=True) as journal:
            _settle(journal, list(entries), folding)


def _is_worth_it(entries: Sequence[Entry], folding: Fold) -> bool:
    if isinstance(entries, LongJournal) and (folding.day < entries.past.day or folding.is_resumed):
        return folding.day >= entries.past.day + MADE_ANEW_AFTER
    return folding.has_ended_seasons


def _settle(journal: JournalFile, entries: list[Entry], folding: Fold) -> None:
    from tunneltui.season.fold import Fold
    from tunneltui.season.past import packed

    head = journal.head()
    file = _file(head.journal_id)
    if _was_in_vain(file, folding.day):
        return
    past = (Fold.of(entries, folding.day) if folding.is_resumed else folding).past(entries)
    # Rows that do not count, or that came meanwhile, are in the journal and not among the entries.
    data = packed(past) if past is not None and head.count == len(entries) else b""
    rows = journal.sum_of_rows(head.last_seq)
    day = folding.day.isoformat()
    _write(file, _Kept(_FORM, _program(), day, head.last_seq, rows, _sum(data) if data else ""), data)


def _long_journal(journal: JournalFile, file: Path) -> LongJournal:
    """Raises one of ``_SPOILT`` where nothing is kept that holds."""
    from tunneltui.season.past import unpacked

    kept, data = _read(file)
    if kept.past != _sum(data) or kept.rows != journal.sum_of_rows(kept.last_seq):
        raise ValueError("It is damaged, or of other rows.")
    later = [entry for _, entry in journal.entries_after(kept.last_seq)]
    return LongJournal(unpacked(data), later, cache(partial(_every_entry, journal.path)))


def _every_entry(path: Path) -> list[Entry]:
    with JournalFile.open(path, create=False, read_only=True) as journal:
        return journal.entries()


def _was_in_vain(file: Path, day: date) -> bool:
    """Whether it was tried lately and nothing could be kept."""
    with suppress(*_SPOILT):
        kept, _ = _read(file)
        return not kept.past and abs(day - date.fromisoformat(kept.day)) < MADE_ANEW_AFTER
    return False


def _read(file: Path) -> tuple[_Kept, bytes]:
    line, _, data = file.read_bytes().partition(b"\n")
    kept = _Kept(*json.loads(line))
    if (kept.form, kept.program) != (_FORM, _program()):
        raise ValueError("Another program made it.")
    return kept, data


def _write(file: Path, kept: _Kept, data: bytes) -> None:
    private_folder(file.parent)
    spare = file.with_name(f".{file.name}.{os.urandom(4).hex()}")
    handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE)
    with os.fdopen(handle, "wb") as out:
        out.write(json.dumps(kept).encode() + b"\n" + data)
    spare.replace(file)


def _program() -> str:
    """The version and the state of the code that folds, which changes between versions too."""
    files = (file for folder in _FOLDS for file in sorted((Path(__file__).parents[1] / folder).glob("*.py")))
    states = [(file.name, (status := file.stat()).st_size, status.st_mtime_ns) for file in files]
    return f"{__version__} {_sum(repr(states).encode())}"


def _sum(data: bytes) -> str:
    return sha256(data).hexdigest()


def _file(journal_id: str) -> Path:
    plain = "".join(sign for sign in journal_id if sign.isascii() and sign.isalnum())
    return cache_folder() / f"seasons-{plain[:32]}.past"
