"""Stores: things by kind, pool and year, and what the season still asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Any

from msgspec.structs import asdict

from tunneltui.care.stores import Need, Store, needs, stores
from tunneltui.cells import Day, Quantity, Range, Sentence, cm, inked, joined, one_line, say, words
from tunneltui.growth.season_end import SeasonEnd
from tunneltui.pages.page import NOTHING, Column, Item, Page, Section
from tunneltui.season.state import Season

NOTHING_YET = "Nothing was stocked or hung yet: `tunneltui add stocked item=clip ...`."


def stores_document(season: Season, end: SeasonEnd | None) -> dict[str, Any]:
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
        "low": round(need.needed.low, 1),
        "mid": round(need.needed.mid, 1),
        "high": round(need.needed.high, 1),
        "there": None if need.in_store is None else round(need.in_store, 1),
        "short": None if short is None else [round(short[0], 1), round(short[1], 1)],
        "why": _why(need),
    }


def stores_page(season: Season, end: SeasonEnd | None) -> Page:
    """Things by kind, pool and year; then what the season still asks for and what runs short."""
    every = stores(season)
    return Page(
        say("{}  stores", Day(season.day, year=True)),
        (kinds_section(every), needs_section(season, end)),
    )


COLUMNS = (
    Column("thing"),
    Column("kind"),
    Column("pool", rank=1),
    *(Column(head, right=True) for head in ("in", "out", "hang", "failed", "back", "there")),
)


COUNTED_IN = {"twine": "spools", "fleece": "pieces", "seed": "seeds", "feed": "litres"}


def kinds_section(every: Sequence[Store]) -> Section:
    items = [Item(store_key(store), _cells(store), beside=_all_of(store)) for store in every]
    behind = [store.kind or f"{store.item}s" for store in every if store.in_store < 0]
    if behind:
        more = say("! Count and note, for more hang than ever came in: {}.", ", ".join(behind))
        items.append(_item("behind", inked("near", more)))
    return Section("kinds", NOTHING, COLUMNS, tuple(items) or (_item("nothing", words(NOTHING_YET)),))


def _all_of(store: Store) -> tuple[Sentence, ...]:
    """What a list has no room for, in words."""
    unit = COUNTED_IN.get(store.item, f"{store.item}s")
    sentences = [joined(", ", (one_line(word, 200) for word in (_kind_words(store), store.pool) if word))]
    sentences.append(words(f"{store.came_in:g} {unit} came in, {store.went_out:g} went out."))
    if store.item in ("clip", "hook", "fleece"):
        in_store = "nobody counted those" if store.known_stock is None else f"{store.known_stock:g}"
        sentences.append(words(f"{store.on_plants} on the plants, {in_store} in store."))
    if store.item == "clip":
        sentences.append(words(f"{store.failed} failed, {store.taken_back} taken back to use again."))
    return tuple(sentences)


def store_of(season: Season, key: str) -> Store | None:
    """The kind whose item has this key."""
    return next((store for store in stores(season) if store_key(store) == key), None)


def store_key(store: Store) -> str:
    return f"store {store.item} {store.kind} {store.pool} {store.year}"


def _cells(store: Store) -> tuple[str, ...]:
    figures = (store.came_in, store.went_out, store.on_plants, store.failed, store.taken_back)
    return (
        store.item,
        one_line(_kind_words(store), 24),
        one_line(store.pool or "-", 14),
        *(f"{figure:.0f}" for figure in figures),
        "?" if store.known_stock is None else f"{store.known_stock:.0f}",
    )


def _kind_words(store: Store) -> str:
    year = f" {store.year}" if store.year and str(store.year) not in store.kind else ""
    return f"{store.kind or 'unnamed'}{year}"


def needs_section(season: Season, end: SeasonEnd | None) -> Section:
    """What the season asks for up to the last pick, and what will run out."""
    needed = needs(season, end)
    title, items = words("Still wanted"), []
    if not season.leaders:
        items = [_item("need none", words("Nothing stands, so the season asks for nothing yet."))]
    elif end is None or not needed:
        unknown = (
            "What the season still asks for is unknown: no last pick lies ahead. Say in the holding when the bed "
            "is wanted back (work, bed_wanted_back)."
        )
        items = [_item("need none", words(unknown))]
    else:
        taken = ", taken as the last pick" if end.last_pick.assumed else ""
        title = say("Still wanted, to {}{}", Day(end.last_pick.day), taken)
        items = [Item(f"need {need.item}", lengths=need_words(need)) for need in needed]
        items += [_item(f"short {n}", inked("must", say("! {}.", s))) for n, s in enumerate(short_words(needed))]
    return Section("needs", title, items=tuple(items))


def _item(key: str, sentence: str) -> Item:
    return Item(key, lengths=(sentence,))


def _why(need: Need) -> str:
    """How it is counted."""
    if need.clip_every_m is not None:
        hanging = f", as {need.clips_hanging} hang now" if need.clips_hanging else ""
        return say("a clip every {} of stem held{}, and a tenth spare", cm(need.clip_every_m), words(hanging))
    if need.item == "hook":
        return "one for each head that hangs on none yet"
    if need.item == "fleece":
        return "a piece for each planted tunnel, should nights turn cold"
    why = "what the stems outgrow their wire by, less what the hooks still carry"
    if need.unnoted_hooks:
        why += f" ({need.unnoted_hooks} hooks whose twine nobody noted are taken as empty)"
    if need.spool_unknown:
        return f"{why}; the holding does not say how long a spool is (spool_m)"
    return f"{why}; no twine was stocked" if need.in_store is None else why


def short_words(needed: list[Need]) -> Iterator[Sentence]:
    """What will run out before the season's end, a clause each."""
    for need in needed:
        short = need.short
        if short is not None and short[1] > 0:
            least, most = map(ceil, short)
            yield say("{}: {} short by the last pick", need.item, Range(least, most, need.unit, 0))


def need_words(need: Need) -> tuple[Sentence, Sentence]:
    """What is wanted as a range, what there is; the longer form says how it is counted."""
    needed = Range(need.needed.low, need.needed.high, need.unit, 0)
    stock = "unknown" if need.in_store is None else Quantity(need.in_store, need.unit, 0)
    brief = say("{}: {} more, {} there", need.item, needed, stock)
    return say("{} ({})", brief, _why(need)), brief
