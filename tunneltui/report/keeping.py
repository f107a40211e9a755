"""The ``journal`` commands that keep the file itself, each with what is printed of it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.store import backup, health, json_lines, restore, salvage
from tunneltui.store.journals import file_in_hand, open_journal
from tunneltui.store.merge import merge
from tunneltui.store.rows import aside_words
from tunneltui.store.where import Where
from tunneltui.store.words import command
from tunneltui.store.write_file import write_file

MOST_TOLD = 20
_LINES = (".jsonl", ".ndjson")


@dataclass(frozen=True, slots=True)
class Kept:
    """What was done, as a document and in words; not ``sound`` ends the command with 1."""

    document: dict[str, Any]
    lines: tuple[str, ...]
    sound: bool = True


def checked(where: Where, accept: bool) -> Kept:
    """Everything that is wrong with the journal; ``accept`` takes it as it is found from now on."""
    if accept:
        health.accept_as_found(where)
        return Kept({"accepted": True}, ("From now on it counts as it is found.",))
    faults = tuple(health.check_journal(where))
    return Kept({"faults": list(faults)}, faults or ("Nothing is wrong with it.",), not faults)


def backed_up(where: Where) -> Kept:
    """A backup of the file; of a shared journal one of this machine's copy, brought up to date."""
    path = file_in_hand(where)
    with open_journal(path, create=False, read_only=True) as journal:
        entries = journal.head().count
    made = backup.back_up(path, "asked")
    every = backup.backups(path)
    lines = (
        f"{entries} entries copied to {made.path}",
        f"{len(every)} backups are kept, the oldest of {every[-1].day}.",
    )
    return Kept({"backup": str(made.path), "entries": entries, "kept": len(every)}, lines)


def put_back(where: Where, source: Path | None) -> Kept:
    if not isinstance(where, Path):
        raise UserError(
            f"Nothing on {where} is ever replaced: others write there.",
            f"What a backup has more is brought by {command(where, 'journal merge BACKUP')}.",
        )
    done = restore.restore(where, source)
    lines = [f"Passed over: {why}" for why in done.passed_over]
    lines.append(f"{done.entries} entries are back, from {done.source}")
    if done.kept:
        lines.append(f"What was there is kept at {done.kept}; `journal merge` takes over what it has more.")
    document = {
        "source": str(done.source),
        "entries": done.entries,
        "kept": str(done.kept) if done.kept else None,
        "passed_over": list(done.passed_over),
    }
    return Kept(document, tuple(lines))


def merged(into: Where, other: Where, look: bool) -> Kept:
    """What another journal, or a JSON Lines file, has more."""
    if isinstance(other, Path) and other.suffix in _LINES:
        added = json_lines.import_lines(other, into, dry_run=look)
        counts = {"new": len(added.new), "same": added.same, "differing": len(added.differing), "look": look}
        return Kept(counts, (_counts(look, len(added.new), added.same, len(added.differing)),))
    done = merge(into, other, dry_run=look)
    lines = [_counts(look, done.new, done.same, len(done.differing))]
    for one in done.differing[:MOST_TOLD]:
        what, about = one_line(one.here.kind, 30), one_line(one.here.about, 30) or "the house"
        lines.append(f"  {what} of {one.here.day} about {about} says two things")
    if done.holdings:
        lines.append("The two holdings differ (this one, the other); the later one governs:")
        pairs = [(one_line(ours) or "-", one_line(theirs) or "-") for ours, theirs in done.holdings]
        lines += [f"  {ours:<36} | {theirs}" for ours, theirs in pairs[:MOST_TOLD]]
        if len(pairs) > MOST_TOLD:
            lines.append(f"  and {len(pairs) - MOST_TOLD} more lines; --json lists all")
    if done.aside:
        lines.append(f"{len(done.aside)} of its entries cannot count and {'stay' if look else 'stayed'} there:")
        lines += [f"  {aside_words(row)}" for row in done.aside[:MOST_TOLD]]
    if done.backup is not None:
        lines.append(f"Before it this journal was copied to {done.backup};")
        lines.append(f"to go back: {command(into, f'journal restore {shlex.quote(str(done.backup))}')}.")
    document = {
        "new": done.new,
        "same": done.same,
        "differing": len(done.differing),
        "holdings": [list(pair) for pair in done.holdings],
        "set_aside": [{"id": row.id, "act": row.act, "why": row.why} for row in done.aside],
        "backup": str(done.backup) if done.backup else None,
        "look": look,
    }
    return Kept(document, tuple(lines))


def _counts(look: bool, new: int, same: int, differing: int) -> str:
    counts = f"{new} new, {same} here already, {differing} that say something else."
    return f"Would bring: {counts}" if look else counts


def copied(source: Where, target: Where) -> Kept:
    """A new journal with every entry, or JSON Lines where the name ends so."""
    if isinstance(target, Path) and target.suffix in _LINES:
        entries = json_lines.read_sealed(source)
        write_file(target, "".join(f"{line}\n" for line in json_lines.lines(entries)))
        rows = len(entries)
    else:
        rows = json_lines.copy(source, target)
    return Kept({"rows": rows, "to": str(target)}, (f"{rows} entries copied to {target}",))


def let_in(where: Where, role: str, name: str, remove: bool, look: bool) -> Kept:
    """A hand's rights on a shared journal given or taken away, with every statement that says so."""
    if isinstance(where, Path):
        raise UserError(
            f"{where} is a file: who may write to it is the machine's to say.", "Name a server's address."
        )
    from tunneltui.store.shared_role import hand

    ran = hand(where, role, name, remove=remove, look=look)
    what = "Would run" if look else "Ran"
    lines = [f"{what} on the server:", *(f"  {statement};" for statement in ran)]
    if not remove and not look:
        lines.append(
            f"{role} may read and append, under its own name, and nothing else. A password is yours to set."
        )
    return Kept({"hand": role, "removed": remove, "look": look, "statements": ran}, tuple(lines))


def salvaged(where: Where, into: Path | None) -> Kept:
    """A new file of what a damaged journal still gives, and counts of what it does not."""
    done = salvage.salvage(where, into)
    lines: Sequence[str] = (
        f"{done.entries} entries saved into {done.into}",
        f"{done.unreadable} could not be read, at least {done.missing} are missing.",
        "The damaged journal was left as it is.",
    )
    document = {
        "into": str(done.into),
        "entries": done.entries,
        "unreadable": done.unreadable,
        "missing": done.missing,
    }
    return Kept(document, tuple(lines))
