"""What a column of a measuring sheet says: what came since the last visit, or the whole so far.

Decided by evidence: a running total beside it, else how each plant's values run.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Literal

from tunneltui.holding.trouble import Trouble
from tunneltui.store.read_air import plain_heading

Told = Literal["increments", "totals"]

AGREES_M = 0.02
RISES, FALLS = 0.9, 0.75
"""Share of a plant's steps that do not fall: at least so many in a whole so far, at most so many in growth."""
AGREE = 0.8
"""Share of rows or plants that must speak for what a column is taken to be."""


@dataclass(frozen=True, slots=True)
class Said:
    """A row as the file says it; lengths in metres."""

    line: int
    day: date
    label: str
    values: dict[str, float]


def by_label(said: Iterable[Said]) -> dict[str, list[Said]]:
    series: dict[str, list[Said]] = defaultdict(list)
    for row in sorted(said, key=lambda row: (row.day, row.line)):
        series[row.label].append(row)
    return series


def length_is(said: list[Said], columns: Mapping[str, str], told: Told | None) -> tuple[Told, list[str]]:
    """Whether the length column is growth since the last visit or the whole length."""
    if "length" not in columns:
        return "totals", []
    name = columns["length"]
    if told is not None:
        return told, [f"{name} is taken as {told}, as you said."]
    if "total" in columns:
        by_sum, by_itself, n = _against_total(said)
        if n and max(by_sum, by_itself) >= AGREE * n:
            found: Told = "increments" if by_sum >= by_itself else "totals"
            agree = f"added up it agrees with {columns['total']}" if found == "increments" else "it equals it"
            word = _word(found)
            return found, [f"{name} is {word}: {agree} in {max(by_sum, by_itself)} of {n} rows."]
    return _by_rising(said, "length", name, "--as")


def _word(found: Told) -> str:
    return "what came since the last visit (increments)" if found == "increments" else "the whole so far (totals)"


def _against_total(said: list[Said]) -> tuple[int, int, int]:
    """Rows in which the length added up, and by itself, agrees with the running total; and rows looked at."""
    by_sum = by_itself = n = 0
    for series in by_label(said).values():
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


def _by_rising(said: list[Said], field: str, name: str, flag: str) -> tuple[Told, list[str]]:
    """By how each plant's values run: a whole so far rises and ends above where it began."""
    runs = [[row.values[field] for row in series if field in row.values] for series in by_label(said).values()]
    runs = [run for run in runs if len(run) > 1]
    if not runs:
        ask = f"Say {flag} increments or {flag} totals."
        raise Trouble(
            f"One visit cannot tell whether {name} is what came since the last or the whole so far.", ask
        )
    whole, growth = sum(_runs_as_whole(run) for run in runs), sum(_runs_as_growth(run) for run in runs)
    if max(whole, growth) < AGREE * len(runs):
        say = f"{name} may be what came since the last visit or the whole so far: nothing tells which."
        raise Trouble(say, f"Say {flag} increments or {flag} totals.")
    found: Told = "totals" if whole > growth else "increments"
    how = (
        "rises from visit to visit" if found == "totals" else "falls as often as it rises, or ends where it began"
    )
    return found, [f"{name} is {_word(found)}: it {how} in {max(whole, growth)} of {len(runs)} plants."]


def _rising(run: Sequence[float]) -> float:
    return sum(later >= earlier for earlier, later in pairwise(run)) / (len(run) - 1)


def _runs_as_whole(run: Sequence[float]) -> bool:
    return _rising(run) >= RISES and run[-1] > run[0]


def _runs_as_growth(run: Sequence[float]) -> bool:
    return _rising(run) <= FALLS or run[-1] <= run[0]


def trusses_are(said: list[Said], columns: Mapping[str, str], told: Told | None) -> tuple[Told, list[str]]:
    if "flowering" not in columns:
        return "totals", []
    name = columns["flowering"]
    if told is not None:
        return told, [f"{name} is taken as {told}, as you said."]
    if plain_heading(name).startswith("cum"):
        return "totals", [f"{name} is {_word('totals')}, by its heading."]
    return _by_rising(said, "flowering", name, "--trusses-as")
