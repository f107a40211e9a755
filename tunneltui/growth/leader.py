"""One leader's outlook, day by day, from what its group, its cultivar and its tunnel's air say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import floor

from tunneltui.growth.air import AirSeries
from tunneltui.growth.courses import Course, RipeCourse
from tunneltui.growth.defaults import LEAVES_BELOW_FIRST, LEAVES_PER_TRUSS, PLANTED_TRUSS, PLANTED_TRUSS_SD, Traits
from tunneltui.growth.evidence import Evidence
from tunneltui.growth.fruit import mass_share
from tunneltui.growth.fruit_set import LOOK_BACK_DAYS, LOOK_ON_DAYS, set_share
from tunneltui.growth.groups import WIDE, Coming, Followed, band_m, growth_over
from tunneltui.growth.outlook import Band, LeaderOutlook, StemOn, TrussOn
from tunneltui.growth.truss_states import LengthLine, TrussLine, number_sd, truss_line, truss_places
from tunneltui.growth.trusses import TrussRate
from tunneltui.season.state import Leader

KEPT_SHOOT_TRUSS = -1.0
"""A shoot kept as a further leader flowers its first truss in one to two weeks. Assumed."""
LEAVES_WHEN_UNCOUNTED = 3.0
"""Leaves taken at a visit that noted no number: those that came since the last (agronomy.md 4.14)."""
LEAVES_ABOVE_TRUSS = 4.0
"""Leaves unfolded above the flowering truss. Common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class Trussed:
    """A leader's trusses 1, 2, ... to the end of the outlook."""

    line: TrussLine
    flowered: tuple[float, ...]
    ripe: tuple[float, ...]
    """When each is ripe; infinite where beyond the air known."""
    fruits: tuple[float, ...]
    counted: tuple[bool, ...]


def planted_truss_line(leader: Leader, found: Evidence, course: Course) -> TrussLine:
    """The flowering truss over time, from planting and what was counted since."""
    number = KEPT_SHOOT_TRUSS if leader.since > leader.planted_on else PLANTED_TRUSS
    return truss_line(leader.since.toordinal(), number, PLANTED_TRUSS_SD, found.trusses, course)


def trussed(
    leader: Leader, line: TrussLine, course: Course, ripe: RipeCourse, air: AirSeries, kind: Traits, last: int
) -> Trussed:
    """When each truss flowers and ripens and what it bears, up to the day ``last``."""
    end = last if leader.tip_taken_out_on is None else min(last, leader.tip_taken_out_on.toordinal())
    count = max(0, floor(_number(line, end, course)))
    flowered = tuple(line.flowered(n, course) for n in range(1, count + 1))
    counted = tuple(n in leader.truss_fruits for n in range(1, count + 1))
    fruits = tuple(
        float(leader.truss_fruits[n]) if n in leader.truss_fruits else _fruits_set(day, air, kind)
        for n, day in enumerate(flowered, start=1)
    )
    return Trussed(line, flowered, tuple(ripe.ripe(day) for day in flowered), fruits, counted)


def _number(line: TrussLine, day: int, course: Course) -> float:
    """Flowering truss on any day; before the first reading it is told backwards."""
    if day >= line.days[-1]:
        return line.number(day, course)
    number = 0
    while line.flowered(number + 1, course) <= day:
        number += 1
    return float(number)


def _fruits_set(flowered: float, air: AirSeries, kind: Traits) -> float:
    day = int(flowered)
    return kind.fruits_per_truss * set_share(air.mean_over(day - LOOK_BACK_DAYS, day + LOOK_ON_DAYS))


@dataclass(frozen=True, slots=True, eq=False)
class LeaderBasis:
    """All that one leader's outlook rests on."""

    leader: Leader
    found: Evidence
    followed: Followed
    trusses: Trussed
    kind: Traits
    rate: TrussRate
    coming: Coming
    warmth: Course
    """Sums of the cultivar's truss rate."""
    ripe: RipeCourse
    limit_cm: float
    """Height of the wire, or of the plastic where that is lower."""
    wire_cm: float
    pick_days: tuple[int, ...]
    """Coming pick days, on whose mornings ripe trusses still hang."""
    coming_c: float


def leader_outlook(basis: LeaderBasis, days: int) -> LeaderOutlook:
    """The leader from today to ``days`` on."""
    hanging = _hanging(basis)
    places = truss_places(basis.trusses.flowered, _length_line(basis), basis.coming.stems)
    stems = {}
    for day in range(basis.coming.today, basis.coming.today + days + 1):
        stem = _stem_on(basis, day, hanging, places)
        stems[stem.day] = stem
    return LeaderOutlook(
        basis.leader.id,
        stems,
        basis.found.measured_on,
        _growth_a_week(basis),
        _trusses_a_week(basis),
        _at_wire(stems, basis.limit_cm / 100),
        basis.found.flagged,
    )


def leader_on(basis: LeaderBasis, day: int) -> StemOn:
    """The leader on one day, an ordinal, of the days its basis reaches to."""
    places = truss_places(basis.trusses.flowered, _length_line(basis), basis.coming.stems)
    return _stem_on(basis, day, _hanging(basis), places)


def _length_line(basis: LeaderBasis) -> LengthLine:
    anchors = basis.followed.anchors
    return LengthLine(
        tuple(day for day, _ in anchors),
        tuple(length for _, length in anchors),
        basis.followed.cm_per_response / 100,
        basis.followed.position.stopped_on,
    )


@dataclass(frozen=True, slots=True)
class _Hanging:
    """A truss still on the stem today or to come."""

    number: int
    flowered: float
    ripe_day: float
    fruits: float
    counted: bool


def _hanging(basis: LeaderBasis) -> list[_Hanging]:
    """Trusses not picked and not lost; what should have been ripe at a clean pick yet still hangs ripens later."""
    leader, trusses = basis.leader, basis.trusses
    cleared = leader.picked_clean_on.toordinal() if leader.picked_clean_on is not None else 0
    read_on, lowest = basis.found.lowest[-1] if basis.found.lowest else (0, 1.0)
    hanging = []
    for number, (flowered, ripe) in enumerate(zip(trusses.flowered, trusses.ripe, strict=True), start=1):
        seen = bool(basis.found.lowest) and number >= lowest and cleared <= read_on
        if number < lowest or number in leader.trusses_lost or (ripe <= cleared and not seen):
            continue
        ripe_day = max(ripe, cleared + 1.0)
        at = number - 1
        hanging.append(_Hanging(number, flowered, ripe_day, trusses.fruits[at], trusses.counted[at]))
    return hanging


def _stem_on(basis: LeaderBasis, day: int, hanging: Sequence[_Hanging], places: Sequence[float]) -> StemOn:
    position = basis.followed.position
    ahead = growth_over(basis.followed, position.day, day, basis.coming)
    length = band_m(position.length_cm + ahead.cm, position.length_cm2 + ahead.cm2)
    tip_cm, tip_cm2 = position.tip_cm + ahead.cm, position.tip_cm2 + ahead.cm2
    tip = band_m(tip_cm, tip_cm2)
    if not position.tip_read and tip_cm > basis.wire_cm:
        tip = _about_wire(tip, basis.wire_cm / 100)
    number = _flowering(basis, day)
    leaves = _leaves(basis, number)
    bare = _bare_below(number, leaves, places, length.mid)
    return StemOn(
        date.fromordinal(day),
        Band(max(0.0, length.low), length.mid, length.high),
        Band(max(0.0, tip.low), max(0.0, tip.mid), max(0.0, tip.high)),
        _trusses_on(basis, day, hanging, places),
        number,
        leaves,
        bare,
        number_sd(basis.trusses.line, _last_flowering_day(basis, day), basis.rate),
    )


def _about_wire(tip: Band, wire_m: float) -> Band:
    """A stem longer than the wire is high, its lowerings not noted: the tip is somewhere below the wire."""
    return Band(min(tip.low, wire_m - 0.5), wire_m, max(wire_m, min(tip.high, wire_m + 0.3)))


def _flowering(basis: LeaderBasis, day: int) -> float:
    return max(0.0, _number(basis.trusses.line, _last_flowering_day(basis, day), basis.warmth))


def _last_flowering_day(basis: LeaderBasis, day: int) -> int:
    """The day, or the one on which the tip was taken out."""
    stopped = basis.leader.tip_taken_out_on
    return day if stopped is None else min(day, stopped.toordinal())


def _trusses_on(
    basis: LeaderBasis, day: int, hanging: Sequence[_Hanging], places: Sequence[float]
) -> tuple[TrussOn, ...]:
    last_pick = max((d for d in basis.pick_days if d < day), default=0)
    gram_per_fruit = basis.kind.fruit_g / 1000 / (1 - basis.kind.stalk_share)
    trusses = []
    for truss in hanging:
        if truss.flowered > day or truss.ripe_day <= last_pick:
            continue
        z = 1.0 if day >= truss.ripe_day else min(0.999, basis.ripe.z(truss.flowered, day))
        trusses.append(
            TrussOn(
                truss.number,
                places[truss.number - 1],
                z,
                truss.fruits,
                truss.fruits * gram_per_fruit * mass_share(z),
                None if truss.ripe_day == float("inf") else date.fromordinal(int(-(-truss.ripe_day // 1))),
                truss.counted,
            )
        )
    return tuple(trusses)


def _leaves(basis: LeaderBasis, number: float) -> float:
    """Leaves left: as last counted, with those that came and without those taken since."""
    leader = basis.leader
    counted = [(r.day, r.leaves) for r in leader.readings if r.leaves is not None]
    if counted:
        since, left = counted[-1]
        left += LEAVES_PER_TRUSS * (number - _flowering(basis, since.toordinal()))
    else:
        since = leader.since
        left = LEAVES_BELOW_FIRST + LEAVES_PER_TRUSS * max(0.0, number - 1) + LEAVES_ABOVE_TRUSS
    taken = sum(
        LEAVES_WHEN_UNCOUNTED if count is None else count
        for on, count in leader.deleafed
        if on > since or (not counted and on == since)
    )
    return max(0.0, left - taken)


def _bare_below(number: float, leaves: float, places: Sequence[float], length_m: float) -> float:
    """Place on the stem with all leaves above it, three a truss and some above the flowering one."""
    bare_at = number - (leaves - LEAVES_ABOVE_TRUSS) / LEAVES_PER_TRUSS
    below = floor(bare_at)
    if below < 1:
        return 0.0
    if below >= len(places):
        return min(length_m, places[-1] if places else length_m)
    return places[below - 1] + (bare_at - below) * (places[below] - places[below - 1])


def _growth_a_week(basis: LeaderBasis) -> Band:
    today = basis.coming.today
    week = growth_over(basis.followed, today, today + 7, basis.coming)
    return band_m(week.cm, week.cm2)


def _trusses_a_week(basis: LeaderBasis) -> Band:
    mid = _flowering(basis, basis.coming.today + 7) - _flowering(basis, basis.coming.today)
    reach = WIDE * basis.rate.coming_sd(7, 1, basis.coming_c) if mid > 0 else 0.0
    return Band(max(0.0, mid - reach), mid, mid + reach)


def _at_wire(stems: dict[date, StemOn], limit_m: float) -> tuple[date | None, date | None, date | None]:
    early = next((day for day, stem in stems.items() if stem.tip_z_m.high >= limit_m), None)
    likely = next((day for day, stem in stems.items() if stem.tip_z_m.mid >= limit_m), None)
    late = next((day for day, stem in stems.items() if stem.tip_z_m.low >= limit_m), None)
    return early, likely, late
