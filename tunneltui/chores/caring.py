"""What care asks, as chores: water, fleece, doors, shade, and looking for sickness."""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.care.advice import advice
from tunneltui.chores.chore import Chore
from tunneltui.chores.making import at_row, at_tunnel, make_chore
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

MINUTES = {"water": 2.0, "fleece": 10.0, "vents": 2.0, "shade": 10.0, "scout": 5.0}
"""Common practice, no source."""


def caring(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """One chore for each advice of care; there is none where things already stand so."""
    for asked in advice(season, outlook):
        own = season.holding.work.minutes_by_chore.get(asked.kind)
        yield make_chore(
            asked.kind,
            asked.about,
            at_row(season, asked.about) if asked.about in season.layout.rows else at_tunnel(season, asked.about),
            when=asked.when,
            earliest=season.day,
            latest=season.day,
            minutes=MINUTES[asked.kind] if own is None else own,
            must=asked.must,
            proposal=asked.proposal,
            why=f"{asked.why}. ({asked.source})",
            writes=[(asked.about, asked.body)],
        )
