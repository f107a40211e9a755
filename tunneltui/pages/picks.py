"""Picks: the next pick days with their bands and promises, what was picked, and the season's curve. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import accumulate
from math import floor, hypot

from tunneltui import cells
from tunneltui.cells import Day, Sentence, as_typed, inked, joined, kg, many, say, words
from tunneltui.chores.morning import Morning
from tunneltui.draw.canvas import CanvasRow
from tunneltui.draw.chart import AxisUnit, BandDay, ReadDay, band_chart
from tunneltui.growth.outlook import Band, PickOutlook
from tunneltui.pages.page import NOTHING, Column, Item, Page, Section
from tunneltui.season.doubts import is_doubted
from tunneltui.season.state import Pick

CURVE_TITLE = "{}: picked this season, then to come"
"""A template for ``say``."""


def pick_doubt(weighed_kg: float, plants: int) -> Sentence:
    """Why a pick from so many plants can hardly be; empty where it can."""
    if not is_doubted(weighed_kg, plants):
        return Sentence()
    per_plant = kg(weighed_kg / plants)
    return say(
        "{} from {} is {} a plant at one pick: weighed so?", kg(weighed_kg), many(plants, "plant"), per_plant
    )


def pick_key(pick: PickOutlook) -> str:
    return f"pick {pick.day.isoformat()} {pick.row} {pick.cultivar}"


def coming_page(morning: Morning) -> Page:
    """Pick days, each with its cultivars and rows and what can be promised of it."""
    sections = []
    for day in dict.fromkeys(sorted(pick.day for pick in morning.outlook.picks)):
        picks = [pick for pick in morning.outlook.picks if pick.day == day]
        items = [
            _pick_item(morning, pick) for pick in sorted(picks, key=lambda coming: (coming.row, coming.cultivar))
        ]
        title = say("{}: {}", Day(day), promise(picks))
        sections.append(Section(f"day {day.isoformat()}", title, PICK_COLUMNS, tuple(items)))
    if not sections:
        nothing = Item("none", lengths=(words("No pick is forecast within the next days."),))
        sections.append(Section("none", items=(nothing,)))
    return Page(NOTHING, (*_today(morning), *sections))


PICK_COLUMNS = (Column(room=4), Column(room=8, rank=1), Column(room=12))


def _today(morning: Morning) -> list[Section]:
    """What was weighed in today, in all and by cultivar."""
    kgs: dict[str, float] = {}
    for pick in morning.season.picks:
        if pick.day == morning.day and pick.picked.kg is not None:
            kgs[pick.picked.cultivar] = kgs.get(pick.picked.cultivar, 0.0) + pick.picked.kg
    if not kgs:
        return []
    by = joined(
        ", ", (say("{} {}", cultivar, as_typed(weighed, "kg")) for cultivar, weighed in sorted(kgs.items()))
    )
    return [Section("today", say("Picked today: {} ({})", as_typed(sum(kgs.values()), "kg"), by))]


def promise(picks: Iterable[PickOutlook]) -> Sentence:
    """Whole kilograms: the low end is what can be promised, the middle what is likely."""
    bands = [pick.kg for pick in picks if not pick.blind]
    if not bands:
        return words("what is ripe; nothing weighed yet, so no figure")
    band = summed(bands)
    return say("{} can be promised, {} likely", kg(floor(band.low), 0), kg(band.mid, 0))


def summed(bands: Iterable[Band]) -> Band:
    """The sum of picks that err independently of one another (assumed)."""
    kept = list(bands)
    mid = sum(band.mid for band in kept)
    below = hypot(*(band.mid - band.low for band in kept))
    above = hypot(*(band.high - band.mid for band in kept))
    return Band(max(mid - below, 0.0), mid, mid + above)


def _pick_item(morning: Morning, pick: PickOutlook) -> Item:
    done = picked_kg(morning, pick) if pick.day == morning.day else None
    band = say("{}", cells.Range(pick.kg.low, pick.kg.high, "kg"))
    if pick.blind:
        lengths: tuple[str, ...] = (band + ": no pick weighed yet", band)
    else:
        trusses = many(max(1, round(pick.trusses)), *morning.season.crop(pick.cultivar).bears)
        likely = say("{}, likely {}", band, kg(pick.kg.mid))
        lengths = (say("{}, about {}", likely, trusses), likely, band)
    state = inked("done", say("✓ {}", as_typed(done, "kg"))) if done is not None else NOTHING
    return Item(pick_key(pick), (inked("place", pick.row), state, pick.cultivar), lengths)


def picked_kg(morning: Morning, pick: PickOutlook) -> float | None:
    """What was weighed today of this cultivar in this row; None where nothing was."""
    kgs = [
        picked.picked.kg
        for picked in morning.season.picks
        if picked.day == pick.day
        and picked.row == pick.row
        and picked.picked.cultivar == pick.cultivar
        and picked.picked.kg is not None
    ]
    return sum(kgs) if kgs else None


def table_page(morning: Morning) -> Page:
    """The season's totals by cultivar, then every pick, the latest first."""
    totals: dict[str, float] = {}
    for pick in morning.season.picks:
        totals[pick.picked.cultivar] = totals.get(pick.picked.cultivar, 0.0) + (pick.picked.kg or 0.0)
    latest = sorted(morning.season.picks, key=lambda pick: (pick.day, pick.id), reverse=True)
    return Page(
        NOTHING,
        (
            Section(
                "totals",
                words("The season's picks, weighed"),
                (Column(room=14), Column(right=True)),
                tuple(
                    Item(f"total {cultivar}", (inked("place", cultivar), say("{}", kg(weighed))))
                    for cultivar, weighed in sorted(totals.items())
                ),
            ),
            Section(
                "picks",
                words("Every pick, the latest first"),
                (Column(), Column(), Column(), Column()),
                tuple(Item(picked.id, _picked_cells(picked)) for picked in latest),
            ),
        ),
    )


def _picked_cells(pick: Pick) -> tuple[str, ...]:
    weight = say("{}", as_typed(pick.picked.kg, "kg")) if pick.picked.kg is not None else words("not weighed")
    where = pick.row or pick.tunnel or "the house"
    return inked("place", say("{}", Day(pick.day))), where, pick.picked.cultivar, weight


def curve(morning: Morning, cultivar: str, columns: int, rows: int, unit: AxisUnit) -> list[CanvasRow]:
    """Kilograms picked so far this season, then the band of what the next pick days add."""
    line, bands = _so_far_and_coming(morning, cultivar)
    return band_chart(columns, rows, bands=bands, line=line, unit=unit)


def curve_words(morning: Morning, cultivar: str) -> list[str]:
    """What the curve draws, a day a sentence."""
    _, (so_far, *coming) = _so_far_and_coming(morning, cultivar)
    return [
        say("{}: {} weighed this season.", cultivar, kg(so_far.mid)),
        *(
            say("By {} {} in all.", Day(band_day.day), cells.Range(band_day.low, band_day.high, "kg", 0))
            for band_day in coming
        ),
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
