"""All leaders of one cultivar in one row: what they learn from each other, and where each tip is today."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import exp, sqrt

from tunneltui.growth.courses import Course
from tunneltui.growth.defaults import PLANTED_LENGTH_M, PLANTED_LENGTH_SD_M, Traits
from tunneltui.growth.evidence import Evidence, Fix, Growth
from tunneltui.growth.outlook import Band
from tunneltui.growth.position import Position
from tunneltui.growth.stems import (
    STRAY_CM2_PER_DAY,
    UNREAD_WIDER,
    VISIT_SD,
    WALK_SD_PER_WEEK,
    Grown,
    StemGroup,
)
from tunneltui.season.state import Leader

WIDE = 1.645
MOST_TOGETHER = 48
"""Leaders that learn from each other; the work grows with their square."""
KEPT_SHOOT_M = 0.45
"""Length along the stem of a shoot kept as a further leader, on its first day. Assumed."""
KEPT_SHOOT_SD_M = 0.20


@dataclass(frozen=True, slots=True)
class Member:
    """A leader with what its readings say."""

    leader: Leader
    evidence: Evidence
    wire_cm: float


@dataclass(slots=True)
class _Track:
    """A leader on its way through its notes. Private to ``follow``."""

    member: Member
    position: Position
    anchors: list[tuple[int, float]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Followed:
    """A leader as far as the journal goes, and all that its forecast needs."""

    position: Position
    anchors: tuple[tuple[int, float], ...]
    """Length in m by day, as taken to be."""
    cm_per_response: float
    relative2: float
    """Variance of the logarithm of its growth rate on ``state_day``."""
    state_day: int
    wider: float
    stems: int
    """Stems it stands for: a mean of several strays less."""


def follow(members: Sequence[Member], traits: Traits, course: Course, today: int) -> dict[str, Followed]:
    """Learn the group's growth and follow every leader to its last note. The order of members does not matter."""
    followed: dict[str, Followed] = {}
    ordered = sorted(members, key=lambda m: (m.leader.u_m, m.leader.id))
    for start in range(0, len(ordered), MOST_TOGETHER):
        followed |= _follow(ordered[start : start + MOST_TOGETHER], traits, course, today)
    return followed


def _follow(members: Sequence[Member], traits: Traits, course: Course, today: int) -> dict[str, Followed]:
    group = StemGroup(traits.ln_stem_rate)
    tracks = {m.leader.id: _Track(m, _planted(m.leader)) for m in members}
    growths = _by_day(g for m in members for g in m.evidence.growths)
    fixes: dict[int, list[tuple[_Track, list[Fix]]]] = defaultdict(list)
    for track in tracks.values():
        track.anchors.append((track.position.day, track.position.length_cm / 100))
        by_day: dict[int, list[Fix]] = defaultdict(list)
        for fix in track.member.evidence.fixes:
            by_day[fix.day].append(fix)
        for day, of_day in by_day.items():
            fixes[day].append((track, of_day))
    now = min((t.position.day for t in tracks.values()), default=today)
    for day in sorted(growths.keys() | fixes.keys()):
        group.pass_days(max(0, day - now))
        now = max(now, day)
        for track, _ in fixes[day]:
            _move(track, group, course, day)
        for start in sorted(growths[day]):
            group.learn(day - start, course.between(start, day), growths[day][start])
        for track, of_day in fixes[day]:
            _fix(track, of_day)
    return {name: _followed(track, group, now) for name, track in tracks.items()}


def _planted(leader: Leader) -> Position:
    kept = leader.since > leader.planted_on
    length_m = KEPT_SHOOT_M if kept else PLANTED_LENGTH_M
    sd_m = KEPT_SHOOT_SD_M if kept else PLANTED_LENGTH_SD_M
    return Position.planted(leader.since.toordinal(), length_m * 100, sd_m * 100)


def _by_day(growths: Iterable[Growth]) -> dict[int, dict[int, list[Grown]]]:
    """By the day they were read and, within it, the day they count from: one visit each."""
    by_day: dict[int, dict[int, list[Grown]]] = defaultdict(lambda: defaultdict(list))
    for growth in growths:
        by_day[growth.end][growth.start].append(growth.grown)
    return by_day


def _move(track: _Track, group: StemGroup, course: Course, day: int) -> None:
    """On to a day, by what the group foresees."""
    position = track.position
    days = day - position.day
    if days <= 0:
        return
    if position.stopped_on is not None:
        track.position = position.grow(day, 0.0, 0.0)
        return
    response = course.between(position.day, day)
    cm, cm2 = group.growth(track.member.leader.id, response, days, stems=track.member.evidence.stems)
    track.position = position.grow(day, cm, cm2).within_wire(track.member.wire_cm)


def _fix(track: _Track, fixes: Sequence[Fix]) -> None:
    for fix in fixes:
        track.position = track.position.take(fix)
    length = (track.position.day, track.position.length_cm / 100)
    if track.anchors and track.anchors[-1][0] == length[0]:
        track.anchors.pop()
    track.anchors.append(length)


def _followed(track: _Track, group: StemGroup, state_day: int) -> Followed:
    leader = track.member.leader.id
    effect, own, shared = group.effect(leader)
    relative2 = group.level_sd**2 + own + 2 * shared
    read = {g.end for g in track.member.evidence.growths}
    return Followed(
        track.position,
        tuple(track.anchors),
        exp(group.level + effect),
        relative2,
        state_day,
        1.0 if state_day - group.days_since_learned in read else UNREAD_WIDER,
        track.member.evidence.stems,
    )


def refollow(member: Member, known: Followed, before: Evidence, coming: Coming) -> Followed:
    """A leader followed on through what was noted since ``before``, at the growth its group was known to have.

    Nothing is learned. A note that changes earlier ones is followed from planting on.
    """
    fixes = member.evidence.fixes
    if fixes[: len(before.fixes)] == before.fixes:
        track = _Track(member, known.position, list(known.anchors))
        fixes = fixes[len(before.fixes) :]
    else:
        start = _planted(member.leader)
        track = _Track(member, start, [(start.day, start.length_cm / 100)])
    by_day: dict[int, list[Fix]] = defaultdict(list)
    for fix in fixes:
        by_day[fix.day].append(fix)
    for day, of_day in sorted(by_day.items()):
        position = track.position
        ahead = growth_over(replace(known, position=position), position.day, day, coming)
        if day > position.day:
            track.position = position.grow(day, ahead.cm, ahead.cm2).within_wire(member.wire_cm)
        _fix(track, of_day)
    return replace(known, position=track.position, anchors=tuple(track.anchors), stems=member.evidence.stems)


@dataclass(frozen=True, slots=True)
class Ahead:
    """Growth of a leader over some days, in cm, with its variance."""

    cm: float
    cm2: float


@dataclass(frozen=True, slots=True)
class Coming:
    """The days ahead of one tunnel: sums of stem response, and how well their warmth is known."""

    stems: Course
    today: int
    doubt2: float
    """Variance of the logarithm of coming growth from guessed temperatures."""


def growth_over(leader: Followed, start: int, end: int, coming: Coming) -> Ahead:
    """Growth from one day to a later one, neither before the leader's last note."""
    days = end - start
    if days <= 0 or leader.position.stopped_on is not None:
        return Ahead(0.0, 0.0)
    cm = leader.cm_per_response * coming.stems.between(start, end)
    guessed = leader.cm_per_response * coming.stems.between(max(start, coming.today), end)
    ahead = max(0, end - leader.state_day)
    relative2 = leader.relative2 + WALK_SD_PER_WEEK**2 * ahead / 7 + VISIT_SD**2 * 7 / days
    cm2 = cm * cm * relative2 + STRAY_CM2_PER_DAY * days / leader.stems + guessed * guessed * coming.doubt2
    return Ahead(cm, cm2 * leader.wider**2)


def band_m(cm: float, cm2: float) -> Band:
    """A length or height in m, nought at least, with its 90 % interval."""
    reach = WIDE * sqrt(max(0.0, cm2))
    return Band(max(0.0, cm - reach) / 100, max(0.0, cm) / 100, max(0.0, cm + reach) / 100)
