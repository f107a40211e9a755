"""What stood when: the holdings in force through the season, and where a name of one day is on the last.

The holding in force on the season's day governs every position. A name is read with the holding that was in
force when it was written and then followed through each later one: ``was`` moves it once, in the first holding
that says so; a place that is missing is gone from that holding's day, unless a later one has it again.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date
from functools import lru_cache

from msgspec import Struct, field

from tunneltui.holding.layout import Layout, Standing, StandingString, layout
from tunneltui.holding.model import EMPTY, Holding, String
from tunneltui.holding.toml import from_toml
from tunneltui.season.state import HungString, SetAside
from tunneltui.season.touch import Record

Order = tuple[date, int, str]


class Stand(Struct, frozen=True):
    """A place once named, on the season's day."""

    name: str
    standing: Standing | None
    """None: it is gone."""
    gone_on: date | None


class HousePart(Struct, frozen=True):
    """A part of the house: a place, a row, a tunnel, or all of it ('')."""

    name: str
    row: str
    """'' where it is wider than a row."""
    tunnel: str


class _InForce(Struct, frozen=True, eq=False):
    """One holding of the season and the names it moves."""

    since: Order
    names: frozenset[str]
    once: dict[str, str]
    """Old name to present one, of all its ``was``."""
    moves: dict[str, str]
    """The part of ``once`` that is new with this holding."""


class Ground(Struct, frozen=True, eq=False):
    """The holding in force, and names followed to it."""

    holding: Holding
    layout: Layout
    in_force: tuple[_InForce, ...] = ()
    row_order: dict[str, int] = field(default_factory=dict)
    tunnels: frozenset[str] = frozenset()
    _followed: dict[tuple[str, int], Stand | None] = field(default_factory=dict)

    def place(self, name: str, day: date, at_us: int) -> Stand | None:
        """Where a place named at that time is now; None where no holding of the season knows it."""
        first = max(bisect_right(self.in_force, (day, at_us), key=lambda holding: holding.since[:2]) - 1, 0)
        key = (name, first)
        if key not in self._followed:
            self._followed[key] = self._follow(name, first)
        return self._followed[key]

    def part(self, record: Record) -> HousePart | None:
        """What the ``about`` of an entry speaks of; None where it is not known."""
        about = record.entry.about
        if not about:
            return HousePart("", "", "")
        if about in self.layout.rows:
            return self.part_of_row(about)
        if about in self.tunnels:
            return HousePart(about, "", about)
        stand = self.place(about, record.day, record.at_us)
        if stand is None or stand.standing is None:
            return None
        return HousePart(stand.name, stand.standing.row_id, stand.standing.tunnel.key)

    def part_of_row(self, row: str) -> HousePart:
        return HousePart(row, row, self.layout.rows[row][0].key)

    def tunnels_meant(self, record: Record) -> list[str] | None:
        """Tunnels an entry speaks of: all for '', a row's or place's own; None where ``about`` is not known."""
        part = self.part(record)
        if part is None:
            return None
        return [part.tunnel] if part.tunnel else [tunnel.key for tunnel in self.holding.tunnels]

    def _follow(self, name: str, first: int) -> Stand | None:
        if not self.in_force:
            return None
        begin = self.in_force[first]
        if name not in begin.names:
            name = begin.once.get(name, name)
        seen, gone_on = name in begin.names, None
        for later in self.in_force[first + 1 :]:
            name = later.moves.get(name, name)
            if name in later.names:
                seen, gone_on = True, None
            elif seen and gone_on is None:
                gone_on = later.since[0]
        return Stand(name, self.layout.places.get(name), gone_on) if seen else None


NO_GROUND = Ground(EMPTY, layout(EMPTY))


def ground(settings: Sequence[Record]) -> tuple[Ground, list[SetAside]]:
    """The ground of a season from its ``holding_set`` records in order; unreadable ones are set aside."""
    readable, aside = [], []
    for record in settings:
        try:
            readable.append((record, *_stood(record.body.toml)))
        except ValueError as fault:
            aside.append(SetAside(record.entry, f"this holding cannot be read: {fault}"))
    if not readable:
        return NO_GROUND, aside
    in_force: list[_InForce] = []
    before: Layout | None = None
    for record, _, stood in readable:
        in_force.append(_in_force(record, stood, before))
        before = stood
    _, holding, last = readable[-1]
    rows = {row: number for number, row in enumerate(last.rows)}
    return Ground(holding, last, tuple(in_force), rows, frozenset(t.key for t in holding.tunnels)), aside


@lru_cache(maxsize=16)
def _stood(text: str) -> tuple[Holding, Layout]:
    # Remembered because seasons of many days are folded from one journal, and reading TOML is slow.
    holding = from_toml(text)
    return holding, layout(holding)


def _in_force(record: Record, stood: Layout, before: Layout | None) -> _InForce:
    once = {old: name for name, standing in stood.places.items() for old in standing.place.was}
    moves = {
        old: name
        for name, standing in stood.places.items()
        for old in standing.place.was
        if before is None or old not in _known_before(name, standing, before)
    }
    return _InForce((record.day, record.at_us, record.id), frozenset(stood.places), once, moves)


def _known_before(name: str, standing: Standing, before: Layout) -> set[str]:
    """Earlier names that the holding before already gave this place: they have moved once and do no more."""
    earlier = [before.places.get(earlier_name) for earlier_name in (name, *standing.place.was)]
    return {old for stood in earlier if stood is not None for old in stood.place.was}


class StringFact(Struct, frozen=True):
    """A string that hangs or hung."""

    hung: HungString
    cut: Record | None = None


def strings(
    stood: Ground, hung: Sequence[Record], cut: Sequence[Record]
) -> tuple[dict[str, StringFact], list[SetAside]]:
    """Every string of the season by id, in walking order, and the entries that fit none."""
    facts = {id_: _from_holding(string, stood.layout) for id_, string in stood.layout.strings.items()}
    aside = []
    for record in hung:
        fact = _hung_since(record, stood.layout)
        if fact is None:
            aside.append(SetAside(record.entry, f"there is no row {record.entry.about}"))
        else:
            facts[record.id] = fact
    for record in cut:
        string_fact = facts.get(record.body.string)
        if string_fact is None:
            aside.append(SetAside(record.entry, f"there is no string {record.body.string}"))
        elif string_fact.cut is not None:
            aside.append(SetAside(record.entry, f"string {record.body.string} was cut before"))
        else:
            facts[record.body.string] = StringFact(string_fact.hung, record)
    walk = sorted(facts.items(), key=lambda item: (stood.row_order[item[1].hung.row], item[1].hung.x_m, item[0]))
    return dict(walk), aside


def _from_holding(string: StandingString, stood: Layout) -> StringFact:
    loop = stood.loop_of_row[string.row].id
    return StringFact(
        HungString(
            string.id, string.row, loop, string.number, string.x_m, string.u_m, string.twine, string.knot_share
        )
    )


def _hung_since(record: Record, stood: Layout) -> StringFact | None:
    row, body = record.entry.about, record.body
    loop = stood.loop_of_row.get(row)
    if loop is None:
        return None
    string = String(body.number, body.x_m, body.twine)
    u_m = loop.u_m(row, body.x_m)
    return StringFact(
        HungString(record.id, row, loop.id, body.number, body.x_m, u_m, string.twine, string.knot_share)
    )
