"""The units of a fair comparison: plants, or rows of one season each, by group.

A whole row's kilograms belong to the row. A single plant's count only where the grower followed its stem (a pick
of a marked leader), or where no string carries several stems: else whose fruit it was is not known (common
practice, no source).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal

from msgspec import Struct

from tunneltui.review.compare import Unit
from tunneltui.review.record import PickRecord, PlantRecord, SeasonRecord
from tunneltui.review.seasons import season_years
from tunneltui.season.state import Leader, Season
from tunneltui.values import replace

What = Literal["cultivar", "row", "training", "season"]
UnitKind = Literal["plant", "row", "season"]
Key = tuple[str, int]
"""Row and season."""
FOLLOWED = (
    "Plants were weighed one by one, but several stems hang on a string: right only if each stem was followed "
    "to its root."
)
MIXED = (
    "Picks were noted by place, but several stems hang on a string, so whose fruit it was is not known: "
    "whole rows are compared instead."
)


class Grouped(Struct, frozen=True):
    unit: UnitKind
    units: dict[str, list[Unit]]
    """In the order asked for; an empty list where nothing was weighed."""
    cautions: tuple[str, ...] = ()
    counted_to: date | None = None
    """See ``fair.Fair``."""


class _Weighed(Struct, frozen=True):
    """One plant weighed by itself."""

    plant: PlantRecord
    kg: float
    followed: bool
    """By its leader, not only by its place."""


def known_names(written: SeasonRecord, what: What) -> set[str]:
    """Every name that may be asked for."""
    if what == "cultivar":
        grown = {plant.cultivar for plant in written.plants} | {pick.cultivar for pick in written.picks}
        return (grown | set(written.layout.cultivars)) - {""}
    if what == "row":
        return set(written.layout.rows) | {plant.site.row for plant in written.plants if plant.site.row}
    if what == "season":
        return {written.growing_year.name(year) for year in season_years(written)}
    rows = {row.training for _, row in written.layout.rows.values()}
    return rows | {plant.training for plant in written.plants if plant.training}


def weighed_names(written: SeasonRecord, what: What) -> list[str]:
    """Names that a weighed pick belongs to, in order."""
    named = {_group_of_pick(written, what, pick) for pick in written.picks if pick.kg is not None}
    return sorted(named & known_names(written, what))


def grouped(written: SeasonRecord, season: Season, what: What, names: Sequence[str]) -> Grouped:
    """Plants where they may stand for themselves, else rows of a season."""
    plants, cautions = _plants(written, season, what, names)
    if plants is not None:
        return Grouped("plant", plants, cautions)
    written, counted_to = _to_the_same_day(written, season, what, names)
    kind: UnitKind = "season" if what == "row" else "row"
    return Grouped(kind, _rows(written, what, names), (*cautions, *_season_caution(what)), counted_to)


def _season_caution(what: What) -> tuple[str, ...]:
    if what == "season":
        return ("Seasons differ in weather, ground and plants at once: a difference does not say what made it.",)
    return ()


def _to_the_same_day(
    written: SeasonRecord, season: Season, what: What, names: Sequence[str]
) -> tuple[SeasonRecord, date | None]:
    """A season that still runs is held against the others' part up to the same day."""
    growing, today = written.growing_year, season.day
    if what != "season" or growing.name(growing.of(today)) not in names:
        return written, None

    def days_in(day: date) -> int:
        return (day - growing.span(growing.of(day))[0]).days

    kept = tuple(pick for pick in written.picks if days_in(pick.day) <= days_in(today))
    return replace(written, picks=kept), today


# Plants


def _plants(
    written: SeasonRecord, season: Season, what: What, names: Sequence[str]
) -> tuple[dict[str, list[Unit]] | None, tuple[str, ...]]:
    """Units by name where plants may stand for themselves, with what is to be said of them; else None."""
    if what in ("row", "season"):
        return None, ()
    weighed = _weighed_plants(written, season)
    shared = _strings_are_shared(season, {plant.plant.id for plant in weighed})
    groups = {name: [plant for plant in weighed if _group_of_plant(what, plant.plant) == name] for name in names}
    in_several = defaultdict(set)
    for name, plants in groups.items():
        for plant in plants:
            in_several[plant.plant.site.row].add(name)
    if min(map(len, groups.values())) < 2 or all(len(held) < 2 for held in in_several.values()):
        return None, ()
    if shared and not all(plant.followed for group in groups.values() for plant in group):
        return None, (MIXED,)
    units = {name: [Unit(plant.kg, plant.plant.site.row) for plant in group] for name, group in groups.items()}
    return units, (FOLLOWED,) if shared else ()


def _weighed_plants(written: SeasonRecord, season: Season) -> list[_Weighed]:
    """Plants with picks of their own, in order of their ids."""
    leaders = {**season.gone, **season.leaders}
    of_id = {plant.id: plant for plant in written.plants}
    at_place: dict[str, list[PlantRecord]] = defaultdict(list)
    for plant in written.plants:
        at_place[plant.site.place].append(plant)
    kg: dict[str, float] = defaultdict(float)
    unfollowed: set[str] = set()
    for pick in written.picks:
        picked = _plant_picked(pick, leaders.get(pick.leader), of_id, at_place)
        if picked is not None and pick.kg is not None:
            kg[picked.id] += pick.kg
            unfollowed |= set() if pick.leader else {picked.id}
    return [_Weighed(of_id[plant], kg[plant], plant not in unfollowed) for plant in sorted(kg)]


def _plant_picked(
    pick: PickRecord,
    leader: Leader | None,
    of_id: dict[str, PlantRecord],
    at_place: dict[str, list[PlantRecord]],
) -> PlantRecord | None:
    if leader is not None:
        return of_id.get(leader.plant)
    stood = (
        [plant for plant in at_place[pick.site.place] if plant.stood(pick.day, pick.day)]
        if pick.site.place
        else []
    )
    return stood[0] if len(stood) == 1 else None


def _strings_are_shared(season: Season, plants: Iterable[str]) -> bool:
    """Whether a string that holds one of these plants holds another plant's stem as well."""
    own = set(plants)
    held: dict[str, set[str]] = defaultdict(set)
    for leader in (*season.gone.values(), *season.leaders.values()):
        for fixing in (*leader.fixings, *(ending.fixing for ending in leader.endings)):
            if fixing.string:
                held[fixing.string].add(leader.plant)
    return any(len(on) > 1 and on & own for on in held.values())


# Rows


def _rows(written: SeasonRecord, what: What, names: Sequence[str]) -> dict[str, list[Unit]]:
    """kg a plant of every row and season that was weighed, all plants of the group there counted."""
    rows = {name: _kg_a_plant(written, what, name) for name in names}
    same = len({frozenset(units) for units in rows.values()}) == 1

    def block(key: Key) -> str:
        # Shuffled within what the groups share: the season for rows, the row for seasons, both where each group
        # stood in every row and season that the others stood in.
        row, year = key
        if what == "season":
            return row
        return f"{row} {year}" if same and what != "row" else str(year)

    return {name: [Unit(units[key], block(key)) for key in sorted(units)] for name, units in rows.items()}


def _kg_a_plant(written: SeasonRecord, what: What, name: str) -> dict[Key, float]:
    kg: dict[Key, float] = defaultdict(float)
    for pick in written.picks:
        if pick.kg is not None and pick.site.row and _group_of_pick(written, what, pick) == name:
            kg[pick.site.row, written.growing_year.of(pick.day)] += pick.kg
    units = {}
    for (row, year), weight in kg.items():
        first, last = written.growing_year.span(year)
        stood = [
            plant
            for plant in written.plants
            if plant.site.row == row
            and plant.stood(first, last)
            and (what in ("row", "season") or _group_of_plant(what, plant) == name)
        ]
        if stood:
            units[row, year] = weight / len(stood)
    return units


def _group_of_plant(what: What, plant: PlantRecord) -> str:
    return plant.training if what == "training" else plant.cultivar


def _group_of_pick(written: SeasonRecord, what: What, pick: PickRecord) -> str:
    if what == "cultivar":
        return pick.cultivar
    if what == "row":
        return pick.site.row
    if what == "season":
        return written.growing_year.name(written.growing_year.of(pick.day))
    # '' where its plants are trained in several ways: the row's kilograms are then of neither.
    ways = {
        plant.training
        for plant in written.plants
        if plant.site.row == pick.site.row and plant.stood(pick.day, pick.day)
    }
    if not ways and pick.site.row in written.layout.rows:
        return written.layout.rows[pick.site.row][1].training
    return ways.pop() if len(ways) == 1 else ""
