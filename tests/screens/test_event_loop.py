"""Nothing that takes longer than a key may wait runs where keys are handled. Told by the thread it runs in, not by
a clock, so that a busy machine fails nothing."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from functools import wraps
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from tests.screens.given import go_to, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.walk_list import WalkList

HEAVY = (
    ("tunneltui.screens.journal_client", "FileClient.entries"),
    ("tunneltui.season.fold", "Fold.add"),
    ("tunneltui.season.fold", "Fold.season"),
    ("tunneltui.chores.morning", "plan"),
    ("tunneltui.screens.app", "pane_kind"),
    ("tunneltui.screens.facts", "view_of"),
    ("tunneltui.screens.facts", "with_stems"),
    ("tunneltui.screens.cache", "write"),
    ("tunneltui.store.journal_file", "JournalFile.append_days"),
)
"""Each takes 10 ms or more somewhere between the demo and a house of 20,000 leaders (``tests.benchmarks``)."""


@pytest.fixture
def called(monkeypatch: pytest.MonkeyPatch) -> dict[str, set[str]]:
    """Names of what was called, with the threads it ran in."""
    found: dict[str, set[str]] = {}

    def watch(name: str, work: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(work)
        def watched(*given: Any, **named: Any) -> Any:
            found.setdefault(name, set()).add(threading.current_thread().name)
            return work(*given, **named)

        return watched

    for module, name in HEAVY:
        owner: Any = import_module(module)
        *outer, last = name.split(".")
        for part in outer:
            owner = getattr(owner, part)
        monkeypatch.setattr(owner, last, watch(name, getattr(owner, last)))
    return found


async def test_keys_wait_for_nothing_that_is_worked_out_read_or_written(
    tmp_path: Path, called: dict[str, set[str]]
) -> None:
    keys_in = threading.current_thread().name
    client = FileClient(demo_at(tmp_path))
    app = TunnelApp(client, cache_folder=tmp_path / "cache")
    async with app.run_test(size=(120, 40)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.confirmed, 60)
        walk = app.query_one("#walk", WalkList)
        await wait_until(lambda: bool(walk.walk.chores))
        alone = next(
            one
            for one in walk.walk.chores.values()
            if len(one.leaders) == 1 and one.kind == "second_clip" and walk.walk.of_chore.get(one.id)
        )
        go_to(app, alone)
        app._round.show("round")
        await pilot.press("space")
        await wait_until(lambda: "with_stems" in called, 60)
        await pilot.press("6")
        await wait_until(lambda: any((tmp_path / "cache").glob("morning-*.jsonl")), 60)
    assert called.keys() == {name for _, name in HEAVY}, "not all of it was asked for"
    assert {name for name, threads in called.items() if keys_in in threads} == set()


async def test_forms_are_read_beside_the_keys_before_one_is_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    forms = [f"tunneltui.screens.{name}" for name in ("lowering_page", "measure_walk", "pieces_form")]
    for name in forms:
        monkeypatch.delitem(sys.modules, name, raising=False)
        monkeypatch.delattr(f"tunneltui.screens.{name.rpartition('.')[2]}", raising=False)
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)):
        await wait_until(lambda: app.view is not None and app.view.confirmed, 60)
        await wait_until(lambda: all(name in sys.modules for name in forms), 60)
        morning = app.view.morning if app.view is not None else None
        await wait_until(lambda: "lowerings" in vars(morning), 60)
