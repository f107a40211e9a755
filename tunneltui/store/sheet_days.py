"""Days and times as sheets write them: any order of day and month, month names, weeks, serial days, clocks.

Orders that nothing tells apart are asked for; where both were possible, which was taken is said.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from tunneltui.cells import say
from tunneltui.holding.user_error import UserError
from tunneltui.pages import sheets
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_numbers import CellFault
from tunneltui.store.sheet_words import MONTHS, plain

DateOrder = Literal["year first", "day first", "month first", "serial", "year day month", "named", "week"]
DayOrder = Literal["year first", "day first", "month first", "year day month"]
"""Orders that a grower may state."""

_EPOCH = datetime(1899, 12, 30)
"""Day 0 of spreadsheet serial days (ECMA-376 part 1, section 18.17.4.1, the 1900 date system)."""
_SERIAL_LEAST, _SERIAL_MOST = 20_000, 80_000
_POSIX_SERIAL = (datetime(1970, 1, 1) - _EPOCH).days
SWAPPED_STEP_DAYS = 14
"""Visits at one even step of no more than this, where the sheet as written leaps by months, were changed over."""
LONGEST_DAYS = 500
"""Rows further apart than this in one sheet are not of one season."""

_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?!\d)", re.ASCII)
_COMPACT = re.compile(r"(20\d{2})(\d{2})(\d{2})(?!\d)", re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})\s?([-/.])\s?(\d{1,2})\s?[-/.]\s?(\d{4}|\d{2})(?!\d)", re.ASCII)
_NAMED = re.compile(
    r"(?:[^\W\d_]+\.?,?\s+)?(\d{1,2})(?:st|nd|rd|th|er|\.|º)?[\s./-]*(?:de\s+)?([^\W\d_]{3,})"
    r"\.?[\s./,-]*(?:de\s+)?(\d{4}|\d{2})?(?![\d:])"
)
_MONTH_FIRST_NAMED = re.compile(
    r"(?:[^\W\d_]+\.?,?\s+)?([^\W\d_]{3,})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})(?![\d:])"
)
_NO_YEAR = re.compile(r"(\d{1,2})([-/]|\.(?=\d{1,2}\.))(\d{1,2})\.?", re.ASCII)
_WEEKDAY = re.compile(r"[^\W\d_]{2,}\.?,?\s+(?=\d{1,4}\s?[-/.]\s?\d)")
_WEEK = re.compile(
    r"(?:(\d{4})[\s-]*)?(?:w|wk|week|kw|woche|sem|semaine|semana|settimana)[\s.-]*(\d{1,2})(?:[\s/-]+(\d{4}))?",
    re.I | re.ASCII,
)
_CLOCK = re.compile(
    r"[T ,;]*(\d{1,2})[:.h](\d{2})(?:[:.](\d{2})(?:[.,](\d+))?)?\s*([AaPp]\.?[Mm]\.?)?\s*"
    r"(Z|UTC|GMT|[+-]\d{2}:?\d{2})?\s*(?:uhr|h)?\s*",
    re.I,
)
_HOUR = re.compile(r"(\d{1,2})(?:\.0+)?\s*(?:h|uhr|uur)?\s*([AaPp][Mm])?", re.I | re.ASCII)

WEEK_SAID = "A week stands for its Monday."


@lru_cache(maxsize=65_536)
def _classified(cell: str) -> DateOrder | Literal["either", "no year"] | None:
    """Which order a cell is written in, as far as the cell tells."""
    if not cell or not any(c.isdigit() for c in cell):
        return None
    cell = _WEEKDAY.sub("", cell, count=1)
    compact = _COMPACT.match(cell)
    if _YEAR_FIRST.match(cell) or (compact and _calendar(*compact.groups())):
        return "year first"
    if _serial(cell) is not None:
        return "serial"
    if match := _YEAR_LAST.match(cell):
        first, sign, second = int(match[1]), match[2], int(match[3])
        if sign == "." or (first > 12 >= second):
            return "day first"
        if second > 12 >= first:
            return "month first"
        return "either" if first != second else "named"
    if _WEEK.fullmatch(cell.strip()):
        return "week"
    if _named(cell, 2000) is not None:
        return "named"
    if match := _NO_YEAR.fullmatch(cell.strip()):
        return "no year" if 1 <= int(match[1]) <= 31 and 1 <= int(match[3]) <= 31 else None
    return None


def is_a_day(cell: str) -> bool:
    """Whether a cell by itself reads as a day (a bare serial number does not)."""
    return _classified(cell.strip()) not in (None, "serial", "no year")


def heads_a_day(cell: str) -> bool:
    """Whether a heading is a day; a serial number is one there, as no plant has such a number."""
    return _classified(cell.strip()) not in (None, "no year")


def _calendar(year: str | int, month: str | int, day: str | int) -> date | None:
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None


def _posix_s(cell: str) -> float | None:
    """Seconds since 1970 UTC, as many loggers stamp their readings (POSIX.1-2017, 4.16), or milliseconds."""
    if not re.fullmatch(r"\d{10}(\d{3})?", cell):
        return None
    seconds = int(cell) / (1 if len(cell) == 10 else 1000)
    return seconds if _SERIAL_LEAST <= seconds / 86_400 + _POSIX_SERIAL <= _SERIAL_MOST else None


def _serial(cell: str) -> float | None:
    if (seconds := _posix_s(cell)) is not None:
        return seconds / 86_400 + _POSIX_SERIAL
    if not re.fullmatch(r"\d{5}([.,]\d+)?", cell):
        return None
    value = float(cell.replace(",", "."))
    return value if _SERIAL_LEAST <= value <= _SERIAL_MOST else None


def _full_year(text: str) -> int:
    return int(text) if len(text) > 2 else 2000 + int(text)


def _named(cell: str, year: int | None) -> tuple[date, int] | None:
    """A day whose month is a word, and where it ends; without a year in the cell, one of ``year``."""
    text = cell.strip()
    if match := _MONTH_FIRST_NAMED.match(text):
        month, day, year_text = MONTHS.get(plain(match[1])), match[2], match[3]
    elif match := _NAMED.match(text):
        month, day, year_text = MONTHS.get(plain(match[2])), match[1], match[3] or ""
    else:
        return None
    if month is None or not (year_text or year):
        return None
    at = _calendar(_full_year(year_text) if year_text else year or 0, month, day)
    return (at, match.end()) if at else None


def needs_year(cells: Iterable[str]) -> bool:
    """Whether the days that stand there name no year; one such among others is a slip of the pen."""
    days = [cell for cell in cells if _classified(cell) not in (None, "serial")]
    return bool(days) and sum(map(_names_no_year, days)) > len(days) / 2


def _names_no_year(cell: str) -> bool:
    kind = _classified(cell)
    if kind == "named":
        match = _MONTH_FIRST_NAMED.match(cell.strip()) or _NAMED.match(cell.strip())
        return match is not None and not match[3] and not _YEAR_LAST.match(cell)
    if kind == "week":
        week = _WEEK.fullmatch(cell.strip())
        return week is not None and not (week[1] or week[3])
    return kind == "no year"


def date_order(
    file: str,
    column: str,
    cells: Sequence[tuple[int, str]],
    stated: DayOrder | None = None,
    groups: Sequence[str] = (),
) -> tuple[DateOrder, list[str]]:
    """In which order a column writes its days, and what was found out. ``cells``: line and text of each row;
    ``groups``: whose row it is, where several plants follow one another.

    Raises:
        UserError: no cell is a day, or orders are mixed; the lines are named.
        Doubt: nothing tells which order it is, or the days run backward as written and forward with day and month
            changed over.
    """
    cells, groups = _first_of_each_day(cells, groups)
    seen: dict[DateOrder, int] = {}
    either = 0
    for number, cell in cells:
        kind = _classified(cell)
        if kind == "either" or kind == "no year":
            either = either or number
        elif kind is not None and kind != "named":
            seen.setdefault(kind, number)
    if stated == "year day month":
        return stated, [say(sheets.YEAR_DAY_MONTH, column)]
    if stated is not None:
        wrong = {
            order: n for order, n in seen.items() if order in ("day first", "month first") and order != stated
        }
        if wrong:
            doubtful: list[tuple[DateOrder, int]] = [(stated, either)] if either else []
            raise _mixed(file, column, dict([*doubtful, *wrong.items()]), 0)
        seen = {stated: either or next(iter(seen.values()), 0)} if either or not seen else seen
        either = 0
    elif (
        set(seen) >= {"day first", "month first"}
        or (len(seen) > 1)
        or (either and set(seen) & {"year first", "serial"})
    ):
        raise _mixed(file, column, seen, either)
    if not seen and not either:
        if any(_classified(cell) == "named" for _, cell in cells):
            return "named", []
        raise UserError(f"{file} has no day that can be read in column {column}.", "Name it with --map.")
    if seen:
        order = next(iter(seen))
        if order == "year first" and stated is None:
            _refuse_if_swapped(file, column, cells, groups)
        return order, [_order_found(column, order, cells)] if either else []
    order = _order_that_fits(file, cells, groups)
    return order, [_order_found(column, order, cells)]


def _first_of_each_day(
    cells: Sequence[tuple[int, str]], groups: Sequence[str]
) -> tuple[list[tuple[int, str]], list[str]]:
    """Of rows that follow one another with the same day, the first: a logger writes hundreds of them."""
    kept: list[int] = []
    last: tuple[str, str] | None = None
    for n, (_, cell) in enumerate(cells):
        day = (cell[:11], groups[n] if groups else "")
        if day != last:
            kept.append(n)
        last = day
    return [cells[n] for n in kept], [groups[n] for n in kept] if groups else []


def _order_found(column: str, order: DateOrder, cells: Sequence[tuple[int, str]]) -> str:
    cell = next(cell for _, cell in cells if _classified(cell) in ("either", "no year"))
    day = day_of(cell, order, 2001)
    shown = f"{day.day} {day:%B}" if day else order
    return f"{column} has {order}: {cell} is {shown}."


def _mixed(file: str, column: str, seen: Mapping[DateOrder, int], either: int) -> UserError:
    lines = [f"line {n} has {order}" for order, n in sorted(seen.items(), key=lambda pair: pair[1])]
    lines += [f"line {either} has day or month first"] if either and len(seen) < 2 else []
    say = f"{file} mixes orders of day and month in column {column}: {', '.join(lines)}."
    return UserError(say, "Write every day as year-month-day, such as 2026-08-20, and import again.")


def _runs(days: Sequence[date | None], groups: Sequence[str]) -> bool:
    """Whether the days run one way, forward or newest first, for each plant in turn, within one season."""
    dated = [(groups[n] if groups else "", day) for n, day in enumerate(days) if day is not None]
    if len({day for _, day in dated}) < 2 or len(dated) < len(days):
        return False
    by_group: dict[str, list[date]] = {}
    for group, day in dated:
        by_group.setdefault(group, []).append(day)
    one_way = all(
        all(a <= b for a, b in pairwise(run)) or all(a >= b for a, b in pairwise(run)) for run in by_group.values()
    )
    every = [day for _, day in dated]
    return one_way and (max(every) - min(every)).days <= LONGEST_DAYS


def _steps(days: Sequence[date | None]) -> int:
    """How many lengths of step there are between days: regular visits have few."""
    in_order = sorted({day for day in days if day is not None})
    return len({(b - a).days for a, b in pairwise(in_order)})


def _widest(days: Sequence[date | None]) -> int:
    """The longest step between days."""
    in_order = sorted({day for day in days if day is not None})
    return max(((b - a).days for a, b in pairwise(in_order)), default=0)


def _both_ways(cells: Sequence[tuple[int, str]], orders: Sequence[DateOrder]) -> str:
    """The first three days as each order reads them."""
    first = [cell for _, cell in cells if cell][:3]
    ways = []
    for order in orders:
        days = [day_of(cell, order, 2001) for cell in first]
        ways.append(
            f"{order}: " + ", ".join(f"{day.day} {day:%b} {day.year}" if day else "no day" for day in days)
        )
    return "; ".join(ways)


def _refuse_if_swapped(file: str, column: str, cells: Sequence[tuple[int, str]], groups: Sequence[str]) -> None:
    as_written = [day_of(cell, "year first") for _, cell in cells]
    over = [day_of(cell, "year day month") for _, cell in cells]
    if any(day is None for day in over) or not _runs(over, groups):
        return
    even = _steps(over) == 1 and _widest(over) <= SWAPPED_STEP_DAYS < _widest(as_written)
    if _runs(as_written, groups) and not even:
        return
    raise Doubt(
        f"{file}: the days in {column} make no season as written and run well with day and month changed over. "
        f"{_both_ways(cells, ('year first', 'year day month'))}.",
        "dates",
        (("year-day-month", "day and month were changed over"), ("year-first", "they stand as written")),
    )


def _order_that_fits(
    file: str, cells: Sequence[tuple[int, str]], groups: Sequence[str]
) -> Literal["day first", "month first"]:
    """Day or month first where every cell could be both: the one in which the sheet runs at even steps."""
    orders: tuple[Literal["day first", "month first"], ...] = ("day first", "month first")
    days = {order: [day_of(cell, order, 2001) for _, cell in cells] for order in orders}
    fits = [order for order in orders if len(cells) > 2 and _runs(days[order], groups)]
    if len(fits) == 2:
        even = sorted(fits, key=lambda order: _steps(days[order]))
        few, many = (_steps(days[order]) for order in even)
        fits = even[:1] if few <= 2 and many >= 2 * few + 1 else fits
    if len(fits) == 1:
        return fits[0]
    number, cell = next((n, cell) for n, cell in cells if _classified(cell) in ("either", "no year"))
    raise Doubt(
        f"Nothing in {file} tells whether {cell!r} (line {number}) has day or month first. "
        f"{_both_ways(cells, orders)}.",
        "dates",
        (("day-first", ""), ("month-first", "")),
    )


@lru_cache(maxsize=65_536)
def _day_and_rest(cell: str, order: DateOrder, year: int | None) -> tuple[date, str] | None:
    """A cell's day as that order reads it, and what stands behind it; None where it is no day."""
    match: re.Match[str] | None
    cell = _WEEKDAY.sub("", cell, count=1)
    if order == "serial":
        value = _serial(cell)
        return ((_EPOCH + timedelta(days=int(value))).date(), "") if value is not None else None
    if order in ("year first", "year day month") and (match := _YEAR_FIRST.match(cell) or _COMPACT.match(cell)):
        year_, second, third = match.groups()
        day = _calendar(year_, second, third) if order == "year first" else _calendar(year_, third, second)
        return (day, cell[match.end() :]) if day else None
    if order in ("year first", "serial", "week"):
        named = _named(cell, year)
        return (named[0], cell.strip()[named[1] :]) if named else None
    if match := _YEAR_LAST.match(cell):
        first, second, year_text = int(match[1]), int(match[3]), match[4]
        month_first = order == "month first" and match[2] != "."
        day = _calendar(_full_year(year_text), first if month_first else second, second if month_first else first)
        return (day, cell[match.end() :]) if day else None
    if named := _named(cell, year):
        return named[0], cell.strip()[named[1] :]
    if year and (match := _NO_YEAR.fullmatch(cell.strip())):
        first, second = int(match[1]), int(match[3])
        day = _calendar(
            year, first if order == "month first" else second, second if order == "month first" else first
        )
        return (day, "") if day else None
    return None


def day_of(cell: str, order: DateOrder, year: int | None = None) -> date | None:
    """A cell as a day, whatever stands behind it; None where it is none."""
    if order == "week":
        return week_monday(cell, year)
    day_and_rest = _day_and_rest(cell.strip(), order, year)
    return day_and_rest[0] if day_and_rest else None


def week_monday(cell: str, year: int | None) -> date | None:
    """The Monday of an ISO 8601 week: ``W23``, ``2026-W23``, ``23``."""
    text = cell.strip()
    match = _WEEK.fullmatch(text)
    if match:
        year_text = match[1] or match[3]
        year, week = (int(year_text) if year_text else year), int(match[2])
    elif re.fullmatch(r"\d{1,2}(\.0)?", text):
        week = int(float(text))
    else:
        return None
    if year is None:
        return None
    try:
        return date.fromisocalendar(year, week, 1)
    except ValueError:
        return None


def moment(cell: str, column: str, order: DateOrder, year: int | None = None) -> datetime:
    """A cell as a day with its time of day (midnight where it names none); aware where it names an offset.

    Raises:
        CellFault: it is no day, or written in another order than the rest.
    """
    where = f"{column}: {cell[:40]!r}"
    if order == "serial":
        days = _serial(cell)
        if days is None:
            raise CellFault(f"{where} is no day in a column of serial days")
        if (seconds := _posix_s(cell)) is not None:
            return datetime.fromtimestamp(seconds, UTC)
        return _EPOCH + timedelta(seconds=round(days * 86_400))
    if order == "week":
        monday = week_monday(cell, year)
        if monday is None:
            raise CellFault(f"{where} is no week of a year")
        return datetime(monday.year, monday.month, monday.day)
    # A logger writes the same few days and times over and over: each is read once.
    parted = cell.find(" ")
    apart = parted > 7 and order in ("year first", "day first", "month first") and cell[parted - 1].isdigit()
    day_and_rest = _day_and_rest(cell[:parted] if apart else cell, order, year)
    if day_and_rest and apart and not day_and_rest[1]:
        day_and_rest = day_and_rest[0], cell[parted:]
    elif apart:
        day_and_rest = _day_and_rest(cell, order, year)
    if day_and_rest is None:
        shape = {"year first": _YEAR_FIRST, "year day month": _YEAR_FIRST}.get(order, _YEAR_LAST)
        what = "no day of the calendar" if shape.match(cell) else "no day"
        raise CellFault(f"{where} is {what} with {order}")
    day, rest = day_and_rest
    midnight = datetime(day.year, day.month, day.day)
    if not rest or rest.isspace():
        return midnight
    since, zone, fault = _clock_behind(rest)
    if since is None:
        raise CellFault(f"{where} {fault}")
    at = midnight + since
    return datetime.fromisoformat(f"{at.isoformat()}{zone}") if zone else at


@lru_cache(maxsize=8192)
def _clock_behind(rest: str) -> tuple[timedelta | None, str, str]:
    """What stands behind a day as the time since midnight, its offset, and why it is none."""
    match = _CLOCK.fullmatch(rest)
    if not match:
        return None, "", "has something after the day that is no time"
    hour, minute, second, _, half, offset = match.groups()
    midnight = datetime(2001, 1, 1)
    at = _at(midnight, int(hour), int(minute), int(second or 0), half or "")
    if at is None:
        return None, "", "has no time of a day"
    zone = "+00:00" if offset and offset.upper() in ("Z", "UTC", "GMT") else offset or ""
    return at - midnight, zone, ""


def _at(midnight: datetime, hour: int, minute: int, second: int, half: str) -> datetime | None:
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half.lower().startswith("p") else 0)
    if (hour, minute, second) == (24, 0, 0):  # the end of a day, as loggers write it (ISO 8601-1:2019, 5.3.2)
        return midnight + timedelta(days=1)
    try:
        return midnight.replace(hour=hour, minute=minute, second=second)
    except ValueError:
        return None


def clock_reader(cells: Sequence[str]) -> Callable[[str], timedelta | None] | None:
    """How a column beside the days tells the time of day: a clock, whole hours or a share of the day; None where
    it tells none."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    if not filled:
        return None
    if all(_since_midnight(cell) is not None for cell in filled[:200]):
        return _since_midnight
    if all(re.fullmatch(r"0?[.,]\d+|0|1", cell) for cell in filled[:200]):
        return lambda cell: (
            timedelta(seconds=round(float(cell.replace(",", ".")) * 86_400)) if cell.strip() else None
        )
    return None


@lru_cache(maxsize=8192)
def _since_midnight(cell: str) -> timedelta | None:
    midnight = datetime(2001, 1, 1)
    if match := _CLOCK.fullmatch(cell.strip()):
        hour, minute, second, _, half, _ = match.groups()
        at = _at(midnight, int(hour), int(minute), int(second or 0), half or "")
    elif (match := _HOUR.fullmatch(cell.strip())) and int(match[1]) <= 24:
        at = _at(midnight, int(match[1]), 0, 0, match[2] or "")
    else:
        return None
    return at - midnight if at is not None else None
