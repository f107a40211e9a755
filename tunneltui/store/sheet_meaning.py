"""What a column of a measuring sheet says: what came since the last visit, or the whole so far.

Decided by evidence: a running total beside it, else how each plant's values run.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from statistics import median
from typing import Literal

from tunneltui.cells import cm, say
from tunneltui.pages import sheets
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_words import plain
from tunneltui.values import replace

CountedAs = Literal["increments", "totals"]

AGREES_M = 0.02
SLOWEST_M_A_DAY, FASTEST_M_A_DAY = 0.003, 0.15
"""Between them the middle stem of a sheet grows, tomato or cucumber. Common practice, no source."""
TELLING_VISITS = 4
"""Growth may rise from visit to visit for two or three weeks of spring; in fewer visits a rise tells nothing."""
RISES, FALLS = 0.9, 0.75
"""Share of a plant's steps that do not fall: at least so many in a whole so far, at most so many in growth."""
AGREE = 0.8
"""Share of rows or plants that must speak for what a column is taken to be."""


@dataclass(frozen=True, slots=True)
class ParsedRow:
    """A row as the file says it; lengths in metres."""

    line: int
    day: date
    label: str
    values: dict[str, float]
    cultivar: str = ""
    row: str = ""
    plant: str = ""
    """The row or block, and the plant in it, where the file tells both apart."""


_EITHER = (("totals", "the whole so far"), ("increments", "what came since the last visit"))


def by_label(rows: Iterable[ParsedRow]) -> dict[str, list[ParsedRow]]:
    series: dict[str, list[ParsedRow]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: (row.day, row.line)):
        series[row.label].append(row)
    return series


def length_is(
    rows: list[ParsedRow], columns: Mapping[str, str], stated: CountedAs | None
) -> tuple[CountedAs, list[str]]:
    """Whether the length column is growth since the last visit or the whole length."""
    if "length" not in columns:
        return "totals", []
    name = columns["length"]
    if stated is not None:
        return stated, [say(sheets.AS_TOLD, name, stated)]
    if "total" in columns:
        by_sum, by_itself, n = _against_total(rows)
        if n and max(by_sum, by_itself) >= AGREE * n:
            meant: CountedAs = "increments" if by_sum >= by_itself else "totals"
            agree = say(sheets.ADDED_UP, columns["total"]) if meant == "increments" else sheets.EQUAL
            return meant, [say(sheets.BY_TOTAL, name, _word(meant), agree, max(by_sum, by_itself), n)]
    return _by_rising(rows, "length", name, "as")


def without_contradiction(
    rows: list[ParsedRow], columns: Mapping[str, str], length: CountedAs
) -> tuple[list[ParsedRow], list[str]]:
    """The rows with one of two columns left out where they contradict each other in most rows, and why.

    Growth since the last visit is read with a rule at one place, so the length column is kept where it is likely.

    Raises:
        Doubt: neither is likely by itself.
    """
    if not {"length", "total"} <= columns.keys():
        return rows, []
    parted, n = _partings(rows, length)
    if len(parted) <= (1 - AGREE) * n:
        return rows, []
    name, total = columns["length"], columns["total"]
    line, difference = parted[0]
    begin = say(sheets.CONTRADICT, name, total, len(parted), n, line, difference)
    if _likely(rows, "length", length):
        return _without(rows, "total"), [say(sheets.TAKEN, begin, name, total, "length")]
    if _likely(rows, "total", "totals"):
        return _without(rows, "length"), [say(sheets.TAKEN, begin, total, name, "total")]
    answers = (("total=none", f"take {name}"), ("length=none", f"take {total}"))
    raise Doubt(begin, "map", answers)


def _partings(rows: list[ParsedRow], length: CountedAs) -> tuple[list[tuple[int, str]], int]:
    """Rows in which growth disagrees with the running total, each with what it says; and all looked at."""
    parted: list[tuple[int, str]] = []
    n = 0
    for series in by_label(rows).values():
        for before, row in pairwise([row for row in series if "total" in row.values]):
            if "length" not in row.values:
                continue
            n += 1
            rose = row.values["total"] - before.values["total"]
            if length == "increments":
                grew = row.values["length"]
            elif "length" in before.values:
                grew = row.values["length"] - before.values["length"]
            else:
                continue
            if abs(rose - grew) > AGREES_M:
                parted.append((row.line, f"{_cm(grew)} grown, {_cm(rose)} risen"))
    return sorted(parted), n


def _cm(metres: float) -> str:
    return say("{}", cm(metres))


def _without(rows: list[ParsedRow], field: str) -> list[ParsedRow]:
    left = [replace(row, values={name: v for name, v in row.values.items() if name != field}) for row in rows]
    return [row for row in left if row.values]


def _likely(rows: list[ParsedRow], field: str, counted_as: CountedAs) -> bool:
    """Whether the growth a day that a column tells is a stem's in nine rows of ten."""
    rates = [rate for series in by_label(rows).values() for rate in _rates(series, field, counted_as)]
    return bool(rates) and sum(-0.005 <= rate <= FASTEST_M_A_DAY for rate in rates) >= 0.9 * len(rates)


def _rates(series: Sequence[ParsedRow], field: str, counted_as: CountedAs) -> list[float]:
    """Growth in metres a day from visit to visit."""
    rows = [row for row in series if field in row.values]
    rates = []
    for before, row in pairwise(rows):
        days = max((row.day - before.day).days, 1)
        grown = row.values[field] - (before.values[field] if counted_as == "totals" else 0.0)
        rates.append(grown / days)
    return rates


def _word(meant: CountedAs) -> str:
    return sheets.SINCE_LAST if meant == "increments" else sheets.SO_FAR


def _against_total(rows: list[ParsedRow]) -> tuple[int, int, int]:
    """Rows in which the length added up, and by itself, agrees with the running total; and rows looked at."""
    by_sum = by_itself = n = 0
    for series in by_label(rows).values():
        total = 0.0
        for row in series:
            if "length" not in row.values:
                continue
            total += row.values["length"]
            if "total" in row.values:
                n += 1
                by_sum += abs(total - row.values["total"]) <= AGREES_M
                by_itself += abs(row.values["length"] - row.values["total"]) <= AGREES_M
    return by_sum, by_itself, n


def _by_rising(rows: list[ParsedRow], field: str, name: str, flag: str) -> tuple[CountedAs, list[str]]:
    """By how each plant's values run: a whole so far rises and ends above where it began."""
    runs = [[row.values[field] for row in series if field in row.values] for series in by_label(rows).values()]
    runs = [run for run in runs if len(run) > 1]
    if not runs:
        problem = f"One visit cannot tell whether {name} is what came since the last or the whole so far."
        raise Doubt(problem, flag, _EITHER)
    if field == "length" and (only := _only_likely(rows)):
        other, would = ("increments", sheets.TOO_FAST) if only == "totals" else ("totals", sheets.TOO_SLOW)
        return only, [say(sheets.BY_GROWTH, name, _word(only), other, would)]
    whole, growth = sum(_runs_as_whole(run) for run in runs), sum(_runs_as_growth(run) for run in runs)
    short = field == "length" and max(map(len, runs)) < TELLING_VISITS and whole > growth
    if max(whole, growth) < AGREE * len(runs) or short:
        problem = f"{name} may be what came since the last visit or the whole so far: nothing tells which."
        raise Doubt(problem, flag, _EITHER)
    meant: CountedAs = "totals" if whole > growth else "increments"
    how = sheets.RISES if meant == "totals" else sheets.FALLS
    return meant, [say(sheets.BY_RUN, name, _word(meant), how, max(whole, growth), len(runs))]


def _only_likely(rows: list[ParsedRow]) -> CountedAs | None:
    """Which of both readings gives stems that grow as stems do, where only one does."""
    every = by_label(rows).values()
    as_totals = [rate for series in every for rate in _rates(series, "length", "totals")]
    as_growth = [rate for series in every for rate in _rates(series, "length", "increments")]
    totals = SLOWEST_M_A_DAY <= median(as_totals) <= FASTEST_M_A_DAY
    growth = 0 <= median(as_growth) <= FASTEST_M_A_DAY
    if totals == growth:
        return None
    return "totals" if totals else "increments"


def _rising(run: Sequence[float]) -> float:
    return sum(later >= earlier for earlier, later in pairwise(run)) / (len(run) - 1)


def _runs_as_whole(run: Sequence[float]) -> bool:
    return _rising(run) >= RISES and run[-1] > run[0]


def _runs_as_growth(run: Sequence[float]) -> bool:
    return _rising(run) <= FALLS or run[-1] <= run[0]


def trusses_are(
    rows: list[ParsedRow], columns: Mapping[str, str], stated: CountedAs | None
) -> tuple[CountedAs, list[str]]:
    if "flowering" not in columns:
        return "totals", []
    name = columns["flowering"]
    if stated is not None:
        return stated, [say(sheets.AS_TOLD, name, stated)]
    if plain(name).startswith("cum"):
        return "totals", [say(sheets.BY_HEADING, name, _word("totals"))]
    return _by_rising(rows, "flowering", name, "trusses-as")
