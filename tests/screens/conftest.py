"""What tests of screens share: the demo is planned from nothing once."""

from __future__ import annotations

import pytest

from tests.screens.made_demo import demo_memo
from tunneltui import memo

FROM_NOTHING = frozenset({"tests.screens.test_incremental_planner"})
"""Modules that ask whether what is known already gives what planning from nothing does."""


@pytest.fixture(autouse=True)
def demo_is_planned_once(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan that starts from nothing takes what the demo's stages gave where a stage is given the same; that this
    changes no byte of a plan is held by ``tests/chores/test_plan.py``."""
    if request.module.__name__ not in FROM_NOTHING:
        monkeypatch.setattr(memo, "NO_MEMO", demo_memo())
