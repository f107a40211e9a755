"""What came off: kg, counts and losses by cultivar, row, bed or tunnel, per square metre and per plant."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from itertools import pairwise
from typing import Literal, NamedTuple

from msgspec import Struct, field

from tunneltui.holding.layout import Layout
from tunneltui.review.record import PickRecord, PlantRecord, SeasonRecord, bed_name
from tunneltui.season.doubts import is_doubted
from tunneltui.values import replace

By = Literal["cultivar", "row", "bed", "tunnel", "place"]


class Yield(Struct, frozen=True):
    """One group's season. Unknown is None, never nought."""

    group: str
    kg: float
    count: int | None
    lost_kg: float
    by_grade: dict[str, float]
    plants: int
    kg_per_plant: float | None
    area_m2: float | None
    kg_per_m2: float | None
    """Of bed; of a row by its share of the bed."""
    first_pick: date | None
    last_pick: date | None
    days: int
    """Days from first to last pick, both counted."""
    value: float | None = None
    """In the holding's money, of all kilograms whose cultivar has a price; None where none has."""
    kg_without_price: float = 0.0
    """Weighed, of a cultivar without a price, and so in no value."""
    lost_by_why: dict[str, float] = field(default_factory=dict)
    fruit_g: float | None = None
    """Mean mass of a fruit, of the picks both weighed and counted."""
    kg_per_floor_m2: float | None = None
    """Of a tunnel by its whole floor, paths and all."""


def yields(record: SeasonRecord, by: By) -> list[Yield]:
    """A line for every group that was planted or picked, in the order of its name; unnamed picks under ''.

    ``record.within`` cuts a span out of a record. Picks before planting are left out (``doubts`` says so).
    """
    early = {id(pick) for pick in too_early(record)}
    picks = [pick for pick in record.picks if id(pick) not in early]
    pick_group, plant_group = _PICK_GROUPS[by], _PLANT_GROUPS[by]
    groups = {pick_group(p) for p in (*picks, *record.losses)} | {plant_group(p) for p in record.plants}
    yielded = [
        _yield(
            record,
            by,
            group,
            [p for p in picks if pick_group(p) == group],
            [p for p in record.losses if pick_group(p) == group],
            [p for p in record.plants if plant_group(p) == group],
        )
        for group in sorted(groups)
    ]
    if by == "tunnel" and any(group.group and group.area_m2 is None for group in yielded):
        # All tunnels are measured alike: where one's beds have no size, all by their floor.
        return [replace(group, area_m2=None, kg_per_m2=None) for group in yielded]
    return yielded


def _yield(
    record: SeasonRecord,
    by: By,
    group: str,
    picks: list[PickRecord],
    lost: list[PickRecord],
    plants: list[PlantRecord],
) -> Yield:
    kg = sum(p.kg or 0.0 for p in picks)
    counts = [p.count for p in picks if p.count is not None]
    grades: dict[str, float] = {}
    for pick in picks:
        grades[pick.grade] = grades.get(pick.grade, 0.0) + (pick.kg or 0.0)
    why: dict[str, float] = {}
    for loss in lost:
        why[loss.lost] = why.get(loss.lost, 0.0) + (loss.kg or 0.0)
    days = sorted(p.day for p in picks)
    area = _area_m2(record, by, group, plants)
    value, without_price = worth(record, picks)
    return Yield(
        group,
        kg,
        sum(counts) if counts else None,
        sum(p.kg or 0.0 for p in lost),
        grades,
        len(plants),
        kg / len(plants) if plants else None,
        area,
        kg / area if area else None,
        days[0] if days else None,
        days[-1] if days else None,
        (days[-1] - days[0]).days + 1 if days else 0,
        value,
        without_price,
        dict(sorted(why.items())),
        _fruit_g(picks),
        kg / floor if by == "tunnel" and (floor := floor_m2(record.layout, group)) else None,
    )


def _fruit_g(picks: Iterable[PickRecord]) -> float | None:
    counted = [(p.kg, p.count) for p in picks if p.kg and p.count]
    fruits = sum(count for _, count in counted)
    return 1000 * sum(kg for kg, _ in counted) / fruits if fruits else None


def worth(record: SeasonRecord, picks: Iterable[PickRecord]) -> tuple[float | None, float]:
    """(money, kg without a price) by the holding's present prices; no price is ever assumed."""
    prices = {key: cultivar.price_per_kg for key, cultivar in record.layout.cultivars.items()}
    money, without = None, 0.0
    for pick in picks:
        price = prices.get(pick.cultivar)
        if pick.kg is not None and price is not None:
            money = (money or 0.0) + pick.kg * price
        else:
            without += pick.kg or 0.0
    return money, without


def too_early(record: SeasonRecord) -> list[PickRecord]:
    """Picks before anything of their cultivar stood where they were picked: both days cannot be right."""
    first: dict[tuple[str, str], date] = {}
    for plant in record.plants:
        for where in {plant.site.row, plant.site.tunnel, ""}:
            begun = first.get((plant.cultivar, where))
            first[plant.cultivar, where] = min(begun or plant.planted_on, plant.planted_on)
    return [
        pick
        for pick in record.picks
        if pick.day < first.get((pick.cultivar, pick.site.row or pick.site.tunnel), date.min)
    ]


class TooEarly(NamedTuple):
    """A pick of a cultivar that did not stand yet: it is left out."""

    pick: PickRecord


class TooHeavy(NamedTuple):
    """A pick of more than the plants that stood can bear."""

    pick: PickRecord
    plants: int


class TwoOfOneName(NamedTuple):
    """Cultivars whose names differ in capitals only: they are counted apart."""

    first: str
    second: str


Doubted = TooEarly | TooHeavy | TwoOfOneName


def doubts(record: SeasonRecord) -> list[Doubted]:
    """What in the records cannot be right or may be two things."""
    doubted: list[Doubted] = [TooEarly(pick) for pick in too_early(record)]
    for pick in record.picks:
        standing = sum(
            1
            for plant in record.plants
            if plant.cultivar == pick.cultivar
            and plant.stood(pick.day, pick.day)
            and (pick.site.row or plant.site.row) == plant.site.row
            and pick.site.tunnel in ("", plant.site.tunnel)
        )
        if not pick.leader and is_doubted(pick.kg or 0.0, standing):
            doubted.append(TooHeavy(pick, standing))
    grown = {plant.cultivar for plant in record.plants} | {pick.cultivar for pick in record.picks}
    names = (grown | set(record.layout.cultivars)) - {""}
    for first, second in pairwise(sorted(names, key=lambda name: (name.casefold(), name))):
        if first.casefold() == second.casefold():
            doubted.append(TwoOfOneName(first, second))
    return doubted


def _area_m2(record: SeasonRecord, by: By, group: str, plants: list[PlantRecord]) -> float | None:
    """Ground of a bed as the holding says, of a row its share of the bed, of a tunnel its beds; of a cultivar or a
    place its places' share of their rows. None where any part of it is unknown: paths bear nothing, so a tunnel's
    floor would compare with no bed."""
    if by == "tunnel":
        return _beds_area_m2(record.layout, group)
    if by == "bed":
        return bed_area_m2(record.layout, group)
    if by == "row":
        return _row_area_m2(record.layout, group)
    places = {plant.site.place for plant in plants}
    shares = [_place_area_m2(record.layout, place) for place in sorted(places)]
    known = [share for share in shares if share is not None]
    return sum(known) if known and len(known) == len(shares) else None


def floor_m2(layout: Layout, tunnel: str) -> float | None:
    """Length times width."""
    return next(
        (standing.length_m * standing.width_m for standing in layout.holding.tunnels if standing.key == tunnel),
        None,
    )


def _beds_area_m2(layout: Layout, tunnel: str) -> float | None:
    areas = [bed.area_m2 for standing in layout.holding.tunnels if standing.key == tunnel for bed in standing.beds]
    known = [area for area in areas if area is not None]
    return sum(known) if known and len(known) == len(areas) else None


def bed_area_m2(layout: Layout, bed: str) -> float | None:
    """Of the bed that ``record.bed_name`` calls so."""
    areas = [
        candidate.area_m2
        for tunnel in layout.holding.tunnels
        for candidate in tunnel.beds
        if bed_name(layout, tunnel, candidate.key) == bed
    ]
    return areas[0] if len(areas) == 1 else None


def _row_area_m2(layout: Layout, row_name: str) -> float | None:
    """Rows of one bed are taken to share it evenly."""
    if row_name not in layout.rows:
        return None
    tunnel, row = layout.rows[row_name]
    area = next((bed.area_m2 for bed in tunnel.beds if bed.key == row.bed), None)
    sharing = sum(other.bed == row.bed for other in tunnel.rows)
    return area / sharing if area is not None else None


def _place_area_m2(layout: Layout, place: str) -> float | None:
    standing = layout.places.get(place)
    area = _row_area_m2(layout, standing.row_id) if standing is not None else None
    return area / len(standing.row.places) if standing is not None and area is not None else None


_PICK_GROUPS: dict[By, Callable[[PickRecord], str]] = {
    "cultivar": lambda p: p.cultivar,
    "row": lambda p: p.site.row,
    "bed": lambda p: p.site.bed,
    "tunnel": lambda p: p.site.tunnel,
    "place": lambda p: p.site.place,
}
_PLANT_GROUPS: dict[By, Callable[[PlantRecord], str]] = {
    "cultivar": lambda p: p.cultivar,
    "row": lambda p: p.site.row,
    "bed": lambda p: p.site.bed,
    "tunnel": lambda p: p.site.tunnel,
    "place": lambda p: p.site.place,
}
