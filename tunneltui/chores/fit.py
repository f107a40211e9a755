"""Will it fit: once a week, how long stems will be by the end of their growth, against the room their loop has.

Told weeks ahead, while a tip may be taken out sooner or a row laid down; what is full already is another chore's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.cells import Day, cm, day_word, listed, m, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import in_order_of_work, make_chore, on_the_loop, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.chores.tips import LastFlowers
from tunneltui.growth.forecast import Basis, basis_of
from tunneltui.growth.leader import length_on
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_journal import Note
from tunneltui.loads.result import Loads
from tunneltui.loads.room import room_m
from tunneltui.season.noted_late import may_be_older
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import WEEK_DAYS

AGAIN_DAYS = 21
"""So long after it was shown it is shown again (assumed)."""
HARDLY_M = 0.10
"""By so little a stem outgrows its room without a word: it is told in steps of 10 cm."""
WILL_FIT = ChoreKind("will_fit", "will it fit", "loop", "tap", worth=0.02, minutes=2.0, lasts="kept")


class Outgrows(Struct, frozen=True):
    """A stem that will be longer than there is room for."""

    leader: Leader
    full_on: date
    """The first day, to a week, on which it has no room left."""
    length_m: float
    """On the last day its tip grows."""
    room_m: float


def will_it_fit(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """A loop whose stems will outgrow their room before their tips are to come out."""
    due = [loop for loop in season.layout.loops if not _answered_lately(season, loop)]
    growing = {loop: mine for loop in due if (mine := _growing(season, loop))}
    if not growing:
        return
    ends = _ends(season, outlook, [leader for leaders in growing.values() for leader in leaders])
    last = max(ends.values(), default=season.day)
    if last <= season.day:
        return
    basis = outlook.basis
    if basis is None or basis.last < last:
        basis = basis_of(season, (last - season.day).days)
    for loop, leaders in growing.items():
        outgrows = [over for leader in leaders if (over := _outgrows(season, basis, leader, ends)) is not None]
        if outgrows:
            yield _will_not_fit(season, loop, outgrows, max(ends[over.leader.id] for over in outgrows))


def _answered_lately(season: Season, loop: str) -> bool:
    since = season.day - timedelta(days=AGAIN_DAYS)
    return any(done.answers[:2] == (WILL_FIT.key, loop) and since < done.day <= season.day for done in season.done)


def _growing(season: Season, loop: str) -> list[Leader]:
    """Those lowered along a wire whose tips are still in."""
    return [
        leader
        for leader in in_order_of_work(season.leaders_of_loop(loop))
        if leader.training != "pinched_at_wire"
        and leader.tip_taken_out_on is None
        # When they were planted is asked first.
        and not may_be_older(season, leader)
    ]


def _ends(season: Season, outlook: Outlook, growing: Iterable[Leader]) -> dict[str, date]:
    """By leader, the last day its tip grows: its last useful flower."""
    last = LastFlowers(season, outlook)
    return {leader.id: flower.day for leader in growing if (flower := last.of(leader)) is not None}


def _outgrows(season: Season, basis: Basis, leader: Leader, ends: dict[str, date]) -> Outgrows | None:
    end = ends.get(leader.id)
    if end is None or end <= season.day or leader.id not in basis.leaders:
        return None
    room = room_m(season, leader)
    length_m = _length_m(basis, leader, end)
    if length_m <= room + HARDLY_M or _length_m(basis, leader, season.day) > room:
        return None
    full_on = season.day
    while full_on < end and _length_m(basis, leader, full_on) <= room:
        full_on += timedelta(days=WEEK_DAYS)
    return Outgrows(leader, min(full_on, end), length_m, room)


def _length_m(basis: Basis, leader: Leader, day: date) -> float:
    return length_on(basis.leaders[leader.id], day.toordinal()).mid


def _will_not_fit(season: Season, loop: str, outgrows: list[Outgrows], end: date) -> Chore:
    """Names no tip to come out: the room is used up stem by stem, and till then each one's fruit ripens."""
    by_day = sorted(outgrows, key=lambda over: over.full_on)
    soonest, latest = by_day[0], by_day[-1]
    longest = max(outgrows, key=lambda over: over.length_m - over.room_m)
    first = listed([over.leader.name for over in by_day if over.full_on == soonest.full_on])
    warning = say("{} runs out of room, {} first, about {}", loop, first, Day(soonest.full_on, season.day))
    if latest.full_on > soonest.full_on:
        warning += say(", {} stems by {}", len(outgrows), Day(latest.full_on, season.day))
    where = on_the_loop(season, loop, soonest.leader.u_m)
    return make_chore(
        WILL_FIT,
        loop,
        where,
        when="any",
        earliest=season.day,
        latest=min(soonest.full_on, season.day + timedelta(days=WEEK_DAYS)),
        proposal=say("{}: think of a way on for each, back along the wire, coiled, or a tier let down", warning),
        why=say(
            "{} will outgrow the room along the wire before {}: {} will be about {} and there is room for {} "
            "with {} of head. No tip need come out before its own day. From the typical year where no forecast "
            "reaches; asked again in three weeks.",
            many(len(outgrows), "stem"),
            day_word(end, season.day),
            longest.leader.name,
            m(longest.length_m),
            m(longest.room_m),
            cm(season.holding.limits.head_least_m),
        ),
        pieces=whole(
            where,
            minutes_for(season, WILL_FIT),
            (soonest.leader.row, Note(say("{}; full from {}", warning, soonest.full_on.isoformat()))),
            leaders=[over.leader.id for over in outgrows],
        ),
    )


RULES = (ChoreRule(will_it_fit, (WILL_FIT,)),)
