"""Where the hands stop on the walk, pass by pass, as the lists show it; and how far each stop has come. Pure."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tunneltui.cells import many, without_prefix
from tunneltui.chores.chore import Chore, Piece, Spot
from tunneltui.screens.round_view import Pieces, State

if TYPE_CHECKING:
    from tunneltui.chores.passes import OnString, Pass, PassPlace
    from tunneltui.chores.walk import WalkOrder
    from tunneltui.season.state import Season

COMMON = frozenset({"side_shoot", "clip_head", "twist_in", "deleaf"})
"""Work of every week, shown in the columns of its place; one key may say that all of it is done on a pass."""
HELD_BY = {"clip_head": "+", "twist_in": "~"}


class Stop(NamedTuple):
    """A line of the walk: one place with all that is to do there on a pass, or a row where it is all along it."""

    key: str
    walk: str
    """Key of its pass."""
    place: str
    """On the wire; '' where it is all along a row or house."""
    row: str
    name: str
    """What stands in the first column."""
    refs: tuple[tuple[str, tuple[str, ...]], ...]
    """Each chore's id with the keys of its pieces that are here."""
    heads: tuple[str, ...] = ()
    """``14``, ``12+``, ``W1-16~``"""
    leaves: int = 0
    asks: tuple[tuple[str, str], ...] = ()
    """Number of the string, '' where it is on none, and what."""
    must: bool = False
    decides: bool = False


class PassLaid(NamedTuple):
    """One pass as the screen knows it."""

    key: str
    name: str
    words: str
    """``plants W``"""
    title: str
    """``Plants, west loop``"""
    stops: tuple[Stop, ...]
    idle: Mapping[str, str]
    """By the key of a stop, the places before it where nothing is to do: ``W1-04 to 01``; '' after the last."""


LATER = "later"


def laid_passes(season: Season, passes: Iterable[Pass], later: Sequence[Chore]) -> tuple[PassLaid, ...]:
    """The passes of the round, then what is for later."""
    from tunneltui.chores.walk import walking_order

    passes = tuple(passes)
    along = walking_order(
        season, (chore for walk_pass in passes for place in walk_pass.places for chore in place.chores)
    )
    laid = [_laid(season, walk_pass, along) for walk_pass in passes]
    if later:
        laid.append(_later(later))
    return tuple(laid)


def _later(later: Sequence[Chore]) -> PassLaid:
    stops = tuple(_whole(LATER, chore, chore.about) for chore in later)
    return PassLaid(LATER, LATER, LATER, "Later, when there is time", stops, {})


def _laid(season: Season, walk_pass: Pass, along: WalkOrder) -> PassLaid:
    words = " ".join(filter(None, (walk_pass.name, walk_pass.tunnel)))
    if walk_pass.name == "plants":
        stops = tuple(_at_a_place(season, words, place) for place in walk_pass.places)
        idle = _idle(season, walk_pass, along)
    elif walk_pass.name == "overhead":
        stops = tuple(stop for place in walk_pass.places for stop in _by_head(words, place))
        idle = {}
    else:
        stops = tuple(_whole(words, chore, place.name) for place in walk_pass.places for chore in place.chores)
        idle = {}
    return PassLaid(words, walk_pass.name, words, _title(season, walk_pass), stops, idle)


def _title(season: Season, walk_pass: Pass) -> str:
    from tunneltui.pages.lowering import loop_words

    loops = dict.fromkeys(
        season.layout.loop_of_row[place.row].id
        for place in walk_pass.places
        if place.row in season.layout.loop_of_row
    )
    named = [loop_words(season.layout, loop) for loop in loops]
    where = (
        named[0]
        if len(named) == 1
        else next((tunnel.name for tunnel in season.holding.tunnels if tunnel.key == walk_pass.tunnel), "")
    )
    return ", ".join(filter(None, (walk_pass.name.capitalize(), where)))


def _at_a_place(season: Season, words: str, place: PassPlace) -> Stop:
    heads = tuple(
        short_name(season.leaders[head.leader].name, place.row, _is_alone(season, head.leader))
        + HELD_BY.get(head.held, "")
        for head in place.heads
        if head.leader in season.leaders
    )
    return Stop(
        f"{words} {place.name}{' last' if place.sick else ''}",
        words,
        place.name,
        place.row,
        place.name,
        tuple((chore.id, tuple(piece.key for piece in chore.pieces)) for chore in place.chores),
        heads,
        place.leaves,
        tuple(_asks(place.chores, place.strings, place.row)),
        any(chore.must for chore in place.chores),
        any(bool(chore.choices) for chore in place.chores),
    )


def _is_alone(season: Season, leader_id: str) -> bool:
    """Whether its plant has no other leader."""
    leader = season.leaders[leader_id]
    return sum(other.place == leader.place for other in season.leaders_of_loop(leader.loop)) == 1


def short_name(name: str, row: str, alone: bool) -> str:
    """A stem as it is called along ``row``: its row only where that is another, its letter only where its plant
    has two leaders."""
    if alone and name[-1:].islower():
        name = name[:-1]
    return name.removeprefix(f"{row}-")


def _asks(chores: Sequence[Chore], strings: Sequence[OnString], row: str) -> Iterable[tuple[str, str]]:
    """What is asked for beside the common work; like clips on one string together."""
    number = {string.chore: str(string.number) if string.row == row else "" for string in strings}
    apart = {string.chore: f", string {string.number} of {string.row}" for string in strings if string.row != row}
    together: dict[tuple[str, str], list[str]] = defaultdict(list)
    for chore in chores:
        if chore.kind in COMMON:
            continue
        for piece in chore.pieces:
            what, _, stem = words_of(chore, piece).partition(", stem ")
            together[number.get(chore.id, ""), what + apart.get(chore.id, "")].append(stem)
    for (on, what), stems in together.items():
        named = [stem for stem in stems if stem]
        if len(named) > 1:
            yield on, f"{what}s, stems {' '.join(named)}"
        else:
            yield on, f"{what}, stem {named[0]}" if named else what


def words_of(chore: Chore, piece: Piece) -> str:
    """What one piece asks for, in a few words."""
    from tunneltui.chores.kinds import KINDS

    kind = KINDS[chore.kind]
    if chore.choices:
        return f"{kind.heading}, enter decides"
    if chore.kind == "take_back_clips":
        return "take a clip back"
    if piece.what:
        return piece.what
    return without_prefix(chore.proposal, f"{chore.about}: ")


def _by_head(words: str, place: PassPlace) -> Iterable[Stop]:
    for chore in place.chores:
        for piece in chore.pieces:
            name, task, _ = str(piece.what).partition(": ")
            what = without_prefix(piece.what, f"{name}: ")
            yield Stop(
                f"{words} {chore.id} {piece.key}",
                words,
                place.name,
                place.row,
                name.removesuffix("a") if task else place.name,
                ((chore.id, (piece.key,)),),
                asks=(("", what if task else words_of(chore, piece)),),
                must=chore.must,
                decides=bool(chore.choices),
            )


def _whole(words: str, chore: Chore, name: str) -> Stop:
    proposal = without_prefix(without_prefix(chore.proposal, f"pick {name} "), f"{chore.about}: ")
    return Stop(
        f"{words} {chore.id}",
        words,
        "",
        chore.row,
        name,
        ((chore.id, tuple(piece.key for piece in chore.pieces)),),
        asks=(("", proposal),),
        must=chore.must,
        decides=bool(chore.choices),
    )


def _idle(season: Season, walk_pass: Pass, along: WalkOrder) -> dict[str, str]:
    """The places of the pass's tunnel where nothing is to do, before the stop they come before."""
    busy = {place.name for place in walk_pass.places}
    after = [place for place in walk_pass.places if not place.sick]
    idle: dict[str, list[str]] = defaultdict(list)
    standing = [
        (along(row, place.x_m, False), place.name)
        for row, (tunnel, held) in season.layout.rows.items()
        if tunnel.key == walk_pass.tunnel and any(True for _ in season.leaders_of_row(row))
        for place in held.places
        if place.name not in busy
    ]
    stops = [(along(place.row, place.x_m, place.name not in season.layout.places), place.name) for place in after]
    words = " ".join(filter(None, (walk_pass.name, walk_pass.tunnel)))
    at = 0
    for where, name in sorted(standing):
        while at < len(stops) and stops[at][0] <= where:
            at += 1
        idle[f"{words} {stops[at][1]}" if at < len(stops) else ""].append(name)
    return {key: "  ".join(runs(names)) for key, names in idle.items()}


def runs(names: Sequence[str]) -> list[str]:
    """Names by row with runs joined: ``W1-04 to 01``, ``W1-02 05 07``."""
    rows: dict[str, list[str]] = {}
    for name in names:
        row, _, short = name.rpartition("-")
        rows.setdefault(row, []).append(short)
    by_row = []
    for row, shorts in rows.items():
        parts: list[list[str]] = []
        for short in shorts:
            if parts and _next_to(parts[-1][-1], short):
                parts[-1].append(short)
            else:
                parts.append([short])
        joined_runs = " ".join(f"{part[0]} to {part[-1]}" if len(part) > 2 else " ".join(part) for part in parts)
        by_row.append(f"{row}-{joined_runs}" if row else joined_runs)
    return by_row


def _next_to(place: str, other: str) -> bool:
    return place.isdigit() and other.isdigit() and abs(int(place) - int(other)) == 1


def plain_passes(spots: Iterable[Spot], later: Sequence[Chore]) -> tuple[PassLaid, ...]:
    """The passes where nothing is known of the places: a line a chore."""
    from tunneltui.chores.kinds import KINDS
    from tunneltui.chores.passes import PASSES

    stops: dict[str, list[Stop]] = defaultdict(list)
    for spot in spots:
        for chore in spot.chores:
            words = KINDS[chore.kind].walk
            stops[words].append(_whole(words, chore, spot.place))
    laid = [
        PassLaid(words, words, words, words.capitalize(), tuple(stops[words]), {})
        for words in PASSES
        if stops[words]
    ]
    if later:
        laid.append(_later(later))
    return tuple(laid)


# How far a stop has come

CLOSED: frozenset[State] = frozenset({"done", "put off", "no longer"})


def piece_state(id_: str, key: str, states: Mapping[str, State], pieces: Mapping[str, Pieces]) -> State:
    """Of one piece of a chore: its own, else its chore's."""
    if own := pieces.get(id_):
        return own.get(key, "")
    state = states.get(id_, "")
    return "" if state == "partly" else state


def stop_state(stop: Stop, of_piece: Callable[[str, str], State]) -> State:
    """Of all that is here together."""
    states = [of_piece(id_, key) for id_, keys in stop.refs for key in keys]
    if "writing" in states:
        return "writing"
    if all(state in CLOSED for state in states):
        return next((state for state in ("done", "put off") if state in states), "no longer")
    return "partly" if "done" in states else ""


# What was written, in nouns


def done_words(name: str, parts: Iterable[tuple[Chore, Piece]]) -> str:
    """``W2-09: 2 heads, 3 leaves, second clip on string 17``"""
    from tunneltui.journal.body import parsed

    parts = list(parts)
    heads: set[str] = set()
    leaves, others = 0, []
    for chore, piece in parts:
        if chore.kind == "deleaf":
            leaves += sum(int(parsed(draft).get("leaves") or 0) for draft in piece.writes)
        elif chore.kind in COMMON:
            heads.update(piece.leaders)
        else:
            others.append(words_of(chore, piece))
    looks = [chore.proposal.removesuffix(" for what hangs loose") for chore, _ in parts if chore.kind == "look"]
    if looks:
        return ", ".join(dict.fromkeys(looks)).replace("look along", "looked along")
    parts_done = [many(len(heads), "head")] if heads else []
    parts_done += [many(leaves, "leaf", "leaves")] if leaves else []
    parts_done += [f"{what}, {times} times" if times > 1 else what for what, times in Counter(others).items()]
    return f"{name}: {', '.join(parts_done)}" if parts_done else name
