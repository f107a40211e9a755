"""One mean temperature for every local day, read, filled or foreseen, each marked with what it rests on.

A sensor's day goes before one typed by hand, the tunnel's own before the house's; a tunnel without its own takes
another's and says so. Gaps follow the typical year between what was read on either side. Today and the coming
days follow the weather issued where there is one, else the last fortnight carried on; with nothing read at all
the typical year stands in. Nothing later than the season's day is used.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Mapping
from datetime import date, timedelta
from functools import lru_cache
from itertools import count
from math import cos, exp, pi
from operator import itemgetter
from typing import Literal

from msgspec import Struct

from tunneltui.growth.response import day_length_h
from tunneltui.holding.user_error import Fault
from tunneltui.journal.kinds_care import Air, Forecast
from tunneltui.memo import ById
from tunneltui.season.state import Season

AirMark = Literal["sensor", "hand", "filled", "issued", "carried on", "typical"]

HOURS_OF_A_DAY_READ = 20
"""A day with fewer hours read is a part day, and its mean says little of the whole."""
HOTTEST_HOUR_C = 60.0
COLDEST_HOUR_C = -30.0
HOTTEST_MEAN_C = 42.0
"""A daily mean above it was read in the sun, typed in Fahrenheit, or is a slip."""
FORTNIGHT = 14
EARLIER_YEARS_DAYS = 300
"""Readings older than this belong to earlier seasons."""
NEAR_DAYS = 10
STALE_DAYS = 21
"""After so many days without a reading the typical year stands in."""
LEAST_GAIN_C, LIGHT_GAIN_C = 0.5, 2.5
"""Daily mean in an unheated tunnel above outside: little when days are of 8 h, 3 K when they are of 16. Assumed;
3 K all year would let fruit ripen at 52 degrees north until 20 November, which no grower sees."""
GAIN_WORTH_DAYS = 3.0
FOLLOWS_PRIOR = 0.5
"""Half of the typical year's change: a tunnel may be heated. Assumed, then learned from its own air."""
FOLLOWS_WORTH_C2 = 125.0
"""How many squared degrees of the year's own change weigh as much as that assumption."""
SEASON_DAYS = 56
SPELL_FADES_DAYS = 10.0
"""A cool spell is over in weeks (assumed)."""
HEATED_C = 4.0
"""The typical year fits within so much: a tunnel warmer than that over weeks is heated."""
COLD_WORTH_DAYS = 28
"""So many days let half of it be believed that a tunnel is always cooler than the typical year (assumed)."""


class AirSeries(Struct, frozen=True):
    """Daily means from the day ``first`` (an ordinal) on."""

    first: int
    means_c: tuple[float, ...]
    marks: tuple[AirMark, ...]
    flagged: tuple[str, ...]
    """Days left out, each a sentence."""
    typical: bool
    """No reading of the last three weeks stands behind the coming days."""

    def mean_c(self, day: date) -> float:
        """Mean temperature of a day; days outside the series take its nearest end."""
        return self.means_c[min(max(day.toordinal() - self.first, 0), len(self.means_c) - 1)]

    def mark(self, day: date) -> AirMark:
        return self.marks[min(max(day.toordinal() - self.first, 0), len(self.marks) - 1)]

    def mean_over(self, first: int, last: int) -> float:
        """Mean of the days from ``first`` to ``last``, ordinals, both included."""
        low = min(max(first - self.first, 0), len(self.means_c) - 1)
        high = min(max(last - self.first, low), len(self.means_c) - 1)
        part = self.means_c[low : high + 1]
        return sum(part) / len(part)


def air_series(season: Season, tunnel: str, first: date, last: date) -> AirSeries:
    """The air of a tunnel from ``first`` to ``last``, knowing what was read by the season's day."""
    read, flagged = _readings(season, tunnel)
    today = season.day.toordinal()
    year = _Year(season.holding.latitude_deg, read, today)
    past = range(first.toordinal(), max(first.toordinal(), today))
    filled = _filled(read, past, year)
    coming = _coming(season, read, today, last.toordinal(), year)
    days = {d: m for d, m in (filled | coming).items() if first.toordinal() <= d <= last.toordinal()}
    order = sorted(days)
    recent = any(today - STALE_DAYS <= d <= today for d in read)
    means = tuple(days[d][0] for d in order)
    return AirSeries(first.toordinal(), means, tuple(days[d][1] for d in order), tuple(flagged), not recent)


_Day = tuple[float, AirMark]
Forecasts = tuple[tuple[date, Forecast], ...]
"""As the season has them, with the day of the first figure."""


_Rank = tuple[bool, int]
"""By hand, and how far down the list of whose it is: the least counts."""


class _DaysRead(Struct, frozen=True):
    """Whole days that were read in one tunnel, or for the house."""

    days: dict[int, tuple[bool, _Day]]
    """Whether by hand, and the day."""
    flagged: tuple[str, ...]


class _EveryRead(Struct, frozen=True, eq=False):
    by_about: dict[str, _DaysRead]
    lent: dict[int, _Day]
    """The best of all tunnels, for those that have none of their own."""


def _readings(season: Season, tunnel: str) -> tuple[dict[int, _Day], list[str]]:
    """Whole days that were read: sensor before hand, tunnel before house, another tunnel's last."""
    every = _every_read(season)
    own = [every.by_about[about] for about in dict.fromkeys((tunnel, "")) if about in every.by_about]
    best: dict[int, tuple[_Rank, _Day]] = {}
    for rank, read in enumerate(own):
        for day, (by_hand, value) in read.days.items():
            kept = best.get(day)
            if kept is None or (by_hand, rank) < kept[0]:
                best[day] = ((by_hand, rank), value)
    days: dict[int, _Day] = {day: (mean_c, "filled") for day, (mean_c, _) in every.lent.items()}
    days |= {day: value for day, (_, value) in best.items()}
    others = (every.by_about[about] for about in sorted(every.by_about) if about not in (tunnel, ""))
    flagged = [flag for read in (*own, *others) for flag in read.flagged]
    return dict(sorted(days.items())), flagged


def air_flags(season: Season) -> list[str]:
    """Days of any tunnel whose readings cannot be its air, each a sentence."""
    every = _every_read(season).by_about
    return [flag for about in sorted(every) for flag in every[about].flagged]


def _every_read(season: Season) -> _EveryRead:
    return _every_read_by(ById(season.airs), season.day)


@lru_cache(maxsize=1)
def _every_read_by(airs: ById[dict[str, dict[date, Air]]], today: date) -> _EveryRead:
    """Of all tunnels at once: each asks for it, and a house may have hundreds."""
    by_about = {about: _read(of_tunnel, today) for about, of_tunnel in airs.value.items()}
    lent: dict[int, tuple[_Rank, _Day]] = {}
    for rank, about in enumerate(sorted(about for about in by_about if about)):
        for day, (by_hand, value) in by_about[about].days.items():
            if day not in lent or (by_hand, rank) < lent[day][0]:
                lent[day] = ((by_hand, rank), value)
    return _EveryRead(by_about, {day: value for day, (_, value) in lent.items()})


def _read(airs: Mapping[date, Air], today: date) -> _DaysRead:
    days: dict[int, tuple[bool, _Day]] = {}
    flagged: list[str] = []
    for day, air in airs.items():
        if day > today or is_part_day(air) or (day == today and not _whole(air)):
            continue
        mean_c = daily_mean_c(air)
        if mean_c is None:
            continue
        fault = _impossible(air, mean_c)
        if fault:
            flagged.append(Fault(f"{day.isoformat()}: {fault}; left out"))
        else:
            days[day.toordinal()] = (air.source != "sensor", (mean_c, _mark(air)))
    return _DaysRead(days, tuple(flagged))


def _mark(air: Air) -> AirMark:
    return "sensor" if air.source == "sensor" else "hand"


def is_part_day(air: Air) -> bool:
    """Read by the hour, and too few of them: neither its mean nor its ends are the day's."""
    return bool(air.hours_c) and not _whole(air)


def _whole(air: Air) -> bool:
    return sum(hour is not None for hour in air.hours_c) >= HOURS_OF_A_DAY_READ


def daily_mean_c(air: Air) -> float | None:
    """Mean of the day: of its hours, as given, or midway between its ends; None where nothing was read."""
    hours = [h for h in air.hours_c if h is not None and COLDEST_HOUR_C <= h <= HOTTEST_HOUR_C]
    if len(hours) >= HOURS_OF_A_DAY_READ:
        return sum(hours) / len(hours)
    if air.mean_c is not None:
        return air.mean_c
    if air.min_c is not None and air.max_c is not None:
        return (air.min_c + air.max_c) / 2
    return None


def _impossible(air: Air, mean_c: float) -> str:
    if air.min_c is not None and air.max_c is not None and air.min_c > air.max_c:
        return f"lowest {air.min_c:g} above highest {air.max_c:g} °C"
    if mean_c > HOTTEST_MEAN_C or (air.max_c is not None and air.max_c > HOTTEST_HOUR_C):
        hottest = max(mean_c, air.max_c or mean_c)
        fahrenheit = (air.min_c if air.min_c is not None else mean_c) > 35
        guess = "this looks like Fahrenheit" if fahrenheit else "too hot to be air in the shade"
        return f"{hottest:g} °C read, {guess}"
    if mean_c < COLDEST_HOUR_C:
        return f"{mean_c:g} °C read, too cold for a tunnel with vines"
    return ""


@lru_cache(maxsize=8192)
def typical_c(day: int, latitude_deg: float | None) -> float:
    """A rough tunnel's year: daily mean inside an unheated tunnel near sea level.

    No source: a smooth year that fits mid-latitude coasts within some 4 K, plus the tunnel's gain.
    """
    latitude = 45.0 if latitude_deg is None else latitude_deg
    mean_c = 27 - 0.0063 * latitude**2
    half_range_c = 0.17 * abs(latitude)
    warmest = 205 if latitude >= 0 else 22
    swing_c = half_range_c * cos(2 * pi * (date.fromordinal(day).timetuple().tm_yday - warmest) / 365.25)
    return mean_c + swing_c + tunnel_gain_c(day, latitude)


def tunnel_gain_c(day: int, latitude_deg: float) -> float:
    """By how much a tunnel's daily mean is above that outside, by the light there is."""
    hours = day_length_h(date.fromordinal(day), latitude_deg)
    return LEAST_GAIN_C + LIGHT_GAIN_C * min(1.0, max(0.0, (hours - 8) / 8))


class _Year:
    """The typical year of one tunnel: its own earlier years where they were read, else the latitude's."""

    __slots__ = ("_by_day", "_latitude", "_near")

    def __init__(self, latitude_deg: float | None, read: Mapping[int, _Day], today: int) -> None:
        self._latitude = latitude_deg
        self._by_day: dict[int, list[float]] = defaultdict(list)
        self._near: dict[int, float | None] = {}
        """By day of the year, the mean of the days near it; None where too few were read."""
        for day, (mean_c, _) in read.items():
            if day < today - EARLIER_YEARS_DAYS:
                self._by_day[_day_of_year(day)].append(mean_c)

    def on(self, day: int) -> float:
        if self._by_day:
            of_year = _day_of_year(day)
            if of_year not in self._near:
                self._near[of_year] = self._near_c(of_year)
            if (near_c := self._near[of_year]) is not None:
                return near_c
        return typical_c(day, self._latitude)

    def _near_c(self, of_year: int) -> float | None:
        days = ((of_year + off) % 366 for off in range(-NEAR_DAYS, NEAR_DAYS + 1))
        near = [mean_c for near_day in days for mean_c in self._by_day.get(near_day, ())]
        return sum(near) / len(near) if len(near) >= NEAR_DAYS else None


def _day_of_year(day: int) -> int:
    return date.fromordinal(day).timetuple().tm_yday


def _filled(read: Mapping[int, _Day], days: range, year: _Year) -> dict[int, _Day]:
    """Days gone by: as read, else the typical year shifted between the readings on either side."""
    filled: dict[int, _Day] = {}
    known_days = sorted(read)
    at = 0
    for day in days:
        if day in read:
            filled[day] = read[day]
            continue
        while at < len(known_days) and known_days[at] < day:
            at += 1
        before = known_days[at - 1] if at > 0 else None
        after = known_days[at] if at < len(known_days) else None
        filled[day] = _between(read, day, before, after, year)
    return filled


def _between(read: Mapping[int, _Day], day: int, before: int | None, after: int | None, year: _Year) -> _Day:
    sides = [d for d in (before, after) if d is not None and abs(d - day) <= STALE_DAYS]
    if not sides:
        return year.on(day), "typical"
    weights = [1 / abs(d - day) for d in sides]
    shift = sum(w * (read[d][0] - year.on(d)) for w, d in zip(weights, sides, strict=True)) / sum(weights)
    return year.on(day) + shift, "filled"


def _coming(season: Season, read: Mapping[int, _Day], today: int, last: int, year: _Year) -> dict[int, _Day]:
    """Today and the days ahead."""
    issued = _issued(season, read, today)
    lately = [d for d in read if today - STALE_DAYS <= d < today][-FORTNIGHT:]
    mean_c = sum(read[d][0] for d in lately) / len(lately) if lately else 0.0
    usual_c = sum(year.on(d) for d in lately) / len(lately) if lately else 0.0
    follows = 0.0 if season.holding.lit else _follows(read, today, year)
    cool_c = _cool_spell_c(read, today, year, mean_c - usual_c) if lately and not season.holding.lit else 0.0
    coming: dict[int, _Day] = {}
    for day in range(today, last + 1):
        if day in read:
            coming[day] = read[day]
        elif day in issued:
            coming[day] = (issued[day], "issued")
        elif lately:
            faded_c = cool_c * (1 - exp(-(day - today) / SPELL_FADES_DAYS))
            coming[day] = (mean_c - faded_c + follows * (year.on(day) - usual_c), "carried on")
        else:
            coming[day] = (year.on(day), "typical")
    return coming


def _cool_spell_c(read: Mapping[int, _Day], today: int, year: _Year, lately_c: float) -> float:
    """By how much the last fortnight, ``lately_c`` over the typical year, was cooler than this tunnel was over the
    season, nought or below. Nothing in a heated one, and nothing where it was warmer: shut doors keep warmth, and
    nothing cools a tunnel but the weather."""
    over = [mean_c - year.on(day) for day, (mean_c, _) in read.items() if today - SEASON_DAYS <= day < today]
    usually_c = sum(over) / len(over)
    if usually_c < 0:
        return min(0.0, lately_c - usually_c * len(over) / (len(over) + COLD_WORTH_DAYS))
    return min(0.0, lately_c - usually_c) * max(0.0, 1 - usually_c / HEATED_C)


def _follows(read: Mapping[int, _Day], today: int, year: _Year) -> float:
    """How far this tunnel's air has followed the typical year's change lately: 1 wholly, 0 (heated) not at all."""
    days = [d for d in read if today - SEASON_DAYS <= d < today]
    if len(days) < FORTNIGHT:
        return FOLLOWS_PRIOR
    usual = [year.on(d) for d in days]
    own = [read[d][0] for d in days]
    mid_usual, mid_own = sum(usual) / len(usual), sum(own) / len(own)
    together = sum((u - mid_usual) * (o - mid_own) for u, o in zip(usual, own, strict=True))
    spread = sum((u - mid_usual) ** 2 for u in usual)
    return min(1.0, max(0.0, (together + FOLLOWS_PRIOR * FOLLOWS_WORTH_C2) / (spread + FOLLOWS_WORTH_C2)))


def _issued(season: Season, read: Mapping[int, _Day], today: int) -> dict[int, float]:
    """Tunnel means from the weather last issued for each day, with the tunnel's own gain over the forecasts of the
    last weeks: it goes by the time of year."""
    outside: dict[int, tuple[str, float]] = {}
    for first, forecast in issued_since(season.forecasts, season.day - timedelta(days=SEASON_DAYS)):
        if forecast.issued > season.day.isoformat():
            continue
        for day, low, high in zip(count(first.toordinal()), forecast.min_c, forecast.max_c, strict=False):
            if low is None or high is None:
                continue
            if day not in outside or outside[day][0] <= forecast.issued:
                outside[day] = (forecast.issued, (low + high) / 2)
    gains = [read[d][0] - value for d, (_, value) in outside.items() if d in read and d < today]
    usual_c = tunnel_gain_c(today, 45.0 if season.holding.latitude_deg is None else season.holding.latitude_deg)
    gain = (sum(gains) + GAIN_WORTH_DAYS * usual_c) / (len(gains) + GAIN_WORTH_DAYS)
    return {day: value + gain for day, (_, value) in outside.items() if day >= today}


def issued_since(forecasts: Forecasts, day: date) -> Forecasts:
    """Forecasts whose first figure speaks of a day or of a later one, in the order of the journal: those of years
    gone by are not looked through for it."""
    return forecasts[bisect_left(forecasts, day, key=itemgetter(0)) :]
