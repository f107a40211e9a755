"""What is kept for the first paint: today's view and those of the coming days, in the cache folder.

A file of JSON lines: first the journal and the days, then for each day a line of what is due, for the card and
the walk, then for each day a line of the rest, what waits and the words on leaders: in a large house forty times
as much. A start reads what is due on one day, and once that is painted the rest of it. It holds only for the
journal exactly as it was (its id, count, last seq and id) and for this version of the program; anything else is
thrown away unread. It may be lost at any time.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import fields, replace
from datetime import date, datetime, time, timedelta
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from tunneltui import __version__
from tunneltui.cells import from_data, to_data
from tunneltui.chores.as_data import chore_of, day_text
from tunneltui.chores.chore import Chore, DayAhead, Round, Spot, WorkOfAKind
from tunneltui.pages.card import CardLine, WeekDay
from tunneltui.screens.round_layout import laid_out
from tunneltui.screens.round_view import FixingChoice, LeaderFacts, RoundView, RowFacts
from tunneltui.screens.stops import LATER, PassLaid, Stop

if TYPE_CHECKING:
    from tunneltui.store.seen import JournalHead

DAYS_AHEAD = 7
_FORM = 11
"""Form of the file; raised when a field of it changes its meaning."""
_SPOILT = (OSError, ValueError, KeyError, TypeError, AttributeError, StopIteration)


def read(folder: Path, head: JournalHead | None, on: date | None, now: datetime) -> RoundView | None:
    """The chores due on the day ``on``, else today where the holding is; unconfirmed, and without the rest. None
    where nothing is kept or it is of another state of the journal."""
    with suppress(*_SPOILT):
        plain = _read_line(folder, head, lambda kept: on.isoformat() if on is not None else _today(kept, now))
        return laid_out(_due_round(plain))
    return None


def with_the_rest(folder: Path, head: JournalHead | None, painted: RoundView) -> RoundView | None:
    """What ``read`` gave, with the chores that wait and the words on leaders; None where those cannot be had."""
    with suppress(*_SPOILT):
        return laid_out(_whole(painted, _read_line(folder, head, lambda _: painted.day.isoformat(), rest=True)))
    return None


def _read_line(
    folder: Path, head: JournalHead | None, day: Callable[[Mapping[str, Any]], str], *, rest: bool = False
) -> Any:
    """Of the day that ``day`` says of the first line. Raises one of ``_SPOILT`` where there is none."""
    if head is None:
        raise ValueError("There is no journal.")
    with _file(folder, head.journal_id).open("rb") as lines:
        kept = json.loads(lines.readline())
        if kept["key"] != _key(head):
            raise ValueError("It is of another state of the journal.")
        days = list(kept["days"])
        at = days.index(day(kept)) + len(days) * rest
        return json.loads(next(islice(lines, at, None)), object_hook=from_data)


class KeptDay(NamedTuple):
    """A view as it is written."""

    day: date
    begins_and_ends: tuple[float, float]
    plays_on: date | None
    due: str
    rest: str


def kept_day(view: RoundView) -> KeptDay:
    """At once in place of the view: eight of them side by side leave 15 MB behind."""
    # Imported here: the first paint reads only.
    from zoneinfo import ZoneInfo

    # A civil day where the holding is, as seconds since 1970 UTC.
    where = ZoneInfo(view.zone)
    begins, ends = (datetime.combine(view.day + timedelta(days=n), time(), where).timestamp() for n in (0, 1))
    rest = {
        "later": to_data(view.round.later),
        "passes": [to_data(pass_laid) for pass_laid in view.passes if pass_laid.key == LATER],
        "leaders": to_data(dict(view.leaders)),
    }
    return KeptDay(view.day, (begins, ends), view.plays_on, _line(_plain_due(view)), _line(rest))


def _line(plain: dict[str, Any]) -> str:
    return json.dumps(plain, ensure_ascii=False, separators=(",", ":"), default=day_text) + "\n"


def write(folder: Path, head: JournalHead, days: Sequence[KeptDay]) -> None:
    """Keeps ``days`` for the journal as ``head`` says it is; what cannot be written is left out silently, since
    nothing but speed rests on it."""
    kept = {
        "key": _key(head),
        "days": {day.day.isoformat(): day.begins_and_ends for day in days},
        "plays_on": days[0].plays_on.isoformat() if days[0].plays_on else None,
    }
    file = _file(folder, head.journal_id)
    with suppress(OSError, UnicodeEncodeError):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        spare = file.with_name(f".{file.name}.{os.urandom(4).hex()}")
        handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            out.writelines((_line(kept), *(day.due for day in days), *(day.rest for day in days)))
        spare.replace(file)


def _file(folder: Path, journal_id: str) -> Path:
    """Of two journals that came to one name each would throw the other's away: the key tells them apart."""
    plain = "".join(sign for sign in journal_id if sign.isascii() and sign.isalnum())
    return folder / f"morning-{plain[:32]}.jsonl"


def _key(head: JournalHead) -> list[Any]:
    return [_FORM, __version__, head.journal_id, head.count, head.last_seq, head.last_id]


def _today(kept: Mapping[str, Any], now: datetime) -> str:
    """The kept day that ``now`` lies in; '' where it lies in none."""
    if kept["plays_on"] is not None:
        return str(kept["plays_on"])
    second = now.timestamp()
    return next((day for day, (begins, ends) in kept["days"].items() if begins <= second < ends), "")


def _plain_due(view: RoundView) -> dict[str, Any]:
    left_out = ("morning", "walk", "shown", "confirmed", "leaders")
    due = replace(
        view,
        round=view.round._replace(later=()),
        passes=tuple(pass_laid for pass_laid in view.passes if pass_laid.key != LATER),
    )
    return {field.name: to_data(getattr(due, field.name)) for field in fields(due) if field.name not in left_out}


def _whole(painted: RoundView, rest: Mapping[str, Any]) -> RoundView:
    return replace(
        painted,
        round=painted.round._replace(later=_chores(rest["later"])),
        passes=(*painted.passes, *_passes(rest["passes"])),
        leaders={id_: _leader(LeaderFacts(*leader)) for id_, leader in rest["leaders"].items()},
    )


def _due_round(plain: Mapping[str, Any]) -> RoundView:
    """Chores, spots and facts are kept as lists, in the order of their fields."""
    return RoundView(
        day=date.fromisoformat(plain["day"]),
        today=date.fromisoformat(plain["today"]),
        holding=plain["holding"],
        zone=plain["zone"],
        plays_on=date.fromisoformat(plain["plays_on"]) if plain["plays_on"] else None,
        air=plain["air"],
        round=_round(Round(*plain["round"])),
        states=plain["states"],
        pieces=plain["pieces"],
        leaders={},
        rows={
            row: RowFacts(tunnel, tuple(cultivars), tuple(places), loop)
            for row, (tunnel, cultivars, places, loop) in plain["rows"].items()
        },
        next_work_day={row: date.fromisoformat(day) for row, day in plain["next_work_day"].items()},
        since=plain["since"],
        last_act=plain["last_act"],
        numbers=plain["numbers"],
        confirmed=False,
        card=tuple(_card_line(CardLine(*line)) for line in plain["card"]),
        week=tuple(WeekDay(*day) for day in plain["week"]),
        passes=_passes(plain["passes"]),
    )


def _card_line(plain: CardLine) -> CardLine:
    return plain._replace(words=tuple(plain.words), beside=tuple(plain.beside))


def _passes(plain: Iterable[Iterable[Any]]) -> tuple[PassLaid, ...]:
    laid = (PassLaid(*fields) for fields in plain)
    return tuple(
        pass_laid._replace(stops=tuple(_stop(Stop(*stop)) for stop in pass_laid.stops)) for pass_laid in laid
    )


def _stop(plain: Stop) -> Stop:
    return plain._replace(
        refs=tuple((id_, tuple(keys)) for id_, keys in plain.refs),
        heads=tuple(plain.heads),
        asks=tuple((on, what) for on, what in plain.asks),
    )


def _leader(plain: LeaderFacts) -> LeaderFacts:
    return plain._replace(
        facts=tuple(plain.facts), fixings=tuple(FixingChoice(*fixing) for fixing in plain.fixings)
    )


def _round(plain: Round) -> Round:
    spots = (Spot(*spot) for spot in plain.spots)
    return plain._replace(
        day=_day(plain.day),
        spots=tuple(spot._replace(chores=_chores(spot.chores)) for spot in spots),
        later=_chores(plain.later),
        week=tuple(
            ahead._replace(day=_day(ahead.day), what=_works(ahead.what))
            for ahead in (DayAhead(*work) for work in plain.week)
        ),
        gives=_works(plain.gives),
        waits=_works(plain.waits),
    )


def _works(plain: Iterable[Iterable[Any]]) -> tuple[WorkOfAKind, ...]:
    return tuple(WorkOfAKind(*work) for work in plain)


def _chores(plain: Iterable[Iterable[Any]]) -> tuple[Chore, ...]:
    return tuple(chore_of(chore) for chore in plain)


def _day(kept: Any) -> date:
    return date.fromisoformat(kept)
