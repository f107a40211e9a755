"""Picks: the next pick days with their bands and promises, what was picked, and the season's curve. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import accumulate
from math import floor, hypot

from tunneltui.cells import day_word as day_words
from tunneltui.chores.morning import Morning
from tunneltui.chores.wording import many
from tunneltui.draw.canvas import Row
from tunneltui.draw.chart import BandDay, ReadDay, band_chart
from tunneltui.growth.outlook import Band, PickOutlook
from tunneltui.pages.units import axis
from tunneltui.screens.list_lines import Line, Part


def pick_key(pick: PickOutlook) -> str:
    return f"pick {pick.day.isoformat()} {pick.row} {pick.cultivar}"


def coming_lines(morning: Morning) -> list[Line]:
    """Pick days, each with its cultivars and rows and what can be promised of it."""
    lines = _today(morning)
    for day in dict.fromkeys(sorted(pick.day for pick in morning.outlook.picks)):
        picks = [pick for pick in morning.outlook.picks if pick.day == day]
        words = f" {day_words(day)}: {promise(picks)}"
        lines.append(Line(f"day {day.isoformat()}", (Part(words, "heading"),), heading=True))
        lines += [_pick_line(morning, pick) for pick in sorted(picks, key=lambda one: (one.row, one.cultivar))]
    if not lines:
        lines.append(Line("none", (Part("No pick is forecast within the next days."),)))
    return lines


def _today(morning: Morning) -> list[Line]:
    """What was weighed in today, in all and by cultivar."""
    kgs: dict[str, float] = {}
    for one in morning.season.picks:
        if one.day == morning.day and one.picked.kg is not None:
            kgs[one.picked.cultivar] = kgs.get(one.picked.cultivar, 0.0) + one.picked.kg
    if not kgs:
        return []
    by = ", ".join(f"{cultivar} {kg:g} kg" for cultivar, kg in sorted(kgs.items()))
    words = f" Picked today: {sum(kgs.values()):g} kg ({by})"
    return [Line("today", (Part(words, "done"),), heading=True)]


def promise(picks: Iterable[PickOutlook]) -> str:
    """Whole kilograms: the low end is what can be promised, the middle what is likely."""
    told = [pick.kg for pick in picks if not pick.blind]
    if not told:
        return "what is ripe; nothing weighed yet, so no figure"
    band = summed(told)
    return f"{floor(band.low)} kg can be promised, {band.mid:.0f} kg likely"


def summed(bands: Iterable[Band]) -> Band:
    """The sum of picks that err independently of one another (assumed)."""
    kept = list(bands)
    mid = sum(band.mid for band in kept)
    below = hypot(*(band.mid - band.low for band in kept))
    above = hypot(*(band.high - band.mid for band in kept))
    return Band(max(mid - below, 0.0), mid, mid + above)


def _pick_line(morning: Morning, pick: PickOutlook) -> Line:
    done = picked_kg(morning, pick) if pick.day == morning.day else None
    about = f"likely {pick.kg.mid:.1f} kg, about {many(max(1, round(pick.trusses)), 'truss', 'trusses')}"
    band = f"{pick.kg.low:.1f} to {pick.kg.high:.1f} kg, {about}"
    if pick.blind:
        band = f"{pick.kg.low:.1f} to {pick.kg.high:.1f} kg: no pick weighed yet"
    state = f"✓ {done:g} kg" if done is not None else ""
    return Line(
        pick_key(pick),
        (Part(pick.row, "place", 6), Part(state, "done", 10), Part(pick.cultivar, "", 14), Part(band)),
    )


def picked_kg(morning: Morning, pick: PickOutlook) -> float | None:
    """What was weighed today of this cultivar in this row; None where nothing was."""
    kgs = [
        one.picked.kg
        for one in morning.season.picks
        if one.day == pick.day
        and one.row == pick.row
        and one.picked.cultivar == pick.cultivar
        and one.picked.kg is not None
    ]
    return sum(kgs) if kgs else None


def table_lines(morning: Morning) -> list[Line]:
    """Every pick of the season, the latest first, and the season's totals by cultivar."""
    lines = [Line("totals", (Part(" The season's kilograms", "heading"),), heading=True)]
    totals: dict[str, float] = {}
    for pick in morning.season.picks:
        totals[pick.picked.cultivar] = totals.get(pick.picked.cultivar, 0.0) + (pick.picked.kg or 0.0)
    for cultivar, kg in sorted(totals.items()):
        lines.append(Line(f"total {cultivar}", (Part(cultivar, "place", 16), Part(f"{kg:.1f} kg"))))
    lines.append(Line("picks", (Part(" Every pick, the latest first", "heading"),), heading=True))
    for one in sorted(morning.season.picks, key=lambda pick: (pick.day, pick.id), reverse=True):
        weight = f"{one.picked.kg:g} kg" if one.picked.kg is not None else "not weighed"
        where = one.row or one.tunnel or "the house"
        parts = (
            Part(day_words(one.day), "place", 12),
            Part(where, "", 8),
            Part(one.picked.cultivar, "", 16),
            Part(weight),
        )
        lines.append(Line(one.id, parts))
    return lines


def curve(morning: Morning, cultivar: str, columns: int, rows: int) -> list[Row]:
    """Kilograms picked so far this season, then the band of what the next pick days add."""
    line, bands = _so_far_and_coming(morning, cultivar)
    return band_chart(columns, rows, bands=bands, line=line, unit=axis("kg"))


def curve_words(morning: Morning, cultivar: str) -> list[str]:
    """What the curve draws, a day a sentence."""
    _, (now, *coming) = _so_far_and_coming(morning, cultivar)
    return [
        f"{cultivar}: {now.mid:.1f} kg weighed this season.",
        *(f"By {day_words(one.day)} {one.low:.0f} to {one.high:.0f} kg in all." for one in coming),
    ]


def _so_far_and_coming(morning: Morning, cultivar: str) -> tuple[list[ReadDay], list[BandDay]]:
    picked = sorted(
        (pick.day, pick.picked.kg)
        for pick in morning.season.picks
        if pick.picked.cultivar == cultivar and pick.picked.kg is not None
    )
    sums = list(accumulate(kg for _, kg in picked))
    line = [ReadDay(day, total) for (day, _), total in zip(picked, sums, strict=True)]
    so_far = sums[-1] if sums else 0.0
    bands = [BandDay(morning.day, so_far, so_far, so_far)]
    coming: list[Band] = []
    days = sorted({pick.day for pick in morning.outlook.picks if pick.cultivar == cultivar})
    for day in days:
        coming += [p.kg for p in morning.outlook.picks if p.day == day and p.cultivar == cultivar and not p.blind]
        band = summed(coming) if coming else Band(0, 0, 0)
        bands.append(BandDay(day, so_far + band.low, so_far + band.mid, so_far + band.high))
    return line, bands
