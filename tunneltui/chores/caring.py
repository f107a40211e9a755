"""What care asks, as chores: water, fleece, doors, shade, looking for sickness and what follows from it.

Only what differs from how things stand is asked. Each advice is a range with its source. Local rules, labels and
licensed practice come first, and nothing here says that a night, a dose or a structure is safe.
"""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.care.advice import Advice
from tunneltui.care.covers import covers
from tunneltui.care.illness import illness
from tunneltui.care.scouting import scouting
from tunneltui.care.watering import watering
from tunneltui.cells import capital, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import Where, at_root, at_row, at_tunnel, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

WATER = ChoreKind("water", "water", "row", "tap", worth=1, minutes=2.0)
FLEECE = ChoreKind("fleece", "fleece", "tunnel", "tap", worth=1, minutes=10.0)
VENTS = ChoreKind("vents", "doors and vents", "tunnel", "tap", worth=1, minutes=2.0)
SHADE = ChoreKind("shade", "shade", "tunnel", "tap", worth=1, minutes=10.0)
SCOUT = ChoreKind(
    "scout", "look for sickness", "tunnel", "look", worth=0.015, minutes=5.0, part="morning", taken="look"
)
BLIGHT = ChoreKind("blight", "late blight", "place", "plants", worth=1, minutes=15.0, lasts="kept")
END_ROT = ChoreKind("end_rot", "blossom-end rot", "tunnel", "tap", worth=0.03, minutes=5.0, lasts="kept")
ORDER = ChoreKind("order", "order helpers", "tunnel", "tap", worth=0.03, minutes=5.0, lasts="kept")
ASKED_BY_CARE = {kind.key: kind for kind in (WATER, FLEECE, VENTS, SHADE, SCOUT, BLIGHT, END_ROT, ORDER)}


def caring(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """One chore for each advice of care; there is none where things already stand so."""
    for advised in advice(season, outlook):
        kind, where = ASKED_BY_CARE[advised.kind], _where(season, advised)
        yield make_chore(
            kind,
            advised.about,
            where,
            when=advised.when,
            earliest=season.day,
            latest=season.day,
            must=advised.must,
            proposal=advised.proposal,
            why=say("{}. ({})", capital(advised.why), advised.source),
            pieces=whole(where, minutes_for(season, kind), *advised.bodies, leaders=advised.leaders),
        )


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


def _where(season: Season, advised: Advice) -> Where:
    if advised.leaders:
        return at_root(season.leaders[advised.leaders[0]])
    about = advised.bodies[0][0]
    return at_row(season, about) if about in season.layout.rows else at_tunnel(season, about)


RULES = (ChoreRule(caring, tuple(ASKED_BY_CARE.values())),)
