"""What a machine still has of a shared journal while its server is away."""

from __future__ import annotations

import shlex
from pathlib import Path

from tunneltui.store import folders, seen
from tunneltui.store.where import SharedAt
from tunneltui.store.words import command


def copy_file(where: SharedAt, journal_id: str) -> Path:
    """Where this machine's copy of that journal is, or will be."""
    # The name comes from the server: it must not lead elsewhere.
    plain = "".join(c for c in journal_id[:8] if c.isalnum() and c.isascii())
    return folders.data_folder() / "shared" / f"{where.name}-{plain}.db"


def go_on_without(where: SharedAt, state: Path) -> str:
    """What to do meanwhile, as a sentence."""
    remembered = seen.last_seen(state, where)
    copy = copy_file(where, remembered.journal_id) if remembered is not None else None
    if copy is None or not copy.exists():
        return "This machine has no copy of it yet to go on with; try again when the server answers."
    return (
        f"Go on in this machine's copy: {command(copy, '')}. When the server answers again, bring there what was "
        f"noted meanwhile: {merge_command(where, copy)}."
    )


def merge_command(where: SharedAt, copy: Path) -> str:
    return command(where, f"journal merge {shlex.quote(str(copy))}")
