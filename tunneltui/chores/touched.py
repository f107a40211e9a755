"""What a key changes, nearest first: the stem it touched at once, then its loop; the group's forecast comes last,
with a whole new morning.

Until then the group, the cultivar and every kind of clip are as the last whole morning knew them: a reading
teaches its own stem now and the others later. All else is as a whole morning would have it.
"""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace

from tunneltui.chores.chore import Chore
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning, Planned
from tunneltui.chores.rules import OF_A_LOOP, OF_A_STEM, chores, unanswered
from tunneltui.chores.walk import plan_round
from tunneltui.growth.forecast import Basis, leader_anew
from tunneltui.growth.outlook import LeaderOutlook, Outlook
from tunneltui.loads.chain import update_loads
from tunneltui.loads.result import Loads
from tunneltui.loads.workings import work_out
from tunneltui.season.state import Season


def stems_anew(was: Morning, known: Basis, stems: Season) -> Morning:
    """A morning of nothing but the stems in ``stems`` (``Fold.stems``): their outlook, their clips, and what is to
    do to each by itself.

    ``was`` is the morning before the key, ``known`` what the last whole morning rests on. A stem that this one did
    not know yet is left out.
    """
    coming = replace(was.outlook, leaders=_outlooks(known, stems, stems.leaders.keys()))
    workings = work_out(stems, coming, was.day, was.loads.workings, learn=False, alone=True)
    bearing = Loads(
        day=was.day,
        clips=tuple(clip for clips in workings.clips.values() for clip in clips),
        lines=(),
        wires=(),
        hoops=was.loads.hoops,
        rows=(),
        weak_points=(),
        paths={leader: stem.path for leader, stem in workings.stems.items()},
        faults=(),
    )
    todo = tuple(chores(stems, coming, bearing, OF_A_STEM))
    return Morning(stems, coming, bearing, known=Planned(todo, was.round._replace(spots=(), later=())))


def loops_anew(was: Morning, known: Basis, season: Season, touched: Set[str]) -> Morning:
    """The morning after ``touched`` leaders changed: theirs are new, and all that is to do along their loops."""
    coming = _with(was.outlook, season, _outlooks(known, season, touched & season.leaders.keys()))
    bearing = update_loads(was.loads, season, coming, learn=False)
    stood = {**was.season.leaders, **season.leaders}
    loops = {stood[leader].loop for leader in touched if leader in stood}
    rows = {row for row, loop in season.layout.loop_of_row.items() if loop.id in loops}
    along = {id_: leader for id_, leader in season.leaders.items() if leader.loop in loops}
    found = chores(replace(season, leaders=along), coming, bearing, OF_A_LOOP)
    kept = unanswered(season, (chore for chore in was.chores if not is_along(chore, rows)))
    todo = (*kept, *(chore for chore in found if chore.row in rows))
    walk = plan_round(season, todo, coming, minutes=was.round.minutes_there, part=was.round.part)
    return replace(was, season=season, outlook=coming, loads=bearing, known=Planned(todo, walk))


def takes_back(was: Season, season: Season) -> bool:
    """Whether an answer is gone to a chore that only a whole morning can ask for again."""
    gone = {done.answers for done in was.done} - {done.answers for done in season.done}
    return any(kind not in KINDS or KINDS[kind].reach == "house" for kind, _, _ in gone)


def is_along(chore: Chore, rows: Set[str]) -> bool:
    """Whether a rule that looks along these rows alone may ask for it."""
    return KINDS[chore.kind].reach != "house" and chore.row in rows


def _outlooks(known: Basis, season: Season, leaders: Set[str]) -> dict[str, LeaderOutlook]:
    return {id_: leader_anew(known, season, id_) for id_ in sorted(leaders) if id_ in known.leaders}


def _with(was: Outlook, season: Season, changed: dict[str, LeaderOutlook]) -> Outlook:
    """In the order of the season's leaders; those that stand no more are gone."""
    leaders = was.leaders | changed
    return replace(was, leaders={id_: leaders[id_] for id_ in season.leaders if id_ in leaders})
