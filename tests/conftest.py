"""What all tests share."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tunneltui.store.folders import HOME_VARIABLE


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Every test has data, state, cache and settings folders of its own; it leaves the grower's alone."""
    folder = tmp_path / "home"
    monkeypatch.setenv(HOME_VARIABLE, str(folder))
    return folder


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Figures that a test measured (``record_property("tells", text)``) are printed, also where it passed."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            if name == "tells":
                terminalreporter.section(report.nodeid)
                terminalreporter.write_line(value)
