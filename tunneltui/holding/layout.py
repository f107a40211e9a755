"""Finding things in a holding: rows, places and strings by name, and the one coordinate around a loop.

A row is named by its tunnel's key and its number (``W1``), a string by its row and number (``W1/8``), a loop
by its first row. Along a loop, ``u_m`` grows in the direction heads travel, through the first row and then back
along its partner; a row without a partner is a loop of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from tunneltui.holding.model import Cultivar, Holding, Place, Row, String, Tunnel


@dataclass(frozen=True, slots=True)
class StandingString:
    id: str
    row: str
    number: int
    x_m: float
    u_m: float
    twine: str
    knot_share: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """One row's part of a loop: ``u_m = u_start_m + direction * (x_m - x_start_m)``."""

    row: str
    u_start_m: float
    x_start_m: float
    direction: int
    length_m: float


@dataclass(frozen=True, slots=True)
class Loop:
    id: str
    stretches: tuple[Stretch, ...]
    closed: bool

    @property
    def length_m(self) -> float:
        last = self.stretches[-1]
        return last.u_start_m + last.length_m

    def u_m(self, row: str, x_m: float) -> float:
        stretch = next(s for s in self.stretches if s.row == row)
        return stretch.u_start_m + stretch.direction * (x_m - stretch.x_start_m)

    def row_at(self, u_m: float) -> tuple[str, float]:
        """Row and ``x_m`` at a place on the loop; beyond either end the nearest row is carried on."""
        if self.closed:
            u_m %= self.length_m
        reached = [s for s in self.stretches if s.u_start_m <= u_m] or [self.stretches[0]]
        stretch = reached[-1]
        return stretch.row, stretch.x_start_m + stretch.direction * (u_m - stretch.u_start_m)


@dataclass(frozen=True, slots=True)
class Standing:
    """One place with everything above it."""

    place: Place
    row_id: str
    row: Row
    tunnel: Tunnel
    loop: Loop
    u_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """A holding's names looked up once. Every mapping is in walking order."""

    holding: Holding
    rows: dict[str, tuple[Tunnel, Row]]
    loops: dict[str, Loop]
    loop_of_row: dict[str, Loop]
    places: dict[str, Standing]
    strings: dict[str, StandingString]
    cultivars: dict[str, Cultivar]

    def place(self, name: str) -> Standing | None:
        """The place of that name, or the one that once had it."""
        standing = self.places.get(name)
        if standing is not None:
            return standing
        return next((s for s in self.places.values() if name in s.place.was), None)

    def strings_of_loop(self, loop: Loop) -> list[StandingString]:
        rows = {s.row for s in loop.stretches}
        return sorted((s for s in self.strings.values() if s.row in rows), key=lambda s: s.u_m)


def row_id(tunnel: Tunnel, row: Row) -> str:
    return f"{tunnel.key}{row.number}"


def string_id(row: str, number: int) -> str:
    return f"{row}/{number}"


def _loop(tunnel: Tunnel, row: Row, partner: Row | None) -> Loop:
    first = row_id(tunnel, row)
    if partner is None:
        forwards = row.way_round > 0
        start = 0.0 if forwards else row.length_m
        return Loop(first, (Stretch(first, 0.0, start, row.way_round, row.length_m),), closed=False)
    gap_m = abs(partner.across_m - row.across_m)
    start = 0.0 if row.way_round > 0 else row.length_m
    back = partner.length_m if row.way_round > 0 else 0.0
    outward = Stretch(first, 0.0, start, row.way_round, row.length_m + gap_m)
    second_start = row.length_m + gap_m
    closing_m = partner.length_m + (gap_m if row.closed_loop else 0.0)
    stretch = Stretch(row_id(tunnel, partner), second_start, back, -row.way_round, closing_m)
    return Loop(first, (outward, stretch), closed=row.closed_loop)


def _loops(tunnel: Tunnel) -> list[Loop]:
    by_number = {row.number: row for row in tunnel.rows}
    loops, joined = [], set()
    for row in tunnel.rows:
        if row.number in joined:
            continue
        partner = by_number.get(row.loop_with) if row.loop_with is not None else None
        joined |= {row.number} | ({partner.number} if partner else set())
        loops.append(_loop(tunnel, row, partner))
    return loops


def layout(holding: Holding) -> Layout:
    """Look every name of a holding up once."""
    rows: dict[str, tuple[Tunnel, Row]] = {}
    loops: dict[str, Loop] = {}
    loop_of_row: dict[str, Loop] = {}
    places: dict[str, Standing] = {}
    strings: dict[str, StandingString] = {}
    for tunnel in holding.tunnels:
        for loop in _loops(tunnel):
            loops[loop.id] = loop
            loop_of_row |= {stretch.row: loop for stretch in loop.stretches}
        for row in tunnel.rows:
            name = row_id(tunnel, row)
            loop = loop_of_row[name]
            rows[name] = (tunnel, row)
            for place in sorted(row.places, key=lambda p: p.x_m):
                places[place.name] = Standing(place, name, row, tunnel, loop, loop.u_m(name, place.x_m))
            for string in sorted(row.strings, key=lambda s: s.x_m):
                strings[string_id(name, string.number)] = _standing_string(name, string, loop)
    cultivars = {cultivar.key: cultivar for cultivar in holding.cultivars}
    return Layout(holding, rows, loops, loop_of_row, places, strings, cultivars)


def _standing_string(row: str, string: String, loop: Loop) -> StandingString:
    return StandingString(
        string_id(row, string.number),
        row,
        string.number,
        string.x_m,
        loop.u_m(row, string.x_m),
        string.twine,
        string.knot_share,
    )
