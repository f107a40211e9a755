"""Feed: by days since the last one, tunnel by tunnel."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from tunneltui.care.feed import EARLY_NITROGEN_MG_L, EARLY_TRUSSES, cans_words
from tunneltui.cells import Quantity, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import at_tunnel, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.growth.topping import in_last_fortnight
from tunneltui.journal.kinds_care import Fed
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season

FEED = ChoreKind("feed", "feed", "tunnel", "tap", worth=0.03, window=True, minutes=0.25)
LATE = timedelta(days=2)
"""A feed may wait so long for a day with the minutes for it (common practice, no source)."""
SET_Z = 0.05
"""Development at which a truss counts as set: some three days after it flowered. Common practice, no source."""
SWOLLEN_Z = 0.8
"""From here on a truss colours and takes up little more (common practice, no source)."""
EARLY = say(
    " Before truss {} flowers, weak and low in nitrogen (under {} mg/L): more gives leaf "
    "instead of fruit (Florida HS796).",
    Quantity(EARLY_TRUSSES, ""),
    Quantity(EARLY_NITROGEN_MG_L[1], ""),
)


def feed(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Every ``limits.feed_days`` from the first set on. What is given in the last fortnight comes too late for the
    fruit: common practice, no source."""
    every, ending = season.holding.limits.feed_days, in_last_fortnight(season)
    for tunnel in season.holding.tunnels:
        fruiting = bearing(season, outlook, tunnel.key)
        if not fruiting or tunnel.key in ending:
            continue
        last = _last_fed(season, tunnel.key)
        if last is None or (season.day - last).days >= every:
            flowering = [outlook.stem(x.id, season.day).flowering_truss for x in fruiting]
            yield _feed(season, tunnel.key, fruiting, last, every, sum(flowering) / len(flowering) < EARLY_TRUSSES)


def bearing(season: Season, outlook: Outlook, tunnel: str) -> list[Leader]:
    """The leaders of a tunnel with fruit set."""
    return [x for x in season.leaders_of_tunnel(tunnel) if _bears(outlook, season.day, x)]


def next_feeds(season: Season, outlook: Outlook) -> Iterator[tuple[str, date, int]]:
    """Tunnel, day and plants of the feed after the last one, where it is still to come."""
    ending = in_last_fortnight(season)
    for tunnel in season.holding.tunnels:
        last = _last_fed(season, tunnel.key)
        plants = {x.plant for x in bearing(season, outlook, tunnel.key)}
        if last is not None and plants and tunnel.key not in ending:
            day = last + timedelta(days=season.holding.limits.feed_days)
            if day > season.day:
                yield tunnel.key, day, len(plants)


def _bears(outlook: Outlook, day: date, leader: Leader) -> bool:
    if leader.id not in outlook.leaders:
        return False
    return any(SET_Z <= truss.z < SWOLLEN_Z for truss in outlook.stem(leader.id, day).trusses)


def _last_fed(season: Season, tunnel: str) -> date | None:
    days = [season.last[key] for key in (("fed", tunnel), ("fed", "")) if key in season.last]
    return max(days, default=None)


def _feed(
    season: Season, tunnel: str, fruiting: list[Leader], last: date | None, every: int, early: bool
) -> Chore:
    plants = len({leader.plant for leader in fruiting})
    since = say("{} since the last feed", many((season.day - last).days, "day")) if last else "No feed noted yet"
    due = last + timedelta(days=every) if last else season.day
    where = at_tunnel(season, tunnel)
    return make_chore(
        FEED,
        tunnel,
        where,
        when="any",
        earliest=season.day,
        latest=max(due + LATE, season.day) if last else season.day,
        proposal=say("feed {} as the label says, {}", many(plants, "plant"), cans_words(plants)),
        why=say(
            "{}; you feed every {} while fruit swells, and {} bear.",
            since,
            many(every, "day"),
            many(plants, "plant"),
        )
        + (EARLY if early else ""),
        pieces=whole(where, minutes_for(season, FEED, plants), (tunnel, Fed())),
    )


RULES = (ChoreRule(feed, (FEED,)),)
