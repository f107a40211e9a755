"""What tests of journals share: where one may be made, and a server for shared ones."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.store.private_server import PrivateServer, why_not


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a journal may be made."""
    return tmp_path / "journal.db"


@pytest.fixture(scope="session")
def server() -> Iterator[PrivateServer]:
    """A PostgreSQL server of our own; every test takes a new database of it."""
    if why := why_not():
        pytest.skip(why)
    running = PrivateServer()
    yield running
    running.stop()
