"""How far north a time zone's chief place lies, from the tables that come with the time zones.

``zone.tab`` goes first: ``zone1970.tab`` joins zones and has no row for Amsterdam, Stockholm, Copenhagen or Oslo.
Format: tz database, theory file: country code, latitude and longitude in ISO 6709 (``+513030-0000731`` or
``+4043-07400``), zone, comment.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from zoneinfo import TZPATH

TABLES = ("zone.tab", "zone1970.tab")


def latitude_of(zone: str) -> float | None:
    """Degrees north, to a tenth; None for zones that have no place, such as UTC, or where no table is at hand."""
    for table in _tables():
        for line in table.splitlines():
            cells = line.split("\t")
            if len(cells) > 2 and cells[2] == zone and not line.startswith("#"):
                return round(_degrees(cells[1]), 1)
    return None


def _tables() -> Iterator[str]:
    for name in TABLES:
        tables = [Path(folder) / name for folder in TZPATH if (Path(folder) / name).is_file()]
        if tables:
            yield tables[0].read_text(encoding="utf-8")
            continue
        try:
            yield resources.files("tzdata").joinpath("zoneinfo", name).read_text(encoding="utf-8")
        except (ModuleNotFoundError, OSError):
            continue


def _degrees(place: str) -> float:
    """Of an ISO 6709 place the latitude: sign, two digits of degrees, two of minutes and maybe two of seconds."""
    end = max(place.rfind("+"), place.rfind("-"))
    digits = place[1:end]
    parts = (int(digits[:2]), int(digits[2:4]), int(digits[4:6] or 0))
    degrees = parts[0] + parts[1] / 60 + parts[2] / 3600
    return -degrees if place[0] == "-" else degrees
