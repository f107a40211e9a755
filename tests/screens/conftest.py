"""What tests of screens share: what is slow to work out is worked out once, no wait is waited twice."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Hashable, Sequence
from datetime import date
from typing import Any

import pytest
from textual._wait import wait_for_idle

from tests.screens.made_demo import demo_memo
from tunneltui import memo
from tunneltui.growth.backtest import backtest
from tunneltui.journal.entry import Entry
from tunneltui.review.plan import SeasonPlans, plan
from tunneltui.review.plan_values import Wishes
from tunneltui.season.state import Season

FROM_NOTHING = frozenset({"tests.screens.test_incremental_planner"})
"""Modules that ask whether what is known already gives what planning from nothing does."""


@pytest.fixture(autouse=True)
def demo_is_planned_once(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan that starts from nothing takes what the demo's stages gave where a stage is given the same; that this
    changes no byte of a plan is held by ``tests/chores/test_plan.py``."""
    if request.module.__name__ not in FROM_NOTHING:
        monkeypatch.setattr(memo, "NO_MEMO", demo_memo())
        monkeypatch.setattr("tunneltui.screens.next_pane.plan", _planned_once)
        monkeypatch.setattr("tunneltui.screens.season_pane.backtest", _tested_once)


_known: dict[Hashable, Any] = {}


def _planned_once(
    entries: Sequence[Entry], season: Season, wishes: Wishes, progress: Callable[[int, int], None]
) -> SeasonPlans:
    """The next season of the same entries and wishes, a season being made of its entries; its progress told as it
    came."""
    key = ("plan", tuple(entries), season.day, wishes)
    if key not in _known:
        told: list[tuple[int, int]] = []

        def tell(done: int, of: int) -> None:
            told.append((done, of))
            progress(done, of)

        _known[key] = plan(entries, season, wishes, tell), told
    else:
        for done, of in _known[key][1]:
            progress(done, of)
    plans: SeasonPlans = _known[key][0]
    return plans


def _tested_once(entries: Sequence[Entry], day: date, season: Season) -> Any:
    key = ("backtest", tuple(entries), day)
    if key not in _known:
        _known[key] = backtest(entries, day, season)
    return _known[key]


@pytest.fixture(autouse=True)
def no_wait_is_waited_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    """``Pilot.press`` waits for the process to be idle, for animations, and for it to be idle again: where there
    were no animations the event loop did nothing in between, and the second wait is left out."""
    waited = False

    async def idle_once(least_s: float = 0) -> None:
        nonlocal waited
        if waited:
            waited = False
            return
        await wait_for_idle(least_s)
        waited = True
        asyncio.get_running_loop().call_soon(forget)

    def forget() -> None:
        nonlocal waited
        waited = False

    monkeypatch.setattr("textual.app.wait_for_idle", idle_once)
