"""A tunnel's air over the last fortnight and the coming days: read, filled or foreseen, what is of note.

Means come from the one air series that growth works on, so that the screen shows what the forecasts rest on.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Literal, NamedTuple

from msgspec import Struct

from tunneltui.care.covers import expected_night
from tunneltui.care.degree_days import Cutoff, Method, degree_days
from tunneltui.care.disease_weather import (
    BLIGHT_HUMID_RH,
    GREY_MOULD_HOURS,
    LEAF_MOULD_HOURS,
    blight_day,
    blight_weather,
    grey_mould_hours,
    humid_hours,
    leaf_mould_hours,
)
from tunneltui.care.frost import CHILL_C, FROST_C, LastFrosts, Night, last_frosts
from tunneltui.care.heat import UNREAD, HotDay, flowers_harmed, harms_set, hot_day
from tunneltui.care.heat_hours import DayHeat, day_heat
from tunneltui.care.margin import day_margin, night_margin
from tunneltui.care.tunnel_air import air_on, day_air, issued_for, whole_ends
from tunneltui.cells import Sentence, joined, say
from tunneltui.growth.air import AirMark, AirSeries, air_series, daily_mean_c, is_part_day
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Tunnel
from tunneltui.journal.kinds_care import Air
from tunneltui.season.growing_year import usual_growing_year
from tunneltui.season.state import Season

DAYS_BACK = 14
DAYS_AHEAD = 5
ABOVE_C = 4.0
"""Over 4 degC the usual crop takes much the same degree days from flower to ripe at 14 to 26 degC (830 to 950;
Adams, Cockshull and Cave 2001); over 10 it does not."""
SUM_FROM_DAYS = 400
"""Degree days are summed from planting on, and never over more days than these."""
GAPS: dict[AirMark, str] = {
    "filled": "filled from the days on either side and the typical year",
    "typical": "nothing read for three weeks: the typical year",
    "carried on": "no weather issued: the last fortnight carried on",
}
"""Marks of days that rest on no reading and no issued weather, and what stands in."""


class Counted(Struct, frozen=True):
    """How degree days are counted."""

    method: Method = "sine"
    above_c: float = ABOVE_C
    cap_c: float | None = None
    cutoff: Cutoff = "horizontal"


USUALLY = Counted()


class IllnessWeather(Struct, frozen=True):
    """One past day by the published criteria; what was not read leaves unknown."""

    late_blight: bool | None
    leaf_mould_hours: tuple[int, int]
    """Surely, perhaps."""
    grey_mould_hours: tuple[int, int]
    humid_hours_read: int


class ReadCold(NamedTuple):
    """Frost, or a night that chills, as it was read."""

    low_c: float


class Hot(NamedTuple):
    """Heat that may harm the set of trusses which open on a later day."""

    flowers_on: date


class Blight(NamedTuple):
    """Late blight weather; where it is unknown, why: hours of humidity missing, of warmth, or the day before."""

    unknown: Literal["", "humidity", "warmth", "day before"] = ""
    hours_missing: int = 0


class Mould(NamedTuple):
    hours: int
    of: Literal["leaf", "grey"]


class NotIssued(NamedTuple):
    """No weather was issued for the day."""


class ColdToCome(NamedTuple):
    """What a night may become; under fleece too where frost may come."""

    inside: Night
    under_fleece: Night | None
    outside_c: float


class HotHours(NamedTuple):
    """From this hour on overhead work strains greatly."""

    done_by: int


Noted = ReadCold | Hot | Blight | Mould | NotIssued | ColdToCome | HotHours


class AirDay(Struct, frozen=True):
    day: date
    mark: AirMark
    mean_c: float
    low_c: float | None
    high_c: float | None
    """Ends inside: as read, or for days to come as expected; None where only a mean is known."""
    degree_days: float
    noted: tuple[Noted, ...]
    """Frost, heat and disease weather."""
    illness: IllnessWeather | None
    """None for days to come: no humidity is issued."""


class Fortnight(Struct, frozen=True):
    tunnel: str
    days: tuple[AirDay, ...]
    """From 14 days before today to five after, oldest first."""
    filled: tuple[str, ...]
    """What was filled or left out and why, a sentence each."""
    counted: Counted
    since: date
    """First day of the sum."""
    sum_k_d: float
    """Degree days from then to yesterday."""
    sum_filled_days: int
    """Of its days, those without both ends read: counted by their mean."""
    last_frosts: LastFrosts
    heat: DayHeat | None
    """Today's hours as they may feel; None where no whole day with humidity was read in the last week."""

    @property
    def no_humidity_days(self) -> int:
        """Past days on which no hour of humidity was read: their disease weather is unknown."""
        return sum(1 for day in self.days if day.illness is not None and not day.illness.humid_hours_read)

    @property
    def past(self) -> tuple[AirDay, ...]:
        return tuple(day for day in self.days if day.mark in ("sensor", "hand", "filled", "typical"))


def fortnight(season: Season, tunnel: Tunnel, counted: Counted = USUALLY) -> Fortnight:
    """The air of a tunnel round the season's day. Raises ``ValueError`` where degree days cannot be counted so."""
    rows = {row_id(tunnel, row) for row in tunnel.rows}
    planted = [leader.planted_on for leader in season.leaders.values() if leader.row in rows]
    back = season.day - timedelta(days=DAYS_BACK)
    since = max(min(planted, default=back), season.day - timedelta(days=SUM_FROM_DAYS))
    first = min(since, back)
    last = season.day + timedelta(days=DAYS_AHEAD)
    series = air_series(season, tunnel.key, first, last)
    span = [season.day + timedelta(days=n) for n in range(-DAYS_BACK, DAYS_AHEAD + 1)]
    days = tuple(_day(season, tunnel, series, day, counted) for day in span)
    summed = [since + timedelta(days=n) for n in range((season.day - since).days)]
    minima = [
        (day, air.min_c)
        for key in ("", tunnel.key)
        for day, air in sorted(season.airs.get(key, {}).items())
        if air.min_c is not None and day <= season.day and (air.min_c <= FROST_C or not is_part_day(air))
    ]
    return Fortnight(
        tunnel.key,
        days,
        tuple(_filled_words(days, season.day, series)),
        counted,
        since,
        sum(_degree_days(season, tunnel.key, series, day, counted) for day in summed),
        sum(1 for day in summed if _ends(season, tunnel.key, day) is None),
        last_frosts(minima, growing=usual_growing_year(season.holding.latitude_deg)),
        day_heat(season, tunnel.key, season.day),
    )


def _day(season: Season, tunnel: Tunnel, series: AirSeries, day: date, counted: Counted) -> AirDay:
    mean_c, mark = series.mean_c(day), series.mark(day)
    warmth = _degree_days(season, tunnel.key, series, day, counted)
    if day < season.day or mark in ("sensor", "hand"):
        ends = _ends(season, tunnel.key, day) if mark in ("sensor", "hand") else None
        low, high = ends or (None, None)
        ill = _illness(season, tunnel.key, day)
        return AirDay(day, mark, mean_c, low, high, warmth, tuple(_past(season, tunnel.key, day, ill)), ill)
    low_c, high_c = issued_for(season, day)
    return AirDay(
        day,
        mark,
        mean_c,
        None if low_c is None else night_margin(season, tunnel.key).over(low_c)[1],
        None if high_c is None else day_margin(season, tunnel.key).over(high_c)[1],
        warmth,
        tuple(_coming(season, tunnel, day, low_c, high_c)),
        None,
    )


def _ends(season: Season, tunnel: str, day: date) -> tuple[float, float] | None:
    return whole_ends(air_on(season, tunnel, day))


def _degree_days(season: Season, tunnel: str, series: AirSeries, day: date, counted: Counted) -> float:
    """By the day's ends where both were read, else by its mean."""
    ends = _ends(season, tunnel, day)
    low, high = ends or (series.mean_c(day), series.mean_c(day))
    return degree_days(low, high, counted.above_c, counted.method, counted.cap_c, counted.cutoff)


def _past(season: Season, tunnel: str, day: date, ill: IllnessWeather) -> Iterator[Noted]:
    air = air_on(season, tunnel, day)
    if air is None:
        return
    if air.min_c is not None and air.min_c <= CHILL_C:
        yield ReadCold(air.min_c)
    before = air_on(season, tunnel, day - timedelta(days=1))
    if harms_set(_heat_of(air), _heat_of(before)):
        yield Hot(flowers_harmed(day))
    yield from _disease(season, tunnel, day, ill)


def _illness(season: Season, tunnel: str, day: date) -> IllnessWeather:
    before, today_air = (day_air(season, tunnel, day - timedelta(days=back)) for back in (1, 0))
    return IllnessWeather(
        blight_weather([before, today_air])[-1],
        leaf_mould_hours(today_air),
        grey_mould_hours(today_air),
        sum(1 for rh in today_air.hours_rh if rh is not None),
    )


def _heat_of(air: Air | None) -> HotDay:
    if air is None:
        return UNREAD
    return hot_day(air.hours_c, None if is_part_day(air) else daily_mean_c(air))


def _disease(season: Season, tunnel: str, day: date, ill: IllnessWeather) -> Iterator[Noted]:
    """Of a day with humidity; that the others are unknown is stated once for all of them."""
    if not ill.humid_hours_read:
        return
    if ill.late_blight:
        yield Blight()
    elif ill.late_blight is None:
        air = day_air(season, tunnel, day)
        sure, perhaps = humid_hours(air, BLIGHT_HUMID_RH)
        if blight_day(air) is not None:
            yield Blight("day before")
        elif perhaps > sure:
            yield Blight("humidity", perhaps - sure)
        else:
            yield Blight("warmth")
    if ill.leaf_mould_hours[0] >= LEAF_MOULD_HOURS:
        yield Mould(ill.leaf_mould_hours[0], "leaf")
    if ill.grey_mould_hours[0] >= GREY_MOULD_HOURS:
        yield Mould(ill.grey_mould_hours[0], "grey")


def _coming(
    season: Season, tunnel: Tunnel, day: date, low_c: float | None, high_c: float | None
) -> Iterator[Noted]:
    if low_c is None and high_c is None:
        yield NotIssued()
        return
    if low_c is not None:
        bare = expected_night(season, tunnel, low_c, fleeces=0)
        if bare.low_c <= FROST_C:
            yield ColdToCome(bare, expected_night(season, tunnel, low_c, fleeces=1), low_c)
        elif bare.low_c <= CHILL_C:
            yield ColdToCome(bare, None, low_c)
    heat = day_heat(season, tunnel.key, day) if high_c is not None else None
    if low_c is not None and high_c is not None:
        inside = (night_margin(season, tunnel.key).over(low_c)[1], day_margin(season, tunnel.key).over(high_c)[1])
        if harms_set(HotDay(None, sum(inside) / 2)):
            yield Hot(flowers_harmed(day))
    if heat is not None and heat.done_by is not None:
        yield HotHours(heat.done_by)


def _filled_words(days: tuple[AirDay, ...], today: date, series: AirSeries) -> Iterator[str]:
    """Which days of the fortnight and of those ahead rest on no reading, and what stands in for it."""
    for mark, why in GAPS.items():
        gaps = [day.day for day in days if day.mark == mark and (day.day < today or mark == "carried on")]
        if gaps:
            yield say("{}: {}.", _runs(gaps), why)
    first = days[0].day.isoformat()
    yield from (f"{flag}." for flag in series.flagged if flag >= first)


def _runs(days: list[date]) -> Sentence:
    """Days as spans: ``Mon 3 Aug to Wed 5 Aug, Fri 7 Aug``."""
    spans: list[list[date]] = []
    for day in days:
        if spans and (day - spans[-1][-1]).days == 1:
            spans[-1].append(day)
        else:
            spans.append([day])
    return joined(
        ", ", (say("{}", span[0]) if len(span) == 1 else say("{} to {}", span[0], span[-1]) for span in spans)
    )
