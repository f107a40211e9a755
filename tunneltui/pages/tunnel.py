"""One tunnel's air and water: what care asks today, water, the fortnight's air, feed, cold and heat."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from msgspec import Struct

from tunneltui.care.fortnight import USUALLY, AirDay, Counted, Fortnight, fortnight
from tunneltui.cells import Range, Sentence, say, words
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.draw.canvas import CanvasRow
from tunneltui.draw.chart import AxisUnit, BandDay, ReadDay, band_chart
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Tunnel
from tunneltui.pages.air import air_section, count_words, sums_section
from tunneltui.pages.feed import TunnelFeed, feed_section, tunnels_feed
from tunneltui.pages.page import Column, Item, Page, Section
from tunneltui.pages.water import RowWater, rows_water, water_section

CARE_KINDS = frozenset(
    {"water", "feed", "fleece", "vents", "shade", "scout", "blight", "end_rot", "order", "pollinate"}
)
"""Chores that follow from air, soil, weather and health."""


class TunnelAir(Struct, frozen=True):
    """One tunnel's air, water and feed, worked out once for a morning."""

    tunnel: Tunnel
    air: Fortnight
    rows: tuple[RowWater, ...]
    feed: TunnelFeed | None
    chores: tuple[Chore, ...]
    """What care asks of it today."""


def tunnel_air(morning: Morning, tunnel: Tunnel, counted: Counted = USUALLY) -> TunnelAir:
    """Everything the screen says of a tunnel; takes a tenth of a second."""
    season = morning.season
    rows = {row_id(tunnel, row) for row in tunnel.rows}
    return TunnelAir(
        tunnel,
        fortnight(season, tunnel, counted),
        tuple(row for row in rows_water(season, morning.outlook) if row.row in rows),
        next(
            (
                tunnel_feed
                for tunnel_feed in tunnels_feed(season, morning.outlook)
                if tunnel_feed.tunnel == tunnel.key
            ),
            None,
        ),
        tuple(
            chore
            for chore in morning.chores
            if chore.kind in CARE_KINDS and (chore.row in rows or chore.about.split()[0] in (tunnel.key, *rows))
        ),
    )


def tunnel_page(air: TunnelAir, today: date, done: Iterable[Chore], mark_of: Callable[[Chore], str]) -> Page:
    """Asked today (``done``: what was asked and is done by now), water, air by day, feed, and what the days add up
    to. ``mark_of`` says how a chore stands, sign and word."""
    items = [_chore_item(chore, mark_of(chore)) for chore in (*air.chores, *done)]
    nothing = Item("nothing", lengths=(words("Nothing has changed."),))
    feed = (feed_section(air.feed, words("Feed")),) if air.feed is not None else ()
    return Page(
        words(air.tunnel.name or air.tunnel.key),
        (
            Section("asked", words("Asked today"), (Column(), Column()), tuple(items) or (nothing,)),
            water_section(air.rows, words("Water a plant and day, by the last days' air")),
            air_section(air.air, today, say("Air, and degree days by {}", count_words(air.air.counted))),
            sums_section(air.air),
            *feed,
        ),
    )


def _chore_item(chore: Chore, mark: str) -> Item:
    when = (words(f"{chore.when}, {chore.minutes:.0f} min"),) if chore.when != "any" else ()
    return Item(chore.id, (chore.about.split()[0], mark), (chore.proposal,), beside=(chore.why, *when))


def curve(air: TunnelAir, columns: int, rows: int, unit: AxisUnit) -> list[CanvasRow]:
    """Least to most of each day as a band with its mean, days read by hand or logger marked."""
    days = air.air.days
    bands = [
        BandDay(
            d.day, d.mean_c if d.low_c is None else d.low_c, d.mean_c, d.mean_c if d.high_c is None else d.high_c
        )
        for d in days
    ]
    read = [ReadDay(d.day, d.mean_c) for d in days if d.mark in ("sensor", "hand")]
    return band_chart(columns, rows, bands=bands, marks=read, unit=unit)


def curve_words(air: TunnelAir, today: date) -> list[Sentence]:
    """What the curve draws, in words."""
    past = [day for day in air.air.days if day.day < today]
    coming = [day for day in air.air.days if day.day >= today]
    return [_span_words("Last fortnight", past), _span_words("Coming days", coming)]


def _span_words(what: str, days: Sequence[AirDay]) -> Sentence:
    ends = [(day.low_c, day.high_c) for day in days if day.low_c is not None and day.high_c is not None]
    if not ends:
        return words(f"{what}: only daily means are known.")
    span = Range(min(low for low, _ in ends), max(high for _, high in ends), "degC")
    return say("{}: {}, {} of {} days with both ends.", words(what), span, len(ends), len(days))
