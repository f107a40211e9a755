"""What the commands ``water``, ``feed`` and ``stores`` say, as documents and in plain words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from tunneltui.care.feed import EARLY_NITROGEN_MG_L, Label, Strength, cans, removed_g, strength_from_liquid
from tunneltui.care.row_water import AREA_PER_PLANT_M2, row_water
from tunneltui.care.stores import Store, stores
from tunneltui.care.water import Water, drip_minutes
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Row, Tunnel
from tunneltui.report.documents import Document
from tunneltui.report.plain import day_words, joined, wrapped
from tunneltui.season.state import Season

EARLY_TRUSSES = 3.0
"""Until about this truss flowers, more nitrogen gives leaf instead of fruit (Florida HS796)."""
FIRST = "Local rules, the label and a look at the soil come first."


@dataclass(frozen=True, slots=True)
class RowWater:
    row: str
    plants: int
    asked: Water | None
    """None: no air was read in the last days, or the latitude is unknown."""
    drip_lph: float | None
    given_on: date | None
    given_minutes: float | None
    given_l: float | None


def rows_water(season: Season, outlook: Outlook) -> list[RowWater]:
    """What every planted row asks, and what it was last given."""
    found = []
    for tunnel in season.holding.tunnels:
        for row in tunnel.rows:
            name = row_id(tunnel, row)
            plants = len({leader.plant for leader in season.leaders_of_row(name)})
            if plants:
                found.append(_row(season, outlook, tunnel, row, plants))
    return found


def _row(season: Season, outlook: Outlook, tunnel: Tunnel, row: Row, plants: int) -> RowWater:
    name = row_id(tunnel, row)
    bed = next((bed for bed in tunnel.beds if bed.key == row.bed), None)
    asked = row_water(season, outlook, tunnel, row)
    given = [(day, w) for day, about, w in season.waterings if about in (name, tunnel.key, "")]
    day, watered = given[-1] if given else (None, None)
    return RowWater(
        name,
        plants,
        asked[0] if asked else None,
        bed.drip_lph_per_plant if bed else None,
        day,
        watered.minutes if watered else None,
        watered.litres if watered else None,
    )


def water_document(season: Season, outlook: Outlook) -> Document:
    """By row: litres a plant and day, low to high, the three ways behind them, drip minutes, what was given."""
    return {"day": season.day.isoformat(), "rows": [_water(row) for row in rows_water(season, outlook)]}


def _water(row: RowWater) -> dict[str, Any]:
    asked = row.asked
    minutes = _minutes(row)
    return {
        "row": row.row,
        "plants": row.plants,
        "low_l": None if asked is None else round(asked.low_l, 2),
        "high_l": None if asked is None else round(asked.high_l, 2),
        "still_air_mm": None if asked is None else round(asked.still_air_mm, 2),
        "radiation_mm": None if asked is None else round(asked.radiation_mm, 2),
        "outdoor_mm": None if asked is None else round(asked.outdoor_mm, 2),
        "drip_low_min": None if minutes is None else round(minutes[0]),
        "drip_high_min": None if minutes is None else round(minutes[1]),
        "given_on": row.given_on.isoformat() if row.given_on else None,
        "given_min": row.given_minutes,
        "given_l": row.given_l,
    }


def _minutes(row: RowWater) -> tuple[float, float] | None:
    if row.asked is None or row.drip_lph is None:
        return None
    return drip_minutes(row.asked.low_l, row.drip_lph), drip_minutes(row.asked.high_l, row.drip_lph)


def water_text(season: Season, outlook: Outlook) -> str:
    lines = [f"{day_words(season.day)}  water a plant and day, by the last days' air"]
    for row in rows_water(season, outlook):
        lines += wrapped(f"{row.row}  {_water_words(row)}", "  ", "      ")
    if len(lines) == 1:
        lines.append("  Nothing is planted.")
    lines += wrapped(
        "FAO-56 with still air, the inside radiation method and Hargreaves; the crop factor is known to 30 %. "
        f"A plant's ground is its share of the bed, {AREA_PER_PLANT_M2:g} m2 where none is said. {FIRST}",
        "",
        "",
    )
    return joined(lines)


def _water_words(row: RowWater) -> str:
    if row.asked is None:
        return "unknown: no air of the last three days, or no latitude in the holding"
    words = f"{row.asked.low_l:.1f} to {row.asked.high_l:.1f} L, {row.plants} plants"
    minutes = _minutes(row)
    if minutes is not None:
        words += f"; drip {minutes[0]:.0f} to {minutes[1]:.0f} min"
    if row.given_on is not None:
        given = f"{row.given_minutes:.0f} min" if row.given_minutes is not None else _litres(row.given_l)
        words += f"; last given {given} on {day_words(row.given_on)}"
    return words


def _litres(litres: float | None) -> str:
    return "an unknown amount" if litres is None else f"{litres:g} L in all"


@dataclass(frozen=True, slots=True)
class TunnelFeed:
    tunnel: str
    plants: int
    early: bool
    """Before the third truss flowers."""
    last_on: date | None
    picked_kg: float


def tunnels_feed(season: Season, outlook: Outlook) -> list[TunnelFeed]:
    """Every planted tunnel, when it was last fed and what the picks took out of it."""
    found = []
    for tunnel in season.holding.tunnels:
        leaders = [x for row in tunnel.rows for x in season.leaders_of_row(row_id(tunnel, row))]
        if not leaders:
            continue
        flowering = [outlook.stem(x.id, season.day).flowering_truss for x in leaders]
        fed = [day for day, about, _ in season.feeds if about in (tunnel.key, "")]
        kg = sum(p.picked.kg or 0.0 for p in season.picks if p.tunnel == tunnel.key)
        early = sum(flowering) / len(flowering) < EARLY_TRUSSES
        found.append(TunnelFeed(tunnel.key, len({x.plant for x in leaders}), early, fed[-1] if fed else None, kg))
    return found


def feed_document(season: Season, outlook: Outlook, strength: Strength | None) -> Document:
    """Cans a tunnel and week, what the picks removed [g], and a label's strength where one was given."""
    return {
        "day": season.day.isoformat(),
        "tunnels": [
            {
                "tunnel": feed.tunnel,
                "plants": feed.plants,
                "cans_low": cans(feed.plants)[0],
                "cans_high": cans(feed.plants)[1],
                "early": feed.early,
                "last_on": feed.last_on.isoformat() if feed.last_on else None,
                "picked_kg": round(feed.picked_kg, 1),
                "removed_g": {
                    element: [round(low), round(high)]
                    for element, (low, high) in removed_g(feed.picked_kg).items()
                },
            }
            for feed in tunnels_feed(season, outlook)
        ],
        "strength": None if strength is None else {k: round(v, 1) for k, v in asdict(strength).items()},
    }


def feed_text(season: Season, outlook: Outlook, strength: Strength | None) -> str:
    lines = [f"{day_words(season.day)}  feed"]
    for feed in tunnels_feed(season, outlook):
        low, high = cans(feed.plants)
        last = f"last fed {day_words(feed.last_on)}" if feed.last_on else "no feed noted yet"
        lines += wrapped(f"{feed.tunnel}  {low} to {high} cans for {feed.plants} plants; {last}", "  ", "      ")
        if feed.early:
            most = EARLY_NITROGEN_MG_L[1]
            lines += wrapped(
                f"Before the third truss: no more than about {most:.0f} mg/L of nitrogen, else leaf instead of "
                "fruit (Florida HS796).",
                "      ",
                "      ",
            )
        if feed.picked_kg:
            took = ", ".join(
                f"{e} {low:.0f} to {high:.0f} g" for e, (low, high) in removed_g(feed.picked_kg).items()
            )
            lines += wrapped(f"{feed.picked_kg:.0f} kg picked took out {took}.", "      ", "      ")
    if strength is not None:
        lines += wrapped(
            f"Made up so: N {strength.n_mg_l:.0f}, P {strength.p_mg_l:.0f}, K {strength.k_mg_l:.0f} mg/L.", "", ""
        )
    lines += wrapped(
        "Home-made liquids count by volume only: their strength varies threefold. Never let calcium meet sulphate "
        f"or phosphate, or acid meet alkali, as concentrates. {FIRST}",
        "",
        "",
    )
    return joined(lines)


def label_strength(text: str, ml_per_litre: float, density_kg_l: float) -> Strength:
    """Strength of a liquid labelled such as ``4-3-8`` (N, P2O5, K2O by weight). Raises ``ValueError``."""
    n, p, k = (float(part) for part in text.split("-"))
    return strength_from_liquid(Label(n, p, k, density_kg_l=density_kg_l), ml_per_litre)


def stores_document(season: Season) -> Document:
    """Every kind of thing: stocked, on the plants, failed, taken back, in store."""
    return {"day": season.day.isoformat(), "stores": [asdict(store) for store in stores(season)]}


def stores_text(season: Season) -> str:
    found = stores(season)
    lines = [
        f"{day_words(season.day)}  stores",
        "  thing  kind             in store  on plants  failed  taken back",
    ]
    lines += [_store(store) for store in found]
    lines += _behind(found)
    return joined(lines) if found else "Nothing was stocked or hung yet: `tunneltui add stocked item=clip ...`.\n"


def _store(store: Store) -> str:
    kind = f"{store.kind or 'unnamed'}{f' {store.year}' if store.year else ''}"
    return (
        f"  {store.item:<6} {kind:<16.16} {store.in_store:8.0f} {store.on_plants:10d} {store.failed:7d} "
        f"{store.taken_back:11d}"
    )


def _behind(found: Iterable[Store]) -> list[str]:
    short = [f"{store.item} {store.kind}".strip() for store in found if store.in_store < 0]
    if not short:
        return []
    return [*wrapped(f"More hangs than was ever stocked of {', '.join(short)}: count and note it.", "", "")]
