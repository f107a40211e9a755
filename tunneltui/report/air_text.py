"""What ``air show`` says: the fortnight's air and the coming days, as a document and in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tunneltui.care.fortnight import AirDay, Fortnight
from tunneltui.care.heat_hours import DayHeat, overhead_words
from tunneltui.draw.days import day_words
from tunneltui.growth.air import Mark
from tunneltui.report.documents import Document
from tunneltui.report.plain import joined, wrapped
from tunneltui.season.state import Season

MARK_WORDS: dict[Mark, str] = {
    "sensor": "logger",
    "hand": "by hand",
    "filled": "filled",
    "typical": "typical",
    "issued": "issued",
    "carried on": "carried on",
}
METHOD_WORDS = {
    "sine": "single sine",
    "triangle": "single triangle",
    "quarter": "the four-case rule",
    "clamped": "ends held at the threshold",
    "simple": "mean less threshold",
}


def air_document(season: Season, shown: Sequence[Fortnight]) -> Document:
    """By tunnel: days marked with what they rest on, gaps, degree days and their method, last frosts, heat.

    ``read`` lists the air of every day noted, by tunnel ('' for all), oldest first.
    """
    return {
        "day": season.day.isoformat(),
        "tunnels": [_tunnel(one) for one in shown],
        "read": [
            {
                "tunnel": tunnel,
                "day": day.isoformat(),
                "source": air.source,
                "min_c": _rounded(air.min_c),
                "mean_c": _rounded(air.mean_c),
                "max_c": _rounded(air.max_c),
                "readings": air.readings,
            }
            for tunnel, days in sorted(season.airs.items())
            for day, air in sorted(days.items())
        ],
    }


def _tunnel(one: Fortnight) -> dict[str, Any]:
    frosts = one.last_frosts
    return {
        "tunnel": one.tunnel,
        "days": [_day(day) for day in one.days],
        "filled": list(one.filled),
        "degree_days": {
            "method": one.method,
            "above_c": one.above_c,
            "since": one.since.isoformat(),
            "sum_k_d": round(one.sum_k_d, 1),
            "by_mean_days": one.sum_filled_days,
        },
        "last_frosts": {
            "days": [day.isoformat() for day in frosts.days],
            "springs_without": frosts.springs_without,
            "nine_in_ten_past_doy": frosts.nine_in_ten_past,
        },
        "heat": _heat(one.heat),
    }


def _day(day: AirDay) -> dict[str, Any]:
    return {
        "day": day.day.isoformat(),
        "mark": day.mark,
        "min_c": _rounded(day.low_c),
        "mean_c": _rounded(day.mean_c),
        "max_c": _rounded(day.high_c),
        "degree_days": round(day.degree_days, 1),
        "says": list(day.words),
    }


def _heat(heat: DayHeat | None) -> dict[str, Any] | None:
    """Today's worst hour in shade; null where no whole day with humidity was read."""
    if heat is None or heat.worst is None:
        return None
    return {
        "humidex": round(heat.worst.humidex, 1),
        "wet_bulb_globe_c": round(heat.worst.wet_bulb_globe_c, 1),
        "overhead_done_by_hour": heat.done_by,
        "hours_of": heat.read_on.isoformat(),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 1) + 0.0


def air_text(season: Season, shown: Sequence[Fortnight]) -> str:
    lines: list[str] = []
    for one in shown:
        tunnel = next(t for t in season.holding.tunnels if t.key == one.tunnel)
        lines += (
            ["", f"{tunnel.name}, {day_words(season.day)}"]
            if lines
            else [f"{tunnel.name}, {day_words(season.day)}"]
        )
        lines.append(f"  {HEADS}")
        for day in one.days:
            lines += wrapped(day_line(day), "  ", " " * 10)
        for words in sums(one):
            lines += wrapped(words, "  ", "    ")
    return joined(lines) if lines else "No tunnel stands yet.\n"


HEADS = f"{'day':<11}{'rests on':<11}{'least':>6}{'mean':>7}{'most':>7}{'K d':>6}"


def day_line(day: AirDay) -> str:
    """One day in columns, then what its air says."""
    ends = f"{_cell(day.low_c, 6)}{_cell(day.mean_c, 7)}{_cell(day.high_c, 7)}{day.degree_days:6.1f}"
    said = f"  {'; '.join(day.words)}" if day.words else ""
    return f"{day_words(day.day):<11}{MARK_WORDS[day.mark]:<11}{ends}{said}"


def _cell(value: float | None, cells: int) -> str:
    return f"{'-' if value is None else f'{value:.1f}':>{cells}}"


def sums(one: Fortnight) -> list[str]:
    """What the days add up to: gaps, degree days with their method, last frosts, heat for the person."""
    words = list(one.filled)
    counted = f"; {one.sum_filled_days} of its days by their mean alone" if one.sum_filled_days else ""
    words.append(
        f"{one.sum_k_d:.0f} degree days (K d) over {one.above_c:g} degC since {day_words(one.since)}, "
        f"{METHOD_WORDS[one.method]}{counted}; other methods differ by up to two to one."
    )
    words.append(frost_words(one))
    if one.heat is not None and (heat := overhead_words(one.heat)):
        words.append(heat)
    return words


def _springs(count: int) -> str:
    return "1 spring" if count == 1 else f"{count} springs"


def frost_words(one: Fortnight) -> str:
    """Last frosts of the grower's own springs: a list, and with ten springs a day by chance."""
    frosts = one.last_frosts
    if not frosts.days:
        return (
            f"No frost inside in the {_springs(frosts.springs_without)} you read."
            if frosts.springs_without
            else "Last frosts: no spring of your own readings yet."
        )
    listed = ", ".join(f"{day.day} {day:%b %Y}" for day in frosts.days)
    without = f"; {_springs(frosts.springs_without)} without" if frosts.springs_without else ""
    chance = (
        f"; nine in ten were past by day {frosts.nine_in_ten_past} of the year"
        if frosts.nine_in_ten_past is not None
        else "; under ten springs no chance can be told"
    )
    return f"Last frosts inside, own readings: {listed}{without}{chance}."
