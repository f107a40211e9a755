"""What a leader's counted trusses say; counts that fall or leap are flagged and left out."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tunneltui.cells import say
from tunneltui.growth.defaults import STILL_DAYS
from tunneltui.growth.outlook import LeftOut
from tunneltui.holding.crops import Crop
from tunneltui.season.state import Leader, Reading


class TrussCount(Struct, frozen=True):
    """New flowering trusses of a leader from one day to another."""

    start: int
    end: int
    new: float
    stems: int


class TrussCounts(Struct, frozen=True):
    counts: tuple[TrussCount, ...]
    trusses: tuple[tuple[int, float], ...]
    """Flowering truss by day, as counted or added up."""
    none_open: int | None
    """Last day on which no truss was in flower yet."""
    lowest: tuple[tuple[int, float], ...]
    """Lowest truss not picked, by day."""
    hanging: tuple[int, int] | None
    """Day on which those on it were last counted, and how many hung."""
    flagged: tuple[LeftOut, ...]
    doubted: LeftOut | None
    """A count left out that none since has settled."""


def left_out(leader: Leader, on: date, *, fault: str) -> LeftOut:
    return LeftOut(on, fault, say("{} {}: {}; left out", leader.name, on.isoformat(), fault))


def days_words(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"


def stood_still(leader: Leader) -> tuple[tuple[int, int], ...]:
    """From which day to which nothing led the stem, its tip being gone."""
    snapped = [done.day.toordinal() for done in leader.accidents if done.kind == "tip_snapped"]
    return tuple((day, day + STILL_DAYS) for day in snapped)


def truss_counts(leader: Leader, crop: Crop) -> TrussCounts:
    """All that was counted of a leader's trusses, in order of time. Once the tip is out no truss follows: what is
    counted later was so on that day."""
    out = leader.tip_taken_out_on
    counts: list[TrussCount] = []
    trusses: list[tuple[int, float]] = []
    lowest: list[tuple[int, float]] = []
    flags: list[LeftOut] = []
    doubted: dict[str, LeftOut] = {}
    still = stood_still(leader)
    hanging = none_open = None
    lowest_counted = False
    for reading in leader.readings:
        day = reading.day.toordinal()
        if reading.day < leader.since:
            continue
        number = _flowering(reading, trusses[-1][1] if trusses else None if none_open is None else 0.0)
        flowered_by = day if out is None else min(day, out.toordinal())
        if number is not None and number < 1 and not trusses:
            # A nought says nothing of how long it is until the first: no truss is counted from it.
            none_open = flowered_by
        elif number is not None:
            fault = _count_fault(trusses, flowered_by, number, crop)
            if fault:
                doubted["flowering"] = left_out(leader, reading.day, fault=fault)
                flags.append(doubted["flowering"])
            else:
                doubted.pop("flowering", None)
                if (
                    trusses
                    and flowered_by > trusses[-1][0]
                    and not any(first < flowered_by and trusses[-1][0] < last for first, last in still)
                ):
                    counts.append(TrussCount(trusses[-1][0], flowered_by, number - trusses[-1][1], reading.stems))
                trusses.append((flowered_by, number))
        if reading.lowest_truss is not None:
            if lowest and reading.lowest_truss < lowest[-1][1] and lowest_counted:
                fallen = f"lowest truss {reading.lowest_truss:g} after {lowest[-1][1]:g}, counts do not fall"
                doubted["lowest"] = left_out(leader, reading.day, fault=fallen)
                flags.append(doubted["lowest"])
            else:
                doubted.pop("lowest", None)
                lowest.append((day, reading.lowest_truss))
                lowest_counted = reading.by == "rule"
        if reading.trusses_hanging is not None:
            hanging = (day, reading.trusses_hanging)
    last = next(iter(doubted.values()), None)
    return TrussCounts(tuple(counts), tuple(trusses), none_open, tuple(lowest), hanging, tuple(flags), last)


def _flowering(reading: Reading, before: float | None) -> float | None:
    if reading.flowering_truss is not None:
        return reading.flowering_truss
    if reading.flowering_since is not None and before is not None:
        return before + reading.flowering_since
    return None


def _count_fault(before: list[tuple[int, float]], day: int, number: float, crop: Crop) -> str:
    if not before:
        return ""
    days, new = day - before[-1][0], number - before[-1][1]
    if new < 0:
        return f"flowering truss {number:g} after {before[-1][1]:g}, counts do not fall"
    if new > crop.most_trusses_a_day * days + 1:
        return f"{new:g} new trusses in {days_words(days)}"
    return ""
