"""What ``stores`` says: things by kind, pool and year, and what the season still asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from tunneltui.care.stores import Need, Store, needs, short_words, stores
from tunneltui.growth.season_end import SeasonEnd
from tunneltui.report.documents import Document
from tunneltui.report.plain import day_words, joined, wrapped
from tunneltui.season.state import Season

HEADS = f"{'thing':<7}{'kind':<17}{'pool':<12}{'in':>5}{'out':>5}{'hang':>5}{'failed':>7}{'back':>5}{'there':>6}"
NOTHING = "Nothing was stocked or hung yet: `tunneltui add stocked item=clip ...`."


def stores_document(season: Season, end: SeasonEnd | None) -> Document:
    """Every kind of thing: came in, went out, on the plants, failed, taken back, in store; then what the season
    still asks for up to the last pick, likely and at most."""
    return {
        "day": season.day.isoformat(),
        "stores": [asdict(store) for store in stores(season)],
        "until": end.last_pick.day.isoformat() if end is not None else None,
        "until_assumed": end.last_pick.assumed if end is not None else None,
        "needs": [_need(need) for need in needs(season, end)],
    }


def _need(need: Need) -> dict[str, Any]:
    short = need.short
    return {
        "item": need.item,
        "unit": need.unit,
        "low": round(need.wanted.low, 1),
        "mid": round(need.wanted.mid, 1),
        "high": round(need.wanted.high, 1),
        "there": None if need.there is None else round(need.there, 1),
        "short": None if short is None else [round(short[0], 1), round(short[1], 1)],
        "why": need.why,
    }


def stores_text(season: Season, end: SeasonEnd | None) -> str:
    found = stores(season)
    lines = [f"{day_words(season.day)}  stores"]
    lines += [f"  {HEADS}", *(f"  {store_words(store)}" for store in found)] if found else [f"  {NOTHING}"]
    for words in (*behind_words(found), *end_words(season, end)):
        lines += wrapped(words, "", "  ")
    return joined(lines)


def store_words(store: Store) -> str:
    """One kind in columns."""
    kind = (
        f"{store.kind or 'unnamed'}{f' {store.year}' if store.year and str(store.year) not in store.kind else ''}"
    )
    return (
        f"{store.item:<7}{kind:<17.16}{store.pool or '-':<12.11}{store.came_in:5.0f}{store.went_out:5.0f}"
        f"{store.on_plants:5d}{store.failed:7d}{store.taken_back:5d}{store.in_store:6.0f}"
    )


def behind_words(found: Sequence[Store]) -> list[str]:
    short = [f"{store.item} {store.kind}".strip() for store in found if store.in_store < 0]
    return [f"More hangs than was ever stocked of {', '.join(short)}: count and note it."] if short else []


def end_words(season: Season, end: SeasonEnd | None) -> list[str]:
    """What the season asks for up to the last pick, and what will run out."""
    needed = needs(season, end)
    if not season.leaders:
        return ["Nothing stands, so the season asks for nothing yet."]
    if end is None or not needed:
        return [
            "What the season still asks for is unknown: no last pick lies ahead. Say in the holding when the bed "
            "is wanted back (work, bed_wanted_back)."
        ]
    taken = ", taken as the last pick" if end.last_pick.assumed else ""
    return [
        f"To {day_words(end.last_pick.day)}{taken}:",
        *(need_words(need) for need in needed),
        *(f"! {words}." for words in short_words(needed)),
    ]


def need_words(need: Need) -> str:
    """What is wanted as a range, what there is, and how it is counted."""
    low, high = need.wanted.low, need.wanted.high
    unit = f" {need.unit}" if need.unit else ""
    span = f"{low:.0f} to {high:.0f}" if round(low) != round(high) else f"{high:.0f}"
    there = "unknown" if need.there is None else f"{need.there:.0f}{unit}"
    return f"{need.item}: {span}{unit} more, {there} there ({need.why})"
