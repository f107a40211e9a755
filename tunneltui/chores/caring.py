"""What care asks, as chores: water, fleece, doors, shade, looking for sickness and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.care.advice import advice
from tunneltui.care.advised import Advice
from tunneltui.chores.chore import Chore
from tunneltui.chores.making import Where, at_root, at_row, at_tunnel, make_chore
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

MINUTES = {
    "water": 2.0,
    "fleece": 10.0,
    "vents": 2.0,
    "shade": 10.0,
    "scout": 5.0,
    "blight": 15.0,
    "end_rot": 5.0,
    "order": 5.0,
}
"""Common practice, no source."""


def caring(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """One chore for each advice of care; there is none where things already stand so."""
    for asked in advice(season, outlook):
        own = season.holding.work.minutes_by_chore.get(asked.kind)
        yield make_chore(
            asked.kind,
            asked.about,
            _where(season, asked),
            when=asked.when,
            earliest=season.day,
            latest=season.day,
            minutes=MINUTES[asked.kind] if own is None else own,
            must=asked.must,
            proposal=asked.proposal,
            why=f"{asked.why[:1].upper()}{asked.why[1:]}. ({asked.source})",
            writes=asked.bodies,
            leaders=asked.leaders,
        )


def _where(season: Season, asked: Advice) -> Where:
    if asked.leaders:
        return at_root(season.leaders[asked.leaders[0]])
    about = asked.bodies[0][0]
    return at_row(season, about) if about in season.layout.rows else at_tunnel(season, about)
