"""What care asks, as chores: water, fleece, doors, shade, looking for sickness and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.care.advice import advice
from tunneltui.care.advised import Advice
from tunneltui.cells import capital, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import Where, at_root, at_row, at_tunnel, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
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
            bits=whole(where, minutes_for(season, kind), *advised.bodies, leaders=advised.leaders),
        )


def _where(season: Season, advised: Advice) -> Where:
    if advised.leaders:
        return at_root(season.leaders[advised.leaders[0]])
    about = advised.bodies[0][0]
    return at_row(season, about) if about in season.layout.rows else at_tunnel(season, about)


RULES = (ChoreRule(caring, tuple(ASKED_BY_CARE.values())),)
