"""Charts over days and weeks: bands, readings, seasons side by side, bars; with an axis of words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from tunneltui.draw.canvas import Canvas, CanvasRow, Run, Sign, View
from tunneltui.season.growing_year import GrowingYear

AXIS_CELLS = 7
"""Columns kept on the left for the numbers of the axis."""
READ = Sign("●", "O")


class AxisUnit(NamedTuple):
    """How an axis is written: ``value * times + plus``, the name after the topmost figure."""

    name: str
    times: float = 1.0
    plus: float = 0.0


class BandDay(NamedTuple):
    """What is forecast for a day, with the ends of its interval."""

    day: date
    low: float
    mid: float
    high: float


class ReadDay(NamedTuple):
    """What was measured."""

    day: date
    value: float


def band_chart(
    columns: int,
    rows: int,
    *,
    bands: Sequence[BandDay] = (),
    line: Sequence[ReadDay] = (),
    marks: Sequence[ReadDay] = (),
    unit: AxisUnit,
    ascii_only: bool = False,
) -> list[CanvasRow]:
    """A chart of ``rows`` rows, the days along the bottom; [] where there is nothing to draw.

    ``line`` joins what was, ``marks`` are single readings, ``bands`` what is to come.
    """
    days = sorted(
        {*(band.day for band in bands), *(read_day.day for read_day in line), *(mark.day for mark in marks)}
    )
    tops = [
        *(band.high for band in bands),
        *(read_day.value for read_day in line),
        *(mark.value for mark in marks),
    ]
    if not days or columns < AXIS_CELLS + 8 or rows < 4:
        return []
    lows = [*(band.low for band in bands), *(read_day.value for read_day in line), *(mark.value for mark in marks)]
    axis = axis_of(min(lows), max(tops), rows - 1, unit)
    span = max((days[-1] - days[0]).days, 1)
    canvas = Canvas(columns - AXIS_CELLS, rows - 1, View(0, span, axis.bottom, axis.top))

    def at(day: date) -> int:
        return (day - days[0]).days

    for ends in ([(at(b.day), b.low) for b in bands], [(at(b.day), b.high) for b in bands]):
        canvas.line(ends, "string", every=2)
    canvas.line([(at(b.day), b.mid) for b in bands], "stem")
    canvas.line([(at(read_day.day), read_day.value) for read_day in line], "stem")
    for mark in marks:
        canvas.mark(at(mark.day), mark.value, READ, "", 1)
    _live(canvas, at, [*line, *marks], bands, unit)
    drawn = [
        (Run(left, "quiet"), *row)
        for left, row in zip(axis.labels, canvas.rows(ascii_only=ascii_only), strict=True)
    ]
    return [*drawn, _days_row(canvas, days[0], span)]


def _live(
    canvas: Canvas,
    at: Callable[[date], int],
    read: Sequence[ReadDay],
    bands: Sequence[BandDay],
    unit: AxisUnit,
) -> None:
    """The latest value and the most that is to come, as figures where they stand."""
    rise = (canvas.view.top - canvas.view.bottom) / canvas.height
    points: list[tuple[int, float]] = []
    if read:
        last = max(read, key=lambda read_day: read_day.day)
        points.append((at(last.day), last.value))
    if bands:
        most = max(bands, key=lambda band: band.mid)
        points.append((at(most.day), most.mid))
    written: set[str] = set()
    for x, value in points:
        shown = value * unit.times + unit.plus
        text = f"{shown:.0f}" if abs(shown) >= 10 else f"{shown:.1f}"
        if text in written:
            continue
        written.add(text)
        # Over the point, else under it, where nothing stands yet.
        if not canvas.label(x, min(value + rise, canvas.view.top), text, "bold", 2):
            canvas.label(x, max(value - rise, canvas.view.bottom), text, "bold", 2)


SEASON_INKS = (("", 1), ("quiet", 2), ("quiet", 3), ("quiet", 4))
"""Of the latest year, the one before it and so on: ink, and each how many-th dot is set."""


def season_chart(
    columns: int,
    rows: int,
    curves: Mapping[int, Mapping[int, float]],
    growing: GrowingYear,
    *,
    unit: AxisUnit,
    ascii_only: bool = False,
) -> list[CanvasRow]:
    """Seasons over each other by week, its name at each line's end; [] where there is nothing to draw.

    ``curves`` by season: amount so far by week, both as ``growing`` counts them. The latest is drawn full, earlier
    ones ever thinner.
    """
    shown = sorted((year for year in curves if curves[year]), reverse=True)[: len(SEASON_INKS)]
    weeks = [week for year in shown for week in curves[year]]
    if not weeks or columns < AXIS_CELLS + 8 or rows < 4:
        return []
    axis = axis_of(0.0, max(kg for year in shown for kg in curves[year].values()), rows - 1, unit)
    first, last = min(weeks), max(max(weeks), min(weeks) + 1)
    canvas = Canvas(columns - AXIS_CELLS, rows - 1, View(first, last, axis.bottom, axis.top))
    for year, (ink, every) in reversed(list(zip(shown, SEASON_INKS, strict=False))):
        points = sorted(curves[year].items())
        canvas.line(points if len(points) > 1 else [*points, *points], ink, every=every)
    for year, (ink, _) in zip(shown, SEASON_INKS, strict=False):
        week, kg = max(curves[year].items())
        canvas.label(week, kg, growing.name(year), ink, 1)
    drawn = [
        (Run(left, "quiet"), *row)
        for left, row in zip(axis.labels, canvas.rows(ascii_only=ascii_only), strict=True)
    ]
    left, right = f"week {growing.week_number(first)}", str(growing.week_number(last))
    room = max(canvas.columns - len(left) - len(right), 1)
    return [*drawn, (Run(f"{' ' * AXIS_CELLS}{left}{' ' * room}{right}", "quiet"),)]


def bar(share: float, cells: int, *, ascii_only: bool = False) -> str:
    """A bar of ``cells`` characters for a share; past its end a ``>`` says that there is more."""
    full = min(max(share, 0.0), 1.0) * cells
    whole = int(full)
    half = "⡇" if full - whole >= 0.5 else ""
    text = "=" * whole if ascii_only else "⣿" * whole + half
    text = text[:cells].ljust(cells)
    return text[:-1] + ">" if share > 1.0 else text


class Axis(NamedTuple):
    """An axis that begins and ends on a round figure."""

    bottom: float
    top: float
    """Both in the unit of the values."""
    labels: tuple[str, ...]
    """A row each, as wide as every other."""


def axis_of(low: float, high: float, rows: int, unit: AxisUnit) -> Axis:
    """Round figures as the grower reads them, about one every third row; from nothing up where that is near."""
    shown_low, shown_high = (end * unit.times + unit.plus for end in (low, high))
    if 0 < shown_low < shown_high / 2:
        shown_low = 0.0
    most = max((rows + 1) // 2 if rows < 9 else rows // 3, 2)
    span = (shown_high - shown_low) or abs(shown_high) or 1.0
    # No finer than the two places that a label has.
    step = _round_step(max(span, 0.01 * most), most)
    first, last = math.floor(shown_low / step + 1e-9), math.ceil(shown_high / step - 1e-9)
    last = max(last, first + 1)
    digits = 0 if step >= 1 else 1 if step >= 0.1 else 2
    labels = [""] * rows
    for tick in range(first, last + 1):
        row = round((last - tick) / (last - first) * (rows - 1))
        name = f" {unit.name}" if tick == last else ""
        labels[row] = f"{tick * step:.{digits}f}{name}"
    bottom, top = ((end * step - unit.plus) / unit.times for end in (first, last))
    return Axis(bottom, top, tuple(f"{words[: AXIS_CELLS - 1]:>{AXIS_CELLS - 1}} " for words in labels))


def _round_step(span: float, most: int) -> float:
    """1, 2 or 5 times a power of ten, so that at most ``most`` of it make the span."""
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(power * times for times in (1, 2, 5, 10, 20) if power * times * most >= span - 1e-9)


def _days_row(canvas: Canvas, first: date, span: int) -> CanvasRow:
    text = [" "] * canvas.columns
    step = max(span // max(canvas.columns // 12, 1), 1)
    for ahead in range(0, span + 1, step):
        day = first + timedelta(days=ahead)
        words = f"{day.day} {day:%b}"
        column = min(canvas.column(ahead), canvas.columns - len(words))
        if all(character == " " for character in text[max(column - 1, 0) : column + len(words)]):
            text[column : column + len(words)] = words
    return (Run(" " * AXIS_CELLS + "".join(text), "quiet"),)
