"""One season of one house: the truth lives on day by day, a grower comes on work days, and all is counted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from tests.seasons.door import Door
from tests.seasons.growers import BY_NAME, FIXED, ByTheRound, FixedPasses, Spent
from tests.seasons.hands import Hands
from tests.seasons.houses import LAST_DAY, House
from tests.seasons.planting import LETTERS, garden_of
from tests.seasons.truth.garden import Book, Garden
from tests.seasons.watch import Watch
from tunneltui.chores.morning import Morning
from tunneltui.cli import collect_seldom

DAYS_AFTER_FROST = 10
"""So long the rounds after a killing frost are still looked at."""
DAYS_AFTER_BED = 6
Tell = Callable[[Garden, Morning, ByTheRound], None]
"""Called at the end of every morning's work, with what was shown."""


@dataclass(eq=False)
class Lived:
    """A season as it came out."""

    house: House
    grower: str
    garden: Garden
    spent: Spent
    watch: Watch | None
    """None where nobody looked at a round."""
    refused: list[str]
    """What the program did not take."""
    last_flower: dict[str, date]
    """By cultivar, the flower of the last truss that could ripen."""

    @property
    def book(self) -> Book:
        return self.garden.book


def live(house: House, grower: str, tell: Tell | None = None) -> Lived:
    """The season of a house with the grower of that name."""
    collect_seldom()
    garden = garden_of(house)
    hands = Hands(house, garden)
    _until_begun(house, garden)
    watch: Watch | None = None
    refused: list[str] = []
    if grower == FIXED:
        passes = FixedPasses(house, garden, hands)
        _work_passes(house, garden, passes)
        spent = passes.season_spent
    else:
        watch = Watch(house, garden, hands)
        spent, refused = _work_the_round(house, garden, hands, grower, watch, tell)
    garden.close()
    return Lived(house, grower, garden, spent, watch, refused, _last_flowers(house, garden))


def _until_begun(house: House, garden: Garden) -> None:
    """A season that is taken up in its middle was kept by fixed passes till then, with time enough."""
    if house.begins_on == house.planted_on:
        return
    passes = FixedPasses(house, garden, Hands(house, garden))
    passes.minutes = 1e9
    while garden.day < house.begins_on:
        if passes.comes(garden.day):
            passes.work()
        garden.live_on()
    garden.book = Book()


def _last_day(house: House, garden: Garden) -> date:
    ends = [LAST_DAY]
    if house.ends_on is not None:
        ends.append(house.ends_on + timedelta(days=DAYS_AFTER_BED))
    if garden.book.frost_on is not None:
        ends.append(garden.book.frost_on + timedelta(days=DAYS_AFTER_FROST))
    return min(ends)


def _work_passes(house: House, garden: Garden, passes: FixedPasses) -> None:
    while garden.day <= _last_day(house, garden):
        if passes.ends():
            passes.clear()
            return
        if passes.comes(garden.day):
            passes.work()
        garden.count_heads()
        garden.live_on()


def _work_the_round(
    house: House, garden: Garden, hands: Hands, name: str, watch: Watch, tell: Tell | None
) -> tuple[Spent, list[str]]:
    with Door(house.seed, house.begins_on) as door:
        _begin(house, hands, door)
        grower = ByTheRound(house, garden, hands, door, BY_NAME[name])
        while garden.day <= _last_day(house, garden) and any(stem.removed_on is None for stem in garden.stems):
            if grower.comes(garden.day):
                door.go_to(garden.day)
                grower.notes_before()
                shown = door.round()
                watch.morning(shown)
                grower.work(shown)
                watch.evening(shown, grower.done)
                if tell is not None:
                    tell(garden, shown, grower)
            garden.count_heads()
            garden.live_on()
        return grower.season_spent, door.refused


def _begin(house: House, hands: Hands, door: Door) -> None:
    """The holding, the plants, and their hooks where they are noted; as they stand on the first day."""
    planted_on = house.planted_on if house.day_known or not house.mid_season else house.begins_on
    door.new(house.toml, planted_on)
    for name, standing in house.plan.places.items():
        cultivar = f"cultivar={standing.place.cultivar}"
        more = [f"leaders={house.leaders}"] if house.leaders > 1 else []
        if not door.add("planted", cultivar, *more, about=name, on=planted_on) and more:
            door.add("planted", cultivar, about=name, on=planted_on)
            for letter in LETTERS[1 : house.leaders]:
                door.add("leader_kept", f"plant={name}", f"letter={letter}", on=planted_on)
    by_name = {leader.name: leader for leader in door.season.leaders.values()}
    for stem in hands.garden.stems:
        leader = by_name[stem.name]
        hands.know(stem, leader.id, leader.plant)
        if house.hooks_noted and stem.hook_u_m is not None:
            door.add("hung", f"leader={stem.name}", f"hook_u_m={stem.hook_u_m:.2f}")


def _last_flowers(house: House, garden: Garden) -> dict[str, date]:
    """The last day on which a flower could open and still be picked ripe."""
    end = min(day for day in (house.ends_on, garden.book.frost_on, LAST_DAY) if day is not None)
    found = {}
    for sort in house.sorts.values():
        day, way = end, 0.0
        while way < 1 and day > house.planted_on:
            day -= timedelta(days=1)
            speed = garden.nature.ripening(garden.air[day].mean_c, cucumber=house.cucumber)
            way += speed * sort.ripens_by
        found[sort.key] = day
    return found
