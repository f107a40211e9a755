"""What ``water`` says: what every row asks, was given, and what a bucket test makes of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from tunneltui.care.row_water import (
    AREA_PER_PLANT_M2,
    GivenAsked,
    Tested,
    bed_of,
    given_against_asked,
    plants_of,
    row_water,
    tested_factor,
)
from tunneltui.care.water import Water, drip_minutes, litres_words
from tunneltui.care.watering import last_watered
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Row, Tunnel
from tunneltui.report.documents import Document
from tunneltui.report.plain import day_words, joined, wrapped
from tunneltui.season.state import Season

LOOK_FIRST = "Local rules, the label and a look at the soil come first."


@dataclass(frozen=True, slots=True)
class RowWater:
    row: str
    tunnel: str
    plants: int
    asked: Water | None
    """None: no air was read in the last days, or the latitude is unknown."""
    drip_lph: float | None
    given_on: date | None
    given_minutes: float | None
    given_l: float | None
    timer: bool
    """The last entry set a timer."""
    fortnight: GivenAsked
    """Up to yesterday."""
    tested: Tested


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
    asked = row_water(season, outlook, tunnel, row)
    last = last_watered(season, (name, tunnel.key, ""))
    return RowWater(
        name,
        tunnel.key,
        plants_of(season, name),
        asked[0] if asked else None,
        bed.drip_lph_per_plant if bed else None,
        last[0] if last else None,
        last[1].minutes if last else None,
        last[1].litres if last else None,
        last[1].timer if last else False,
        given_against_asked(season, outlook, tunnel, row, season.day - timedelta(days=1)),
        tested_factor(season, outlook, tunnel, row),
    )


def water_document(season: Season, outlook: Outlook) -> Document:
    """By row: litres a plant and day, low to high, the three ways behind them, drip minutes, given against asked
    over the last fortnight, and the bucket test."""
    return {"day": season.day.isoformat(), "rows": [_document(row) for row in rows_water(season, outlook)]}


def _document(row: RowWater) -> dict[str, Any]:
    asked, minutes, past = row.asked, drip_of(row), row.fortnight
    return {
        "row": row.row,
        "plants": row.plants,
        "low_l": None if asked is None else round(asked.low_l, 2),
        "high_l": None if asked is None else round(asked.high_l, 2),
        "row_low_l": None if asked is None else round(asked.low_l * row.plants, 1),
        "row_high_l": None if asked is None else round(asked.high_l * row.plants, 1),
        "still_air_mm": None if asked is None else round(asked.still_air_mm, 2),
        "radiation_mm": None if asked is None else round(asked.radiation_mm, 2),
        "outdoor_mm": None if asked is None else round(asked.outdoor_mm, 2),
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
            "asked_low_l": None if past.asked_low_l is None else round(past.asked_low_l, 1),
            "asked_high_l": None if past.asked_high_l is None else round(past.asked_high_l, 1),
            "days_read": past.days_read,
            "longest_gap_days": past.longest_gap_days,
        },
        "bucket_test": {
            "on": row.tested.on.isoformat() if row.tested.on else None,
            "factor": round(row.tested.factor, 3),
            "says": row.tested.says,
        },
    }


def drip_of(row: RowWater) -> tuple[float, float] | None:
    """Minutes of drip a day, low to high; None without drip or without litres."""
    if row.asked is None or not row.drip_lph:
        return None
    return drip_minutes(row.asked.low_l, row.drip_lph), drip_minutes(row.asked.high_l, row.drip_lph)


def water_text(season: Season, outlook: Outlook) -> str:
    lines = [f"{day_words(season.day)}  water a plant and day, by the last days' air"]
    for row in rows_water(season, outlook):
        for number, words in enumerate(row_words(row)):
            lines += wrapped(
                f"{row.row}  {words}" if number == 0 else words, "  " if number == 0 else "      ", "      "
            )
    if len(lines) == 1:
        lines.append("  Nothing is planted.")
    return joined([*lines, *wrapped(RESTS_ON, "", "")])


RESTS_ON = (
    "FAO-56 with still air, the inside radiation method and Hargreaves; the crop factor is known to 30%, and a "
    "week with a bucket corrects it (`tunneltui bucket`). A plant's ground is its share of the bed, "
    f"{AREA_PER_PLANT_M2:g} m2 where none is said. {LOOK_FIRST}"
)


def row_words(row: RowWater) -> list[str]:
    """What it asks; what it was given in the last fortnight; the bucket test, if there was one."""
    return [_asks(row), f"last fortnight: {row.fortnight.words}", *_test_words(row)]


def _asks(row: RowWater) -> str:
    if row.asked is None:
        return "unknown: no air of the last three days, or no latitude in the holding"
    words = f"{litres_words(row.asked.low_l, row.asked.high_l)}, {row.plants} plants"
    minutes = drip_of(row)
    if minutes is not None:
        words += f"; drip {minutes[0]:.0f} to {minutes[1]:.0f} min"
    if row.given_on is not None:
        given = (
            f"{row.given_minutes:.0f} min{' by timer' if row.timer else ''}"
            if row.given_minutes is not None
            else _litres(row.given_l)
        )
        words += f"; {'set to' if row.timer else 'last given'} {given} on {day_words(row.given_on)}"
    return words


def _litres(litres: float | None) -> str:
    return "an unknown amount" if litres is None else f"{litres:g} L in all"


def _test_words(row: RowWater) -> list[str]:
    if row.tested.on is None:
        return []
    return [f"bucket test of {day_words(row.tested.on)}: {row.tested.says}"]
