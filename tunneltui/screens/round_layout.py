"""The round as its lists show it: laid out once where a view is made, so that no key waits for twenty thousand
chores. Pure: no widget, no terminal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.draw.wire import Hangs
from tunneltui.screens.round_view import LeaderFacts, Pieces, RoundView, State
from tunneltui.screens.stops import CLOSED, LATER, PassLaid, Stop, laid_passes, piece_state, plain_passes
from tunneltui.screens.wire import NO_WIRE, WireMap, wire_of


class Progress(NamedTuple):
    """How far a pass or the round has come."""

    stops: int = 0
    done: int = 0
    minutes: float = 0.0
    """Left to do."""
    musts: int = 0
    """Left to do."""

    def plus(self, left: WorkLeft, sign: int = 1) -> Progress:
        """With one stop more; with ``sign`` -1 without it."""
        return Progress(
            self.stops + sign,
            self.done + sign * (not left.is_open),
            self.minutes + sign * left.minutes,
            self.musts + sign * left.musts,
        )


class WorkLeft(NamedTuple):
    """What is left to do at a stop."""

    is_open: bool
    minutes: float
    musts: int
    hangs: Hangs


class RoundLayout(NamedTuple):
    """The passes of a view's round, and where everything is in them."""

    passes: tuple[PassLaid, ...]
    stops: Mapping[str, Stop]
    """By their keys."""
    of_chore: Mapping[str, tuple[str, ...]]
    """Keys of the stops of a chore."""
    chores: Mapping[str, Chore]
    alone: Mapping[str, tuple[str, ...]]
    """Chores that handle one leader only, by the leader."""
    left: Mapping[str, Progress]
    """By the key of a pass."""
    wire: WireMap = NO_WIRE
    follows: tuple[PassLaid, ...] | None = None
    """The passes before it, where it differs in the state of the stops in ``renewed`` alone."""
    renewed: tuple[str, ...] = ()

    @property
    def far(self) -> Progress:
        """How far the round has come."""
        far = Progress()
        for key, progress in self.left.items():
            if key != LATER:
                far = Progress(
                    far.stops + progress.stops,
                    far.done + progress.done,
                    far.minutes + progress.minutes,
                    far.musts + progress.musts,
                )
        return far

    def chores_of(self, stop: Stop) -> list[Chore]:
        """The chores of a stop, whole."""
        return [self.chores[id_] for id_, _ in stop.refs if id_ in self.chores]

    def here(self, stop: Stop) -> list[Chore]:
        """The chores of a stop, each with those of its pieces alone that are there."""
        from tunneltui.chores.exceptions import only

        return [only(self.chores[id_], keys) for id_, keys in stop.refs if id_ in self.chores]


NOTHING_LAID_OUT = RoundLayout((), {}, {}, {}, {}, {})


def laid_out(view: RoundView) -> RoundView:
    """The view with its walk."""
    walk = walk_of(view)
    return replace(view, walk=walk, passes=walk.passes)


def walk_of(view: RoundView) -> RoundLayout:
    """From what was worked out; of a view that was kept, with the passes that were kept with it."""
    return _with_stops(view, view.passes or _passes(view))


def _passes(view: RoundView) -> tuple[PassLaid, ...]:
    round_ = view.round
    if not round_.spots and not round_.later:
        return ()
    if view.morning is None:
        return plain_passes(round_.spots, round_.later)
    from tunneltui.chores.passes import passes

    season = view.morning.season
    return laid_passes(season, passes(season, round_), round_.later)


def _with_stops(view: RoundView, laid: tuple[PassLaid, ...]) -> RoundLayout:
    stops = {stop.key: stop for pass_laid in laid for stop in pass_laid.stops}
    of_chore: dict[str, list[str]] = defaultdict(list)
    for stop in stops.values():
        for id_, _ in stop.refs:
            of_chore[id_].append(stop.key)
    chores = {chore.id: chore for chore in (*view.planned(), *view.round.later)}
    alone: dict[str, list[str]] = defaultdict(list)
    for chore in chores.values():
        if len(chore.leaders) == 1:
            alone[chore.leaders[0]].append(chore.id)
    walk = RoundLayout(
        laid,
        stops,
        {id_: tuple(keys) for id_, keys in of_chore.items()},
        chores,
        {leader: tuple(ids) for leader, ids in alone.items()},
        {},
    )
    left = {key: left_at(walk, stop, view.states, view.pieces) for key, stop in stops.items()}
    far: dict[str, Progress] = {}
    for pass_laid in laid:
        far[pass_laid.key] = Progress()
        for stop in pass_laid.stops:
            far[pass_laid.key] = far[pass_laid.key].plus(left[stop.key])
    wire = wire_of(view.rows, laid, lambda stop: left[stop.key].hangs)
    return walk._replace(left=far, wire=wire)


def left_at(walk: RoundLayout, stop: Stop, states: Mapping[str, State], pieces: Mapping[str, Pieces]) -> WorkLeft:
    """What is left to do at a stop."""
    minutes, musts, is_open, hangs = 0.0, 0, False, Hangs.NOTHING
    for id_, keys in stop.refs:
        chore = walk.chores.get(id_)
        if chore is None:
            continue
        left = [
            piece.minutes
            for piece in chore.pieces
            if piece.key in keys and piece_state(id_, piece.key, states, pieces) not in CLOSED
        ]
        if left:
            is_open = True
            minutes += sum(left)
            # A must all along a row is one must, counted at its first stop.
            musts += chore.must and walk.of_chore[id_][0] == stop.key
            own = Hangs.MUST if chore.must else Hangs.DECISION if chore.choices else Hangs.WORK
            hangs = max(hangs, own)
    return WorkLeft(is_open, minutes, musts, hangs)


def renewed(
    view: RoundView,
    walk: RoundLayout,
    leaders: Mapping[str, LeaderFacts],
    states: Mapping[str, State],
    pieces: Mapping[str, Pieces],
) -> RoundView:
    """The view after some ``leaders`` changed and some chores came to other ``states``; ``walk`` is the
    view's. Nothing is laid out but what changed."""
    after, after_pieces = {**view.states, **states}, {**view.pieces, **pieces}
    changed = [
        id_
        for id_, state in states.items()
        if state != view.states.get(id_, "") or pieces.get(id_, {}) != view.pieces.get(id_, {})
    ]
    stops = [walk.stops[key] for key in dict.fromkeys(k for id_ in changed for k in walk.of_chore.get(id_, ()))]
    far = dict(walk.left)
    left_now = {stop.key: left_at(walk, stop, after, after_pieces) for stop in stops}
    for stop in stops:
        before = left_at(walk, stop, view.states, view.pieces)
        far[stop.walk] = far[stop.walk].plus(before, -1).plus(left_now[stop.key])
    return replace(
        view,
        leaders={**view.leaders, **leaders},
        states=after,
        pieces=after_pieces,
        walk=walk._replace(
            left=far,
            wire=walk.wire.after(stops, lambda stop: _hangs(walk, stop, left_now, after, after_pieces)),
            follows=walk.passes,
            renewed=tuple(left_now),
        ),
    )


def _hangs(
    walk: RoundLayout,
    stop: Stop,
    left_now: Mapping[str, WorkLeft],
    states: Mapping[str, State],
    pieces: Mapping[str, Pieces],
) -> Hangs:
    left = left_now.get(stop.key)
    return (left or left_at(walk, stop, states, pieces)).hangs
