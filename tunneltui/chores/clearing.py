"""Clearing a row at its end: green fruit first, clips bottom up, clips and hooks counted back."""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.chores.chore import Chore
from tunneltui.chores.making import at_row, in_order_of_work, make_chore
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.wording import day_word, many
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_crop import Removed
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season


def clearing(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Rows still standing on the day the bed is wanted back."""
    wanted = season.holding.work.bed_wanted_back
    if wanted is None or wanted > season.day:
        return
    for row in season.layout.rows:
        # Plants put in since then are the next crop.
        leaders = [leader for leader in season.leaders_of_row(row) if leader.planted_on < wanted]
        if leaders:
            yield _clear(
                season, row, in_order_of_work(leaders), f"the bed is wanted back {day_word(wanted, season.day)}"
            )


def _clear(season: Season, row: str, leaders: list[Leader], reason: str) -> Chore:
    plants = {leader.plant: leader for leader in leaders}
    clips = sum(not fixing.tie for leader in leaders for fixing in leader.fixings)
    hooks = sum(leader.hook is not None for leader in leaders)
    return make_chore(
        "clearing",
        row,
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=season.day,
        minutes=minutes_for(season, "clearing", len(plants)),
        proposal=f"strip green, clear {row} bottom up, count {many(clips, 'clip')} and {many(hooks, 'hook')} back",
        why=f"{many(len(plants), 'plant')} still stand on {row} and {reason}.",
        writes=[(leader.place, Removed(plant)) for plant, leader in plants.items()],
        leaders=[leader.id for leader in plants.values()],
    )
