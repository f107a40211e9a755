"""A home for every test, and the demo's journal to work on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.door import Door
from tests.screens.made_demo import demo_at


@pytest.fixture
def door(tmp_path: Path) -> Door:
    """Without a journal."""
    return Door(tmp_path / "home")


@pytest.fixture
def demo(tmp_path: Path) -> Door:
    """On a copy of the demo."""
    return Door(tmp_path / "home", demo_at(tmp_path))
