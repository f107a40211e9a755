"""What hangs on the wire this morning, place by place, and how it is brought up to date after a tick. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import zip_longest
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.draw.wire import Hangs, WireRow
from tunneltui.screens.picture import Picture, State


class Wire(NamedTuple):
    """The holding's places in walking order with what hangs at each."""

    rows: tuple[WireRow, ...]
    hangs: Mapping[str, Hangs]
    """By place; a bare place is not in it."""
    chores: Mapping[str, tuple[str, ...]]
    """Ids of what is asked for, by place."""
    places: Mapping[str, tuple[str, ...]]
    """By the id of a chore that hangs on the wire."""

    def after(self, changed: Iterable[str], states: Mapping[str, State], chores: Mapping[str, Chore]) -> Wire:
        """With the places of the ``changed`` chores as they are now."""
        touched = {place for id_ in changed for place in self.places.get(id_, ())}
        if not touched:
            return self
        hangs = dict(self.hangs)
        for place in touched:
            hangs[place] = max(_hangs(chores[id_], states.get(id_, "")) for id_ in self.chores[place])
        return self._replace(hangs=hangs)


NO_WIRE = Wire((), {}, {}, {})


def wire_of(picture: Picture) -> Wire:
    """What is done plant by plant; once none of that is left, what is done overhead."""
    plants, overhead = (_wire(picture, picture.hands.get(walk, ())) for walk in ("plants", "overhead"))
    return plants if any(plants.hangs.values()) or not overhead.hangs else overhead


def _wire(picture: Picture, kinds: Iterable[str]) -> Wire:
    rows = _rows(picture)
    known = {place for row in rows for place in row.places}
    hangs: dict[str, Hangs] = {}
    chores: dict[str, list[str]] = {}
    places: dict[str, tuple[str, ...]] = {}
    for chore in picture.planned():
        if chore.kind not in kinds:
            continue
        places[chore.id] = tuple(dict.fromkeys(piece.place for piece in chore.pieces if piece.place in known))
        hanging = _hangs(chore, picture.states.get(chore.id, ""))
        for place in places[chore.id]:
            chores.setdefault(place, []).append(chore.id)
            hangs[place] = max(hangs.get(place, Hangs.NOTHING), hanging)
    return Wire(rows, hangs, {place: tuple(ids) for place, ids in chores.items()}, places)


def _rows(picture: Picture) -> tuple[WireRow, ...]:
    facts = picture.rows
    names = list(facts)
    return tuple(
        WireRow(
            name, facts[name].tunnel, facts[name].places, bool(after) and facts[after].loop == facts[name].loop
        )
        for name, after in zip_longest(names, names[1:], fillvalue="")
    )


def _hangs(chore: Chore, state: State) -> Hangs:
    if state not in ("", "partly"):
        return Hangs.NOTHING
    if chore.must:
        return Hangs.MUST
    return Hangs.DECISION if chore.choices else Hangs.WORK
