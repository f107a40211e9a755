"""How beds were made, dressed and fed against what they gave. Pure."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tunneltui.holding.layout import row_id
from tunneltui.review.record import SeasonRecord, bed_name
from tunneltui.season.state import Season


class BedRecord(Struct, frozen=True):
    """Kilograms are None where not weighed, and an amount of feed where none was noted."""

    tunnel: str
    bed: str
    making: str
    """As the holding says."""
    dressings: tuple[tuple[date, str], ...]
    """What was put on it in the span."""
    feeds: int
    """Feeds noted for its rows, its tunnel or the whole house."""
    feed_litres: float | None
    feed_cans: float | None
    plants: int
    kg: float | None
    kg_per_m2: float | None
    kg_per_plant: float | None


def bed_records(season: Season, written: SeasonRecord, since: date | None, until: date | None) -> list[BedRecord]:
    """Every bed of the holding; picks said of a whole tunnel belong to no bed."""
    first, last = since or date.min, until or date.max
    records = []
    for tunnel in season.holding.tunnels:
        for bed in tunnel.beds:
            rows = {row_id(tunnel, row) for row in tunnel.rows if row.bed == bed.key}
            weighed = [pick.kg for pick in written.picks if pick.site.row in rows and pick.kg is not None]
            kg = sum(weighed) if weighed else None
            heard = rows | {tunnel.key, ""}
            fed = [given for day, about, given in season.feeds if about in heard and first <= day <= last]
            plants = sum(plant.site.row in rows for plant in written.plants)
            name = bed_name(season.layout, tunnel, bed.key)
            records.append(
                BedRecord(
                    tunnel.key,
                    bed.key,
                    bed.made,
                    tuple((dressing.day, dressing.how) for dressing in written.dressings if dressing.bed == name),
                    len(fed),
                    _sum([given.litres for given in fed]),
                    _sum([given.cans for given in fed]),
                    plants,
                    kg,
                    kg / bed.area_m2 if kg is not None and bed.area_m2 else None,
                    kg / plants if kg is not None and plants else None,
                )
            )
    return records


def _sum(amounts: list[float | None]) -> float | None:
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if known else None
