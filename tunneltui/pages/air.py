"""Air: the last fortnight and the coming days, and what they add up to."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from tunneltui.care.fortnight import (
    AirDay,
    Blight,
    ColdToCome,
    Counted,
    Fortnight,
    Hot,
    HotHours,
    Mould,
    Noted,
    NotIssued,
    ReadCold,
)
from tunneltui.care.frost import FROST_C, Night
from tunneltui.care.heat_hours import DayHeat
from tunneltui.care.hygrometer import LOGGER_OFF_RH, MoistAir
from tunneltui.cells import (
    Day,
    Role,
    Sentence,
    Share,
    as_typed,
    day_and_month,
    day_word,
    degc,
    inked,
    joined,
    many,
    say,
    words,
)
from tunneltui.growth.air import AirMark
from tunneltui.pages.page import NOTHING, Column, Item, Page, Section, rounded
from tunneltui.season.state import Season

MARK_WORDS: dict[AirMark, str] = {
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


def air_document(season: Season, shown: Sequence[Fortnight], bulbs: MoistAir | None = None) -> dict[str, Any]:
    """By tunnel: days marked with what they rest on, gaps, degree days and their method, last frosts, heat.

    Late blight is true, false or null for unknown; mould hours are [surely, perhaps], null for days to come.

    ``read`` lists the air of every day noted, by tunnel ('' for all), oldest first.
    """
    return {
        "day": season.day.isoformat(),
        "tunnels": [_tunnel(fortnight) for fortnight in shown],
        "bulbs": None if bulbs is None else _bulbs(bulbs),
        "read": [
            {
                "tunnel": tunnel,
                "day": day.isoformat(),
                "source": air.source,
                "min_c": rounded(air.min_c, 1),
                "mean_c": rounded(air.mean_c, 1),
                "max_c": rounded(air.max_c, 1),
                "readings": air.readings,
            }
            for tunnel, days in sorted(season.airs.items())
            for day, air in sorted(days.items())
        ],
    }


def _tunnel(fortnight: Fortnight) -> dict[str, Any]:
    frosts = fortnight.last_frosts
    return {
        "tunnel": fortnight.tunnel,
        "days": [_day(day) for day in fortnight.days],
        "filled": list(fortnight.filled),
        "degree_days": {
            "method": fortnight.counted.method,
            "above_c": fortnight.counted.above_c,
            "cap_c": fortnight.counted.cap_c,
            "cutoff": fortnight.counted.cutoff if fortnight.counted.cap_c is not None else None,
            "since": fortnight.since.isoformat(),
            "sum_k_d": round(fortnight.sum_k_d, 1),
            "by_mean_days": fortnight.sum_filled_days,
        },
        "last_frosts": {
            "days": [day.isoformat() for day in frosts.days],
            "springs_without": frosts.springs_without,
            "nine_in_ten_past_doy": frosts.nine_in_ten_past,
        },
        "heat": _heat(fortnight.heat),
    }


def _day(day: AirDay) -> dict[str, Any]:
    return {
        "day": day.day.isoformat(),
        "mark": day.mark,
        "min_c": rounded(day.low_c, 1),
        "mean_c": rounded(day.mean_c, 1),
        "max_c": rounded(day.high_c, 1),
        "degree_days": round(day.degree_days, 1),
        "late_blight": None if day.illness is None else day.illness.late_blight,
        "leaf_mould_hours": None if day.illness is None else list(day.illness.leaf_mould_hours),
        "grey_mould_hours": None if day.illness is None else list(day.illness.grey_mould_hours),
        "says": list(map(noted_words, day.noted)),
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


def _bulbs(read: MoistAir) -> dict[str, Any]:
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


def air_page(season: Season, shown: Sequence[Fortnight], bulbs: MoistAir | None = None) -> Page:
    """Every tunnel's fortnight, what its days add up to, and a hygrometer's reading if there was one."""
    names = {tunnel.key: tunnel.name for tunnel in season.holding.tunnels}
    sections = tuple(
        section
        for fortnight in shown
        for section in (
            air_section(fortnight, season.day, say("{}, {}", names[fortnight.tunnel], Day(season.day, year=True))),
            sums_section(fortnight),
        )
    )
    if not sections:
        return Page(words("No tunnel stands yet."))
    return Page(NOTHING, sections, (bulb_words(bulbs),) if bulbs is not None else ())


COLUMNS = (
    Column("day"),
    Column("rests on", rank=1),
    *(Column(head, unit="degC", right=True) for head in ("least", "mean", "most")),
    Column("K d", right=True, rank=2),
)


def air_section(fortnight: Fortnight, today: date, title: str) -> Section:
    """One day a line in columns, then what its air says."""
    return Section(
        f"air {fortnight.tunnel}", title, COLUMNS, tuple(_day_item(day, today) for day in fortnight.days)
    )


def day_key(day: date, today: date) -> str:
    return TODAY if day == today else f"day {day}"


TODAY = "day today"


def _day_item(day: AirDay, today: date) -> Item:
    role: Role = "chosen" if day.day == today else "quiet" if day.day < today else ""
    ends = (day.low_c, day.mean_c, day.high_c)
    cells = (
        inked(role, say("{}", Day(day.day))),
        MARK_WORDS[day.mark],
        *("-" if value is None else say("{}", degc(value, 1)) for value in ends),
        f"{day.degree_days:.1f}",
    )
    note = joined("; ", map(noted_words, day.noted))
    # The word in its column is enough: a day of it is not a warning all over.
    note_role: Role = "near" if _alarming(day) else role
    return Item(
        day_key(day.day, today),
        cells,
        (inked(note_role, note), inked(note_role, noted_words(day.noted[0]))) if note else (),
        beside=() if note else (words("Nothing to note."),),
    )


def _alarming(day: AirDay) -> bool:
    """Frost, or late blight weather."""
    for noted in day.noted:
        match noted:
            case ReadCold(low_c) if low_c <= FROST_C:
                return True
            case ColdToCome(under_fleece=Night()) | Blight():
                return True
    return False


def noted_words(noted: Noted) -> str:
    """Frost, heat and disease weather, each a clause."""
    match noted:
        case ReadCold(low_c):
            return say("frost inside, {}" if low_c <= FROST_C else "cold night, {}", degc(low_c))
        case Hot(flowers_on):
            return say("hot: set may suffer on trusses that open about {}", flowers_on)
        case Blight(""):
            return "late blight weather"
        case Blight(unknown, hours):
            missing = f"{hours} hours of humidity missing" if unknown == "humidity" else "hours of warmth missing"
            return (
                f"late blight weather unknown, {'the day before unread' if unknown == 'day before' else missing}"
            )
        case Mould(hours, of):
            return f"{hours} h for {of} mould"
        case NotIssued():
            return "no weather issued"
        case ColdToCome(inside, None):
            return say("cold night: {} inside", inside.words)
        case ColdToCome(inside, Night() as covered, outside_c):
            frost = "frost may come: {} inside, {} under fleece, by {} outside"
            return say(frost, inside.words, covered.words, degc(outside_c))
        case HotHours(hour):
            return f"overhead work done by {hour}:00"
    return ""


def sums_section(fortnight: Fortnight) -> Section:
    items = (
        Item(f"sum {fortnight.tunnel} {n}", lengths=(sentence,)) for n, sentence in enumerate(sums(fortnight))
    )
    return Section(f"sums {fortnight.tunnel}", items=tuple(items))


def bulb_words(read: MoistAir) -> Sentence:
    """A hygrometer's reading as a sentence, with what it is good for."""
    return say(
        "Wet and dry bulb: humidity {}, dew point {}, the air could take {} kPa more; a logger beside it that "
        "reads more than {} otherwise is off. Feels like {} (humidex), {} (wet bulb globe, in shade): {}.",
        Share(read.rh_percent / 100),
        degc(read.dew_c, 1),
        f"{read.deficit_kpa:.1f}",
        Share(LOGGER_OFF_RH / 100),
        f"{read.feels.humidex:.0f}",
        degc(read.feels.wet_bulb_globe_c),
        read.feels.words,
    )


def sums(fortnight: Fortnight) -> list[str]:
    """What the days add up to: gaps, degree days with their method, last frosts, heat for the person."""
    sentences = list(fortnight.filled)
    counted = f"; {fortnight.sum_filled_days} of its days by their mean alone" if fortnight.sum_filled_days else ""
    sentences.append(
        say(
            "{} degree days (K d) over {} since {}, {}{}; other methods differ by up to two to one.",
            f"{fortnight.sum_k_d:.0f}",
            as_typed(fortnight.counted.above_c, "degC"),
            Day(fortnight.since),
            count_words(fortnight.counted),
            counted,
        )
    )
    if fortnight.no_humidity_days:
        sentences.append(
            words(
                f"No humidity was read on {fortnight.no_humidity_days} of these days: their disease weather is "
                "unknown, and how heat feels after them."
            )
        )
    sentences.append(frost_words(fortnight))
    if fortnight.heat is not None and (heat := overhead_words(fortnight.heat)):
        sentences.append(heat)
    return sentences


def overhead_words(heat: DayHeat) -> str:
    """When overhead work should be done by, as a sentence; '' where no hour of the day strains greatly."""
    worst, hour = heat.worst, heat.done_by
    if worst is None or hour is None:
        return ""
    rests = f"the hours of {day_word(heat.read_on)}" + (", moved to today's forecast" if heat.issued else "")
    when = f"Overhead work done by {hour}:00" if hour > 0 else "No overhead work today"
    return (
        f"{when}: from then on heat strains greatly (humidex {worst.humidex:.0f} at its worst, by {rests}); sun "
        "under the plastic adds to it. Water, shade, rests."
    )


def count_words(counted: Counted) -> Sentence:
    """The method by name, and its cap."""
    method = words(METHOD_WORDS[counted.method])
    if counted.cap_c is None:
        return method
    over = "counts as that" if counted.cutoff == "horizontal" else "does not count"
    return say("{}, what is over {} {}", method, as_typed(counted.cap_c, "degC"), over)


def frost_words(fortnight: Fortnight) -> str:
    """Last frosts of the grower's own springs: a list, and with ten springs a day by chance."""
    frosts = fortnight.last_frosts
    if not frosts.days:
        return (
            f"No frost inside in the {many(frosts.springs_without, 'spring')} you read."
            if frosts.springs_without
            else "Last frosts: no spring of your own readings yet."
        )
    listed = ", ".join(f"{day_and_month(day)} {day.year}" for day in frosts.days)
    without = f"; {many(frosts.springs_without, 'spring')} without" if frosts.springs_without else ""
    chance = "; under ten springs no chance can be told"
    if frosts.nine_in_ten_past is not None:
        past = date(2026, 1, 1) + timedelta(days=frosts.nine_in_ten_past - 1)  # any year of 365 days
        chance = f"; nine in ten were past by about {day_and_month(past)}, one in ten came later"
    return f"Last frosts inside, own readings: {listed}{without}{chance}."
