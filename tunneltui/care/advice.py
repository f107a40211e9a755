"""What to do about air, water and health today: only where it differs from how things stand.

Each advice is a range with its source. Local rules, labels and licensed practice come first, and nothing here
says that a night, a dose or a structure is safe.
"""

from __future__ import annotations

from tunneltui.care.advised import Advice
from tunneltui.care.covers import covers
from tunneltui.care.illness import illness
from tunneltui.care.scouting import scouting
from tunneltui.care.watering import watering
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.season.state import Season


def advice(season: Season, outlook: Outlook) -> list[Advice]:
    """All that care asks today, in the order of the holding's tunnels."""
    advices: list[Advice] = []
    for tunnel in season.holding.tunnels:
        if not any(season.leaders_of_row(row_id(tunnel, row)) for row in tunnel.rows):
            continue
        advices += covers(season, tunnel)
        advices += scouting(season, tunnel)
        for row in tunnel.rows:
            advices += watering(season, outlook, tunnel, row)
    return [*advices, *illness(season, outlook)]
