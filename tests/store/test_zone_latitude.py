"""Latitudes of zones, against the tables of the tz database itself and a map (to half a degree, from memory)."""

from __future__ import annotations

import pytest

from tunneltui.store.zone_latitude import latitude_of


@pytest.mark.parametrize(
    ("zone", "degrees"),
    [
        ("Europe/London", 51.5),  # +513030-0000731 in zone.tab
        ("America/New_York", 40.7),
        ("Australia/Sydney", -33.9),
        # No row of their own in zone1970.tab:
        ("Europe/Amsterdam", 52.4),
        ("Europe/Stockholm", 59.3),
        ("Europe/Copenhagen", 55.7),
        ("Europe/Oslo", 59.9),
    ],
)
def test_a_zones_chief_place(zone: str, degrees: float) -> None:
    assert latitude_of(zone) == pytest.approx(degrees, abs=0.1)


@pytest.mark.parametrize("zone", ["UTC", "Etc/GMT+1", "Atlantis/Capital", ""])
def test_zones_without_a_place_have_none(zone: str) -> None:
    assert latitude_of(zone) is None
