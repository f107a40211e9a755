"""The round as its lists show it: laid out once where a picture is made, so that no key waits for twenty thousand
chores. Pure: no widget, no terminal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.screens.list_lines import Far
from tunneltui.screens.picture import LeaderFacts, Picture, Pieces, State
from tunneltui.screens.stops import CLOSED, LATER, PassLaid, Stop, laid_passes, piece_state, plain_passes


class Walk(NamedTuple):
    """The passes of a picture's round, and where everything is in them."""

    passes: tuple[PassLaid, ...]
    stops: Mapping[str, Stop]
    """By their keys."""
    of_chore: Mapping[str, tuple[str, ...]]
    """Keys of the stops of a chore."""
    chores: Mapping[str, Chore]
    alone: Mapping[str, tuple[str, ...]]
    """Chores that handle one leader only, by the leader."""
    left: Mapping[str, Far]
    """By the key of a pass."""
    follows: Walk | None = None
    """The walk before it, where it differs only in ``renewed``."""
    renewed: tuple[str, ...] = ()
    """Keys of the stops that came to another state since ``follows``."""

    @property
    def far(self) -> Far:
        """How far the round has come."""
        far = Far()
        for key, one in self.left.items():
            if key != LATER:
                far = Far(*(mine + its for mine, its in zip(far, one, strict=True)))
        return far

    def pass_of(self, key: str) -> PassLaid | None:
        return next((one for one in self.passes if one.key == key), None)

    def here(self, stop: Stop) -> list[Chore]:
        """The chores of a stop, each with those of its pieces alone that are there."""
        from tunneltui.chores.exceptions import only

        return [only(self.chores[id_], keys) for id_, keys in stop.refs if id_ in self.chores]


NOTHING_LAID_OUT = Walk((), {}, {}, {}, {}, {})


def laid_out(picture: Picture) -> Picture:
    """The picture with its walk."""
    return replace(picture, walk=walk_of(picture))


def walk_of(picture: Picture) -> Walk:
    """From what was worked out; of a picture that was kept, what was kept of its walk."""
    round_ = picture.round
    if picture.morning is None:
        return with_stops(picture, plain_passes(round_.spots, round_.later))
    from tunneltui.chores.passes import passes

    season = picture.morning.season
    return with_stops(picture, laid_passes(season, passes(season, round_), round_.later))


def with_stops(picture: Picture, laid: tuple[PassLaid, ...]) -> Walk:
    stops = {stop.key: stop for one in laid for stop in one.stops}
    of_chore: dict[str, list[str]] = defaultdict(list)
    for stop in stops.values():
        for id_, _ in stop.refs:
            of_chore[id_].append(stop.key)
    chores = {chore.id: chore for chore in (*picture.planned(), *picture.round.later)}
    alone: dict[str, tuple[str, ...]] = {}
    for chore in chores.values():
        if len(chore.leaders) == 1:
            alone[chore.leaders[0]] = (*alone.get(chore.leaders[0], ()), chore.id)
    walk = Walk(laid, stops, {id_: tuple(keys) for id_, keys in of_chore.items()}, chores, alone, {})
    return walk._replace(
        left={one.key: _far(walk, one.stops, picture.states, picture.pieces) for one in laid},
    )


def _far(walk: Walk, stops: Iterable[Stop], states: Mapping[str, State], pieces: Mapping[str, Pieces]) -> Far:
    far = Far()
    for stop in stops:
        far = far.plus(*stop_left(walk, stop, states, pieces))
    return far


def stop_left(
    walk: Walk, stop: Stop, states: Mapping[str, State], pieces: Mapping[str, Pieces]
) -> tuple[bool, float, int]:
    """Whether anything is left to do at a stop, for how many minutes, and how many musts."""
    minutes, musts, is_open = 0.0, 0, False
    for id_, keys in stop.refs:
        chore = walk.chores[id_]
        left = [
            piece.minutes
            for piece in chore.pieces
            if piece.key in keys and piece_state(id_, piece.key, states, pieces) not in CLOSED
        ]
        minutes += sum(left)
        is_open |= bool(left)
        # A must all along a row is one must, counted at its first stop.
        musts += bool(left) and chore.must and walk.of_chore[id_][0] == stop.key
    return is_open, minutes, musts


def renewed(
    picture: Picture,
    walk: Walk,
    leaders: Mapping[str, LeaderFacts],
    states: Mapping[str, State],
    pieces: Mapping[str, Pieces],
) -> Picture:
    """The picture after some ``leaders`` changed and some chores came to other ``states``; ``walk`` is the
    picture's. Nothing is laid out but what changed."""
    after, after_pieces = {**picture.states, **states}, {**picture.pieces, **pieces}
    changed = [
        id_
        for id_, state in states.items()
        if state != picture.states.get(id_, "") or pieces.get(id_, {}) != picture.pieces.get(id_, {})
    ]
    keys = dict.fromkeys(key for id_ in changed for key in walk.of_chore.get(id_, ()))
    left = dict(walk.left)
    for key in keys:
        stop = walk.stops[key]
        left[stop.walk] = (
            left[stop.walk]
            .plus(*stop_left(walk, stop, picture.states, picture.pieces), sign=-1)
            .plus(*stop_left(walk, stop, after, after_pieces))
        )
    return replace(
        picture,
        leaders={**picture.leaders, **leaders},
        states=after,
        pieces=after_pieces,
        walk=walk._replace(left=left, follows=walk._replace(follows=None), renewed=tuple(keys)),
    )
