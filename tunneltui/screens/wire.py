"""What hangs on the wire this morning, place by place, and how it is brought up to date after a tick. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
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
    """By the id of a chore of the walk."""

    def after(self, changed: Iterable[str], states: Mapping[str, State], chores: Mapping[str, Chore]) -> Wire:
        """With the places of the ``changed`` chores as they are now."""
        touched = {place for id_ in changed for place in self.places.get(id_, ())}
        if not touched:
            return self
        hangs = dict(self.hangs)
        for place in touched:
            hangs[place] = max(_hangs(chores[id_], states.get(id_, "")) for id_ in self.chores[place])
        return self._replace(hangs=hangs)


OF_THE_ROW = frozenset({"look"})
"""Kinds that are of a whole row and hang at none of its places."""
NO_WIRE = Wire((), {}, {}, {})


def wire_of(picture: Picture) -> Wire:
    """From the chores of the walk: each hangs where its stems stand, else at its spot."""
    facts = picture.rows
    names = list(facts)
    rows = tuple(
        WireRow(
            name,
            facts[name].tunnel,
            facts[name].places,
            after is not None and facts[after].loop == facts[name].loop,
        )
        for name, after in zip(names, [*names[1:], None], strict=True)
    )
    known = {place for row in rows for place in row.places}
    hangs: dict[str, Hangs] = {}
    chores: dict[str, list[str]] = {}
    places: dict[str, tuple[str, ...]] = {}
    for spot in picture.round.spots:
        for chore in spot.chores:
            if chore.kind in OF_THE_ROW:
                continue
            where = {leader.place for leader in picture.leaders_of(chore)} or {spot.place}
            places[chore.id] = tuple(sorted(where & known))
            hanging = _hangs(chore, picture.states.get(chore.id, ""))
            for place in places[chore.id]:
                chores.setdefault(place, []).append(chore.id)
                hangs[place] = max(hangs.get(place, Hangs.NOTHING), hanging)
    return Wire(rows, hangs, {place: tuple(ids) for place, ids in chores.items()}, places)


def _hangs(chore: Chore, state: State) -> Hangs:
    if state not in ("", "partly"):
        return Hangs.NOTHING
    return Hangs.MUST if chore.must else Hangs.WORK
