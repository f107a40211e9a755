"""Several plans for next season side by side: as planted, by vigour, and wider spaced."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from tunneltui.growth.forecast import basis
from tunneltui.growth.outlook import Band
from tunneltui.growth.pick_days import Yield
from tunneltui.holding.layout import Layout
from tunneltui.holding.trouble import Trouble
from tunneltui.journal.entry import Entry
from tunneltui.review.labour import yardstick_hours
from tunneltui.review.plan_buy import Wanted, to_buy
from tunneltui.review.plan_dates import cannot_be_kept, dates, planting_day
from tunneltui.review.plan_loads import look_days, peak
from tunneltui.review.plan_order import arrange, cost_m
from tunneltui.review.plan_records import STEM_SPREAD, cultivar_records
from tunneltui.review.plan_season import Coming, coming
from tunneltui.review.plan_stems import loop_fit
from tunneltui.review.plan_values import CultivarRecord, Dates, LoopFit, Plan
from tunneltui.season.state import Leader, Season

AS_PLANTED, BY_VIGOUR, WIDER = "as-planted", "by-vigour", "wider"


@dataclass(frozen=True, slots=True, eq=False)
class Planned:
    """Next season as far as it can be worked out."""

    day: date
    records: dict[str, CultivarRecord]
    dates: Dates
    cannot_be_kept: tuple[str, ...]
    plans: tuple[Plan, ...]
    buy: tuple[Wanted, ...]
    """For the plan by vigour."""


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    season: Season
    records: Mapping[str, CultivarRecord]
    learned: Mapping[str, Yield]
    planted_on: date


def plan(entries: Sequence[Entry], season: Season) -> Planned:
    """Plans from the places there are and the records so far.

    Raises:
        Trouble: there are no places, no cultivar is named for any, or the typical year has no warm spring.
    """
    given = intended(season)
    if not any(given.values()):
        raise Trouble(
            "No place has a cultivar yet, so there is nothing to arrange.",
            "Name one for each place: `tunneltui holding edit`.",
        )
    planted_on = planting_day(season.day, season.holding.latitude_deg)
    if planted_on is None:
        raise Trouble(
            "The typical year here has no day by the end of June with soil warm enough to plant.",
            "Check `latitude_deg` in the holding.",
        )
    records = cultivar_records(entries, season)
    known = _Known(season, records, basis(season).yields, planted_on)
    first, planned_first = _plan(known, AS_PLANTED, given, None)
    by_vigour = arranged(season.layout, given, lengths_m(planned_first))
    second, planned = _plan(known, BY_VIGOUR, by_vigour, first)
    third, _ = _plan(known, WIDER, _wider(season.layout, by_vigour), first)
    found = dates(planned)
    ends = {name: planned.stem(name, planned.last_day).length_m.mid for name in planned.season.leaders}
    return Planned(
        season.day,
        records,
        found,
        tuple(cannot_be_kept(found, season.day)),
        (first, second, third),
        tuple(to_buy(season, by_vigour, ends)),
    )


def intended(season: Season) -> dict[str, str]:
    """What stands at each place, else what the holding intends there, in walking order."""
    standing = {leader.place: leader.cultivar for leader in season.leaders.values()}
    return {name: standing.get(name) or s.place.cultivar for name, s in season.layout.places.items()}


def lengths_m(planned: Coming) -> dict[str, float]:
    """Stem on the last pick day by cultivar, the mean over where it stands."""
    found: dict[str, list[float]] = {}
    for name, leader in planned.season.leaders.items():
        found.setdefault(leader.cultivar, []).append(planned.stem(name, planned.last_day).length_m.mid)
    return {cultivar: sum(values) / len(values) for cultivar, values in found.items()}


def arranged(layout: Layout, cultivar_of: Mapping[str, str], length_m: Mapping[str, float]) -> dict[str, str]:
    """The same cultivars on the same places by ``plan_order.arrange``; places left empty stay so."""
    loops = _loops(layout, cultivar_of)
    given = [cultivar_of[name] for loop in loops for name in loop]
    dealt = arrange([len(loop) for loop in loops], given, length_m)
    new = {
        name: cultivar
        for loop, mine in zip(loops, dealt, strict=True)
        for name, cultivar in zip(loop, mine, strict=True)
    }
    return {name: new.get(name, "") for name in cultivar_of}


def _loops(layout: Layout, cultivar_of: Mapping[str, str]) -> list[list[str]]:
    """Places with a cultivar, of each loop, along the way round."""
    there = sorted(layout.places.items(), key=lambda item: item[1].u_m)
    return [[n for n, s in there if s.loop.id == loop and cultivar_of.get(n)] for loop in layout.loops]


def _wider(layout: Layout, cultivar_of: Mapping[str, str]) -> dict[str, str]:
    """Every fourth place of a loop left empty."""
    left_out = {name for loop in _loops(layout, cultivar_of) for name in loop[3::4]}
    return {name: "" if name in left_out else cultivar for name, cultivar in cultivar_of.items()}


def _plan(known: _Known, name: str, cultivar_of: Mapping[str, str], beside: Plan | None) -> tuple[Plan, Coming]:
    planned = coming(known.season, cultivar_of, known.records, known.planted_on)
    fits = loop_fits(planned, known.records)
    slopes = {fit.loop: fit.slope for fit in fits}
    borne = peak(planned, slopes, look_days(known.planted_on, planned.last_day))
    crops = planned.crops(known.learned)
    length_m = lengths_m(planned)
    cost = cost_m([[cultivar_of[n] for n in loop] for loop in _loops(known.season.layout, cultivar_of)], length_m)
    kg = Band(sum(c.kg.low for c in crops), sum(c.kg.mid for c in crops), sum(c.kg.high for c in crops))
    made = Plan(name, dict(cultivar_of), cost, fits, borne, crops, _hours(known, kg), "")
    return _with_what_it_gives_up(made, beside), planned


def loop_fits(planned: Coming, records: Mapping[str, CultivarRecord]) -> tuple[LoopFit, ...]:
    """Every tiered loop that something is planted in."""
    season = planned.season
    found = []
    for loop in season.layout.loops.values():
        bands = [
            _length_band(planned, leader, records.get(leader.cultivar))
            for leader in season.leaders_of_loop(loop.id)
            if leader.training == "tiered"
        ]
        if bands:
            found.append(loop_fit(season, loop, bands))
    return tuple(found)


def _length_band(planned: Coming, leader: Leader, found: CultivarRecord | None) -> Band:
    """Length at the end; its interval is how stems of the cultivar differ, in the air of a typical year."""
    mid = planned.stem(leader.id, planned.last_day).length_m.mid
    share = found.stem_spread if found else STEM_SPREAD
    return Band(mid * (1 - share), mid, mid * (1 + share))


def _hours(known: _Known, kg: Band) -> Band:
    """Plant work and picking by the Spanish figures (``review.labour``); the band is that of the kg."""
    area = sum(tunnel.length_m * tunnel.width_m for tunnel in known.season.holding.tunnels)
    return Band(*(sum(yardstick_hours(area, value)) for value in (kg.low, kg.mid, kg.high)))


def _with_what_it_gives_up(made: Plan, beside: Plan | None) -> Plan:
    if beside is None or made.peak is None or beside.peak is None:
        return replace(made, gives_up="nothing moves: the dearer order and its loads stay")
    kg = sum(c.kg.mid for c in made.crops) - sum(c.kg.mid for c in beside.crops)
    heavier = {
        row: made.peak.hanging_kg[row] - was
        for row, was in beside.peak.hanging_kg.items()
        if row in made.peak.hanging_kg
    }
    worst = max(heavier, key=lambda row: heavier[row], default="")
    says = [f"{-kg:.0f} kg of fruit"] if kg < -0.5 else []
    if worst and heavier[worst] > 0.5:
        says.append(f"row {worst} hangs {heavier[worst]:.0f} kg more at its peak")
    if made.peak.held_back_m > beside.peak.held_back_m + 0.05:
        says.append(f"heads hold stems back by {made.peak.held_back_m - beside.peak.held_back_m:.1f} m more")
    if made.peak.string_n.mid > beside.peak.string_n.mid + 0.5:
        says.append(f"its fullest string bears {made.peak.string_n.mid - beside.peak.string_n.mid:.0f} N more")
    return replace(made, gives_up="; ".join(says) or "cultivars stand in blocks and are compared less fairly")
