"""A logger's file as one ``air`` entry a day: readings every few minutes, or a day's min, max and mean.

Times without an offset are the local clock of the holding's zone. The hour that the clock repeats in autumn is
told apart by the file's own order; a day has 23, 24 or 25 hours. A day's mean is the mean of its hours, so that a
gap does not lean it to the hours that were read more often.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import ceil
from statistics import fmean
from zoneinfo import ZoneInfo

from tunneltui.holding.trouble import Trouble
from tunneltui.journal.kinds_care import Air
from tunneltui.journal.sense import fractions
from tunneltui.store.read_again import Row
from tunneltui.store.read_table import (
    CellFault,
    DateOrder,
    Line,
    Refused,
    Table,
    date_order,
    moment,
    number,
)

LOWEST_C, HIGHEST_C = -45.0, 60.0
"""Air in a tunnel beyond these is a faulty sensor (common practice, no source)."""
SATURATED_RH = 105.0
"""Sensors drift and read a little over 100 % in saturated air; more is a fault (common practice, no source)."""
FAHRENHEIT_MEAN = 45.0
"""A file whose mean is above this many degrees cannot be a tunnel's air in degC; it is Fahrenheit or a fault."""

_NAMES: dict[str, tuple[str, ...]] = {
    "time": ("time", "date", "datetime", "timestamp", "date time", "day", "datum"),
    "temp": ("t air", "temperature", "temp", "air temperature", "t", "tair", "air temp", "slab mean", "mean temp"),
    "rh": ("rh", "relative humidity", "humidity", "rh air"),
    "min": ("min", "t min", "tmin", "min temp", "minimum", "temperature min"),
    "max": ("max", "t max", "tmax", "max temp", "maximum", "temperature max"),
    "mean": ("mean", "t mean", "tmean", "average", "avg", "mean temp", "slab mean"),
}


@dataclass(frozen=True, slots=True)
class AirFile:
    """What a logger's file says, day by day, and how it was read."""

    source: str
    """The file's shape: its columns, not its name."""
    rows: tuple[Row, ...]
    columns: Mapping[str, str]
    order: DateOrder
    readings: int
    repeated: int
    """Readings given twice for one moment; the first counts."""
    refused: tuple[Refused, ...]
    over_100: int = 0
    """Humidities of 100 to 105 %, taken as 100."""


@dataclass(frozen=True, slots=True)
class _Reading:
    at: datetime
    """UTC."""
    temp_c: float
    rh: float | None


def read_air(
    table: Table,
    zone: str,
    *,
    tunnel: str = "",
    told: Mapping[str, str] | None = None,
    dates: DateOrder | None = None,
) -> AirFile:
    """The days of a logger's table.

    ``zone`` is an IANA name, ``told`` says which column holds what (time, temp, rh, min, max, mean).

    Raises:
        Trouble: no column of days or temperatures, mixed date orders, or degrees Fahrenheit.
    """
    columns = column_names(table, _NAMES, told or {})
    if "time" not in columns:
        raise Trouble(f"{table.file} has no column of times among {_listed(table)}.", "Say --map time='Column'.")
    daily = [name for name in ("min", "max", "mean") if name in columns]
    if not daily and "temp" not in columns:
        say = f"{table.file} has no column of temperatures among {_listed(table)}."
        raise Trouble(say, "Say --map temp='Column'.")
    order = date_order(table, columns["time"], dates)
    source = f"air: {table.shape}"
    if "temp" not in columns or len(daily) > 1 or _is_daily(table, columns, order):
        rows, refused = _daily_rows(table, columns, order, tunnel)
        taken, repeated, over_100 = len(rows), 0, 0
    else:
        readings, refused = _readings(table, columns, order, ZoneInfo(zone))
        _refuse_fractions(table, columns, readings)
        over_100 = sum(1 for reading in readings if reading.rh is not None and reading.rh > 100)
        once, repeated = _once(readings)
        rows, taken = _days(once, ZoneInfo(zone), tunnel), len(once)
    if not rows:
        first = f" Line {refused[0].line}: {refused[0].why}." if refused else ""
        raise Trouble(f"{table.file} has no reading that can be taken.{first}")
    _refuse_fahrenheit(table, rows)
    return AirFile(source, tuple(rows), columns, order, taken, repeated, tuple(refused), over_100)


def column_names(table: Table, names: Mapping[str, tuple[str, ...]], told: Mapping[str, str]) -> dict[str, str]:
    """Which of the table's columns holds what: as told, else by its heading.

    Raises:
        Trouble: what was told names no column, or nothing that is looked for.
    """
    for meaning, column in told.items():
        if meaning not in names:
            raise Trouble(f"--map knows no {meaning!r}.", f"It knows {', '.join(names)}.")
        if column not in table.columns:
            raise Trouble(f"{table.file} has no column {column!r}.", f"It has {_listed(table)}.")
    found = dict(told)
    headings = {plain_heading(column): column for column in reversed(table.columns)}
    for meaning, headed in names.items():
        known = next((headings[name] for name in headed if name in headings), None)
        if meaning not in found and known is not None and known not in found.values():
            found[meaning] = known
    return found


def plain_heading(column: str) -> str:
    """A heading without unit, signs and capitals: ``T Air (°C)`` is ``t air``."""
    bare = re.sub(r"[(\[].*?[)\]]", " ", column.lower())
    bare = re.sub(r"[_\s/.,:%°#-]+", " ", bare).strip()
    return re.sub(r"\s(c|degc|f|degf|cm|mm|m|kg|g|percent)$", "", bare)


def _listed(table: Table) -> str:
    return ", ".join(repr(column) for column in table.columns)


def _is_daily(table: Table, columns: Mapping[str, str], order: DateOrder) -> bool:
    """One temperature a day, at no time of the day: the day's mean."""
    days = []
    for line in table.lines[:400]:
        try:
            at = moment(table, line, columns["time"], order)
        except CellFault:
            continue
        if at.time() != time():
            return False
        days.append(at.date())
    return len(set(days)) == len(days)


def _temperature(table: Table, line: Line, column: str) -> float | None:
    value = number(table, line, column)
    if value is not None and not LOWEST_C <= value <= HIGHEST_C:
        raise CellFault(f"{column}: {value:g} is no air temperature in degrees Celsius")
    return value


def _daily_rows(
    table: Table, columns: Mapping[str, str], order: DateOrder, tunnel: str
) -> tuple[list[Row], list[Refused]]:
    rows: list[Row] = []
    refused: list[Refused] = []
    named = {"min_c": columns.get("min"), "max_c": columns.get("max"), "mean_c": columns.get("mean")}
    if not any(named.values()):
        named["mean_c"] = columns["temp"]
    seen: set[date] = set()
    for line in table.lines:
        try:
            day = moment(table, line, columns["time"], order).date()
            said = {name: _temperature(table, line, column) for name, column in named.items() if column}
            _refuse_crossed(said)
            if day in seen:
                raise CellFault(f"{day} stands in the file twice")
        except CellFault as fault:
            refused.append(Refused(line.number, str(fault)))
            continue
        if any(value is not None for value in said.values()):
            seen.add(day)
            rows.append(
                Row(
                    line.number,
                    day,
                    tunnel,
                    Air("sensor", said.get("min_c"), said.get("max_c"), said.get("mean_c")),
                )
            )
    return rows, refused


def _refuse_crossed(said: Mapping[str, float | None]) -> None:
    known = [value for name in ("min_c", "mean_c", "max_c") if (value := said.get(name)) is not None]
    if known != sorted(known):
        raise CellFault(f"the day's least, mean and most are out of order: {', '.join(f'{v:g}' for v in known)}")


def _readings(
    table: Table, columns: Mapping[str, str], order: DateOrder, zone: ZoneInfo
) -> tuple[list[_Reading], list[Refused]]:
    readings: list[_Reading] = []
    refused: list[Refused] = []
    clock = _Clock(zone)
    for line in table.lines:
        try:
            at = clock.utc(moment(table, line, columns["time"], order))
            temp_c = _temperature(table, line, columns["temp"])
            rh = number(table, line, columns["rh"]) if "rh" in columns else None
            if rh is not None and not 0 <= rh <= SATURATED_RH:
                raise CellFault(f"{columns['rh']}: {rh:g} is no relative humidity")
        except CellFault as fault:
            refused.append(Refused(line.number, str(fault)))
            continue
        if temp_c is not None:
            readings.append(_Reading(at, temp_c, rh))
    return readings, refused


class _Clock:
    """A file's local clock turned into UTC, in the file's own order.

    Within the hour that is told twice in autumn, a step back of the clock begins the second telling.
    """

    def __init__(self, zone: ZoneInfo) -> None:
        self._zone = zone
        self._last: datetime | None = None
        self._second = False

    def utc(self, said: datetime) -> datetime:
        if said.tzinfo is not None:
            return said.astimezone(UTC)
        twice = said.replace(tzinfo=self._zone).utcoffset() != said.replace(tzinfo=self._zone, fold=1).utcoffset()
        stepped_back = self._last is not None and timedelta(minutes=-90) < said - self._last < timedelta(
            minutes=-20
        )
        self._second = twice and (self._second or stepped_back)
        self._last = said
        return said.replace(tzinfo=self._zone, fold=int(self._second)).astimezone(UTC)


def _once(readings: Iterable[_Reading]) -> tuple[list[_Reading], int]:
    """The first reading of each moment, in order of time, and how many were given again."""
    given = list(readings)
    by_moment: dict[datetime, _Reading] = {}
    for reading in given:
        by_moment.setdefault(reading.at, reading)
    return sorted(by_moment.values(), key=lambda reading: reading.at), len(given) - len(by_moment)


def _days(readings: Iterable[_Reading], zone: ZoneInfo, tunnel: str) -> list[Row]:
    by_day: dict[date, list[_Reading]] = defaultdict(list)
    for reading in readings:
        by_day[reading.at.astimezone(zone).date()].append(reading)
    return [Row(0, day, tunnel, _day_air(day, of_day, zone)) for day, of_day in sorted(by_day.items())]


def _day_air(day: date, readings: list[_Reading], zone: ZoneInfo) -> Air:
    begin = datetime.combine(day, time(), zone).astimezone(UTC)
    end = datetime.combine(day + timedelta(days=1), time(), zone).astimezone(UTC)
    hours = ceil((end - begin) / timedelta(hours=1))
    temps: list[list[float]] = [[] for _ in range(hours)]
    humid: list[list[float]] = [[] for _ in range(hours)]
    for reading in readings:
        hour = int((reading.at - begin) / timedelta(hours=1))
        temps[hour].append(reading.temp_c)
        if reading.rh is not None:
            humid[hour].append(min(reading.rh, 100.0))
    hours_c = tuple(round(fmean(hour), 2) if hour else None for hour in temps)
    hours_rh = tuple(round(fmean(hour), 1) if hour else None for hour in humid)
    every = [reading.temp_c for reading in readings]
    return Air(
        source="sensor",
        min_c=round(min(every), 2),
        max_c=round(max(every), 2),
        mean_c=round(fmean(fmean(hour) for hour in temps if hour), 2),
        hours_c=hours_c,
        hours_rh=hours_rh if any(value is not None for value in hours_rh) else (),
        readings=len(readings),
    )


def _refuse_fractions(table: Table, columns: Mapping[str, str], readings: Iterable[_Reading]) -> None:
    say = fractions(columns.get("rh", ""), [reading.rh for reading in readings if reading.rh is not None])
    if say:
        raise Trouble(f"{table.file}: {say}", "Multiply that column by 100, or leave it out, and import again.")


def _refuse_fahrenheit(table: Table, rows: Iterable[Row]) -> None:
    said = [value for row in rows for value in (row.body.mean_c, row.body.max_c) if value is not None]
    middle = fmean(said) if said else 0.0
    if middle > FAHRENHEIT_MEAN:
        raise Trouble(
            f"{table.file} has {middle:.0f} degrees in the middle: that is Fahrenheit, or a sensor at fault.",
            "Set the logger to degrees Celsius, export again, and import that file.",
        )
