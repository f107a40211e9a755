"""The season page's pictures: what the screens draw with, as SVG. Pure; words on them are the caller's units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from tunneltui.cells import Units, scale
from tunneltui.draw.canvas import Canvas, Sign, View
from tunneltui.draw.chart import AxisUnit, axis_of
from tunneltui.draw.svg import svg
from tunneltui.pages.season import air_title, weeks_title
from tunneltui.review.season_weeks import WEEK, AirWeek, ByWeek, SeasonWeeks

COLUMNS, ROWS = 100, 12
LEFT = 8
"""Columns of the axis's figures."""
INKS = ("#111111", "#0a6e8a", "#b4500f", "#5b7a1d", "#7a3c8f", "#777777")
"""Of cultivars, in turn; each line is named at its end, so that a page printed in grey tells them apart too."""
QUIET, WARN = "quiet", "warn"
COLOURS = {QUIET: "#999999", WARN: "#b00020", **{f"ink {n}": ink for n, ink in enumerate(INKS)}}
FOUND_FAILED = Sign("×", "x")


class _Frame(NamedTuple):
    """A canvas with its axis drawn; ``x`` is weeks since the first Monday."""

    canvas: Canvas
    first: date

    def x(self, week: date) -> float:
        return (week - self.first).days / 7


def _frame(weeks: Sequence[date], low: float, high: float, unit: AxisUnit, rows: int = ROWS) -> _Frame:
    first, last = min(weeks), max(weeks) + WEEK
    axis = axis_of(low, max(high, low + 1e-6), rows, unit)
    span = (last - first).days / 7
    left = -span * LEFT / (COLUMNS - LEFT)
    half_row = (axis.top - axis.bottom) / max(1, rows - 1) / 2
    canvas = Canvas(COLUMNS, rows, View(left, span, axis.bottom - half_row, axis.top + half_row))
    for row, label in enumerate(axis.labels):
        if label.strip():
            at = axis.top - (axis.top - axis.bottom) * row / max(1, rows - 1)
            canvas.line([(0.0, at), (span, at)], QUIET, every=3)
            canvas.label(left, at, label.strip(), rank=3)
    month = first.replace(day=1)
    while month < last:
        if month >= first:
            at_x = (month - first).days / 7
            canvas.label(at_x, axis.bottom, f"{month:%b}", QUIET, 2)
        month = (month + timedelta(days=32)).replace(day=1)
    return _Frame(canvas, first)


def kg_pictures(weeks: SeasonWeeks, units: Units) -> list[tuple[str, str]]:
    """By cultivar its name and kilograms a week: boxes as weighed, a dotted line as foreseen before the season."""
    unit = scale("kg", units)
    pictures = []
    names = sorted({*weeks.kg, *weeks.foreseen_kg})
    for name in names:
        picked, foreseen = weeks.kg.get(name, {}), weeks.foreseen_kg.get(name, {})
        days = [*picked, *foreseen]
        if not days:
            continue
        most = max([*picked.values(), *foreseen.values()])
        frame = _frame(days, 0.0, most, AxisUnit(unit.name, unit.times), 14 if len(names) <= 4 else 8)
        for week, kg in sorted(picked.items()):
            frame.canvas.bar(frame.x(week) + 0.15, frame.x(week) + 0.85, 0.0, kg, "ink 0")
        line = [(frame.x(week) + 0.5, kg) for week, kg in sorted(foreseen.items())]
        frame.canvas.line(line, "ink 2", every=2)
        pictures.append((name, _drawn(frame, weeks_title(name))))
    return pictures


def stems_picture(weeks: SeasonWeeks, units: Units) -> str:
    """Mean stem of each cultivar and the height of the wire; '' where no stem was measured from early on."""
    days = [week for of in weeks.stems_m.values() for week in of]
    if not days:
        return ""
    unit = scale("m", units)
    most = max(m for of in weeks.stems_m.values() for m in of.values())
    frame = _frame(days, 0.0, max(most, weeks.wire_m), AxisUnit(unit.name, unit.times))
    frame.canvas.line([(0.0, weeks.wire_m), (frame.x(max(days) + WEEK), weeks.wire_m)], WARN)
    frame.canvas.label(0.5, weeks.wire_m, "wire", WARN, 4)
    _lines(frame, weeks.stems_m)
    return _drawn(frame, "stems and wire through the season")


def _lines(frame: _Frame, of: Mapping[str, ByWeek]) -> None:
    for n, (name, by_week) in enumerate(sorted(of.items())):
        ink = f"ink {n % len(INKS)}"
        points = [(frame.x(week) + 1, value) for week, value in sorted(by_week.items())]
        frame.canvas.line(points if len(points) > 1 else [*points, *points], ink)
        row = (frame.canvas.view.top - frame.canvas.view.bottom) / frame.canvas.height
        at, value = points[-1]
        any(frame.canvas.label(at, value + n * row, name, ink, 3) for n in (0, 1.5, -1.5, 3, -3))


def air_picture(air: Mapping[date, AirWeek], units: Units, tunnel: str) -> str:
    """Lowest, mean and highest of each week; '' where nothing was read."""
    days = [week for week, air_week in air.items() if air_week.mean_c is not None]
    if not days:
        return ""
    unit = scale("degC", units)
    read = [
        c for air_week in air.values() for c in (air_week.low_c, air_week.mean_c, air_week.high_c) if c is not None
    ]
    frame = _frame(days, min(read), max(read), AxisUnit(unit.name, unit.times, unit.plus), 9)
    for week, air_week in sorted(air.items()):
        middle = frame.x(week) + 0.5
        if air_week.low_c is not None and air_week.high_c is not None:
            frame.canvas.line([(middle, air_week.low_c), (middle, air_week.high_c)], QUIET)
    means = [
        (frame.x(week) + 0.5, air_week.mean_c)
        for week, air_week in sorted(air.items())
        if air_week.mean_c is not None
    ]
    frame.canvas.line(means if len(means) > 1 else [*means, *means], "ink 0")
    return _drawn(frame, air_title(tunnel))


def clips_picture(weeks: SeasonWeeks) -> str:
    """Clips hung a week as bars, those found failed as a cross each; '' where none was hung."""
    days = [*weeks.clips_hung, *weeks.clips_failed]
    if not days:
        return ""
    frame = _frame(days, 0.0, max([*weeks.clips_hung.values(), *weeks.clips_failed.values()]), AxisUnit(""), 9)
    for week, n in weeks.clips_hung.items():
        frame.canvas.bar(frame.x(week) + 0.2, frame.x(week) + 0.8, 0.0, n, QUIET)
    for week, n in weeks.clips_failed.items():
        for decade in range(1, round(n) + 1):
            frame.canvas.mark(frame.x(week) + 0.5, decade, FOUND_FAILED, WARN, 4)
    return _drawn(frame, "clips hung and found failed, by week")


def hours_picture(hours: Mapping[str, float]) -> str:
    """Hours of each kind of work as a bar, the longest first; '' where nothing was timed."""
    if not hours:
        return ""
    longest = max(hours.values()) or 1.0
    canvas = Canvas(COLUMNS, 2 * len(hours), View(0.0, 100.0, 0.0, float(len(hours))))
    for row, (kind, spent) in enumerate(hours.items()):
        top = len(hours) - row
        canvas.bar(30.0, 30.0 + 60.0 * spent / longest, top - 0.75, top - 0.25, "ink 1")
        canvas.label(0.0, top - 0.5, kind, rank=3)
        canvas.label(32.0 + 60.0 * spent / longest, top - 0.5, f"{spent:.1f} h", rank=3)
    return svg(canvas, COLOURS, "hours by kind of work")


def _drawn(frame: _Frame, title: str) -> str:
    return svg(frame.canvas, COLOURS, title)
