"""Journals for the tests of growth: a small tunnel, and the open registrations as a grower would type them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from tests.growth.open_data import IN_DOUBT, ohio_air, ohio_picks, ohio_visits
from tunneltui.holding.model import Cultivar, Holding, Place, Row, Tunnel
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import to_json
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KIND_OF
from tunneltui.journal.kinds_care import Air
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.journal.kinds_standing import HoldingSet, Measured, Planted

PLANTED = date(2026, 5, 1)


@dataclass
class Diary:
    """Entries in the order they are written; every one an act of its own."""

    entries: list[Entry] = field(default_factory=list)

    def write(self, day: date, about: str, body: Any) -> str:
        """Add an entry and give its id."""
        number = len(self.entries)
        name = f"e{number:06d}"
        kind = KIND_OF[type(body)]
        entry = Entry(name, f"act{number}", "test", day, number, "", about, kind, 1, to_json(body))
        self.entries.append(entry)
        return name

    def warm(self, first: date, last: date, mean_c: float, source: str = "sensor") -> None:
        """The same air every day, from ``first`` to ``last``."""
        for ahead in range((last - first).days + 1):
            self.write(first + timedelta(days=ahead), "", Air(source=source, mean_c=mean_c))  # type: ignore[arg-type]


def small_holding(
    leaders: int = 4, *, lit: bool = False, latitude_deg: float | None = 51.5, **row: Any
) -> Holding:
    """One tunnel, one row, one cherry."""
    places = tuple(Place(f"W1-{at + 1:02d}", 0.5 * at + 0.5, "cherry") for at in range(leaders))
    standing = Row(1, 2.2, max(10.0, leaders * 0.5 + 1), places=places, **row)
    return Holding(
        "a small tunnel",
        latitude_deg=latitude_deg,
        lit=lit,
        tunnels=(Tunnel("W", "west", max(20.0, leaders * 0.5 + 2), 6.0, rows=(standing,)),),
        cultivars=(Cultivar("cherry", fruit="cherry"),),
    )


def small_diary(leaders: int = 4, *, planted: date = PLANTED, **holding: Any) -> tuple[Diary, list[str]]:
    """A diary with its plants, and their leaders' ids."""
    diary = Diary()
    diary.write(planted, "", HoldingSet(to_toml(small_holding(leaders, **holding))))
    ids = [diary.write(planted, f"W1-{at + 1:02d}", Planted("cherry")) for at in range(leaders)]
    return diary, ids


def read_weekly(diary: Diary, leader: str, about: str, lengths_m: list[float], first: date = PLANTED) -> None:
    """A length a week, from a week after ``first`` on."""
    for week, length_m in enumerate(lengths_m, start=1):
        diary.write(first + timedelta(weeks=week), about, Measured(leader, length_m=length_m))


def ohio_diary(
    *, doubtful_picks: bool = True, labels: tuple[str, ...] | None = None
) -> tuple[Diary, dict[str, str]]:
    """Ten stems of Ohio 2024 as weekly readings, with air and picks; and the leader of each label."""
    visits = [v for v in ohio_visits() if labels is None or v.label in labels]
    names = sorted({v.label for v in visits}, key=int)
    places = tuple(Place(f"O1-{name}", 0.4 * at + 0.3, "cherry") for at, name in enumerate(names))
    row = Row(1, 2.2, 10.0, training="laid_down", places=places)
    holding = Holding(
        "ohio",
        latitude_deg=40.8,
        tunnels=(Tunnel("O", "house", 20.0, 6.0, rows=(row,)),),
        cultivars=(Cultivar("cherry", fruit="cherry"),),
    )
    diary = Diary()
    planted = date(2024, 6, 24)
    diary.write(planted, "", HoldingSet(to_toml(holding)))
    leaders = {name: diary.write(planted, f"O1-{name}", Planted("cherry")) for name in names}
    flowering = dict.fromkeys(names, 0.0)
    picked = dict.fromkeys(names, 0.0)
    for visit in visits:
        flowering[visit.label] += visit.new_trusses
        picked[visit.label] += visit.picked_trusses
        reading = Measured(
            leaders[visit.label],
            length_m=visit.length_cm / 100,
            flowering_truss=flowering[visit.label],
            lowest_truss=picked[visit.label] + 1,
            leaves=visit.leaves,
        )
        diary.write(visit.day, f"O1-{visit.label}", reading)
    for day, mean_c in ohio_air().items():
        diary.write(day, "", Air(source="sensor", mean_c=mean_c))
    for day, kg in ohio_picks().items():
        if doubtful_picks or day not in IN_DOUBT:
            diary.write(day, "O1", Picked("cherry", kg=kg / 14))
    return diary, leaders


def lowered(diary: Diary, day: date, leader: str, about: str, **body: Any) -> str:
    return diary.write(day, about, Lowered(leader, **body))
