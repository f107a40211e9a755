"""Makes the demo: Saltmarsh Lane's holding and its season, into a journal file of its own."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from importlib.resources import files
from pathlib import Path

from tunneltui.demo.diary import DEVICE
from tunneltui.demo.season import simulate
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import from_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.store import folders, seen
from tunneltui.store.journals import is_there, open_journal
from tunneltui.store.where import Where

SEED = 5
"""Of the demo's season. Chosen so that the morning it plays on shows what a first look should see."""


def saltmarsh_toml() -> str:
    """The demo's holding as text, as it stands in the package."""
    return (files("tunneltui.demo") / "saltmarsh.toml").read_text(encoding="utf-8")


def saltmarsh() -> Holding:
    """The demo's holding."""
    return from_toml(saltmarsh_toml())


def demo_entries(seed: int = SEED) -> list[Entry]:
    """The demo's season up to the evening before the day it plays on."""
    holding = saltmarsh()
    if holding.plays_on is None:
        raise ValueError("the demo's holding says no day to play on")
    return simulate(holding, seed, holding.plays_on - timedelta(days=1), toml=saltmarsh_toml())


def is_demo(entries: Iterable[Entry]) -> bool:
    """A demo made this journal: its first holding was written by the made-up season and plays on a day."""
    first = next((entry for entry in entries if entry.kind == "holding_set"), None)
    return first is not None and first.device == DEVICE and "plays_on" in first.body


def make_demo(where: Where) -> None:
    """Writes the demo into a new journal; an existing demo is left as it is, with whatever was added to it.

    Raises:
        UserError: it is there and no demo made it, or it cannot be written; nothing is changed.
    """
    where = where.expanduser().resolve() if isinstance(where, Path) else where
    if is_there(where) and not _begun_and_left(where):
        _refuse_another(where)
        return
    entries = demo_entries()
    _forget_a_demo(where, entries)
    with open_journal(where) as journal:
        journal.append_entries(entries)


def _refuse_another(where: Where) -> None:
    with open_journal(where, create=False) as journal:
        if not is_demo(journal.entries()):
            raise UserError(
                f"{where} is there already and was not made by the demo.",
                "It was left as it is. Name another file: tunneltui demo --at another.db",
            )


def _begun_and_left(where: Where) -> bool:
    """The demo's own file, made but never filled: the program was stopped in between."""
    if where != folders.demo_journal().resolve():
        return False
    with open_journal(where, create=False) as journal:
        return journal.head().count == 0


def _forget_a_demo(where: Where, entries: list[Entry]) -> None:
    """A demo that was thrown away is missed by nobody; a grower's journal that is gone still is."""
    state = folders.state_folder()
    last = seen.last_seen(state, where)
    if last is not None and (where == folders.demo_journal().resolve() or last.last_id == entries[-1].id):
        seen.forget(state, where)
