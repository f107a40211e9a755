"""The round as its list shows it: laid out once where a picture is made, so that no key waits for twenty thousand
chores. Pure: no widget, no terminal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.screens.list_lines import Far, chore_line, round_lines
from tunneltui.screens.parts import Line
from tunneltui.screens.picture import LeaderFacts, Picture, State
from tunneltui.screens.wire import NO_WIRE, Wire, wire_of


class Walk(NamedTuple):
    """The lines of a picture's round and where everything is among them."""

    lines: tuple[Line, ...]
    numbers: Mapping[str, int]
    """Number of each line by its key."""
    chores: Mapping[str, Chore]
    places: Mapping[str, str]
    """What stands in a chore's first column; nothing where its spot stands on the line before."""
    rows: Mapping[str, str]
    """The row each chore of the walk is done with."""
    alone: Mapping[str, tuple[str, ...]]
    """Chores that handle one leader only, by the leader."""
    far: Far
    wire: Wire = NO_WIRE
    follows: tuple[Line, ...] | None = None
    """The lines before it, where they differ only in ``renewed``."""
    renewed: tuple[str, ...] = ()
    """Keys of the lines that differ from ``follows``."""

    def line(self, chore: Chore, state: State) -> Line:
        return chore_line(chore, state, self.places.get(chore.id, ""))


NOTHING_LAID_OUT = Walk((), {}, {}, {}, {}, {}, Far())


def laid_out(picture: Picture) -> Picture:
    """The picture with its walk."""
    return replace(picture, walk=walk_of(picture))


def walk_of(picture: Picture) -> Walk:
    lines = tuple(round_lines(picture))
    spots, later = picture.round.spots, picture.round.later
    chores = {chore.id: chore for chore in (*picture.planned(), *later)}
    places = {spot.chores[0].id: spot.place for spot in spots if spot.chores}
    places |= {chore.id: chore.about for chore in later}
    alone: dict[str, tuple[str, ...]] = {}
    for chore in chores.values():
        if len(chore.leaders) == 1:
            alone[chore.leaders[0]] = (*alone.get(chore.leaders[0], ()), chore.id)
    far = Far()
    for chore in picture.planned():
        far = far.plus(chore, picture.states.get(chore.id, ""))
    return Walk(
        lines,
        {line.key: number for number, line in enumerate(lines)},
        chores,
        places,
        {chore.id: spot.row for spot in spots for chore in spot.chores},
        alone,
        far,
        wire_of(picture),
    )


def renewed(
    picture: Picture, walk: Walk, leaders: Mapping[str, LeaderFacts], states: Mapping[str, State]
) -> Picture:
    """The picture after some ``leaders`` changed and some chores came to other ``states``; ``walk`` is the
    picture's. Nothing is laid out but what changed."""
    lines, far = list(walk.lines), walk.far
    keys: list[str] = []
    for id_, state in states.items():
        chore, before = walk.chores[id_], picture.states.get(id_, "")
        if state != before:
            keys.append(id_)
            lines[walk.numbers[id_]] = walk.line(chore, state)
            if id_ in walk.rows:
                far = far.plus(chore, before, -1).plus(chore, state)
    after = {**picture.states, **states}
    return replace(
        picture,
        leaders={**picture.leaders, **leaders},
        states=after,
        walk=walk._replace(
            lines=tuple(lines),
            far=far,
            wire=walk.wire.after(keys, after, walk.chores),
            follows=walk.lines,
            renewed=tuple(keys),
        ),
    )
