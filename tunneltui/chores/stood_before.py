"""Plants noted in the middle of a season: did they stand before? One answer tells all that grew since."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from tunneltui.cells import Day, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import Written, make_chore, on_the_loop, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.kinds_standing import PlantedAbout
from tunneltui.loads.result import Loads
from tunneltui.season.noted_late import STOOD_BEFORE_KEY, may_be_older
from tunneltui.season.state import Leader, Season

STOOD_BEFORE = ChoreKind(
    STOOD_BEFORE_KEY, "did they stand before", "loop", "look", worth=0.3, minutes=0.5, lasts="kept", taken="choice"
)
WEEKS_AGO = {"a": 4, "b": 8, "c": 12, "d": 16, "e": 20}
"""Letter of the answer, and how long ago it means they were planted."""


def stood_before(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Asked loop by loop, once."""
    for loop in season.layout.loops:
        leaders = [leader for leader in season.leaders_of_loop(loop) if may_be_older(season, leader)]
        if leaders:
            yield _ask(season, loop, leaders)


def _ask(season: Season, loop: str, leaders: list[Leader]) -> Chore:
    where = on_the_loop(season, loop, leaders[0].u_m)
    noted = max(leader.planted_on for leader in leaders)
    plants = {leader.plant: leader.place for leader in leaders}

    def about(weeks: int) -> tuple[str, list[tuple[str, Written]]]:
        day = noted - timedelta(weeks=weeks)
        return say("about {} weeks before, {}", weeks, Day(day)), [
            ("", (place, PlantedAbout(plant, day))) for plant, place in plants.items()
        ]

    return make_chore(
        STOOD_BEFORE,
        loop,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=say(
            "{}: say when {} planted",
            loop,
            say("its {} plants were", len(plants)) if len(plants) > 1 else say("{} was", leaders[0].place),
        ),
        why="Nothing else is noted of them. Stems that stood before are long and bear: what is asked of them, and "
        "what they will give, rests on it.",
        pieces=whole(where, minutes_for(season, STOOD_BEFORE)),
        choices=[
            ("n", say("{}, as noted", Day(noted, season.day)), [("", (loop, Note(text="")))]),
            *((key, *about(weeks)) for key, weeks in WEEKS_AGO.items()),
        ],
    )


RULES = (ChoreRule(stood_before, (STOOD_BEFORE,)),)
