"""A logger's file as one ``air`` entry a day: readings every few minutes, or a day's min, max and mean.

Times without an offset are the local clock of the holding's zone. The hour that the clock repeats in autumn is
told apart by the file's own order; a day has 23, 24 or 25 hours. A day's mean is the mean of its hours, so that a
gap does not lean it to the hours that were read more often.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import ceil
from statistics import fmean
from zoneinfo import ZoneInfo

from tunneltui.cells import say
from tunneltui.holding.user_error import UserError
from tunneltui.journal.kinds_care import Air
from tunneltui.journal.sense import fractions
from tunneltui.pages import sheets
from tunneltui.store.read_again import FileRow
from tunneltui.store.read_table import RefusedRow, Table
from tunneltui.store.sheet_columns import (
    DEGREES,
    TEMPERATURES,
    Days,
    columns_of,
    days_of,
    listed,
    number,
    unit_for,
)
from tunneltui.store.sheet_days import DateOrder, DayOrder
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_file import SheetLine
from tunneltui.store.sheet_numbers import CellFault

MOST_REFUSED = 0.5
"""Where more of the lines than this cannot be taken, the file was not understood."""
TELLS_EVERY = 20_000
LOWEST_C, HIGHEST_C = -45.0, 60.0
"""Air in a tunnel beyond these is a faulty sensor (common practice, no source)."""
SATURATED_RH = 105.0
"""Sensors drift and read a little over 100 % in saturated air; more is a fault (common practice, no source)."""
FAHRENHEIT_MEAN = 45.0
"""A file whose mean is above this many degrees cannot be a tunnel's air in degC; it is Fahrenheit or a fault."""
FAHRENHEIT_MOST = 130.0
"""Above it, it is no Fahrenheit either."""


@dataclass(frozen=True, slots=True)
class AirFile:
    """What a logger's file says, day by day, and how it was read."""

    source: str
    """The file's shape: its columns, not its name."""
    rows: tuple[FileRow, ...]
    columns: Mapping[str, str]
    order: DateOrder
    readings: int
    repeated: int
    """Readings given twice for one moment; the first counts."""
    refused: tuple[RefusedRow, ...]
    over_100: int = 0
    """Humidities of 100 to 105 %, taken as 100."""
    decided: tuple[str, ...] = ()
    """What was found out, and what is odd, each a sentence."""
    table: Table | None = None


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
    mapped: Mapping[str, str] | None = None,
    dates: DayOrder | None = None,
    year: int | None = None,
    units: Mapping[str, str] | None = None,
    southern: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> AirFile:
    """The days of a logger's table.

    ``zone`` is an IANA name, ``mapped`` says which column holds what (time, clock, temp, rh, min, max, mean),
    ``units`` the unit of what a column holds, ``southern`` that summer is in January; ``progress`` is told how
    many lines of all are read.

    Raises:
        UserError: no column of days or temperatures, or mixed date orders.
        Doubt: something is open that only the grower can tell.
    """
    mapped = mapped or {}
    columns = columns_of(table, "air", mapped)
    days = days_of(table, columns, "time", dates, year)
    daily = [name for name in ("min", "max", "mean") if name in columns]
    if not daily and "temp" not in columns:
        columns |= {"temp": _column_in_degrees(table, columns)}
    celsius = _Celsius(table, columns, units or {})
    source = f"air: {table.shape}"
    by_day = _is_daily(table, days)
    if "temp" not in columns or len(daily) > 1 or by_day:
        rows, refused = _daily_rows(table, columns, days, tunnel, celsius)
        taken, repeated, over_100 = len(rows), 0, 0
    else:
        _refuse_many_a_day(table, days)
        readings, refused = _readings(table, columns, days, ZoneInfo(zone), celsius, progress)
        say = fractions(columns.get("rh", ""), [reading.rh for reading in readings if reading.rh is not None])
        if say:
            raise UserError(
                f"{table.file}: {say}", "Multiply that column by 100, or leave it out, and import again."
            )
        over_100 = sum(1 for reading in readings if reading.rh is not None and reading.rh > 100)
        once, repeated = _once(readings)
        rows, taken = _days(once, ZoneInfo(zone), tunnel), len(once)
    if not rows:
        first = f" Line {refused[0].line}: {refused[0].why}." if refused else ""
        raise UserError(f"{table.file} has no reading that can be taken.{first}")
    if len(refused) > MOST_REFUSED * len(table.lines):
        raise UserError(
            f"{len(refused)} of {len(table.lines)} lines of {table.file} could not be read: nothing was written.",
            f"Line {refused[0].line}: {refused[0].why}. If the columns were misread, say --map.",
        )
    odd = (*_odd_clock(rows), *_odd_season(rows, southern))
    notes = (*table.notes, *days.notes, *celsius.notes, *odd)
    left_out = tuple(sorted([*refused, *table.left_out], key=lambda row: row.line))
    return AirFile(source, tuple(rows), columns, days.order, taken, repeated, left_out, over_100, notes, table)


class _Celsius:
    """Temperatures of a table's columns, in degrees Celsius."""

    def __init__(self, table: Table, columns: Mapping[str, str], units: Mapping[str, str]) -> None:
        self._fahrenheit = set()
        self.notes: list[str] = []
        for name in TEMPERATURES:
            if name not in columns:
                continue
            column = columns[name]
            unit = unit_for(table, column, units.get(name, units.get("temp", "")))
            if not unit:
                _refuse_fahrenheit(table, column)
            if unit == "F":
                self._fahrenheit.add(column)
                self.notes.append(say(sheets.FAHRENHEIT, column))
            elif unit and unit not in DEGREES:
                raise UserError(
                    f"{table.file}: {column} is in {unit}, which is no temperature.", "Say --map temp='Column'."
                )

    def __call__(self, table: Table, line: SheetLine, column: str) -> float | None:
        value = number(table, line, column)
        if value is not None and column in self._fahrenheit:
            value = round((value - 32) / 1.8, 2)
        if value is not None and not LOWEST_C <= value <= HIGHEST_C:
            raise CellFault(f"{column}: {value:g} is no air temperature in degrees Celsius")
        return value


def _refuse_many_a_day(table: Table, days: Days) -> None:
    """Several readings a day without a time: their times are not in the file, or were not found in it."""
    seen: dict[date, int] = {}
    for line in table.lines[:400]:
        try:
            at = days.moment(table, line)
        except CellFault:
            continue
        if at.time() != time() or at.tzinfo is not None:
            return
        seen[at.date()] = seen.get(at.date(), 0) + 1
    if seen and max(seen.values()) > 1:
        day, times = max(seen.items(), key=lambda pair: pair[1])
        raise Doubt(
            f"{table.file} has {times} readings on {day} and no time of day in {days.column}.",
            "map",
            tuple((f"clock={column}", "") for column in table.columns if column != days.column)[:4],
        )


def _odd_clock(rows: Sequence[FileRow]) -> list[str]:
    """Says so where nights are warmer than noon: the logger's clock, or its half of the day, is off."""
    warmest = [
        max((value, hour) for hour, value in enumerate(row.body.hours_c) if value is not None)[1]
        for row in rows
        if isinstance(row.body, Air) and sum(value is not None for value in row.body.hours_c) >= 20
    ]
    at_night = sum(hour >= 21 or hour <= 6 for hour in warmest)
    if len(warmest) < 3 or at_night <= len(warmest) / 2:
        return []
    return [say(sheets.WARM_NIGHTS, at_night, len(warmest))]


def _odd_season(rows: Sequence[FileRow], southern: bool) -> list[str]:
    """Says so where days do not fit the season: a hard frost in summer, a hot day's mean in winter."""
    summer, winter = ((12, 1, 2), (6, 7, 8)) if southern else ((6, 7, 8), (12, 1, 2))
    odd = []
    for row in rows:
        air = row.body
        cold = row.day.month in summer and air.min_c is not None and air.min_c < -2
        hot = row.day.month in winter and air.mean_c is not None and air.mean_c > 30
        if cold or hot:
            odd.append((row.day, air.min_c if cold else air.mean_c))
    if not odd:
        return []
    day, value = odd[0]
    return [say(sheets.OUT_OF_SEASON, len(odd), f"{day}", f"{value:g}")]


def _is_daily(table: Table, days: Days) -> bool:
    """One row a day, at no time of the day."""
    seen = []
    for line in table.lines[:400]:
        try:
            at = days.moment(table, line)
        except CellFault:
            continue
        if at.time() != time():
            return False
        seen.append(at.date())
    return len(set(seen)) == len(seen)


def _daily_rows(
    table: Table, columns: Mapping[str, str], days: Days, tunnel: str, celsius: _Celsius
) -> tuple[list[FileRow], list[RefusedRow]]:
    rows: list[FileRow] = []
    refused: list[RefusedRow] = []
    named = {"min_c": columns.get("min"), "max_c": columns.get("max"), "mean_c": columns.get("mean")}
    if not any(named.values()):
        named["mean_c"] = columns["temp"]
    seen: set[date] = set()
    for line in table.lines:
        try:
            day = days.moment(table, line).date()
            by_name = {name: celsius(table, line, column) for name, column in named.items() if column}
            values = [value for name in ("min_c", "mean_c", "max_c") if (value := by_name.get(name)) is not None]
            if values != sorted(values):
                raise CellFault(
                    f"the day's least, mean and most are out of order: {', '.join(f'{v:g}' for v in values)}"
                )
            if day in seen:
                raise CellFault(f"{day} stands in the file twice")
        except CellFault as fault:
            refused.append(RefusedRow(line.number, str(fault)))
            continue
        if any(value is not None for value in by_name.values()):
            seen.add(day)
            rows.append(
                FileRow(
                    line.number,
                    day,
                    tunnel,
                    Air("sensor", by_name.get("min_c"), by_name.get("max_c"), by_name.get("mean_c")),
                )
            )
    return rows, refused


def _readings(
    table: Table,
    columns: Mapping[str, str],
    days: Days,
    zone: ZoneInfo,
    celsius: _Celsius,
    progress: Callable[[int, int], None] | None,
) -> tuple[list[_Reading], list[RefusedRow]]:
    readings: list[_Reading] = []
    refused: list[RefusedRow] = []
    clock = _Clock(zone)
    of = len(table.lines)
    for done, line in enumerate(table.lines):
        if progress is not None and done % TELLS_EVERY == 0:
            progress(done, of)
        try:
            at = clock.utc(days.moment(table, line))
            temp_c = celsius(table, line, columns["temp"])
            rh = number(table, line, columns["rh"]) if "rh" in columns else None
            if rh is not None and not 0 <= rh <= SATURATED_RH:
                raise CellFault(f"{columns['rh']}: {rh:g} is no relative humidity")
        except CellFault as fault:
            refused.append(RefusedRow(line.number, str(fault)))
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
        self._offset: dict[date, timedelta | None] = {}
        """By day, how far the clock is ahead of UTC; None on the days on which it changes."""

    def utc(self, local: datetime) -> datetime:
        if local.tzinfo is not None:
            return local.astimezone(UTC)
        day = local.date()
        if day not in self._offset:
            begin = datetime.combine(day, time(), self._zone).utcoffset()
            end = datetime.combine(day + timedelta(days=1), time(), self._zone).utcoffset()
            self._offset[day] = begin if begin == end else None
        if (offset := self._offset[day]) is not None:
            self._last, self._second = local, False
            return local.replace(tzinfo=UTC) - offset
        twice = (
            local.replace(tzinfo=self._zone).utcoffset() != local.replace(tzinfo=self._zone, fold=1).utcoffset()
        )
        stepped_back = self._last is not None and timedelta(minutes=-90) < local - self._last < timedelta(
            minutes=-20
        )
        self._second = twice and (self._second or stepped_back)
        self._last = local
        return local.replace(tzinfo=self._zone, fold=int(self._second)).astimezone(UTC)


def _once(readings: Iterable[_Reading]) -> tuple[list[_Reading], int]:
    """The first reading of each moment, in order of time, and how many were given again."""
    given = list(readings)
    by_moment: dict[datetime, _Reading] = {}
    for reading in given:
        by_moment.setdefault(reading.at, reading)
    return sorted(by_moment.values(), key=lambda reading: reading.at), len(given) - len(by_moment)


def _days(readings: Iterable[_Reading], zone: ZoneInfo, tunnel: str) -> list[FileRow]:
    by_day: dict[date, list[_Reading]] = defaultdict(list)
    for reading in readings:
        by_day[reading.at.astimezone(zone).date()].append(reading)
    return [FileRow(0, day, tunnel, _day_air(day, of_day, zone)) for day, of_day in sorted(by_day.items())]


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


def _column_in_degrees(table: Table, columns: Mapping[str, str]) -> str:
    """Where no heading says so: the only other column whose unit is one of temperature.

    Raises:
        UserError: there is none.
        Doubt: there are several.
    """
    taken = set(columns.values())
    in_degrees = [column for column in table.columns if table.units.get(column) in DEGREES and column not in taken]
    if not in_degrees:
        raise UserError(
            f"{table.file} has no column of temperatures among {listed(table)}.", "Say --map temp='Column'."
        )
    if len(in_degrees) > 1:
        raise Doubt(
            f"{table.file}: which of {', '.join(map(repr, in_degrees))} is the tunnel's air?",
            "map",
            tuple((column, "") for column in in_degrees),
            "temp",
        )
    return in_degrees[0]


def _refuse_fahrenheit(table: Table, column: str) -> None:
    """Raises ``Doubt`` where a column without a unit is too warm in the middle for degrees Celsius."""
    values = []
    for line in table.lines[:2000]:
        with suppress(CellFault):
            value = number(table, line, column)
            if value is not None:
                values.append(value)
    middle = fmean(values) if values else 0.0
    if FAHRENHEIT_MEAN < middle <= FAHRENHEIT_MOST:
        raise Doubt(
            f"{table.file} has {middle:.0f} degrees in the middle of {column} and names no unit: that is "
            "Fahrenheit, or a sensor at fault.",
            "unit",
            (("F", "it is Fahrenheit"),),
            "temp",
        )
