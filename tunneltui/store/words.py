"""Sentences about a journal file that several modules use."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tunneltui.store.where import Where


AS_IT_IS = "It was left as it is, byte for byte."


def command(where: Where, rest: str) -> str:
    """A command on that journal, as it can be typed."""
    import shlex  # nothing is said before the first paint

    return f"`{' '.join(filter(None, ('tunneltui --at', shlex.quote(str(where)), rest)))}`"


def ways_out_of_damage(path: Path) -> str:
    return (
        f"{AS_IT_IS} {command(path, 'journal check')} says more, {command(path, 'journal restore')} takes the "
        f"last good backup, {command(path, 'journal salvage')} makes a new journal from what can still be read."
    )
