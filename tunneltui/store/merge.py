"""Bringing two laptops' journals together: the union of their entries, in any order, any number of times."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import lru_cache
from pathlib import Path

from tunneltui.holding.toml import from_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import BodyFault, typed
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.journal.order import MARKS, live
from tunneltui.store.adding import Differing
from tunneltui.store.journals import back_up, open_journal
from tunneltui.store.rows import RowAside, parted
from tunneltui.store.where import Where

SideBySide = tuple[tuple[str, str], ...]
"""Lines of the two holdings that differ, ours first; '' where one has none."""


@dataclass(frozen=True, slots=True)
class MergeResult:
    """What a merge brought, or would bring."""

    new: int
    same: int
    differing: tuple[Differing, ...]
    """Ids with two contents. Both are kept; the one written first counts on every laptop."""
    holdings: SideBySide
    """The holdings in force before the merge, where they differ: the later one governs afterwards."""
    aside: tuple[RowAside, ...] = ()
    """Rows of the other journal that do not count and were not brought."""
    backup: Path | None = None
    """What the journal was before, where something was brought into a file."""


def merge(into: Where, other: Where, *, dry_run: bool = False, state_dir: Path | None = None) -> MergeResult:
    """Adds to the journal ``into`` what the one at ``other`` has more; ``other`` is only read.

    A backup of ``into`` is made first. ``dry_run`` only says what would come.

    Raises:
        UserError: one of the files is absent, damaged, foreign or newer, both are the same file, or ``into``
            cannot be written; nothing was changed.
    """
    same = into == other
    if isinstance(into, Path) and isinstance(other, Path) and into.exists() and other.exists():
        same = into.samefile(other)
    if same:
        raise UserError(f"{other} is this journal itself.", "Name the other laptop's journal.")
    with open_journal(other, create=False, read_only=True, state_dir=state_dir, accept_older=True) as theirs:
        numbered, left_there = parted(theirs.sealed_rows())
    offered = [entry for _, entry in numbered]
    aside = (*left_there, *_unusable(offered))
    left = {row.id for row in aside}
    offered = [entry for entry in offered if entry.id not in left]
    backup: Path | None = None
    # An older copy put back is made whole by merging the newer one: that must not be refused here.
    with open_journal(into, create=False, read_only=dry_run, state_dir=state_dir, accept_older=True) as ours:
        holdings = side_by_side(holding_in_force(ours.entries()), holding_in_force(offered))
        added = ours.compare(offered)
        if not dry_run and added.rows:
            backup = back_up(into, "merge").path
            added = ours.add_entries(offered)
    return MergeResult(len(added.new), added.same, added.differing, holdings, aside, backup)


def _unusable(entries: Sequence[Entry]) -> Iterator[RowAside]:
    """Holdings that do not check: here as there they would be passed over."""
    for entry in entries:
        if entry.kind != "holding_set":
            continue
        try:
            body = typed(entry)
        except BodyFault as fault:
            body, why = None, str(fault)
        else:
            why = "this holding does not check"
        if not isinstance(body, HoldingSet) or not can_stand(body.toml):
            yield RowAside(0, entry.id, entry.act, entry.device, entry.day.isoformat(), entry.kind, why)


def holding_in_force(entries: Sequence[Entry]) -> str:
    """The text of the last holding that counts; '' where there is none."""
    settings = [entry for entry in entries if entry.kind == "holding_set" or entry.kind in MARKS]
    for entry in reversed(live(settings)):
        try:
            body = typed(entry)
        except BodyFault:
            continue
        if isinstance(body, HoldingSet) and can_stand(body.toml):
            return body.toml
    return ""


@lru_cache(maxsize=64)
def can_stand(text: str) -> bool:
    """Whether a holding's text checks; one that does not leaves the one before in force."""
    try:
        from_toml(text)
    except ValueError:
        return False
    return True


def side_by_side(ours: str, theirs: str) -> SideBySide:
    """The differing lines of two texts, paired."""
    left, right = ours.splitlines(), theirs.splitlines()
    pairs: list[tuple[str, str]] = []
    for what, a, b, c, d in SequenceMatcher(a=left, b=right, autojunk=False).get_opcodes():
        if what != "equal":
            height = max(b - a, d - c)
            pairs += zip(_filled(left[a:b], height), _filled(right[c:d], height), strict=True)
    return tuple(pairs)


def _filled(lines: list[str], height: int) -> list[str]:
    return lines + [""] * (height - len(lines))
