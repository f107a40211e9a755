"""Fruit of laid-down rows on the soil: what is put under it is asked once a crop, and remembered."""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.cells import joined, kg, many, say, words
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import at_row, make_chore, ticked_since, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook, TrussOn
from tunneltui.journal.kinds_journal import Note
from tunneltui.loads.low_fruit import low_trusses
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season

LOW_FRUIT = ChoreKind(
    "low_fruit",
    "fruit on the soil",
    "row",
    "plants",
    worth=0.05,
    minutes=0.5,
    part="morning",
    reach="loop",
    lasts="kept",
    taken="choice",
)
"""Half a minute a plant to put something under it (assumed)."""


def low_fruit(season: Season, outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    """A row whose lying stems have unripe trusses on the soil, or bring them down with a week's growth."""
    for row in season.layout.rows:
        laid_down = [leader for leader in season.leaders_of_row(row) if leader.training == "laid_down"]
        if not laid_down or ticked_since(season, LOW_FRUIT, row, min(leader.planted_on for leader in laid_down)):
            continue
        low = {leader.id: _low(season, outlook, loads, leader) for leader in laid_down}
        over = [leader for leader in laid_down if low[leader.id]]
        if over:
            yield _low_fruit(season, row, over, [truss for of in low.values() for truss in of])


def _low(season: Season, outlook: Outlook, loads: Loads, leader: Leader) -> list[TrussOn]:
    """One never lowered stands upright still."""
    if leader.id not in outlook.leaders or leader.id not in loads.paths or not leader.lowerings:
        return []
    unripe = [truss for truss in outlook.stem(leader.id, season.day).trusses if truss.z < 1.0]
    week_m = outlook.leaders[leader.id].growth_m_per_week.mid
    return low_trusses(loads.paths[leader.id], unripe, week_m)


def _low_fruit(season: Season, row: str, over: list[Leader], low: list[TrussOn]) -> Chore:
    """Straw, boards, cloth or film, fruit picked early and water kept off: common practice, no source."""
    by_size = all(season.crop_of(leader).picked_by_size for leader in over)
    return make_chore(
        LOW_FRUIT,
        row,
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=season.day,
        proposal=joined(": ", [row, PICK_SMALL if by_size else PICK_EARLY]),
        why=joined(
            " ",
            [
                say(
                    "{}, about {},",
                    many(len(low), *season.crop_of(over[0]).bears),
                    kg(sum(truss.kg for truss in low)),
                ),
                words("lie on the soil or come down to it this week. Fruit on wet soil rots. Common practice."),
            ],
        ),
        pieces=whole(
            at_row(season, row), minutes_for(season, LOW_FRUIT, len(over)), leaders=[leader.id for leader in over]
        ),
        choices=[
            ("l", "leave it as it lies, to the end of the crop", [("", (row, Note(LEFT)))]),
            ("u", "something is under it now", [("", (row, Note(UNDER)))]),
        ],
    )


PICK_EARLY = "straw, boards, weed cloth or film under the fruit; pick it at first colour, keep water off"
PICK_SMALL = "straw, boards, weed cloth or film under the fruit; pick it small, keep water off"
LEFT = "Fruit left to lie on the soil."
UNDER = "Fruit on the soil: something dry put under it."
RULES = (ChoreRule(low_fruit, (LOW_FRUIT,)),)
