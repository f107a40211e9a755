"""The whole journal as JSON Lines and back, byte for byte: one entry a line, the body as a text inside it.

The body stays a text, never taken apart, so that kinds and keys of a newer version, number shapes and spaces
come back as they were.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.store.adding import Added
from tunneltui.store.journals import back_up, is_there, open_journal
from tunneltui.store.rows import parted, storable
from tunneltui.store.seals import SEAL
from tunneltui.store.where import Where
from tunneltui.store.words import command

_TEXTS = ("id", "act", "device", "by", "about", "kind", "body")
_NUMBERS = ("at", "v")
_KEYS = frozenset((*_TEXTS, *_NUMBERS, "day"))
_FAULTS_TOLD = 20


class _LineFault(ValueError):
    pass


def lines(entries: Iterable[Entry]) -> Iterator[str]:
    """Each entry as one line, without line ends. Keys in a stated order."""
    for entry in entries:
        yield json.dumps(
            {
                "id": entry.id,
                "act": entry.act,
                "device": entry.device,
                "day": entry.day.isoformat(),
                "at": entry.at_us,
                "by": entry.by,
                "about": entry.about,
                "kind": entry.kind,
                "v": entry.v,
                "body": entry.body,
                **({"seal": entry.seal} if entry.seal else {}),
            },
            ensure_ascii=False,
            separators=(",", ":"),
        )


def entries_of(text_lines: Iterable[str]) -> list[Entry]:
    """The entries of JSON Lines; empty lines are passed over.

    Raises:
        UserError: every faulty line (the first 20 are told), each with its number and what is wrong.
    """
    entries: list[Entry] = []
    faults: list[str] = []
    for number, line in enumerate(text_lines, 1):
        if not line.strip():
            continue
        try:
            entries.append(_entry(line))
        except (_LineFault, UserError) as fault:
            faults.append(f"line {number}: {fault.problem if isinstance(fault, UserError) else fault}")
    if faults:
        more = [f"and {len(faults) - _FAULTS_TOLD} more"] if len(faults) > _FAULTS_TOLD else []
        raise UserError("\n".join(faults[:_FAULTS_TOLD] + more), "Nothing was written. Put these lines right.")
    return entries


def read_lines(file: Path) -> list[Entry]:
    """The entries of a JSON Lines file. Raises ``UserError`` where it cannot be read or a line is faulty."""
    try:
        with file.open(encoding="utf-8-sig", newline="\n") as text:
            return entries_of(text)
    except OSError as fault:
        raise UserError(f"{file} cannot be read: {fault.strerror}.", "Nothing was written.") from fault
    except UnicodeDecodeError:
        raise UserError(f"{file} is not UTF-8 text.", "Nothing was written. Export it anew.") from None


def import_lines(file: Path, into: Where, *, dry_run: bool = False, state_dir: Path | None = None) -> Added:
    """Adds the entries of a JSON Lines file to a journal, after a backup; all of them or, at a fault, none.

    ``dry_run`` only says what would come.
    """
    entries = read_lines(file)
    with open_journal(into, create=not dry_run, read_only=dry_run, state_dir=state_dir) as journal:
        if dry_run:
            return journal.compare(entries)
        if journal.head().count:
            back_up(into, "import")
        return journal.add_entries(entries)


def copy(source: Where, target: Where, *, state_dir: Path | None = None) -> int:
    """A new journal at ``target`` with every entry of ``source`` in order of arrival; the number of rows.

    Raises:
        UserError: ``source`` is not sound, or ``target`` is there already (a server's may be there and empty).
    """
    _refuse_taken(target, state_dir)
    entries = read_sealed(source, state_dir=state_dir)
    with open_journal(target, state_dir=state_dir) as new:
        return len(new.add_entries(entries).rows)


def read_sealed(source: Where, *, state_dir: Path | None = None) -> list[Entry]:
    """Every entry in order of arrival with its seal, as it is carried elsewhere."""
    with open_journal(source, create=False, read_only=True, state_dir=state_dir) as journal:
        return [entry for _, entry in parted(journal.sealed_rows())[0]]


def _refuse_taken(target: Where, state_dir: Path | None) -> None:
    if isinstance(target, Path):
        if target.exists():
            raise UserError(f"There is a file at {target} already.", "It was left as it is; choose another name.")
    elif is_there(target):
        with open_journal(target, create=False, read_only=True, state_dir=state_dir) as journal:
            if count := journal.head().count:
                raise UserError(
                    f"The journal at {target} holds {count} entries already.",
                    f"It was left as it is. To add what it lacks: {command(target, 'journal merge FROM')}.",
                )


def _entry(line: str) -> Entry:
    plain = _parsed(line)
    day = plain["day"]
    return storable(
        Entry(
            id=plain["id"],
            act=plain["act"],
            device=plain["device"],
            day=_day(day),
            at_us=plain["at"],
            by=plain["by"],
            about=plain["about"],
            kind=plain["kind"],
            v=plain["v"],
            body=plain["body"],
            seal=plain.get("seal", ""),
        )
    )


def _parsed(line: str) -> dict[str, Any]:
    try:
        plain = json.loads(line, object_pairs_hook=_without_doubles)
    except _LineFault:
        raise
    except (ValueError, RecursionError):
        raise _LineFault("this is no JSON, or the line was cut short") from None
    if not isinstance(plain, dict):
        raise _LineFault("an object {...} was wanted")
    # A key we cannot keep would be lost: better to stop than to lose it.
    if missing := sorted(_KEYS - plain.keys()):
        raise _LineFault(f"missing: {', '.join(missing)}")
    if unknown := sorted(plain.keys() - _KEYS - {"seal"}):
        raise _LineFault(f"unknown: {', '.join(one_line(key, 40) for key in unknown)}")
    for name in _TEXTS:
        if not isinstance(plain[name], str):
            raise _LineFault(f"{name} must be text")
    if not isinstance(seal := plain.get("seal", ""), str) or not SEAL.fullmatch(seal):
        raise _LineFault("seal must be sixteen or thirty-two figures of a sum")
    for name in _NUMBERS:
        if type(plain[name]) is not int:
            raise _LineFault(f"{name} must be a whole number")
    return plain


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    plain = dict(pairs)
    if len(plain) != len(pairs):
        raise _LineFault("a key comes twice")
    return plain


def _day(text: Any) -> date:
    try:
        day = date.fromisoformat(text)
    except (TypeError, ValueError):
        day = None
    if day is None or day.isoformat() != text:
        raise _LineFault("day must be a day such as 2026-08-20")
    return day
