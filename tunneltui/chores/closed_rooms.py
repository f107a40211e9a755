"""A tunnel that was treated: by the label nobody goes in for some hours, so nothing is asked there till then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tunneltui.cells import Day, say
from tunneltui.chores.chore import Chore
from tunneltui.season.state import Reentry, Season


def open_rooms_only(season: Season, chores: Iterable[Chore]) -> Iterator[Chore]:
    """The same chores; those in a closed tunnel wait for the day on which it opens, and are no musts till then.

    At what hour of its day a tunnel was treated is not noted: on the day on which it opens the hours are to be
    counted before going in.
    """
    for chore in chores:
        closed = (
            season.reentry.get(season.layout.rows[chore.row][0].key) if chore.row in season.layout.rows else None
        )
        if closed is None or closed.opens < season.day:
            yield chore
        elif closed.opens > season.day:
            yield _waiting(season, chore, closed)
        elif closed.hours % 24:
            caution = say("Treated {}: count {} before you go in.", Day(closed.day, season.day), _hours(closed))
            yield chore._replace(cautions=(caution, *chore.cautions))
        else:
            yield chore


def _waiting(season: Season, chore: Chore, closed: Reentry) -> Chore:
    return chore._replace(
        earliest=max(chore.earliest, closed.opens),
        must=False,
        pieces=tuple(piece._replace(earliest=max(piece.earliest, closed.opens)) for piece in chore.pieces),
        why=say(
            "{} Not before {}: treated with {} {}, nobody goes in for {}.",
            chore.why,
            Day(closed.opens, season.day),
            closed.what,
            Day(closed.day, season.day),
            _hours(closed),
        ),
    )


def _hours(closed: Reentry) -> str:
    return say("{} hours", f"{closed.hours:g}")
