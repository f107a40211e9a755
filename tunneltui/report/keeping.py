"""The ``journal`` commands that keep the file itself, each with what is printed of it."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Any

from msgspec import Struct

from tunneltui.cells import one_line
from tunneltui.holding.user_error import UserError
from tunneltui.pages import keeping as words
from tunneltui.store import backup, health, json_lines, restore, salvage
from tunneltui.store.journals import file_in_hand, open_journal
from tunneltui.store.merge import merge
from tunneltui.store.rows import aside_words
from tunneltui.store.where import Where
from tunneltui.store.words import command
from tunneltui.store.write_file import write_file

_LINES = (".jsonl", ".ndjson")


class CommandResult(Struct, frozen=True):
    """What was done, as a document and in words; not ``sound`` ends the command with 1."""

    document: dict[str, Any]
    lines: tuple[str, ...]
    sound: bool = True


def checked(where: Where, accept: bool) -> CommandResult:
    """Everything that is wrong with the journal; ``accept`` takes it as it is found from now on."""
    if accept:
        health.accept_as_found(where)
        return CommandResult({"accepted": True}, ("From now on it counts as it is found.",))
    faults = tuple(health.check_journal(where))
    return CommandResult({"faults": list(faults)}, faults or ("Nothing is wrong with it.",), not faults)


def backed_up(where: Where) -> CommandResult:
    """A backup of the file; of a shared journal one of this machine's copy, brought up to date."""
    path = file_in_hand(where)
    with open_journal(path, create=False, read_only=True) as journal:
        entries = journal.head().count
    new_backup = backup.back_up(path, "asked")
    every = backup.backups(path)
    return CommandResult(
        {"backup": str(new_backup.path), "entries": entries, "kept": len(every)},
        words.backed_up(entries, str(new_backup.path), len(every), every[-1].day),
    )


def put_back(where: Where, source: Path | None) -> CommandResult:
    if not isinstance(where, Path):
        raise UserError(
            f"Nothing on {where} is ever replaced: others write there.",
            f"What a backup has more is brought by {command(where, 'journal merge BACKUP')}.",
        )
    done = restore.restore(where, source)
    kept = str(done.kept) if done.kept else ""
    document = {
        "source": str(done.source),
        "entries": done.entries,
        "kept": kept or None,
        "passed_over": list(done.passed_over),
    }
    return CommandResult(document, words.put_back(done.entries, str(done.source), kept, done.passed_over))


def merged(into: Where, other: Where, look: bool) -> CommandResult:
    """What another journal, or a JSON Lines file, has more."""
    if isinstance(other, Path) and other.suffix in _LINES:
        added = json_lines.import_lines(other, into, dry_run=look)
        counts = {"new": len(added.new), "same": added.same, "differing": len(added.differing), "look": look}
        return CommandResult(counts, (words.counts(len(added.new), added.same, len(added.differing), look=look),))
    done = merge(into, other, dry_run=look)
    twice = [(one_line(two.here.kind, 30), two.here.day, one_line(two.here.about, 30)) for two in done.differing]
    lines = [
        words.counts(done.new, done.same, len(done.differing), look=look),
        *words.differing(twice),
        *words.holdings([(one_line(ours), one_line(theirs)) for ours, theirs in done.holdings]),
        *words.aside([aside_words(row) for row in done.aside], look=look),
    ]
    if done.backup is not None:
        way_back = command(into, f"journal restore {shlex.quote(str(done.backup))}")
        lines += words.copied_before(str(done.backup), way_back)
    document = {
        "new": done.new,
        "same": done.same,
        "differing": len(done.differing),
        "holdings": [list(pair) for pair in done.holdings],
        "set_aside": [{"id": row.id, "act": row.act, "why": row.why} for row in done.aside],
        "backup": str(done.backup) if done.backup else None,
        "look": look,
    }
    return CommandResult(document, tuple(lines))


def copied(source: Where, target: Where) -> CommandResult:
    """A new journal with every entry, or JSON Lines where the name ends so."""
    if isinstance(target, Path) and target.suffix in _LINES:
        entries = json_lines.read_sealed(source)
        write_file(target, "".join(f"{line}\n" for line in json_lines.lines(entries)))
        rows = len(entries)
    else:
        rows = json_lines.copy(source, target)
    return CommandResult({"rows": rows, "to": str(target)}, (f"{rows} entries copied to {target}",))


def let_in(where: Where, role: str, name: str, remove: bool, look: bool) -> CommandResult:
    """A hand's rights on a shared journal given or taken away, with every statement that says so."""
    if isinstance(where, Path):
        raise UserError(
            f"{where} is a file: who may write to it is the machine's to say.", "Name a server's address."
        )
    from tunneltui.store.shared_role import hand

    ran = hand(where, role, name, remove=remove, look=look)
    document = {"hand": role, "removed": remove, "look": look, "statements": ran}
    return CommandResult(document, words.let_in(role, ran, removed=remove, look=look))


def salvaged(where: Where, into: Path | None) -> CommandResult:
    """A new file of what a damaged journal still gives, and counts of what it does not."""
    done = salvage.salvage(where, into)
    document = {
        "into": str(done.into),
        "entries": done.entries,
        "unreadable": done.unreadable,
        "missing": done.missing,
    }
    return CommandResult(document, words.salvaged(done.entries, str(done.into), done.unreadable, done.missing))
