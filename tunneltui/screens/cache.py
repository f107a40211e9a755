"""What is kept for the first paint: today's picture and those of the coming days, in the cache folder.

A file of JSON lines: of what journal and which days, then two of every day, its picture and what is told of its
leaders. A start reads one of them. It holds only for the journal exactly as it was (its id, count, last seq and
id) and for this version of the program; anything else is thrown away unread. It may be lost at any time.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import fields
from datetime import date, datetime, time, timedelta
from itertools import chain, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tunneltui import __version__
from tunneltui.cells import from_data, to_data
from tunneltui.chores.as_data import chore_of, day_text
from tunneltui.chores.chore import Chore, DayAhead, Round, Spot, WorkOfAKind
from tunneltui.pages.card import CardLine, WeekDay
from tunneltui.screens.round_layout import laid_out
from tunneltui.screens.round_view import FixingChoice, LeaderFacts, RoundView, RowFacts
from tunneltui.screens.stops import PassLaid, Stop

if TYPE_CHECKING:
    from tunneltui.store.seen import JournalHead

DAYS_AHEAD = 7
_LINES_A_DAY = 2
_FORM = 10
"""Form of the file; raised when a field of it changes its meaning."""


def read(folder: Path, head: JournalHead | None, on: date | None, now: datetime) -> RoundView | None:
    """The picture kept for the day ``on``, else for today where the holding is; unconfirmed. None where none is
    kept or it is of another state of the journal."""
    if head is None:
        return None
    try:
        with _file(folder, head.journal_id).open(encoding="utf-8") as lines:
            kept = json.loads(lines.readline())
            day = on.isoformat() if on is not None else _today(kept, now)
            if kept["key"] != _key(head) or day not in kept["days"]:
                return None
            at = _LINES_A_DAY * list(kept["days"]).index(day)
            line, told = islice(lines, at, at + _LINES_A_DAY)
        return laid_out(_picture(json.loads(line, object_hook=from_data), told))
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def write(folder: Path, head: JournalHead, pictures: Sequence[RoundView]) -> None:
    """Keeps ``pictures`` for the journal as ``head`` says it is; what cannot be written is left out silently,
    since nothing but speed rests on it."""
    kept = {
        "key": _key(head),
        "days": {picture.day.isoformat(): _begins_and_ends(picture.day, picture.zone) for picture in pictures},
        "plays_on": pictures[0].plays_on.isoformat() if pictures[0].plays_on else None,
    }
    file = _file(folder, head.journal_id)
    with suppress(OSError, UnicodeEncodeError):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        spare = file.with_name(f".{file.name}.{os.urandom(4).hex()}")
        handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            for line in (kept, *chain.from_iterable(map(_plain, pictures))):
                json.dump(line, out, ensure_ascii=False, separators=(",", ":"), default=day_text)
                out.write("\n")
        spare.replace(file)


def _file(folder: Path, journal_id: str) -> Path:
    """Of two journals that came to one name each would throw the other's away: the key tells them apart."""
    plain = "".join(sign for sign in journal_id if sign.isascii() and sign.isalnum())
    return folder / f"morning-{plain[:32]}.jsonl"


def _key(head: JournalHead) -> list[Any]:
    return [_FORM, __version__, head.journal_id, head.count, head.last_seq, head.last_id]


def _begins_and_ends(day: date, zone: str) -> tuple[float, float]:
    """A civil day where the holding is, as seconds since 1970 UTC."""
    # Imported here: the first paint reads only.
    from zoneinfo import ZoneInfo

    where = ZoneInfo(zone)
    begins, ends = (datetime.combine(day + timedelta(days=n), time(), where).timestamp() for n in (0, 1))
    return begins, ends


def _today(kept: Mapping[str, Any], now: datetime) -> str:
    """The kept day that ``now`` lies in; '' where it lies in none."""
    if kept["plays_on"] is not None:
        return str(kept["plays_on"])
    second = now.timestamp()
    return next((day for day, (begins, ends) in kept["days"].items() if begins <= second < ends), "")


def _plain(picture: RoundView) -> tuple[dict[str, Any], Any]:
    left_out = ("morning", "walk", "shown", "confirmed", "leaders")
    plain = {
        field.name: to_data(getattr(picture, field.name))
        for field in fields(picture)
        if field.name not in left_out
    }
    return plain | {"leaders": len(picture.leaders)}, to_data(dict(picture.leaders))


class _KeptLeaders(Mapping[str, LeaderFacts]):
    """Read when one is asked for: no first paint tells of any, and in a large house they are half of all."""

    def __init__(self, line: str, count: int) -> None:
        self._line, self._count = line, count
        self._read: dict[str, LeaderFacts] | None = None

    @property
    def _leaders(self) -> dict[str, LeaderFacts]:
        if self._read is None:
            try:
                kept = json.loads(self._line, object_hook=from_data)
                self._read = {id_: _leader(LeaderFacts(*leader)) for id_, leader in kept.items()}
            except (ValueError, KeyError, TypeError, AttributeError):
                # What the plan tells of them comes in a moment.
                self._read = {}
            self._line = ""
        return self._read

    def __getitem__(self, id_: str) -> LeaderFacts:
        return self._leaders[id_]

    def __iter__(self) -> Iterator[str]:
        return iter(self._leaders)

    def __len__(self) -> int:
        return self._count if self._read is None else len(self._read)


def _picture(plain: Mapping[str, Any], leaders: str) -> RoundView:
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
        leaders=_KeptLeaders(leaders, plain["leaders"]),
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
        passes=tuple(_pass(PassLaid(*laid)) for laid in plain["passes"]),
    )


def _card_line(plain: CardLine) -> CardLine:
    return plain._replace(words=tuple(plain.words), beside=tuple(plain.beside))


def _pass(plain: PassLaid) -> PassLaid:
    return plain._replace(stops=tuple(_stop(Stop(*stop)) for stop in plain.stops))


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
