"""Made-up entries for the tests of the fold: a book that writes them in order, and two seasons compared."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from datetime import date, timedelta

from tunneltui.holding.layout import Layout
from tunneltui.holding.model import Cultivar, Holding, HookKind, Place, Row, String, Tunnel
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import Answers, to_json
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KIND_OF, Body
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.season.fold import fold
from tunneltui.season.state import Leader, Season

FIRST = date(2026, 4, 1)
LAST = date(2026, 9, 30)


def places(*names: str, **was: str) -> tuple[Place, ...]:
    """Places half a metre apart; ``was`` by the name with _ for -."""
    earlier = {name.replace("_", "-"): (old,) for name, old in was.items()}
    return tuple(Place(name, 0.5 + 0.5 * n, was=earlier.get(name, ())) for n, name in enumerate(names))


def holding(*row_places: tuple[Place, ...], strings: int = 6, turn_m: float | None = 0.2) -> Holding:
    """One tunnel W with a row for each tuple of places, strings half a metre apart over each."""
    rows = tuple(
        Row(
            number=number,
            wire_height_m=2.0,
            length_m=8.0,
            across_m=float(number),
            places=standing,
            strings=tuple(String(n, 0.5 * n, twine="jute") for n in range(1, strings + 1)),
        )
        for number, standing in enumerate(row_places, 1)
    )
    return Holding(
        name="made up",
        tunnels=(Tunnel("W", "west", 10.0, 5.0, rows=rows),),
        cultivars=(Cultivar("cherry 1", "cherry"), Cultivar("beef 3", "beef")),
        hooks=(HookKind("hook", turn_m=turn_m),),
    )


TWO_ROWS = holding(places("W1-01", "W1-02", "W1-03"), places("W2-01", "W2-02"))


@dataclass
class Book:
    """Writes entries one after the other, a minute apart."""

    entries: list[Entry] = field(default_factory=list)

    def write(
        self,
        body: Body,
        about: str = "",
        *,
        day: int = 0,
        id: str = "",  # noqa: A002
        act: str = "",
        answers: Answers | None = None,
    ) -> str:
        """Add an entry on a day counted from the first; gives its id."""
        number = len(self.entries) + 1
        return self.raw(
            KIND_OF[type(body)], to_json(body, answers), about, day=day, id=id or f"e{number:04}", act=act
        )

    def raw(
        self,
        kind: str,
        body: str,
        about: str = "",
        *,
        day: int = 0,
        id: str = "",  # noqa: A002
        act: str = "",
    ) -> str:
        number = len(self.entries) + 1
        name = id or f"e{number:04}"
        entry = Entry(
            id=name,
            act=act or f"act of {name}",
            device="dev",
            day=FIRST + timedelta(days=day),
            at_us=number * 60_000_000,
            by="",
            about=about,
            kind=kind,
            v=1,
            body=body,
        )
        self.entries.append(entry)
        return name

    def set(self, stands: Holding, *, day: int = 0, id: str = "") -> str:  # noqa: A002
        return self.write(HoldingSet(to_toml(stands)), day=day, id=id)

    def season(self, day: date = LAST) -> Season:
        return fold(self.entries, day)

    def leader(self, leader: str, day: date = LAST) -> Leader:
        return self.season(day).leaders[leader]


def planted(stands: Holding = TWO_ROWS) -> Book:
    """A plant at every place of row 1 and 2, ids as the places' names."""
    book = Book()
    book.set(stands)
    for tunnel in stands.tunnels:
        for row in tunnel.rows:
            for place in row.places:
                book.write(Planted("cherry 1" if row.number == 1 else "beef 3"), place.name, id=place.name)
    return book


def differences(one: Season, other: Season) -> list[str]:
    """Fields in which two seasons differ, in value or in order."""
    told = [f for f in fields(Season) if f.compare]
    return [f.name for f in told if _told(getattr(one, f.name)) != _told(getattr(other, f.name))]


def _told(value: object) -> object:
    """A value with the order of its mappings, which plain equality does not look at."""
    if isinstance(value, Layout):
        return [_told(getattr(value, f.name)) for f in fields(Layout)]
    return [(key, _told(item)) for key, item in value.items()] if isinstance(value, dict) else value
