"""Feed: by days since the last one, tunnel by tunnel."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from tunneltui.chores.chore import Chore
from tunneltui.chores.making import at_tunnel, make_chore
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.wording import many
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_care import Fed
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season


def feed(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Every ``limits.feed_days`` once fruit is on the plants."""
    every = season.holding.limits.feed_days
    for tunnel in season.holding.tunnels:
        fruiting = [x for x in _of_tunnel(season, tunnel.key) if _bears(outlook, season.day, x)]
        if not fruiting:
            continue
        last = _last_fed(season, tunnel.key)
        if last is None or (season.day - last).days >= every:
            yield _feed(season, tunnel.key, fruiting, last, every)


def _of_tunnel(season: Season, tunnel: str) -> list[Leader]:
    return [leader for leader in season.leaders.values() if season.layout.rows[leader.row][0].key == tunnel]


def _bears(outlook: Outlook, day: date, leader: Leader) -> bool:
    return leader.id in outlook.leaders and bool(outlook.stem(leader.id, day).trusses)


def _last_fed(season: Season, tunnel: str) -> date | None:
    days = [season.last[key] for key in (("fed", tunnel), ("fed", "")) if key in season.last]
    return max(days, default=None)


def _feed(season: Season, tunnel: str, fruiting: list[Leader], last: date | None, every: int) -> Chore:
    plants = len({leader.plant for leader in fruiting})
    since = f"{many((season.day - last).days, 'day')} since the last feed" if last else "No feed noted yet"
    due = last + timedelta(days=every) if last else season.day
    return make_chore(
        "feed",
        tunnel,
        at_tunnel(season, tunnel),
        when="any",
        earliest=season.day,
        latest=max(due, season.day),
        minutes=minutes_for(season, "feed", plants),
        proposal=f"feed {many(plants, 'plant')} as the label says",
        why=f"{since}; you feed every {many(every, 'day')} while fruit swells, and {many(plants, 'plant')} bear.",
        writes=[(tunnel, Fed())],
    )
