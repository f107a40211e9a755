"""Air and water: what care asks today, every row's water, the fortnight's air, feed, cold and heat. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from tunneltui.care.fortnight import USUALLY, AirDay, Counted, Fortnight, fortnight
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.draw.canvas import Row
from tunneltui.draw.chart import BandDay, ReadDay, band_chart
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Tunnel
from tunneltui.pages.units import axis
from tunneltui.report.air_text import HEADS, count_words, day_line, sums
from tunneltui.report.feed_text import TunnelFeed, feed_words, tunnels_feed
from tunneltui.report.water_text import RESTS_ON, RowWater, row_words, rows_water
from tunneltui.screens.list_lines import MARKS, Line, Part, day_words
from tunneltui.screens.picture import Picture

CARE_KINDS = frozenset(
    {"water", "feed", "fleece", "vents", "shade", "scout", "blight", "end_rot", "order", "pollinate"}
)
"""Chores that follow from air, soil, weather and health."""
TODAY = "day today"
NOT_PLANTED = "Nothing stands here yet."


@dataclass(frozen=True, slots=True)
class TunnelAir:
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
        next((one for one in tunnels_feed(season, morning.outlook) if one.tunnel == tunnel.key), None),
        tuple(
            chore
            for chore in morning.chores
            if chore.kind in CARE_KINDS and (chore.row in rows or chore.about.split()[0] in (tunnel.key, *rows))
        ),
    )


def air_lines(here: TunnelAir, picture: Picture) -> list[Line]:
    """Asked today, water, air by day, feed, and what the days add up to."""
    lines = [_heading("asked", "Asked today")]
    asked = [*here.chores, *_ticked(here, picture)]
    lines += [_chore(chore, picture) for chore in asked] or [Line("nothing", (Part(" Nothing has changed."),))]
    lines.append(_heading("water", "Water a plant and day, by the last days' air"))
    for row in here.rows:
        first, *more = row_words(row)
        lines.append(Line(f"water {row.row}", (Part(row.row, "place", 5), Part(first))))
        lines += [Line(f"water {row.row} {n}", (Part("", "", 5), Part(words))) for n, words in enumerate(more)]
    if not here.rows:
        lines.append(Line("unplanted", (Part(f" {NOT_PLANTED}"),)))
    lines.append(_heading("air", f"Air, and degree days by {count_words(here.air.counted)}"))
    lines.append(Line("heads", (Part(f" {HEADS}", "dim"),), heading=True))
    lines += [_day(day, picture.day) for day in here.air.days]
    lines += [Line(f"sum {n}", (Part(f" {words}"),)) for n, words in enumerate(sums(here.air))]
    if here.feed is not None:
        lines.append(_heading("feed", "Feed"))
        lines += [Line(f"feed {n}", (Part(f" {words}"),)) for n, words in enumerate(feed_words(here.feed))]
    return lines


def _heading(key: str, words: str) -> Line:
    return Line(f"head {key}", (Part(f" {words}", "heading"),), heading=True)


def _ticked(here: TunnelAir, picture: Picture) -> list[Chore]:
    """Chores of this morning's walk that care asked for and that are done by now."""
    asked = {chore.id for chore in here.chores}
    mine = {here.tunnel.key, *(row.row for row in here.rows)}
    return [
        chore
        for chore in (*picture.planned(), *picture.round.later)
        if chore.kind in CARE_KINDS and chore.id not in asked and chore.about.split()[0] in mine
    ]


def _chore(chore: Chore, picture: Picture) -> Line:
    state = picture.states.get(chore.id, "")
    mark = MARKS[state] or ("! must" if chore.must else "")
    style = "must" if chore.must and not state else "done" if state else ""
    return Line(chore.id, (Part(chore.about.split()[0], "place", 5), Part(mark, style, 10), Part(chore.proposal)))


def _day(day: AirDay, today: date) -> Line:
    key = TODAY if day.day == today else f"day {day.day}"
    style = "bright" if day.day == today else "warn" if _alarming(day) else "dim" if day.day < today else ""
    return Line(key, (Part(f" {day_line(day)}", style if day.words or day.day == today else ""),))


def _alarming(day: AirDay) -> bool:
    return any(words.startswith(("frost", "late blight weather")) for words in day.words)


def day_of(here: TunnelAir, key: str, today: date) -> AirDay | None:
    """The day whose line has this key."""
    return next(
        (day for day in here.air.days if (key == TODAY and day.day == today) or key == f"day {day.day}"), None
    )


def side_words(here: TunnelAir, picture: Picture, key: str) -> list[str]:
    """All of the line under the cursor, with what it rests on."""
    chore = next((one for one in (*here.chores, *picture.planned(), *picture.round.later) if one.id == key), None)
    if chore is not None:
        return [chore.why, f"{chore.when}, {chore.minutes:.0f} min" if chore.when != "any" else ""]
    day = day_of(here, key, picture.day)
    if day is not None:
        return [f"{day_words(day.day)}: {'; '.join(day.words) or 'nothing to note'}."]
    if key.startswith("water "):
        row = next((one for one in here.rows if one.row == key.split()[1]), None)
        return [*(row_words(row) if row else ()), RESTS_ON]
    if key.startswith("sum "):
        return [sums(here.air)[int(key.removeprefix("sum "))]]
    if key.startswith("feed ") and here.feed is not None:
        return [feed_words(here.feed)[int(key.removeprefix("feed "))]]
    return []


def curve(here: TunnelAir, columns: int, rows: int, *, ascii_only: bool = False) -> list[Row]:
    """Least to most of each day as a band with its mean, days read by hand or logger marked."""
    days = here.air.days
    bands = [BandDay(d.day, _low(d), d.mean_c, _high(d)) for d in days]
    read = [ReadDay(d.day, d.mean_c) for d in days if d.mark in ("sensor", "hand")]
    return band_chart(columns, rows, bands=bands, marks=read, unit=axis("degC"), ascii_only=ascii_only)


def _low(day: AirDay) -> float:
    return day.mean_c if day.low_c is None else day.low_c


def _high(day: AirDay) -> float:
    return day.mean_c if day.high_c is None else day.high_c


def curve_words(here: TunnelAir, today: date) -> list[str]:
    """What the curve draws, in words."""
    past = [day for day in here.air.days if day.day < today]
    coming = [day for day in here.air.days if day.day >= today]
    return [*_span_words("Last fortnight", past), *_span_words("Coming days", coming)]


def _span_words(what: str, days: Sequence[AirDay]) -> list[str]:
    ends = [(day.low_c, day.high_c) for day in days if day.low_c is not None and day.high_c is not None]
    if not ends:
        return [f"{what}: only daily means are known."]
    least, most = min(low for low, _ in ends), max(high for _, high in ends)
    return [f"{what}: {least:.0f} to {most:.0f} degC, {len(ends)} of {len(days)} days with both ends."]


def whole_tunnel(here: TunnelAir) -> list[str]:
    """Everything about a tunnel for a page of its own."""
    lines = [HEADS, *(day_line(day) for day in here.air.days), "", *sums(here.air), ""]
    for row in here.rows:
        first, *more = row_words(row)
        lines += [f"{row.row}  {first}", *(f"    {words}" for words in more)]
    lines += [RESTS_ON, ""]
    return [*lines, *(feed_words(here.feed) if here.feed is not None else ())]
