"""Overhead work and the heat of the day: chores done with raised arms say by what hour they should be done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tunneltui.care.heat_hours import day_heat
from tunneltui.chores.chore import Chore
from tunneltui.season.state import Season


def before_the_heat(season: Season, chores: Iterable[Chore]) -> Iterator[Chore]:
    """The same chores; overhead ones in a tunnel that will be too hot say so in their reason."""
    done_by: dict[str, int | None] = {}
    for chore in chores:
        if not chore.overhead or chore.row not in season.layout.rows:
            yield chore
            continue
        tunnel = season.layout.rows[chore.row][0].key
        if tunnel not in done_by:
            heat = day_heat(season, tunnel, season.day)
            done_by[tunnel] = heat.done_by if heat is not None else None
        hour = done_by[tunnel]
        yield chore if hour is None else chore._replace(why=f"{chore.why} {_words(hour)}")


def _words(hour: int) -> str:
    by = f"Overhead by {hour}:00" if hour > 0 else "Nothing overhead by day"
    return f"{by}, or in the cool of the evening: the heat between strains greatly."
