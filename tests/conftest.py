"""What all tests share."""

from __future__ import annotations

from typing import Any


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Figures that a test measured (``record_property("tells", text)``) are printed, also where it passed."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            if name == "tells":
                terminalreporter.section(report.nodeid)
                terminalreporter.write_line(value)
