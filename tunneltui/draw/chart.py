"""Charts over days and weeks: bands, readings, seasons side by side, bars; with an axis of words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from tunneltui.draw.canvas import Canvas, Row, Run, Sign, View

AXIS_CELLS = 7
"""Columns kept on the left for the numbers of the axis."""
READ = Sign("×", "x")
EDGE = Sign("┤", "|")


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
) -> list[Row]:
    """A chart of ``rows`` rows, the days along the bottom; [] where there is nothing to draw.

    ``line`` joins what was, ``marks`` are single readings, ``bands`` what is to come.
    """
    days = sorted({*(one.day for one in bands), *(one.day for one in line), *(one.day for one in marks)})
    tops = [*(one.high for one in bands), *(one.value for one in line), *(one.value for one in marks)]
    if not days or columns < AXIS_CELLS + 8 or rows < 4:
        return []
    lows = [*(one.low for one in bands), *(one.value for one in line), *(one.value for one in marks)]
    bottom, top = _ends(min(lows), max(tops))
    span = max((days[-1] - days[0]).days, 1)
    canvas = Canvas(columns - AXIS_CELLS, rows - 1, View(0, span, bottom, top))

    def at(day: date) -> int:
        return (day - days[0]).days

    canvas.band([at(b.day) for b in bands], [b.low for b in bands], [b.high for b in bands], "string")
    canvas.line([(at(b.day), b.mid) for b in bands], "chosen")
    canvas.line([(at(one.day), one.value) for one in line], "stem")
    for one in marks:
        canvas.mark(at(one.day), one.value, READ, "", 1)
    axis = _axis(rows - 1, bottom, top, unit, ascii_only)
    drawn = [
        (Run(left, "quiet"), *row) for left, row in zip(axis, canvas.rows(ascii_only=ascii_only), strict=True)
    ]
    return [*drawn, _days_row(canvas, days[0], span)]


SEASON_INKS = (("chosen", 1), ("stem", 2), ("string", 3), ("quiet", 4))
"""Of the latest year, the one before it and so on: ink, and each how many-th dot is set."""


def season_chart(
    columns: int, rows: int, curves: Mapping[int, Mapping[int, float]], *, unit: AxisUnit, ascii_only: bool = False
) -> list[Row]:
    """Years over each other by week, the year written at each line's end; [] where there is nothing to draw.

    ``curves`` by year: amount so far by ISO week. The latest year is drawn full, earlier ones ever thinner.
    """
    shown = sorted((year for year in curves if curves[year]), reverse=True)[: len(SEASON_INKS)]
    weeks = [week for year in shown for week in curves[year]]
    if not weeks or columns < AXIS_CELLS + 8 or rows < 4:
        return []
    bottom, top = _ends(0.0, max(kg for year in shown for kg in curves[year].values()))
    first, last = min(weeks), max(max(weeks), min(weeks) + 1)
    canvas = Canvas(columns - AXIS_CELLS, rows - 1, View(first, last, bottom, top))
    for year, (ink, every) in reversed(list(zip(shown, SEASON_INKS, strict=False))):
        points = sorted(curves[year].items())
        canvas.line(points if len(points) > 1 else [*points, *points], ink, every=every)
    for year, (ink, _) in zip(shown, SEASON_INKS, strict=False):
        week, kg = max(curves[year].items())
        canvas.label(week, kg, str(year), ink, 1)
    axis = _axis(rows - 1, bottom, top, unit, ascii_only)
    drawn = [
        (Run(left, "quiet"), *row) for left, row in zip(axis, canvas.rows(ascii_only=ascii_only), strict=True)
    ]
    return [*drawn, _weeks_row(canvas, first, last)]


def _weeks_row(canvas: Canvas, first: int, last: int) -> Row:
    left, right = f"week {first}", str(last)
    room = max(canvas.columns - len(left) - len(right), 1)
    return (Run(f"{' ' * AXIS_CELLS}{left}{' ' * room}{right}", "quiet"),)


def bar(share: float, cells: int, *, ascii_only: bool = False) -> str:
    """A bar of ``cells`` characters for a share; past its end a ``>`` says that there is more."""
    full = min(max(share, 0.0), 1.0) * cells
    whole = int(full)
    half = "⡇" if full - whole >= 0.5 else ""
    text = "=" * whole if ascii_only else "⣿" * whole + half
    text = text[:cells].ljust(cells)
    return text[:-1] + ">" if share > 1.0 else text


def _ends(low: float, high: float) -> tuple[float, float]:
    bottom = min(0.0, low) if low < high / 2 else low - (high - low) * 0.1
    return bottom, high + (high - bottom) * 0.05 or 1.0


def _axis(rows: int, bottom: float, top: float, unit: AxisUnit, ascii_only: bool) -> list[str]:
    edge = EDGE.ascii if ascii_only else EDGE.glyph
    bottom, top = (end * unit.times + unit.plus for end in (bottom, top))
    digits = 0 if top - bottom >= 10 else 1
    axis = []
    for row in range(rows):
        value = top - (top - bottom) * (row + 0.5) / rows
        shown = row % 4 == 0 or row == rows - 1
        words = f"{value:.{digits}f}{unit.name if row == 0 else ''}" if shown else ""
        axis.append(f"{words[: AXIS_CELLS - 2]:>{AXIS_CELLS - 2}} {edge}")
    return axis


def _days_row(canvas: Canvas, first: date, span: int) -> Row:
    text = [" "] * canvas.columns
    step = max(span // max(canvas.columns // 12, 1), 1)
    for ahead in range(0, span + 1, step):
        day = first + timedelta(days=ahead)
        words = f"{day.day} {day:%b}"
        column = min(canvas.column(ahead), canvas.columns - len(words))
        if all(character == " " for character in text[max(column - 1, 0) : column + len(words)]):
            text[column : column + len(words)] = words
    return (Run(" " * AXIS_CELLS + "".join(text), "quiet"),)
