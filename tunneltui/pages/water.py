"""Water: what every row needs and was given, and what a bucket test says of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from msgspec import Struct

from tunneltui.care.row_water import (
    AREA_PER_PLANT_M2,
    BucketResult,
    WaterBalance,
    bed_of,
    plants_of,
    row_water,
    tested_factor,
    water_balance,
)
from tunneltui.care.water import Water, drip_minutes, litres_range
from tunneltui.care.watering import last_watered
from tunneltui.cells import Day, Sentence, as_typed, litres, many, say, words
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Row, Tunnel
from tunneltui.pages.page import NOTHING, Column, Item, Page, Section
from tunneltui.season.state import Season

LOOK_FIRST = "Local rules, the label and a look at the soil come first."


class RowWater(Struct, frozen=True):
    row: str
    tunnel: str
    plants: int
    demand: Water | None
    unknown: str
    """What the litres wait for, where they are not known."""
    drip_lph: float | None
    given_on: date | None
    given_minutes: float | None
    given_l: float | None
    timer: bool
    """The last entry set a timer."""
    fortnight: WaterBalance
    """Up to yesterday."""
    tested: BucketResult


def rows_water(season: Season, outlook: Outlook) -> list[RowWater]:
    """What every planted row asks, and what it was given."""
    return [
        _row(season, outlook, tunnel, row)
        for tunnel in season.holding.tunnels
        for row in tunnel.rows
        if plants_of(season, row_id(tunnel, row))
    ]


def _row(season: Season, outlook: Outlook, tunnel: Tunnel, row: Row) -> RowWater:
    name = row_id(tunnel, row)
    bed = bed_of(tunnel, row)
    demand = row_water(season, outlook, tunnel, row)
    last = last_watered(season, (name, tunnel.key, ""))
    no_air = "no air of the last three days was read: `tunneltui air FILE`"
    return RowWater(
        name,
        tunnel.key,
        plants_of(season, name),
        demand[0] if demand else None,
        no_air if season.holding.latitude_deg is not None else "the holding has no latitude: `holding edit`",
        bed.drip_lph_per_plant if bed else None,
        last[0] if last else None,
        last[1].minutes if last else None,
        last[1].litres if last else None,
        last[1].timer if last else False,
        water_balance(season, outlook, tunnel, row, season.day - timedelta(days=1)),
        tested_factor(season, outlook, tunnel, row),
    )


def water_document(season: Season, outlook: Outlook) -> dict[str, Any]:
    """By row: litres a plant and day, low to high, the three ways behind them, drip minutes, given against asked
    over the last fortnight, and the bucket test."""
    return {"day": season.day.isoformat(), "rows": [_document(row) for row in rows_water(season, outlook)]}


def _document(row: RowWater) -> dict[str, Any]:
    demand, minutes, past = row.demand, drip_of(row), row.fortnight
    return {
        "row": row.row,
        "plants": row.plants,
        "low_l": None if demand is None else round(demand.low_l, 2),
        "high_l": None if demand is None else round(demand.high_l, 2),
        "row_low_l": None if demand is None else round(demand.low_l * row.plants, 1),
        "row_high_l": None if demand is None else round(demand.high_l * row.plants, 1),
        "still_air_mm": None if demand is None else round(demand.still_air_mm, 2),
        "radiation_mm": None if demand is None else round(demand.radiation_mm, 2),
        "outdoor_mm": None if demand is None else round(demand.outdoor_mm, 2),
        "drip_low_min": None if minutes is None else round(minutes[0]),
        "drip_high_min": None if minutes is None else round(minutes[1]),
        "given_on": row.given_on.isoformat() if row.given_on else None,
        "given_min": row.given_minutes,
        "given_l": row.given_l,
        "timer": row.timer,
        "fortnight": {
            "first": past.first.isoformat(),
            "last": past.last.isoformat(),
            "given_l": round(past.given_l, 1),
            "times": past.times,
            "without_amount": past.uncounted,
            "asked_low_l": None if past.needed_low_l is None else round(past.needed_low_l, 1),
            "asked_high_l": None if past.needed_high_l is None else round(past.needed_high_l, 1),
            "days_read": past.days_read,
            "longest_gap_days": past.longest_gap_days,
        },
        "bucket_test": {
            "on": row.tested.on.isoformat() if row.tested.on else None,
            "factor": round(row.tested.factor, 3),
            "says": tested_words(row.tested),
        },
    }


def tested_words(tested: BucketResult) -> str:
    """How a bucket test's factor came about, or why it is not used; '' where there was no test."""
    if tested.used_l is None or tested.needed_l is None:
        return f"not used: {tested.unused}" if tested.unused else ""
    used = say("{} used, {} worked out", litres(tested.used_l), litres(tested.needed_l))
    if tested.unused:
        return say("not used: {}, {} times; weigh once more", used, f"{tested.used_l / tested.needed_l:.1f}")
    return say("{}: times {}", used, f"{tested.factor:.2f}")


def drip_of(row: RowWater) -> tuple[float, float] | None:
    """Minutes of drip a day, low to high; None without drip or without litres."""
    if row.demand is None or not row.drip_lph:
        return None
    return drip_minutes(row.demand.low_l, row.drip_lph), drip_minutes(row.demand.high_l, row.drip_lph)


def water_page(season: Season, outlook: Outlook) -> Page:
    rows = rows_water(season, outlook)
    title = say("{}  water a plant and day, by the last days' air", Day(season.day, year=True))
    return Page(title, (water_section(rows),), (RESTS_ON,))


def water_section(rows: Sequence[RowWater], title: str = NOTHING) -> Section:
    """What every row asks; beside it what it was given in the last fortnight, and the bucket test if any."""
    items = [
        Item(
            f"water {row.row}",
            (row.row,),
            _need_words(row),
            (say("last fortnight: {}", row.fortnight.words), *_test_words(row)),
            (RESTS_ON,),
        )
        for row in rows
    ]
    nothing = Item("unplanted", lengths=(words("Nothing is planted."),))
    return Section("water", title, (Column(),), tuple(items) or (nothing,))


RESTS_ON = say(
    "FAO-56 with still air, the inside radiation method and Hargreaves; the crop factor is known to 30%, and a "
    "week with a bucket corrects it (`tunneltui bucket`). A plant's ground is its share of the bed, {} where none "
    "is said. {}",
    as_typed(AREA_PER_PLANT_M2, "m2"),
    LOOK_FIRST,
)


def _need_words(row: RowWater) -> tuple[Sentence, ...]:
    """Longest first: with what was last given, without it, the litres alone."""
    if row.demand is None:
        return (say("unknown: {}", row.unknown), words("unknown"))
    per_plant = say("{}", litres_range(row.demand.low_l, row.demand.high_l))
    full = per_plant + f", {many(row.plants, 'plant')}"
    minutes = drip_of(row)
    if minutes is not None:
        full += f"; drip {minutes[0]:.0f} to {minutes[1]:.0f} min"
    if row.given_on is None:
        return full, per_plant
    if row.given_minutes is not None:
        given = words(f"{row.given_minutes:.0f} min{' by timer' if row.timer else ''}")
    elif row.given_l is not None:
        given = say("{} in all", as_typed(row.given_l, "L"))
    else:
        given = words("an unknown amount")
    how = "set to" if row.timer else "last given"
    return full + say("; {} {} on {}", how, given, Day(row.given_on)), full, per_plant


def _test_words(row: RowWater) -> tuple[Sentence, ...]:
    if row.tested.on is None:
        return ()
    return (say("bucket test of {}: {}", Day(row.tested.on), tested_words(row.tested)),)
