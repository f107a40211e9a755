"""What ``air show`` says: the fortnight's air and the coming days, as a document and in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from tunneltui.care.fortnight import AirDay, Counted, Fortnight
from tunneltui.care.heat_hours import DayHeat, overhead_words
from tunneltui.care.hygrometer import LOGGER_OFF_RH, Read
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


def air_document(season: Season, shown: Sequence[Fortnight], bulbs: Read | None = None) -> Document:
    """By tunnel: days marked with what they rest on, gaps, degree days and their method, last frosts, heat.

    Late blight is true, false or null for unknown; mould hours are [surely, perhaps], null for days to come.

    ``read`` lists the air of every day noted, by tunnel ('' for all), oldest first.
    """
    return {
        "day": season.day.isoformat(),
        "tunnels": [_tunnel(one) for one in shown],
        "bulbs": None if bulbs is None else _bulbs(bulbs),
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
            "method": one.counted.method,
            "above_c": one.counted.above_c,
            "cap_c": one.counted.cap_c,
            "cutoff": one.counted.cutoff if one.counted.cap_c is not None else None,
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
        "late_blight": None if day.illness is None else day.illness.late_blight,
        "leaf_mould_hours": None if day.illness is None else list(day.illness.leaf_mould_hours),
        "grey_mould_hours": None if day.illness is None else list(day.illness.grey_mould_hours),
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


def _bulbs(read: Read) -> dict[str, Any]:
    """A hygrometer's reading: moist air, and how it feels in shade."""
    return {
        "rh_percent": round(read.rh_percent, 1),
        "dew_c": round(read.dew_c, 1),
        "deficit_kpa": round(read.deficit_kpa, 2),
        "humidity_ratio": round(read.humidity_ratio, 5),
        "enthalpy_kj_kg": round(read.enthalpy_kj_kg, 1),
        "humidex": round(read.feels.humidex, 1),
        "wet_bulb_globe_c": round(read.feels.wet_bulb_globe_c, 1),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 1) + 0.0


def air_text(season: Season, shown: Sequence[Fortnight], bulbs: Read | None = None) -> str:
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
    if bulbs is not None:
        lines += ["", *wrapped(bulb_words(bulbs), "", "  ")]
    return joined(lines) if lines else "No tunnel stands yet.\n"


def bulb_words(read: Read) -> str:
    """A hygrometer's reading as a sentence, with what it is good for."""
    return (
        f"Wet and dry bulb: humidity {read.rh_percent:.0f}%, dew point {read.dew_c:.1f} degC, the air could take "
        f"{read.deficit_kpa:.1f} kPa more; a logger beside it that reads more than {LOGGER_OFF_RH:.0f}% "
        f"otherwise is off. Feels like {read.feels.humidex:.0f} (humidex), "
        f"{read.feels.wet_bulb_globe_c:.0f} degC (wet bulb "
        f"globe, in shade): {read.feels.words}."
    )


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
        f"{one.sum_k_d:.0f} degree days (K d) over {one.counted.above_c:g} degC since {day_words(one.since)}, "
        f"{count_words(one.counted)}{counted}; other methods differ by up to two to one."
    )
    if one.no_humidity_days:
        words.append(
            f"No humidity was read on {one.no_humidity_days} of these days: their disease weather is unknown, and "
            "how heat feels after them."
        )
    words.append(frost_words(one))
    if one.heat is not None and (heat := overhead_words(one.heat)):
        words.append(heat)
    return words


def count_words(counted: Counted) -> str:
    """The method by name, and its cap."""
    words = METHOD_WORDS[counted.method]
    if counted.cap_c is None:
        return words
    over = "counts as that" if counted.cutoff == "horizontal" else "does not count"
    return f"{words}, what is over {counted.cap_c:g} {over}"


def _springs(count: int) -> str:
    return "1 spring" if count == 1 else f"{count} springs"


def _of_year(number: int) -> str:
    day = date(2026, 1, 1) + timedelta(days=number - 1)  # any year of 365 days
    return f"{day.day} {day:%b}"


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
        f"; nine in ten were past by about {_of_year(frosts.nine_in_ten_past)}, one in ten came later"
        if frosts.nine_in_ten_past is not None
        else "; under ten springs no chance can be told"
    )
    return f"Last frosts inside, own readings: {listed}{without}{chance}."
