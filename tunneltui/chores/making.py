"""How a rule makes a chore: where it is, when it is due, and the entries it writes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from tunneltui.chores.chore import Chore, When
from tunneltui.holding.model import WEEKDAYS, Weekday
from tunneltui.journal.body import draft
from tunneltui.journal.kinds import Body
from tunneltui.season.state import Leader, Season


@dataclass(frozen=True, slots=True)
class Where:
    """Where the hands are."""

    row: str
    x_m: float
    u_m: float


def on_the_loop(season: Season, loop: str, u_m: float) -> Where:
    """A place on a loop as row and ``x_m``, kept within the row."""
    row, x_m = season.layout.loops[loop].row_at(u_m)
    length_m = season.layout.rows[row][1].length_m
    return Where(row, min(max(x_m, 0.0), length_m), u_m)


def at_head(season: Season, leader: Leader) -> Where:
    """Under the leader's hook; at its root while it has none."""
    return on_the_loop(season, leader.loop, leader.hook.u_m if leader.hook else leader.u_m)


def at_root(leader: Leader) -> Where:
    return Where(leader.row, leader.x_m, leader.u_m)


def at_row(season: Season, row: str) -> Where:
    return Where(row, 0.0, season.layout.loop_of_row[row].u_m(row, 0.0))


def at_tunnel(season: Season, tunnel: str) -> Where:
    """The beginning of the tunnel's first row."""
    for row, (standing_in, _) in season.layout.rows.items():
        if standing_in.key == tunnel:
            return at_row(season, row)
    return Where("", 0.0, 0.0)


def make_chore(
    kind: str,
    about: str,
    where: Where,
    *,
    when: When,
    earliest: date,
    latest: date,
    minutes: float,
    proposal: str,
    why: str,
    writes: Iterable[tuple[str, Body]],
    must: bool = False,
    overhead: bool = False,
    leaders: Sequence[str] = (),
    waiting: str = "",
) -> Chore:
    """A chore whose entries all carry its ``answers`` (journal rule 6)."""
    answers = (kind, about, latest.isoformat())
    return Chore(
        id=f"{kind} {about} {latest.isoformat()}",
        kind=kind,
        about=about,
        row=where.row,
        x_m=where.x_m,
        u_m=where.u_m,
        when=when,
        earliest=earliest,
        latest=latest,
        must=must,
        minutes=minutes,
        overhead=overhead,
        proposal=proposal,
        why=why,
        writes=tuple(draft(entry_about, body, answers) for entry_about, body in writes),
        leaders=tuple(leaders),
        waiting=waiting,
    )


def in_order_of_work(leaders: Iterable[Leader]) -> list[Leader]:
    """Along the loop, sick ones last (knife and hands cleaned before them)."""
    return sorted(leaders, key=lambda leader: (leader.suspect, leader.u_m, leader.name))


def next_weekday(day: date, wanted: Weekday) -> date:
    """That weekday on or after the day."""
    return day + timedelta(days=(WEEKDAYS.index(wanted) - day.weekday()) % 7)


def weekly_due(last: date, every_days: int, work_day: Weekday | None) -> date:
    """When weekly work on a row is due again.

    Where the row has its work day, the one from the middle of the interval on: a pass done a day late does not
    push all later ones back.
    """
    if work_day is None:
        return last + timedelta(days=every_days)
    return next_weekday(last + timedelta(days=every_days // 2 + 1), work_day)


def ticked_since(season: Season, kind: str, about: str, since: date) -> bool:
    """Whether a chore of that kind was done since that day; of kinds whose ticks last (``season.shelves``)."""
    return any(
        done.answers[:2] == (kind, about) and done.put_off_until is None and done.day >= since
        for done in season.done
    )
