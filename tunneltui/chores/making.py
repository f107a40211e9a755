"""How a rule makes a chore: where it is, when it is due, and the entries it writes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from tunneltui.chores.chore import Choice, Chore, Piece, When
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.holding.model import WEEKDAYS, Weekday
from tunneltui.journal.body import draft
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, Tied
from tunneltui.season.state import Ending, Leader, Season


class Where(NamedTuple):
    """Where the hands are."""

    row: str
    x_m: float
    u_m: float
    place: str = ""
    """The place nearest to them; the row where they are all along it; '' for the house."""


THE_HOUSE = Where("", 0.0, 0.0)


def on_the_loop(season: Season, loop: str, u_m: float) -> Where:
    """A place on a loop as row and ``x_m``, kept within the row."""
    row, x_m = season.layout.loops[loop].row_at(u_m)
    standing = season.layout.rows[row][1]
    x_m = min(max(x_m, 0.0), standing.length_m)
    nearest = min(standing.places, key=lambda place: (abs(place.x_m - x_m), place.name), default=None)
    return Where(row, x_m, u_m, nearest.name if nearest else row)


def at_head(season: Season, leader: Leader) -> Where:
    """Under the leader's hook; at its root while it has none."""
    return on_the_loop(season, leader.loop, leader.hook.u_m) if leader.hook else at_root(leader)


def at_root(leader: Leader) -> Where:
    return Where(leader.row, leader.x_m, leader.u_m, leader.place)


def at_row(season: Season, row: str) -> Where:
    return Where(row, 0.0, season.layout.loop_of_row[row].u_m(row, 0.0), row)


def at_tunnel(season: Season, tunnel: str) -> Where:
    """The beginning of the tunnel's first row."""
    for row, (standing_in, _) in season.layout.rows.items():
        if standing_in.key == tunnel:
            return at_row(season, row)
    return THE_HOUSE


Written = tuple[str, Body]
"""What an entry is about, and its body."""


class PlannedPiece(NamedTuple):
    """What a rule asks in one place; ``make_chore`` makes a ``Piece`` of it."""

    key: str
    where: Where
    minutes: float
    writes: tuple[Written, ...]
    leaders: tuple[str, ...] = ()
    what: str = ""
    earliest: date | None = None
    """None: as the chore."""
    latest: date | None = None
    worth: float | None = None
    """None: as usual for the kind."""


def whole(
    where: Where,
    minutes: float,
    *writes: Written,
    leaders: Iterable[str] = (),
    what: str = "",
    key: str = "",
    worth: float | None = None,
) -> list[PlannedPiece]:
    """A chore of one piece; ``key`` where it may be asked again the same day and mean something else."""
    return [PlannedPiece(key, where, minutes, writes, tuple(leaders), what, worth=worth)]


def make_chore(
    kind: ChoreKind,
    about: str,
    where: Where,
    *,
    when: When,
    earliest: date,
    latest: date,
    proposal: str,
    why: str,
    pieces: Iterable[PlannedPiece],
    choices: Iterable[tuple[str, str, Sequence[tuple[str, Written]]]] = (),
    must: bool = False,
    overhead: bool = False,
    waiting: str = "",
) -> Chore:
    """A chore whose entries all carry what they answer and their piece (journal rule 6). Those of a piece carry
    its own due day: what is left of a chore done in part may be due later, and is done once all the same.

    ``choices``: letter, words, and the entries of that answer, each with the key of the piece it is of.
    """
    answers = (kind.key, about, latest.isoformat())
    return Chore(
        id=f"{kind.key} {about} {latest.isoformat()}",
        kind=kind.key,
        about=about,
        row=where.row,
        x_m=where.x_m,
        u_m=where.u_m,
        when=when,
        earliest=earliest,
        latest=latest,
        must=must,
        overhead=overhead,
        proposal=proposal,
        why=why,
        pieces=tuple(
            Piece(
                planned.key,
                planned.where.place,
                planned.where.row,
                planned.where.x_m,
                planned.where.u_m,
                planned.leaders,
                planned.what,
                planned.minutes,
                tuple(
                    draft(of, body, (kind.key, about, (planned.latest or latest).isoformat()), planned.key)
                    for of, body in planned.writes
                ),
                planned.earliest or earliest,
                planned.latest or latest,
                kind.worth if planned.worth is None else planned.worth,
            )
            for planned in pieces
        ),
        choices=tuple(
            Choice(letter, words, tuple(draft(of, body, answers, piece) for piece, (of, body) in writes))
            for letter, words, writes in choices
        ),
        waiting=waiting,
    )


def fixing_again(ending: Ending) -> Body:
    """The clip or tie that stands in for one that ended, where that one was."""
    fixing = ending.fixing
    if fixing.tie:
        return Tied(fixing.leader, fixing.s_m, fixing.on, fixing.string, fixing.z_m, assumed=True)
    return Clipped(fixing.leader, fixing.s_m, fixing.on, fixing.string, fixing.z_m, fixing.clip_kind, assumed=True)


def in_order_of_work(leaders: Iterable[Leader]) -> list[Leader]:
    """Along the loop, sick ones last (knife and hands cleaned before them)."""
    return sorted(leaders, key=lambda leader: (leader.suspect, leader.u_m, leader.name))


def next_weekday(day: date, weekday: Weekday) -> date:
    """That weekday on or after the day."""
    return day + timedelta(days=(WEEKDAYS.index(weekday) - day.weekday()) % 7)


def weekly_due(last: date, every_days: int, work_day: Weekday | None) -> date:
    """When weekly work on a row is due again.

    Where the row has its work day, the one from the middle of the interval on: a pass done a day late does not
    push all later ones back.
    """
    if work_day is None:
        return last + timedelta(days=every_days)
    return next_weekday(last + timedelta(days=every_days // 2 + 1), work_day)


def ticked_since(season: Season, kind: ChoreKind, about: str, since: date) -> bool:
    """Whether a chore of that kind was done since that day; of kinds whose ticks last (``season.entry_index``)."""
    return any(
        done.answers[:2] == (kind.key, about) and done.put_off_until is None and done.day >= since
        for done in season.done
    )
