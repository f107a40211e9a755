"""After a frost inside: did it take the crop? Until somebody says that it stands, only what clears it is asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from functools import cache

from tunneltui.cells import day_word, degc, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import at_tunnel, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import AskedBy
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_care import Frosted
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

FROST_TOOK = ChoreKind(
    "frost_took", "did frost take the crop", "tunnel", "look", worth=0.3, minutes=1.0, taken="choice"
)
KILLS_C = -1.0
"""A night this cold among the plants mostly kills a warm-season crop (common practice, no source)."""
ENDS_FROM_MONTH = 8
"""A frost ends a season from August on; in the south from February on. One in spring is replanted after."""
STILL_ASKED = frozenset({FROST_TOOK.key, "strip_green", "clearing", "make_bed"})


def frost_took(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Asked tunnel by tunnel where plants stand and nobody has said yet."""
    for tunnel in season.holding.tunnels:
        cold = _cold_night(season, tunnel.key)
        if cold is None or _answer(season, tunnel.key, cold[0]) is not None:
            continue
        if season.leaders_of_tunnel(tunnel.key):
            yield _ask(season, tunnel.key, *cold)


def crop_taken_on(season: Season, tunnel: str) -> date | None:
    """The night that took a tunnel's crop, as said or, until somebody says, as a reading lets fear."""
    said = [(day, body.took_crop) for day, about, body in season.frosts if about in ("", tunnel)]
    cold = _cold_night(season, tunnel)
    if cold is not None:
        answer = _answer(season, tunnel, cold[0])
        return cold[0] if answer is None or answer else None
    recent = [day for day, took in said[-1:] if took and _of_this_autumn(season, day)]
    return recent[0] if recent else None


def only_clearing_after_frost(season: Season, chores: Iterable[Chore]) -> Iterator[Chore]:
    """Without what is asked of plants that frost took."""
    is_taken = cache(lambda tunnel: crop_taken_on(season, tunnel) is not None)
    for chore in chores:
        row = season.layout.rows.get(chore.row)
        if row is None or chore.kind in STILL_ASKED or not is_taken(row[0].key):
            yield chore


def _cold_night(season: Season, tunnel: str) -> tuple[date, float] | None:
    """The first night of this autumn with such a frost inside, and how cold it was."""
    planted = min((leader.planted_on for leader in season.leaders_of_tunnel(tunnel)), default=season.day)
    nights = {**season.airs.get("", {}), **season.airs.get(tunnel, {})}
    cold = [
        (day, air.min_c)
        for day, air in nights.items()
        if air.min_c is not None and air.min_c <= KILLS_C and day > planted and _of_this_autumn(season, day)
    ]
    return min(cold, default=None)


def _of_this_autumn(season: Season, day: date) -> bool:
    south = (season.holding.latitude_deg or 0.0) < 0
    begins = (ENDS_FROM_MONTH - 6) if south else ENDS_FROM_MONTH
    year = season.day.year if season.day.month >= begins else season.day.year - 1
    return date(year, begins, 1) <= day <= season.day and (season.day - day).days < 180


def _answer(season: Season, tunnel: str, since: date) -> bool | None:
    said = [body.took_crop for day, about, body in season.frosts if about in ("", tunnel) and day >= since]
    return said[-1] if said else None


def _ask(season: Season, tunnel: str, night: date, min_c: float) -> Chore:
    where = at_tunnel(season, tunnel)
    return make_chore(
        FROST_TOOK,
        tunnel,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say("{}: look whether the frost took the crop, and say so", tunnel),
        why=say(
            "{} were read inside on {}. Until you say that it stands, only stripping and clearing are asked.",
            degc(min_c),
            day_word(night, season.day),
        ),
        bits=whole(where, minutes_for(season, FROST_TOOK)),
        choices=[
            ("s", "it stands: go on as before", [("", (tunnel, Frosted(took_crop=False)))]),
            ("f", "frost took it", [("", (tunnel, Frosted(took_crop=True)))]),
        ],
    )


RULES = (AskedBy(frost_took, (FROST_TOOK,)),)
