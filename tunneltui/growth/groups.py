"""All leaders of one cultivar in one row: what they learn from each other, and where each tip is today."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from math import exp, hypot, sqrt
from statistics import fmean, median
from typing import NamedTuple

from msgspec import Struct, field

from tunneltui.growth.courses import Course
from tunneltui.growth.defaults import PLANTED_LENGTH_M, PLANTED_LENGTH_SD_M, Traits
from tunneltui.growth.evidence import PLANTED_AT_MOST_CM, ROOTING_DAYS, Evidence, Fix
from tunneltui.growth.outlook import Band
from tunneltui.growth.position import Position
from tunneltui.growth.stems import (
    BETWEEN_SD,
    READING_CM2,
    STRAY_CM2_PER_DAY,
    VISIT_SD,
    Grown,
    StemGroup,
    walk2,
)
from tunneltui.growth.widths import Widths
from tunneltui.values import replace

WIDE = 1.645
KEPT_SHOOT_M = 0.45
"""Length along the stem of a shoot kept as a further leader, on its first day. Assumed."""
KEPT_SHOOT_SD_M = 0.20
PLANTED_ABOUT_SD_M = 0.25
"""More of a stem whose day of planting is known within a fortnight, at 3 cm a day."""
OLDER_SD_M = 2.5
"""Of one that may have stood before it was noted: planted in spring it is 4 m long by autumn (assumed)."""
ROOTING_SHARE = 0.5
"""Two crops of lit glass grew 14 cm in their first eight days where 28 were foreseen (Hemming et al. 2020). A
whole curve of settling was tried and made forecasts of crops that are read no better."""


class Member(NamedTuple):
    """A leader, as far as its growth goes: what holds it up is no part of it."""

    id: str
    u_m: float
    since: date
    planted_on: date
    planted_about: bool
    may_be_older: bool
    """Nobody said yet whether it stood before its note."""
    evidence: Evidence
    """What its readings tell."""
    wire_cm: float
    stopped_at_wire: bool = False
    """Its tip comes out there: it is never lowered."""


class _Track(Struct):
    """A leader on its way through its notes. Private to ``follow``."""

    member: Member
    position: Position
    anchors: list[tuple[int, float]] = field(default_factory=list)
    placed: bool = False
    """Its length was read, told by its own path, or taken from those planted with it."""


class StemEstimate(Struct, frozen=True):
    """A leader as far as the journal goes, and all that its forecast needs."""

    planted: int
    """Day it was planted, an ordinal."""
    position: Position
    anchors: tuple[tuple[int, float], ...]
    """Length in m by day, as taken to be."""
    cm_per_response: float
    relative2: float
    """Variance of the logarithm of its growth rate on ``state_day``."""
    state_day: int
    age_days: float
    """Of its group on ``state_day``, since planting."""
    widths: Widths
    stems: int
    """Stems it stands for: a mean of several strays less."""
    walks: bool = True
    """Its group's level was read, and moves; what is only assumed is that of a whole season."""


class _Learned:
    """What the group is taken to have grown up to its last visit; leaders not read grew with it."""

    __slots__ = ("_cm", "_cm2", "_days")

    def __init__(self, day: int) -> None:
        self._days = [day]
        self._cm = [0.0]
        self._cm2 = [0.0]
        """Variance, of one visit apart from the next."""

    @property
    def last(self) -> int:
        return self._days[-1]

    def copied(self) -> _Learned:
        twin = _Learned(self._days[0])
        twin._days, twin._cm, twin._cm2 = [*self._days], [*self._cm], [*self._cm2]
        return twin

    def extend(self, day: int, cm: float, relative2: float) -> None:
        if day > self.last:
            self._days.append(day)
            self._cm.append(self._cm[-1] + cm)
            self._cm2.append(self._cm2[-1] + cm * cm * relative2)

    def between(self, start: int, end: int) -> tuple[float, float]:
        """Growth in cm and its variance; nothing after the last visit."""
        (low, low2), (high, high2) = self._at(start), self._at(end)
        return high - low, high2 - low2

    def _at(self, day: int) -> tuple[float, float]:
        at = bisect_right(self._days, day) - 1
        if at < 0 or at == len(self._days) - 1:
            return self._cm[at if at > 0 else 0], self._cm2[at if at > 0 else 0]
        share = (day - self._days[at]) / (self._days[at + 1] - self._days[at])
        return (
            self._cm[at] + share * (self._cm[at + 1] - self._cm[at]),
            self._cm2[at] + share * (self._cm2[at + 1] - self._cm2[at]),
        )


class _FollowedGroup(Struct):
    """A group on its way through its notes. Private to ``follow``."""

    group: StemGroup
    learned: _Learned
    tracks: dict[str, _Track]
    """By leader, along the loop."""
    day: int
    until: int = 0
    """The last day whose notes it has taken in."""

    def copied(self, members: Iterable[Member]) -> _FollowedGroup:
        tracks = {
            m.id: _Track(m, track.position, [*track.anchors], track.placed)
            for m in members
            for track in [self.tracks[m.id]]
        }
        return _FollowedGroup(self.group.copied(), self.learned.copied(), tracks, self.day, self.until)


class GroupFollowed(Struct, frozen=True, eq=False):
    """What is known of each leader of a group, and from where later notes are followed on."""

    leaders: dict[str, StemEstimate]
    ln_stem_rate: float
    """As assumed before anything was read; with ``age_days``, at the beginning."""
    age_days: float
    course: Course
    state: _FollowedGroup

    def before(
        self, members: Sequence[Member], ln_stem_rate: float, age_days: float, course: Course
    ) -> _FollowedGroup | None:
        """Where to go on from: None where a note, or the air, of the days gone by is another now."""
        state = self.state
        gone_by = max(0, state.until - course.first + 1)
        if (
            [m.id for m in members] != [*state.tracks]
            or (ln_stem_rate, age_days) != (self.ln_stem_rate, self.age_days)
            or course.first != self.course.first
            or course.sums[:gone_by] != self.course.sums[:gone_by]
            or any(not _same_until(state.until, state.tracks[m.id].member, m) for m in members)
        ):
            return None
        return state.copied(members)


def _same_until(day: int, former: Member, now: Member) -> bool:
    if former._replace(evidence=now.evidence) != now:
        return False
    before, after = former.evidence, now.evidence
    fixes, growths = len(before.fixes), len(before.growths)
    return (
        before.stems == after.stems
        and before.fixes == after.fixes[:fixes]
        and before.growths == after.growths[:growths]
        and all(fix.day > day for fix in after.fixes[fixes:])
        and all(growth.end > day for growth in after.growths[growths:])
    )


def follow(
    followed: GroupFollowed | None, members: Sequence[Member], traits: Traits, course: Course, today: int
) -> GroupFollowed:
    """Learn the group's growth and follow every leader to its last note, from where they were followed to before
    where all up to there is as it was. The order of members does not matter."""
    ordered = sorted(members, key=lambda m: (m.u_m, m.id))
    tracks = {m.id: _begun(m) for m in ordered}
    first = min((t.position.day for t in tracks.values()), default=today)
    age_days = _age_days(ordered, traits, first)
    rate = traits.ln_stem_rate
    state = followed.before(ordered, rate, age_days, course) if followed is not None else None
    if state is None:
        state = _FollowedGroup(StemGroup(rate, age_days=age_days), _Learned(first), tracks, first)
    _take_in(state, course)
    end = state.copied(ordered)
    for track in end.tracks.values():
        if track.position.day < end.learned.last:
            _move(track, end.group, end.learned, course, end.learned.last)
            _anchor(track)
    leaders = {name: _followed(track, end.group, end.day) for name, track in end.tracks.items()}
    return GroupFollowed(leaders, rate, age_days, course, state)


def _begun(member: Member) -> _Track:
    planted = _planted(member)
    return _Track(member, planted, [(planted.day, planted.length_cm / 100)])


def _take_in(state: _FollowedGroup, course: Course) -> None:
    """The notes after the day it has come to."""
    # By the day they were read and, within it, the day they count from: one visit each.
    growths: dict[int, dict[int, list[Grown]]] = defaultdict(lambda: defaultdict(list))
    for growth in (g for track in state.tracks.values() for g in track.member.evidence.growths):
        growths[growth.end][growth.start].append(growth.grown)
    fixes: dict[int, list[tuple[_Track, list[Fix]]]] = defaultdict(list)
    for track in state.tracks.values():
        by_day: dict[int, list[Fix]] = defaultdict(list)
        for fix in track.member.evidence.fixes:
            by_day[fix.day].append(fix)
        for day, of_day in by_day.items():
            fixes[day].append((track, of_day))
    group, learned = state.group, state.learned
    for day in sorted(day for day in growths.keys() | fixes.keys() if day > state.until):
        group.pass_days(max(0, day - state.day))
        state.day, state.until = max(state.day, day), day
        for track, _ in fixes[day]:
            _move(track, group, learned, course, day)
        _learn(group, learned, course, day, growths[day])
        for track, of_day in fixes[day]:
            for fix in of_day:
                track.position = track.position.take(fix)
            _anchor(track)
        read = [track for track, of_day in fixes[day] if not track.placed and _length_read(of_day)]
        for track, of_day in fixes[day]:
            track.placed = track.placed or any(fix.what == "length" for fix in of_day)
        if read:
            _place_unread(state.tracks, read, group, learned, course, day)


def _age_days(members: Sequence[Member], traits: Traits, day: int) -> float:
    """Since planting, or since a stem read the first time was as long as one just planted: who begins a journal in
    mid season, or a sheet with the first visit, may not say when they were planted."""
    since = min((m.planted_on.toordinal() for m in members), default=day)
    first = [lengths[0] for m in members if (lengths := [f for f in m.evidence.fixes if f.what == "length"])]
    older = [(fix.cm - PLANTED_LENGTH_M * 100) / traits.stem_cm_a_day - (fix.day - since) for fix in first]
    return day - since + max(0.0, median(older) if older else 0.0)


def _learn(
    group: StemGroup, learned: _Learned, course: Course, day: int, visits: Mapping[int, Sequence[Grown]]
) -> None:
    """Take in the visits that end on a day; the one that speaks of the days since the last tells of all."""
    candidates: list[tuple[int, float, float]] = []
    for start in sorted(visits):
        before_cm = exp(group.level)
        visit = group.learn(day - start, course.between(start, day), visits[start])
        if visit is not None:
            candidates.append((abs(start - learned.last), before_cm * visit.factor, visit.relative2))
    if candidates:
        _, cm_a_response, relative2 = min(candidates)
        learned.extend(day, course.between(learned.last, day) * cm_a_response, relative2)


def _place_unread(
    tracks: Mapping[str, _Track],
    read: Sequence[_Track],
    group: StemGroup,
    learned: _Learned,
    course: Course,
    day: int,
) -> None:
    """A stem that was never read is as long as those read the first time that began with it."""
    began: dict[date, list[_Track]] = defaultdict(list)
    for track in read:
        began[track.member.since].append(track)
    for track in tracks.values():
        mates = began.get(track.member.since)
        if mates and not track.placed:
            _move(track, group, learned, course, day)
            _place_with(track, mates)


def _length_read(fixes: Sequence[Fix]) -> bool:
    return any(fix.what == "length" and fix.cm2 <= READING_CM2 for fix in fixes)


def _place_with(track: _Track, mates: Sequence[_Track]) -> None:
    mean_cm = fmean(mate.position.length_cm for mate in mates)
    grown_cm = max(0.0, mean_cm - PLANTED_LENGTH_M * 100)
    spread2 = (PLANTED_LENGTH_SD_M * 100) ** 2 / 4 + (BETWEEN_SD * grown_cm) ** 2
    placed = track.position.take(Fix(track.position.day, "length", mean_cm, spread2 * (1 + 1 / len(mates))))
    track.position = replace(placed, unread_cm=grown_cm, unseen_cm=grown_cm)
    track.placed = True
    _anchor(track)


def _planted(leader: Member) -> Position:
    kept = leader.since > leader.planted_on
    length_m = KEPT_SHOOT_M if kept else PLANTED_LENGTH_M
    sd_m = KEPT_SHOOT_SD_M if kept else PLANTED_LENGTH_SD_M
    if leader.planted_about:
        sd_m = hypot(sd_m, PLANTED_ABOUT_SD_M)
    if leader.may_be_older:
        sd_m = OLDER_SD_M
    return Position.planted(leader.since.toordinal(), length_m * 100, sd_m * 100)


def _move(track: _Track, group: StemGroup, learned: _Learned, course: Course, day: int) -> None:
    """On to a day: with the group as far as that was read, from there on as it foresees."""
    position, stems = track.position, track.member.evidence.stems
    if day <= position.day:
        return
    start = max(position.day, min(day, position.still_until))
    if position.stopped_on is not None or start == day:
        track.position = position.grow(day, 0.0, 0.0, 0.0)
        return
    effect, own2 = group.effect(track.member.id)
    read_cm, read_cm2 = learned.between(start, day)
    read_cm *= exp(effect)
    last = max(start, min(day, learned.last))
    days = day - last
    cm = _rooted(track.member.planted_on.toordinal(), position, course, last, day) * exp(group.level + effect)
    visit2 = VISIT_SD**2 * 7 / days if days > 0 else 0.0
    apart2 = read_cm2 + cm * cm * visit2 + STRAY_CM2_PER_DAY * (day - start) / stems

    def cm2(before_cm: float) -> float:
        return own2 * _added(before_cm, read_cm) + (group.level2 + own2) * _added(before_cm + read_cm, cm) + apart2

    grown = position.grow(day, read_cm + cm, cm2(position.unread_cm), cm2(position.unseen_cm))
    track.position = grown.within_wire(track.member.wire_cm, track.member.stopped_at_wire)


def _rooted(planted: int, position: Position, course: Course, start: int, end: int) -> float:
    """Sum of responses of a stem that nobody reads: in its first week after planting it does half. One that is
    long already was planted before its note."""
    first, settled = max(start, planted), min(end, planted + ROOTING_DAYS)
    response = course.between(start, end)
    if first >= settled or position.length_cm > PLANTED_AT_MOST_CM:
        return response
    return response - (1 - ROOTING_SHARE) * course.between(first, settled)


def _added(before_cm: float, cm: float) -> float:
    """Square by which a stem off by the same share all the way is further off after ``cm`` more."""
    return (before_cm + cm) ** 2 - before_cm**2


def _anchor(track: _Track) -> None:
    length = (track.position.day, track.position.length_cm / 100)
    if track.anchors and track.anchors[-1][0] == length[0]:
        track.anchors.pop()
    track.anchors.append(length)


def _followed(track: _Track, group: StemGroup, state_day: int) -> StemEstimate:
    effect, own2 = group.effect(track.member.id)
    return StemEstimate(
        track.member.planted_on.toordinal(),
        track.position,
        tuple(track.anchors),
        exp(group.level + effect),
        group.level2 + own2,
        state_day,
        group.age_days,
        group.widths,
        track.member.evidence.stems,
        group.learned,
    )


class Ahead(NamedTuple):
    """Growth of a leader over some days, in cm, with the variance it adds to length and to the tip's place."""

    cm: float
    cm2: float
    tip_cm2: float


class DaysAhead(Struct, frozen=True):
    """The days ahead of one tunnel: sums of stem response, and how well their warmth is known."""

    stems: Course
    today: int
    doubt2: float
    """Variance of the logarithm of coming growth from guessed temperatures."""


def growth_over(leader: StemEstimate, start: int, end: int, coming: DaysAhead) -> Ahead:
    """Growth from one day to a later one, neither before the leader's last note."""
    start = max(start, leader.position.still_until)
    days = end - start
    if days <= 0 or leader.position.stopped_on is not None:
        return Ahead(0.0, 0.0, 0.0)
    cm = leader.cm_per_response * _rooted(leader.planted, leader.position, coming.stems, start, end)
    guessed = leader.cm_per_response * coming.stems.between(max(start, coming.today), end)
    moved2 = walk2(leader.age_days, max(0, end - leader.state_day)) if leader.walks else 0.0
    waited_cm = 0.0
    if start > leader.position.day:
        waited_cm = leader.cm_per_response * coming.stems.between(leader.position.day, start)
    apart2 = (
        cm * cm * (moved2 + VISIT_SD**2 * 7 / days)
        + STRAY_CM2_PER_DAY * days / leader.stems
        + guessed * guessed * coming.doubt2
    )
    wider, relative2 = leader.widths.over(days), leader.relative2
    return Ahead(
        cm,
        wider * (relative2 * _added(leader.position.unread_cm + waited_cm, cm) + apart2),
        wider * (relative2 * _added(leader.position.unseen_cm + waited_cm, cm) + apart2),
    )


def band_m(cm: float, cm2: float) -> Band:
    """A length or height in m, nought at least, with its 90 % interval."""
    reach = WIDE * sqrt(max(0.0, cm2))
    return Band(max(0.0, cm - reach) / 100, max(0.0, cm) / 100, max(0.0, cm + reach) / 100)
