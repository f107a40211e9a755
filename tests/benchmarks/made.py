"""Journals of any size: the demo's season once for every two tunnels more, and seasons before it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from tunneltui.chores.chore import Chore, Piece, Round, Spot
from tunneltui.demo.make import SEED, demo_entries, saltmarsh
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft, to_json
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import SideShooted
from tunneltui.journal.kinds_standing import HoldingSet
from tunneltui.screens.round_view import RoundView
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

DAY = date(2026, 8, 20)
LEADERS = 44
"""Of the demo."""
YEAR = timedelta(days=364)

_NAME = re.compile(r"(?<![A-Za-z])([WE])(?=[0-9/\"\s]|$)")
_ID = re.compile(r"\b(01[0-9a-f]{6}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{8})[0-9a-f]{4}\b")
_DAY = re.compile(r"\b20\d\d-\d\d-\d\d\b")


def house(leaders: int, years: int = 1, seasons: int = 1) -> list[Entry]:
    """At least so many leaders that stand, in tunnels as the demo's, each with the demo's season; and the same
    seasons in the years before. With ``seasons`` above 1 so many different ones take turns, from tunnel to tunnel
    and year to year: copies flatter whatever is worked out once for what is alike."""
    copies = -(-leaders // LEADERS)
    lived = [demo_entries(SEED + number) for number in range(seasons)]
    known = {entry.kind for entry in lived[0]}
    assert known >= {"holding_set", "planted"}
    first = next(entry for entry in lived[0] if entry.kind == "holding_set")
    begun = first._replace(day=first.day - YEAR * (years - 1), body=to_json(HoldingSet(_holding(copies))))
    entries = [begun]
    for year in range(years):
        for copy in range(copies):
            entries += _copied(lived[(copy + year) % seasons], copy, year)
    return sorted(entries, key=lambda entry: entry.order)


def journal(folder: Path, leaders: int, years: int = 1) -> Path:
    """The same in a file."""
    path = folder / f"house{leaders}.db"
    with JournalFile.open(path, state_dir=folder) as file:
        file.append_entries(demo_entries() if leaders == LEADERS else house(leaders, years))
    return path


def _copied(season: list[Entry], copy: int, year: int) -> Iterator[Entry]:
    """What is said of the house and not of a tunnel is said once."""
    back = YEAR * year
    for entry in season:
        if entry.kind == "holding_set" or (copy and not entry.about and entry.kind != "crossed_out"):
            continue
        yield entry._replace(
            id=_ident(entry.id, copy, year),
            act=_ident(entry.act, copy, year),
            day=entry.day - back,
            at_us=entry.at_us - back // timedelta(microseconds=1),
            about=_NAME.sub(rf"\1{_letters(copy)}", entry.about),
            body=_said(entry.body, copy, year),
        )


def _said(body: str, copy: int, year: int) -> str:
    body = _NAME.sub(rf"\1{_letters(copy)}", body)
    body = _ID.sub(lambda found: _ident(found[0], copy, year), body)
    return _DAY.sub(lambda found: (date.fromisoformat(found[0]) - YEAR * year).isoformat(), body) if year else body


def _ident(ident: str, copy: int, year: int) -> str:
    return f"{ident[:-4]}{copy + 2000 * year:04x}"


def _letters(copy: int) -> str:
    return chr(97 + copy // 26) + chr(97 + copy % 26) if copy else ""


def _holding(copies: int) -> str:
    stands = saltmarsh()
    tunnels = [
        replace(
            tunnel,
            key=f"{tunnel.key}{_letters(copy)}",
            name=f"{tunnel.name} {copy}",
            rows=tuple(
                replace(
                    row,
                    places=tuple(
                        replace(place, name=_NAME.sub(rf"\1{_letters(copy)}", place.name)) for place in row.places
                    ),
                )
                for row in tunnel.rows
            ),
        )
        for copy in range(copies)
        for tunnel in stands.tunnels
    ]
    return to_toml(replace(stands, tunnels=tuple(tunnels)))


def proposal(number: int) -> str:
    return f"side shoots out, stem {number}, all along"


@cache
def view(count: int) -> RoundView:
    """A round of so many chores, a spot each, ten to a row."""
    spots = tuple(Spot(f"W{n // 10}-{n % 10}", f"W{n // 10}", 0.5 * (n % 10), (_chore(n),)) for n in range(count))
    plan = Round(DAY, "day", 60.0, 0.0, spots, ())
    return RoundView(DAY, DAY, "made up", "UTC", DAY, "", plan, {}, {}, {})


def _chore(number: int) -> Chore:
    row = f"W{number // 10}"
    writes = (draft(row, SideShooted((f"leader {number}",)), ("side_shoot", str(number), DAY.isoformat())),)
    x_m = 0.5 * (number % 10)
    piece = Piece("", row, row, x_m, x_m, (f"leader {number}",), "", 1.0, writes, DAY, DAY)
    told = (proposal(number), "It grew 21 cm in the last week.", (piece,))
    return Chore(
        f"side_shoot {number} {DAY}", "side_shoot", row, row, x_m, x_m, "any", DAY, DAY, False, False, *told
    )
