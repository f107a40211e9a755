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
from tunneltui.holding.trouble import Trouble
from tunneltui.journal.entry import Entry
from tunneltui.store.journal_file import JournalFile

SEED = 7


def saltmarsh_toml() -> str:
    """The demo's holding as text, as it stands in the package."""
    return (files("tunneltui.demo") / "saltmarsh.toml").read_text(encoding="utf-8")


def saltmarsh() -> Holding:
    """The demo's holding."""
    return from_toml(saltmarsh_toml())


def demo_entries(seed: int = SEED) -> list[Entry]:
    """The demo's season up to the evening before the day it plays on."""
    holding = saltmarsh()
    assert holding.plays_on is not None  # noqa: S101 - package data, a test reads it
    return simulate(holding, seed, holding.plays_on - timedelta(days=1), toml=saltmarsh_toml())


def is_demo(entries: Iterable[Entry]) -> bool:
    """A demo made this journal: its first holding was written by the made-up season and plays on a day."""
    first = next((entry for entry in entries if entry.kind == "holding_set"), None)
    return first is not None and first.device == DEVICE and "plays_on" in first.body


def make_demo(path: Path) -> None:
    """Writes the demo into a new file; an existing demo is left as it is.

    Raises:
        Trouble: the file is there and no demo made it; nothing is changed.
    """
    if path.exists():
        with JournalFile.open(path, create=False) as journal:
            if not is_demo(journal.entries()):
                raise Trouble(
                    f"{path} is there already and was not made by the demo.",
                    "Name another file: tunneltui demo --at other.db",
                )
        return
    with JournalFile.open(path) as journal:
        journal.append_entries(demo_entries())
