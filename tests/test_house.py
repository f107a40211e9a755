"""Each folder of the rules of the trade is imported alone, in a process that has imported nothing else."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import tunneltui

ROOT = Path(tunneltui.__file__).parent
PURE = ("holding", "journal", "season", "growth", "loads", "care", "chores", "review", "draw", "pages")
ASKS_PYDANTIC = {"tunneltui.holding.check": ["pydantic"], "tunneltui.journal.check": []}
"""The two checks, and what each loads at once: that of a body asks pydantic only for what is not plainly typed."""
KEPT_OUT = ("sqlite3", "rich", "textual", "pydantic", "platformdirs", "tunneltui.store", "tunneltui.screens")

ALONE = """
import importlib, sys
for name in {modules!r}:
    importlib.import_module(name)
print(*[one for one in {kept_out!r} if one in sys.modules])
"""


def modules_of(folder: str) -> list[str]:
    files = sorted((ROOT / folder).glob("*.py"))
    names = [f"tunneltui.{folder}.{file.stem}" for file in files if file.stem != "__init__"]
    return [f"tunneltui.{folder}", *(name for name in names if name not in ASKS_PYDANTIC)]


def loaded_by(modules: list[str], kept_out: tuple[str, ...]) -> list[str]:
    text = ALONE.format(modules=modules, kept_out=kept_out)
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


@pytest.mark.parametrize("folder", PURE)
def test_a_pure_folder_brings_in_no_database_terminal_or_check(folder: str) -> None:
    assert loaded_by(modules_of(folder), KEPT_OUT) == []


@pytest.mark.parametrize(("module", "brings"), sorted(ASKS_PYDANTIC.items()))
def test_only_the_two_checks_bring_in_pydantic_and_nothing_else(module: str, brings: list[str]) -> None:
    assert loaded_by([module], KEPT_OUT) == brings


@pytest.mark.parametrize("folder", PURE)
def test_a_folder_can_be_imported_last_module_first(folder: str) -> None:
    """No module leans on another of its folder having been imported before it."""
    assert loaded_by(list(reversed(modules_of(folder))), KEPT_OUT) == []
