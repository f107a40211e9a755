"""No room left along a loop's wire: asked once a season what is done about it, and remembered.

Nothing waits for the answer: a head with no room is let out all the same and its stem coiled on the ground.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tunneltui.cells import listed, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.lowering import LoweringJob
from tunneltui.chores.lowering_limits import room_way
from tunneltui.chores.lowering_move import LoweringMove
from tunneltui.chores.making import Written, at_head, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.journal.kinds_crop import TipTakenOut
from tunneltui.journal.kinds_holding_up import RoomDecided, RoomWay
from tunneltui.season.state import Leader, Season

ROOM_GONE = ChoreKind(
    "room_gone",
    "no room left",
    "loop",
    "plants",
    worth=0.02,
    minutes=2.0,
    reach="loop",
    lasts="facts",
    taken="choice",
)
EVERY = 3
"""Of so many heads one tip comes out, where that is chosen."""


def room_gone(season: Season, jobs: Iterable[LoweringJob]) -> Iterator[Chore]:
    """A loop on which the next lowering must coil a stem, where nothing was decided this season."""
    for job in jobs:
        coiled = [move for move in job.moves if move.coiled]
        if coiled and room_way(season, job.loop) is None:
            yield _room_gone(season, job.loop, coiled)


def _room_gone(season: Season, loop: str, coiled: list[LoweringMove]) -> Chore:
    first = season.leaders[coiled[0].leader]
    row = season.layout.loops[loop].stretches[0].row
    fewer = [leader for leader in _growing(season, loop)[::EVERY] if not leader.marked_on]
    names = listed([move.name for move in coiled])

    def answer(way: RoomWay, *more: Written) -> list[tuple[str, Written]]:
        return [("", (row, RoomDecided(way))), *(("", written) for written in more)]

    tips = [(leader.place, TipTakenOut(leader.id)) for leader in fewer]
    return make_chore(
        ROOM_GONE,
        loop,
        at_head(season, first),
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say("{}: no room left for {}; say once what you do about it", loop, names),
        why=say(
            "{} of {} cannot go on ({}). Until you say otherwise {} let out all the same, and "
            "the stem is coiled on the ground under its hook.",
            many(len(coiled), "head"),
            loop,
            coiled[0].limited_by,
            "it is" if len(coiled) == 1 else "they are",
        ),
        pieces=whole(at_head(season, first), minutes_for(season, ROOM_GONE)),
        choices=[
            ("c", "coil the stems on the ground under their hooks", answer("coil")),
            ("d", "let the bare lowest tier down first, coil what is left", answer("tier_down")),
            ("b", "hang the heads back along the same wire", answer("turn_back")),
            (
                "o",
                say("take every third tip out: {}", listed([x.name for x in fewer])),
                answer("fewer_tips", *tips),
            ),
        ],
    )


def _growing(season: Season, loop: str) -> list[Leader]:
    mine = season.leaders_of_loop(loop)
    return [leader for leader in mine if leader.tip_taken_out_on is None and not leader.let_it_run]
