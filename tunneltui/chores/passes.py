"""The round as a grower walks it: a pass is one kind of walk, a place on it is where the hands stop.

A chore of a whole row is cut by place: each place has its own pieces of it, and a tick there writes those alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple, get_args

from tunneltui.chores.chore import Chore, Piece, Round
from tunneltui.chores.chore_kind import PassName
from tunneltui.chores.exceptions import only
from tunneltui.chores.kinds import KINDS, order_at_a_spot
from tunneltui.chores.leaves import DELEAF, SIDE_SHOOT
from tunneltui.chores.walk import WalkOrder, walking_order
from tunneltui.journal.body import parsed
from tunneltui.season.state import Season

PASSES: tuple[PassName, ...] = get_args(PassName)
"""In the order of the hands: look, pick, plant by plant, tap, overhead last and when stems are limp."""
PLACE_BY_PLACE: frozenset[PassName] = frozenset({"plants", "overhead"})
"""Walked from place to place; the other passes stop once a row or tunnel."""


class PassHead(NamedTuple):
    """A head that hangs over a place, and what it gets there."""

    leader: str
    shoots: bool
    held: str
    """Kind of chore that holds it, ``clip_head`` or ``twist_in``; '' where it wants neither."""


class OnString(NamedTuple):
    """A clip or tie that is asked for on a string at a place."""

    string: str
    number: int
    row: str
    chore: str
    """Id of the chore."""


class PassPlace(NamedTuple):
    """Where the hands stop, and all that is to do there on this pass."""

    name: str
    """``W2-09``; the row or tunnel where the work is all along it; '' for the house."""
    row: str
    x_m: float
    u_m: float
    sick: bool
    """Only plants under suspicion are handled: it comes last, and hands and knife are cleaned before it."""
    chores: tuple[Chore, ...]
    """In the order of the hands, each with those of its pieces alone that are here."""
    heads: tuple[PassHead, ...]
    leaves: int
    """To take off the stems that are rooted here."""
    strings: tuple[OnString, ...]

    @property
    def minutes(self) -> float:
        return sum(chore.minutes for chore in self.chores)


class Pass(NamedTuple):
    """One kind of walk. Of the plants there is one a tunnel."""

    name: PassName
    tunnel: str
    """Key of the tunnel; '' where the pass goes through all of them."""
    places: tuple[PassPlace, ...]
    """In walking order, those of sick plants last."""

    @property
    def minutes(self) -> float:
        return sum(place.minutes for place in self.places)

    @property
    def cautions(self) -> tuple[str, ...]:
        """Each once."""
        return tuple(
            dict.fromkeys(caution for place in self.places for chore in place.chores for caution in chore.cautions)
        )


def passes(season: Season, walk: Round) -> tuple[Pass, ...]:
    """Today's round pass by pass; those without work are left out."""
    of_pass: dict[tuple[PassName, str], list[Chore]] = defaultdict(list)
    for spot in walk.spots:
        for chore in spot.chores:
            name = KINDS[chore.kind].walk
            tunnel = season.layout.rows[chore.row][0].key if chore.row in season.layout.rows else ""
            of_pass[name, tunnel if name == "plants" else ""].append(chore)
    tunnels = {"": -1} | {tunnel.key: number for number, tunnel in enumerate(season.holding.tunnels)}
    along = walking_order(season, (chore for spot in walk.spots for chore in spot.chores))
    ordered = sorted(of_pass.items(), key=lambda item: (PASSES.index(item[0][0]), tunnels[item[0][1]]))
    return tuple(Pass(name, tunnel, _places(season, name, chores, along)) for (name, tunnel), chores in ordered)


def _places(season: Season, name: PassName, chores: Sequence[Chore], along: WalkOrder) -> tuple[PassPlace, ...]:
    pieces: dict[tuple[bool, str, str], list[tuple[Chore, Piece]]] = defaultdict(list)
    for chore in chores:
        for piece in chore.pieces:
            sick, row, place = False, chore.row, ""
            if name in PLACE_BY_PLACE:
                handled = [season.leaders[leader] for leader in piece.leaders if leader in season.leaders]
                sick = bool(handled) and all(leader.suspect for leader in handled)
                row, place = piece.row, piece.place
            else:
                place = _along(season, chore)
            pieces[sick, row, place].append((chore, piece))
    places = [_place(season, place, sick, work) for (sick, _, place), work in pieces.items()]
    return tuple(
        sorted(places, key=lambda p: (p.sick, *along(p.row, p.x_m, p.name not in season.layout.places), p.name))
    )


def _along(season: Season, chore: Chore) -> str:
    """What a pass that does not stop at places calls the stop: the row, the tunnel, or '' for the house."""
    tunnels = {tunnel.key for tunnel in season.holding.tunnels}
    return chore.about if chore.about in tunnels else chore.row


def _place(season: Season, name: str, sick: bool, work: Sequence[tuple[Chore, Piece]]) -> PassPlace:
    keys: dict[str, set[str]] = defaultdict(set)
    whole: dict[str, Chore] = {}
    for chore, piece in work:
        keys[chore.id].add(piece.key)
        whole[chore.id] = chore
    chores = sorted(
        (only(chore, keys[id_]) for id_, chore in whole.items()), key=lambda c: (order_at_a_spot(c.kind), c.id)
    )
    standing = season.layout.places.get(name)
    first = work[0][1]
    return PassPlace(
        name,
        first.row,
        standing.place.x_m if standing else first.x_m,
        standing.u_m if standing else first.u_m,
        sick,
        tuple(chores),
        _heads(chores),
        sum(_leaves(piece) for chore in chores if chore.kind == DELEAF.key for piece in chore.pieces),
        tuple(string for chore in chores for string in _strings(season, chore)),
    )


def _heads(chores: Iterable[Chore]) -> tuple[PassHead, ...]:
    shoots: set[str] = set()
    held: dict[str, str] = {}
    heads: dict[str, None] = {}
    for chore in chores:
        if chore.kind == SIDE_SHOOT.key:
            shoots.update(chore.leaders)
        elif chore.kind in ("clip_head", "twist_in"):
            held |= dict.fromkeys(chore.leaders, chore.kind)
        else:
            continue
        heads |= dict.fromkeys(chore.leaders)
    return tuple(PassHead(leader, leader in shoots, held.get(leader, "")) for leader in heads)


def _leaves(piece: Piece) -> int:
    return sum(int(parsed(draft).get("leaves") or 0) for draft in piece.writes if draft.kind == "deleafed")


def _strings(season: Season, chore: Chore) -> Iterable[OnString]:
    if KINDS[chore.kind].walk != "plants":
        return
    for draft in chore.writes:
        string = parsed(draft).get("string") if draft.kind in ("clipped", "tied") else None
        if string in season.strings:
            hung = season.strings[string]
            yield OnString(hung.id, hung.number, hung.row, chore.id)
