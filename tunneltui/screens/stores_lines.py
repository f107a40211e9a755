"""Stores: every kind of thing as a line, and what the season still asks for. Pure."""

from __future__ import annotations

from tunneltui.care.stores import Store, needs, short_words, stores
from tunneltui.growth.season_end import SeasonEnd
from tunneltui.report.stores_text import HEADS, NOTHING, behind_words, end_words, need_words, store_words
from tunneltui.screens.list_lines import day_words
from tunneltui.screens.parts import Line, Part
from tunneltui.season.state import Season

COUNTED_IN = {"twine": "spools", "fleece": "pieces", "seed": "seeds", "feed": "litres"}


def stores_lines(season: Season, end: SeasonEnd | None) -> list[Line]:
    """Kinds in columns, then what is wanted up to the last pick."""
    found = stores(season)
    heads = Line("heads", (Part(f" {HEADS}", "bold"),), heading=True)
    lines = [heads] if found else [Line("none", (Part(f" {NOTHING}"),))]
    lines += [_store(store) for store in found]
    lines += [Line(f"behind {n}", (Part(f" ! {words}", "near"),)) for n, words in enumerate(behind_words(found))]
    needed = needs(season, end)
    if end is None or not needed:
        return [*lines, Line("no end", (Part(f" {end_words(season, end)[0]}"),))]
    taken = ", taken as the last pick" if end.last_pick.assumed else ""
    lines.append(
        Line("until", (Part(f" Still asked for by {day_words(end.last_pick.day)}{taken}", "bold"),), True)
    )
    lines += [Line(f"need {need.item}", (Part(f" {need_words(need)}"),)) for need in needed]
    lines += [Line(f"short {n}", (Part(f" ! {words}", "near"),)) for n, words in enumerate(short_words(needed))]
    return lines


def store_key(store: Store) -> str:
    return f"store {store.item} {store.kind}"


def _store(store: Store) -> Line:
    return Line(store_key(store), (Part(f" {store_words(store)}", "near" if store.in_store < 0 else ""),))


def side_words(season: Season, end: SeasonEnd | None, key: str) -> list[str]:
    """All of the line under the cursor, in words."""
    store = store_of(season, key)
    if store is not None:
        return _all_of(store)
    if key.startswith("need "):
        return [need_words(need) for need in needs(season, end) if need.item == key.removeprefix("need ")]
    return end_words(season, end)


def store_of(season: Season, key: str) -> Store | None:
    """The kind whose line has this key."""
    return next((one for one in stores(season) if store_key(one) == key), None)


def _all_of(store: Store) -> list[str]:
    unit = COUNTED_IN.get(store.item, f"{store.item}s")
    words = [f"{store.item} {store.kind}".strip() + (f", pool {store.pool}" if store.pool else "")]
    words.append(f"{store.came_in:g} {unit} came in, {store.went_out:g} went out.")
    if store.item in ("clip", "hook", "fleece"):
        words.append(f"{store.on_plants} on the plants, {max(store.in_store, 0):g} in store.")
    if store.item == "clip":
        words.append(f"{store.failed} failed, {store.taken_back} taken back to use again.")
    return words
