"""One leader's outlook, day by day, from what its group, its cultivar and its tunnel's air say."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from math import ceil, floor, hypot, inf
from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct

from tunneltui.growth.air import AirSeries
from tunneltui.growth.courses import Course, RipeCourse
from tunneltui.growth.defaults import PLANTED_TRUSS_SD, Traits
from tunneltui.growth.evidence import Evidence, let_down
from tunneltui.growth.fruit import LOOK_BACK_DAYS, LOOK_ON_DAYS, light_share, mass_share, set_share
from tunneltui.growth.groups import WIDE, Ahead, DaysAhead, StemEstimate, band_m, growth_over
from tunneltui.growth.leaves import Leaves, bare_below_m, leaves_left
from tunneltui.growth.outlook import Band, LeaderOutlook, StemOn, TrussOn
from tunneltui.growth.position import Position
from tunneltui.growth.truss_states import LengthLine, TrussLine, number_sd, truss_line, truss_places, with_rests
from tunneltui.growth.trusses import TrussRate
from tunneltui.season.state import Leader
from tunneltui.values import replace

if TYPE_CHECKING:
    from tunneltui.growth.fruit_mass import CultivarFruit

KEPT_SHOOT_TRUSS = -1.0
"""A shoot kept as a further leader flowers its first truss in one to two weeks. Assumed."""
HAND_M = 0.10
NOT_YET_RIPE = 0.999
"""Development of a truss that is not ripe though the model says so: it was left at a clean pick."""


class TrussesNoted(NamedTuple):
    """What the journal says of a leader's trusses."""

    fruits: dict[int, int]
    """Counted or left, by truss number."""
    lost: frozenset[int]
    tip_taken_out_on: date | None
    lowest: tuple[tuple[int, float], ...]
    """Lowest truss not picked clean, by day as it was seen."""
    hanging: tuple[int, int] | None
    """Day on which those on it were last counted, and how many hung."""


@dataclass(frozen=True, eq=False)
class TrussDates:
    """A leader's trusses 1, 2, ... to the day ``last``; each sequence is worked out when it is first asked for."""

    noted: TrussesNoted
    line: TrussLine
    course: Course
    """Sums of the cultivar's truss rate."""
    ripening: RipeCourse
    air: AirSeries
    kind: Traits
    last: int
    latitude_deg: float | None
    """None: lit, or unknown; light is left out."""

    @cached_property
    def flowered(self) -> tuple[float, ...]:
        """When each flowers."""
        count = max(0, floor(self.line.number(self.last_flowering_day(self.last), self.course)))
        return tuple(self.line.flowered(n, self.course) for n in range(1, count + 1))

    @cached_property
    def ripe(self) -> tuple[float, ...]:
        """When each is ripe; infinite where beyond the air known.

        Those seen picked were ripe by then: all that went since it was last seen are as much sooner as the last.
        """
        ripe = [self.ripening.ripe(day) for day in self.flowered]
        gone, seen_on = 0, 0
        for day, lowest in self.lowest_seen:
            picked = min(ceil(lowest) - 1, len(ripe))
            sooner = ripe[picked - 1] - day if picked > gone else 0.0
            if sooner == inf:
                ripe[gone:picked] = [min(on, day) for on in ripe[gone:picked]]
            elif sooner > 0:
                ripe[gone:picked] = [max(seen_on, on - sooner) for on in ripe[gone:picked]]
            gone, seen_on = max(gone, picked), day
        return tuple(ripe)

    @cached_property
    def lowest_seen(self) -> tuple[tuple[int, float], ...]:
        """The lowest truss not picked clean, by day as it was seen.

        Who counts what hangs gives it no number: that follows from the one in flower, as it is known now.
        """
        lowest, (counted_on, hanging) = self.noted.lowest, self.noted.hanging or (0, 0)
        if counted_on <= (lowest[-1][0] if lowest else 0):
            return lowest
        flowering = floor(self.line.number(self.last_flowering_day(counted_on), self.course))
        return (*lowest, (counted_on, max(1.0, flowering - hanging + 1.0)))

    def last_flowering_day(self, day: int) -> int:
        """The day, or the one on which the tip was taken out."""
        out = self.noted.tip_taken_out_on
        return day if out is None else min(day, out.toordinal())

    @cached_property
    def fruits(self) -> tuple[float, ...]:
        """What each bears."""
        counted = self.noted.fruits
        return tuple(
            float(counted[n]) if n in counted else self._fruits_set(int(day))
            for n, day in enumerate(self.flowered, start=1)
        )

    def _fruits_set(self, day: int) -> float:
        if not self.kind.crop.set_by_warmth:
            return self.kind.fruits_per_truss
        warm = set_share(self.air.mean_over(day - LOOK_BACK_DAYS, day + LOOK_ON_DAYS))
        light = 1.0 if self.latitude_deg is None else light_share(day, self.latitude_deg)
        return self.kind.fruits_per_truss * warm * light


def planted_truss_line(leader: Leader, planted_truss: float, evidence: Evidence, course: Course) -> TrussLine:
    """The flowering truss over time, from planting and what was counted since."""
    line = _counted_line(leader, planted_truss, evidence, evidence.trusses, course)
    counted = max(evidence.none_open or 0, line.days[-1])
    rests = [(max(first, counted), last) for first, last in evidence.still if last > counted]
    return with_rests(line, rests, course)


def unbroken_truss_line(leader: Leader, planted_truss: float, evidence: Evidence, course: Course) -> TrussLine:
    """The same as if its tip had never snapped: what it tells of the stems beside it."""
    broke = min((first for first, _ in evidence.still), default=inf)
    counts = [(day, number) for day, number in evidence.trusses if day <= broke]
    return _counted_line(leader, planted_truss, evidence, counts, course)


def _counted_line(
    leader: Leader,
    planted_truss: float,
    evidence: Evidence,
    counts: Sequence[tuple[int, float]],
    course: Course,
) -> TrussLine:
    number = KEPT_SHOOT_TRUSS if leader.since > leader.planted_on else planted_truss
    since = leader.since.toordinal()
    return truss_line(
        since, number, PLANTED_TRUSS_SD, counts, course, evidence.stems, none_open=evidence.none_open
    )


class LeaderBasis(Struct, frozen=True, eq=False):
    """All that one leader's outlook rests on."""

    leader: Leader
    evidence: Evidence
    estimate: StemEstimate
    trusses: TrussDates
    kind: Traits
    fruit: CultivarFruit
    rate: TrussRate
    coming: DaysAhead
    warmth: Course
    """Sums of the cultivar's truss rate."""
    ripe: RipeCourse
    limit_cm: float
    """Height of the wire, or of the plastic where that is lower."""
    wire_cm: float
    pick_days: tuple[int, ...]
    """Coming pick days, on whose mornings ripe trusses still hang."""
    coming_c: float
    air: AirSeries


def leader_outlook(basis: LeaderBasis, days: int) -> LeaderOutlook:
    """The leader from today to ``days`` on."""
    today = basis.coming.today
    stems = {stem.day: stem for stem in _stems(basis, today, days + 1)}
    # What is not known of the growth so far is no part of the week's.
    position = replace(basis.estimate.position, day=today, unread_cm=0.0, unseen_cm=0.0)
    week = growth_over(replace(basis.estimate, position=position), today, today + 7, basis.coming)
    return LeaderOutlook(
        basis.leader.id,
        stems,
        basis.evidence.measured_on,
        band_m(week.cm, week.cm2),
        _trusses_a_week(basis),
        _at_wire(stems, basis.limit_cm / 100),
        basis.evidence.flagged,
        basis.evidence.doubted,
    )


def length_on(basis: LeaderBasis, day: int) -> Band:
    """Length in m on one day, an ordinal, of a leader that is let down when it comes to its wire."""
    ahead = growth_over(basis.estimate, basis.estimate.position.day, day, basis.coming)
    return _length(basis, ahead)


class HeadOn(Struct, frozen=True):
    """How long a stem is on a day, where its tip stands and which truss flowers: all but what hangs on it."""

    length_m: Band
    tip_z_m: Band
    flowering_truss: float
    flowering_sd: float


def head_on(basis: LeaderBasis, day: int) -> HeadOn:
    """The leader's head on one day, an ordinal, of the days its basis reaches to."""
    return _head_on(basis, day, _lowered_unnoted(basis))


def let_down_m(basis: LeaderBasis, day: int, under_wire_m: float, let_out_m: float) -> float:
    """How far a tip comes down on a day that is let down by eye to hang so, as a tick of it is read."""
    grown = _grown(basis, day)
    return (grown.tip_cm - grown.take(let_down(day, basis.wire_cm, under_wire_m, let_out_m)).tip_cm) / 100


def leader_on(basis: LeaderBasis, day: int) -> StemOn:
    """The leader on one day, an ordinal, of the days its basis reaches to."""
    return _stems(basis, day, 1)[0]


def _stems(basis: LeaderBasis, start: int, days: int) -> list[StemOn]:
    places = truss_places(basis.trusses.flowered, _length_line(basis), basis.coming.stems)
    hanging = _hanging(basis, places, start, days)
    leaves = leaves_left(basis.leader, basis.trusses.line, basis.warmth, basis.kind.crop.leaves_per_truss)
    unnoted = _lowered_unnoted(basis)
    return [_stem_on(basis, start, at, hanging, places, leaves, unnoted) for at in range(days)]


def _lowered_unnoted(basis: LeaderBasis) -> bool:
    """Today the stem would stand well above the wire had nobody lowered it."""
    return _grown(basis, basis.coming.today).unnoted


def _grown(basis: LeaderBasis, day: int) -> Position:
    position = basis.estimate.position
    ahead = growth_over(basis.estimate, position.day, day, basis.coming)
    return position.grow(day, ahead.cm, ahead.cm2, ahead.tip_cm2).within_wire(
        basis.wire_cm, basis.leader.training == "pinched_at_wire"
    )


def _length_line(basis: LeaderBasis) -> LengthLine:
    anchors = basis.estimate.anchors
    return LengthLine(
        tuple(day for day, _ in anchors),
        tuple(length for _, length in anchors),
        basis.estimate.cm_per_response / 100,
        basis.estimate.position.stopped_on,
    )


class _Hanging(Struct, frozen=True):
    """A truss still on the stem today or to come."""

    number: int
    s_m: float
    flowered: float
    ripe_day: float
    ripe_on: date | None
    fruits: float
    ripe_kg: float
    counted: bool
    z: Sequence[float]
    """On each day asked for."""


def _hanging(basis: LeaderBasis, places: Sequence[float], start: int, days: int) -> list[_Hanging]:
    """Trusses not picked and not lost; what should have been ripe at a clean pick yet still hangs ripens later."""
    leader, trusses = basis.leader, basis.trusses
    cleared = leader.picked_clean_on.toordinal() if leader.picked_clean_on is not None else 0
    read_on, lowest = trusses.lowest_seen[-1] if trusses.lowest_seen else (0, 1.0)
    fruit_kg = basis.fruit.mass.share * basis.kind.fruit_g / 1000 / (1 - basis.kind.stalk_share)
    hanging = []
    for at, (flowered, ripe) in enumerate(zip(trusses.flowered, trusses.ripe, strict=True)):
        seen = bool(trusses.lowest_seen) and at + 1 >= lowest and cleared <= read_on
        if at + 1 < lowest or at + 1 in leader.trusses_lost or (ripe <= cleared and not seen):
            continue
        ripe_day = max(ripe, cleared + 1.0)
        hanging.append(
            _Hanging(
                at + 1,
                places[at],
                flowered,
                ripe_day,
                None if ripe_day == inf else date.fromordinal(ceil(ripe_day)),
                trusses.fruits[at],
                trusses.fruits[at] * fruit_kg,
                at + 1 in leader.truss_fruits,
                basis.ripe.z_over(flowered, start, days),
            )
        )
    return hanging


def _stem_on(
    basis: LeaderBasis,
    start: int,
    at: int,
    hanging: Sequence[_Hanging],
    places: Sequence[float],
    leaves: Leaves,
    unnoted: bool,
) -> StemOn:
    day = start + at
    head = _head_on(basis, day, unnoted)
    number, length_m = head.flowering_truss, head.length_m.mid
    left = leaves.at(number)
    trusses = _trusses_on(basis, day, at, hanging)
    return StemOn(
        date.fromordinal(day),
        head.length_m,
        head.tip_z_m,
        trusses,
        number,
        left,
        min(length_m, bare_below_m(number, left, places, length_m, basis.kind.crop.leaves_per_truss)),
        head.flowering_sd,
        hypot(basis.fruit.mass.sd_ln, head.flowering_sd * _share_of_one_more(trusses)),
    )


def _share_of_one_more(trusses: Sequence[TrussOn]) -> float:
    """What fruit is to be added for the flowering truss being one more, as a share of all that hangs.

    Every truss then is as far as the one below it: the youngest is new, the lowest is heavier than any was, save
    where the lowest are picked as they get ripe.
    """
    whole_kg = sum(truss.kg for truss in trusses)
    if whole_kg <= 0:
        return 0.0
    lowest_kg = trusses[0].kg if trusses[0].number == 1 else 0.0
    return (lowest_kg + (trusses[-1].kg if len(trusses) > 1 else 0.0)) / whole_kg


def _head_on(basis: LeaderBasis, day: int, unnoted: bool) -> HeadOn:
    position = basis.estimate.position
    ahead = growth_over(basis.estimate, position.day, day, basis.coming)
    length = _length(basis, ahead)
    tip = band_m(position.tip_cm + ahead.cm, position.tip_cm2 + ahead.tip_cm2)
    if unnoted:
        tip = _about_wire(basis.wire_cm / 100)
        if basis.leader.training == "pinched_at_wire" and basis.evidence.measured_on is None:
            # Its tip came out a hand over the wire, noted or not.
            length = _about_wire(basis.wire_cm / 100 + HAND_M)
    until = basis.trusses.last_flowering_day(day)
    guessed = max(0, until - basis.coming.today)
    return HeadOn(
        length,
        tip,
        basis.trusses.line.number(until, basis.warmth),
        number_sd(basis.trusses.line, until, basis.rate, guessed, basis.coming_c),
    )


def _length(basis: LeaderBasis, ahead: Ahead) -> Band:
    position = basis.estimate.position
    return band_m(position.length_cm + ahead.cm, position.length_cm2 + ahead.cm2)


def _about_wire(wire_m: float) -> Band:
    """A stem longer than the wire is high, its lowerings not noted: the tip hangs somewhere about the wire."""
    return Band(wire_m - 0.5, wire_m, wire_m + 0.3)


def _trusses_on(basis: LeaderBasis, day: int, at: int, hanging: Sequence[_Hanging]) -> tuple[TrussOn, ...]:
    picks = bisect_left(basis.pick_days, day)
    last_pick = basis.pick_days[picks - 1] if picks else 0
    trusses = []
    for truss in hanging:
        if truss.flowered <= day and truss.ripe_day > last_pick:
            z = 1.0 if day >= truss.ripe_day else min(NOT_YET_RIPE, truss.z[at])
            kg = truss.ripe_kg * mass_share(z)
            trusses.append(TrussOn(truss.number, truss.s_m, z, truss.fruits, kg, truss.ripe_on, truss.counted))
    return tuple(trusses)


def _trusses_a_week(basis: LeaderBasis) -> Band:
    today, line = basis.coming.today, basis.trusses.line
    today_number, week_on_number = (
        line.number(basis.trusses.last_flowering_day(day), basis.warmth) for day in (today, today + 7)
    )
    mid = week_on_number - today_number
    reach = WIDE * basis.rate.coming_sd(7, 1, basis.coming_c) if mid > 0 else 0.0
    return Band(max(0.0, mid - reach), mid, mid + reach)


def _at_wire(stems: dict[date, StemOn], limit_m: float) -> tuple[date | None, date | None, date | None]:
    early = next((day for day, stem in stems.items() if stem.tip_z_m.high >= limit_m), None)
    likely = next((day for day, stem in stems.items() if stem.tip_z_m.mid >= limit_m), None)
    late = next((day for day, stem in stems.items() if stem.tip_z_m.low >= limit_m), None)
    return early, likely, late
