"""What a planned season would bear: the loads of a morning, asked of planned stems every three weeks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import TypeVar

from tunneltui.cells import m, say
from tunneltui.growth.outlook import Band, LeaderOutlook, Outlook, StemOn
from tunneltui.loads.chain import loads
from tunneltui.loads.low_fruit import low_trusses
from tunneltui.loads.result import HoopLoad, LineLoad, Loads, StemPath, WireLoad
from tunneltui.loads.strength import Strength
from tunneltui.loads.workings import NOTHING_TAUGHT
from tunneltui.review.plan_season import ComingSeason
from tunneltui.review.plan_stems import held_back_m, hung, tip_z_m
from tunneltui.review.plan_values import Peak
from tunneltui.season.state import Leader, Season
from tunneltui.values import replace

FIRST_LOOK_DAYS = 63
LOOK_EVERY_DAYS = 21


def look_days(planted_on: date, last: date) -> list[date]:
    """Days on which a plan's loads are asked: from nine weeks after planting, every three weeks."""
    days, day = [], planted_on + timedelta(days=FIRST_LOOK_DAYS)
    while day <= last:
        days.append(day)
        day += timedelta(days=LOOK_EVERY_DAYS)
    return days or [last]


def peak(coming: ComingSeason, days: Sequence[date]) -> Peak | None:
    """The greatest loads over these days; None where nothing would stand."""
    if not coming.season.leaders:
        return None
    stems = {day: stems_on(coming, day) for day in days}
    held = max(held_back_m(coming.season, stems[day], day) for day in days)
    looks = [planned_loads(coming.season, stems[day], day, alone=True) for day in days]
    return peak_of(looks, held, on_soil_kg([look.paths for look in looks], stems.values()))


def stems_on(coming: ComingSeason, day: date) -> dict[str, StemOn]:
    """Every planned stem as it would be on that day."""
    return {name: coming.stem(name, day) for name in coming.season.leaders}


def planned_loads(
    season: Season,
    stems: Mapping[str, StemOn],
    day: date,
    *,
    alone: bool = False,
    taught: Mapping[str, Strength] = NOTHING_TAUGHT,
) -> Loads:
    """``loads.chain.loads`` on planned leaders with planned clips and hooks.

    ``taught``: how strong kinds of clip are, as the clips of another season tell."""
    standing = hung(season, stems, day)
    hanging = {name: tipped(season, season.leaders[name], stem) for name, stem in stems.items()}
    return loads(standing, _outlook(hanging, day), day, alone=alone, taught=taught)


def tipped(season: Season, leader: Leader, stem: StemOn) -> StemOn:
    """A planned stem with its tip where a planned head hangs."""
    return replace(stem, tip_z_m=_same(tip_z_m(season, leader, stem.length_m.mid)))


def on_soil_kg(looks: Iterable[Mapping[str, StemPath]], stems: Iterable[Mapping[str, StemOn]]) -> float:
    """Fruit of every truss that lies on the soil on any of the days, each truss once.

    Paths and stems of the same days, by leader.
    """
    lost: dict[tuple[str, int], float] = {}
    for paths, grown in zip(looks, stems, strict=True):
        for name, stem in grown.items():
            for truss in low_trusses(paths[name], stem.trusses) if name in paths else ():
                lost[name, truss.number] = max(truss.kg, lost.get((name, truss.number), 0.0))
    return sum(lost.values())


def peak_of(looks: Sequence[Loads], held_m: float, soil_kg: float) -> Peak:
    fullest = max(looks, key=lambda look: _fullest_string(look)[0])
    newton, line = _fullest_string(fullest)
    string = next((line_load for line_load in fullest.lines if line_load.id == line), None)
    wire_n, wire = max(((w.tension_n, w.row) for look in looks for w in look.wires), default=(0.0, ""))
    hoop_n, hoop = max(
        ((h.load_n, say("{} at {}", h.tunnel, m(h.x_m))) for look in looks for h in look.hoops), default=(0.0, "")
    )
    hook = max(
        (line for look in looks for line in look.lines if "/" not in line.id), key=lambda h: h.mid_n, default=None
    )
    heaviest = _heaviest(looks)
    return Peak(
        fullest.day,
        line,
        Band(string.low_n, newton, string.high_n) if string else Band(0.0, 0.0, 0.0),
        wire,
        wire_n,
        hoop,
        hoop_n,
        hook.id if hook else "",
        Band(hook.low_n, hook.mid_n, hook.high_n) if hook else Band(0.0, 0.0, 0.0),
        {row: kg for row, (kg, _) in heaviest.items()},
        {row: day for row, (_, day) in heaviest.items()},
        soil_kg,
        held_m,
        max(len(look.faults) for look in looks),
        _fullest(looks, lambda look: [line for line in look.lines if "/" in line.id], lambda line: line.mid_n),
        _fullest(looks, lambda look: look.wires, lambda wire: wire.tension_n),
        _fullest(looks, lambda look: look.hoops, lambda hoop: hoop.load_n),
    )


def _heaviest(looks: Sequence[Loads]) -> dict[str, tuple[float, date]]:
    """By row what hangs on its heaviest day, and that day."""
    heaviest: dict[str, tuple[float, date]] = {}
    for look in looks:
        for row in look.rows:
            if row.row not in heaviest or row.hanging_kg > heaviest[row.row][0]:
                heaviest[row.row] = row.hanging_kg, look.day
    return heaviest


_Bears = TypeVar("_Bears", LineLoad, WireLoad, HoopLoad)


def _fullest(
    looks: Sequence[Loads], of: Callable[[Loads], Sequence[_Bears]], newton: Callable[[_Bears], float]
) -> tuple[tuple[date, _Bears], ...]:
    """Each string, wire or hoop on the day it bears most, in the order of the house."""
    fullest: dict[tuple[str, float], tuple[date, _Bears]] = {}
    for look in looks:
        for line in of(look):
            key = _place_of(line)
            if key not in fullest or newton(line) > newton(fullest[key][1]):
                fullest[key] = (look.day, line)
    return tuple(fullest[key] for key in sorted(fullest))


def _place_of(borne: LineLoad | WireLoad | HoopLoad) -> tuple[str, float]:
    if isinstance(borne, LineLoad):
        row, _, number = borne.id.partition("/")
        return row, float(number)
    if isinstance(borne, WireLoad):
        return f"{borne.row} {borne.span!s}", 0.0
    return borne.tunnel, borne.x_m


def _fullest_string(look: Loads) -> tuple[float, str]:
    """Hooks are named by their leader, strings by row and number."""
    return max(((line.mid_n, line.id) for line in look.lines if "/" in line.id), default=(0.0, ""))


def _outlook(stems: Mapping[str, StemOn], day: date) -> Outlook:
    still = _same(0.0)
    leaders = {
        name: LeaderOutlook(name, {day: stem}, None, still, still, (None, None, None))
        for name, stem in stems.items()
    }
    return Outlook(day, leaders, (), air_typical=True)


def _same(value: float) -> Band:
    return Band(value, value, value)
