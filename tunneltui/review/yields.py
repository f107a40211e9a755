"""What came off: kg, counts and losses by cultivar, row, bed or tunnel, per square metre and per plant."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from tunneltui.review.record import PickRecord, PlantRecord, Record

By = Literal["cultivar", "row", "bed", "tunnel", "place"]
KG_M2_IN_LB_FT2 = 0.204816
"""1 kg/m2 in lb/ft2: 2.204623 lb over 10.763910 ft2."""
LB_IN_KG = 0.45359237


@dataclass(frozen=True, slots=True)
class Yield:
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
    first_pick: date | None
    last_pick: date | None
    days: int
    """Days from first to last pick, both counted."""


def yields(record: Record, by: By, since: date | None = None, until: date | None = None) -> list[Yield]:
    """A line for every group that was planted or picked, in the order of its name; unnamed picks under ''."""
    within = [pick for pick in record.picks if _within(pick.day, since, until)]
    lost = [loss for loss in record.losses if _within(loss.day, since, until)]
    pick_group, plant_group = _PICK_GROUPS[by], _PLANT_GROUPS[by]
    groups = {pick_group(p) for p in (*within, *lost)} | {plant_group(p) for p in record.plants}
    return [
        _yield(
            record,
            by,
            group,
            [p for p in within if pick_group(p) == group],
            [p for p in lost if pick_group(p) == group],
            [p for p in record.plants if plant_group(p) == group],
        )
        for group in sorted(groups)
    ]


def _yield(
    record: Record, by: By, group: str, picks: list[PickRecord], lost: list[PickRecord], plants: list[PlantRecord]
) -> Yield:
    kg = sum(p.kg or 0.0 for p in picks)
    counts = [p.count for p in picks if p.count is not None]
    grades: dict[str, float] = {}
    for pick in picks:
        grades[pick.grade] = grades.get(pick.grade, 0.0) + (pick.kg or 0.0)
    days = sorted(p.day for p in picks)
    area = _area_m2(record, by, group)
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
    )


def _area_m2(record: Record, by: By, group: str) -> float | None:
    """Ground of a bed as the holding says, of a row its bed's where that is its alone, of a tunnel its floor."""
    if by == "tunnel":
        floors = {t.key: t.length_m * t.width_m for t, _ in record.layout.rows.values()}
        return floors.get(group)
    rows = {name: row for name, (_, row) in record.layout.rows.items()}
    beds = {(t.key, bed.key): bed.area_m2 for t, _ in record.layout.rows.values() for bed in t.beds}
    if by == "bed":
        areas = [area for (_, bed), area in beds.items() if bed == group]
        return areas[0] if len(areas) == 1 else None
    if by == "row" and group in rows:
        tunnel, row = record.layout.rows[group]
        sharing = [other for other in tunnel.rows if other.bed == row.bed]
        area = beds.get((tunnel.key, row.bed))
        return area / len(sharing) if area is not None else None
    return None


def weekly_curve(record: Record, cultivar: str | None = None) -> list[tuple[tuple[int, int], float]]:
    """(ISO year and week, kg picked so far that season) for every week with a pick."""
    total, curve = 0.0, {}
    for pick in sorted(record.picks, key=lambda p: p.day):
        if cultivar is not None and pick.cultivar != cultivar:
            continue
        total += pick.kg or 0.0
        year, week, _ = pick.day.isocalendar()
        curve[(year, week)] = total
    return list(curve.items())


def _within(day: date, since: date | None, until: date | None) -> bool:
    return (since is None or day >= since) and (until is None or day <= until)


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
