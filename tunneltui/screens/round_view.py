"""What the screens show of one morning, as one value that never changes; a new morning is a new view.

Light enough for the first paint: it may come from the cache before the journal was read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Literal, NamedTuple

from tunneltui.cells import say
from tunneltui.chores.chore import Chore, Round, Spot
from tunneltui.pages.prompts import STILL_TO_COME

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.pages.card import CardLine, WeekDay
    from tunneltui.screens.round_layout import RoundLayout
    from tunneltui.screens.stops import PassLaid
    from tunneltui.store.kept_round import KeptRound

State = Literal["", "writing", "done", "partly", "put off", "no longer"]
"""'': still to do; ``partly``: ticked, with some left out that are still asked for; ``no longer``: planned this
morning, and the season asks for it no more."""


ChoreKey = tuple[str, str]
"""Kind and about of a chore (``Chore.key``)."""
Pieces = Mapping[str, State]
"""By key of a piece."""


class ChoreAnswer(NamedTuple):
    """The answer given to a chore today."""

    state: State
    pieces: Mapping[str, State] | None = None
    """Where only some of its pieces were answered: by their keys; None: all of it."""

    def of(self, key: str) -> State:
        return self.state if self.pieces is None else self.pieces.get(key, "")


class FixingChoice(NamedTuple):
    """A clip or tie that may have failed."""

    id: str
    words: str
    share: float
    """Of its strength; the larger, the likelier."""


class LeaderFacts(NamedTuple):
    """One leader in words."""

    id: str
    name: str
    place: str
    row: str
    facts: tuple[str, ...]
    fixings: tuple[FixingChoice, ...] = ()
    """Most likely to fail first."""


class RowFacts(NamedTuple):
    """One row in words."""

    tunnel: str
    cultivars: tuple[str, ...]
    places: tuple[str, ...] = ()
    """In the order in which today's walk passes them."""
    loop: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class RoundView:
    """One morning as it is shown. ``eq=False``: two views are compared by identity only."""

    day: date
    today: date
    """Nothing is written on a day later than this."""
    holding: str
    zone: str
    """IANA name of the holding's time zone."""
    plays_on: date | None
    """A made-up holding: the day that is always its today."""
    air: str
    round: Round
    """In the order planned this morning; a tick moves nothing."""
    states: Mapping[str, State]
    """By chore id; what is not in it is still to do."""
    leaders: Mapping[str, LeaderFacts]
    rows: Mapping[str, RowFacts]
    """In the order of the walk."""
    next_work_day: Mapping[str, date] = field(default_factory=dict)
    """By row."""
    pieces: Mapping[str, Pieces] = field(default_factory=dict)
    """By chore id, where its pieces have come to different states."""
    since: int = 0
    """Chores that came up since and wait to be planned."""
    last_act: str = ""
    """The last act of today that can be crossed out."""
    confirmed: bool = True
    """False: painted from what was kept before, the journal is still being read."""
    numbers: Mapping[str, int] = field(default_factory=dict)
    """Of the lines, by chore id: the same on paper and all day."""
    shown: KeptRound | None = None
    """The round with those numbers, kept for the line that is typed at the end of the walk."""
    morning: Morning | None = None
    card: tuple[CardLine, ...] = ()
    """What the day holds, as it was when the round was planned."""
    week: tuple[WeekDay, ...] = ()
    passes: tuple[PassLaid, ...] = ()
    """Of the walk, as they were laid out when the round was planned."""
    walk: RoundLayout | None = None
    """Laid out by whoever made the view, where that was not on the screen's own time."""

    @property
    def closed(self) -> str:
        """Why nothing can be written now, as a sentence; '' if it can."""
        if not self.confirmed:
            return "Today's round is still being worked out; what is shown was kept from before."
        if self.day > self.today:
            return say(STILL_TO_COME, self.day.isoformat())
        return ""

    def is_open(self, chore: Chore) -> bool:
        """Still to do, or some of it."""
        return self.states.get(chore.id, "") in ("", "partly")

    def leaders_of(self, chore: Chore) -> tuple[LeaderFacts, ...]:
        """Those it handles; else those its ``about`` names."""
        if chore.leaders:
            return tuple(self.leaders[id_] for id_ in chore.leaders if id_ in self.leaders)
        if not chore.about or chore.about in self.rows:
            return ()
        return tuple(leader for leader in self.leaders.values() if chore.about in (leader.name, leader.place))

    def leaders_of_row(self, row: str) -> tuple[LeaderFacts, ...]:
        return tuple(leader for leader in self.leaders.values() if leader.row == row)

    def planned(self) -> list[Chore]:
        """Every chore of the walk, in order."""
        return [chore for spot in self.round.spots for chore in spot.chores]


class ChoreStates(NamedTuple):
    """What became of chores, by their id."""

    states: dict[str, State]
    pieces: dict[str, Pieces]
    """Of those whose pieces have come to different states; empty where they were and are no more."""


def states_after(
    chores: Iterable[Chore], due: Mapping[ChoreKey, Chore], answered: Mapping[ChoreKey, ChoreAnswer]
) -> ChoreStates:
    """``due`` are those that are still asked for."""
    settled = ChoreStates({}, {})
    for chore in chores:
        current = due.get(chore.key)
        answer = answered.get(chore.key)
        left = {piece.key for piece in current.pieces} if current is not None else set()
        if answer is None and all(piece.key in left for piece in chore.pieces):
            continue
        _settle(settled, chore, {piece.key: _piece_after(piece.key, left, answer) for piece in chore.pieces})
    return settled


def states_answered(chores: Iterable[Chore], answered: Mapping[ChoreKey, ChoreAnswer]) -> ChoreStates:
    """The same by the answers alone, before it is known what is still due."""
    settled = ChoreStates({}, {})
    for chore in chores:
        answer = answered.get(chore.key) or ChoreAnswer("")
        _settle(settled, chore, {piece.key: answer.of(piece.key) for piece in chore.pieces})
    return settled


def _piece_after(key: str, left: Set[str], answer: ChoreAnswer | None) -> State:
    if key in left:
        return ""
    return (answer.of(key) if answer is not None else "") or "no longer"


def _settle(settled: ChoreStates, chore: Chore, pieces: Pieces) -> None:
    states = set(pieces.values())
    if len(states) <= 1:
        settled.states[chore.id] = next(iter(states), "")
        settled.pieces[chore.id] = {}
    else:
        closed: State = next((state for state in _CLOSED if state in states), "no longer")
        settled.states[chore.id] = (
            "partly" if "" in states and "done" in states else "" if "" in states else closed
        )
        settled.pieces[chore.id] = pieces


_CLOSED: tuple[State, ...] = ("done", "put off")


def with_newcomers(plan: Round, now: Round) -> Round:
    """The morning's order, with the repairs that came up since: each joins its own spot, or a new one where it
    lies."""
    from tunneltui.chores.kinds import KINDS

    planned = {chore.key for chore in chores_of(plan)}
    spots = list(plan.spots)
    for spot in now.spots:
        for chore in spot.chores:
            if chore.key not in planned and KINDS[chore.kind].joins:
                spots = _joined(spots, spot, chore)
    return plan._replace(spots=tuple(spots))


def with_pieces(plan: Round, due: Mapping[ChoreKey, Chore]) -> Round:
    """The morning's order, with what is still asked for as it is asked for now; a piece keeps its place."""

    def renewed(chores: tuple[Chore, ...]) -> tuple[Chore, ...]:
        return tuple(_as_now_due(chore, due[chore.key]) if chore.key in due else chore for chore in chores)

    spots = tuple(spot._replace(chores=renewed(spot.chores)) for spot in plan.spots)
    return plan._replace(spots=spots, later=renewed(plan.later))


def _as_now_due(planned: Chore, due: Chore) -> Chore:
    if planned.pieces == due.pieces and planned.choices == due.choices:
        return planned
    current = {piece.key: piece for piece in due.pieces}
    pieces = tuple(
        piece._replace(writes=current[piece.key].writes, what=current[piece.key].what)
        if piece.key in current
        else piece
        for piece in planned.pieces
    )
    return planned._replace(pieces=pieces, choices=due.choices or planned.choices, why=due.why)


def _joined(spots: list[Spot], where: Spot, chore: Chore) -> list[Spot]:
    for index, spot in enumerate(spots):
        if (spot.place, spot.row) == (where.place, where.row):
            grown = spot._replace(chores=(*spot.chores, chore))
            return [*spots[:index], grown, *spots[index + 1 :]]
    fresh = Spot(where.place, where.row, where.x_m, (chore,))
    same_row = [index for index, spot in enumerate(spots) if spot.row == where.row]
    if not same_row:
        return [*spots, fresh]
    nearest = min(same_row, key=lambda index: abs(spots[index].x_m - where.x_m))
    return [*spots[: nearest + 1], fresh, *spots[nearest + 1 :]]


def chores_of(plan: Round) -> Iterable[Chore]:
    for spot in plan.spots:
        yield from spot.chores
    yield from plan.later
