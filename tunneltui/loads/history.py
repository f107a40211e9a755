"""What every clip bore at the visits it was seen, worked back from today's picture of its stem.

The journal keeps where clips, hooks and trusses were and what was let out; it keeps no old forecasts. So a past
stem is today's wound back: shorter by its growth (or as it was read), its tip where the let-outs since put it,
each truss younger by the pace at which today's trusses follow each other, picked ones back below the lowest.
Two weaknesses: the pace is this week's for the whole past, and an unnoted let-out leaves a past tip too low. Both
move a load by less than the week-to-week error the strength model allows only for the clip's first weeks, which is
when clips are loaded and fail (own simulation). Ended leaders have no stem to wind back and
teach nothing.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import NamedTuple

from msgspec import Struct

from tunneltui.growth.fruit import REFERENCE_DAYS, mass_share
from tunneltui.growth.outlook import Band, Outlook, StemOn, TrussOn
from tunneltui.holding.layout import Layout
from tunneltui.loads.stem import standing
from tunneltui.loads.trials import History, Look
from tunneltui.season.state import Ending, Fixing, Leader, Prop, Season
from tunneltui.values import replace

FAILED = ("popped_open", "broke", "stem_pulled_out", "slid")
"""Ways to fail that speak of the clip: its grip is its strength. Knocked, knot and twine end its record as
held."""
PLANTED_M = 0.35
LOOKS_APART = timedelta(days=3)
"""Looks nearer than this are one trial: the load model's errors last for days."""


class _ClipLooks(Struct, frozen=True):
    """One clip and the days on which it was seen holding, and the one on which it was found failed."""

    fixing: Fixing
    held_on: tuple[date, ...]
    failed_on: date | None = None

    @property
    def days(self) -> tuple[date, ...]:
        return self.held_on if self.failed_on is None else (*self.held_on, self.failed_on)


class PastDay(NamedTuple):
    """A day on which a clip of a stem was seen."""

    held_by: tuple[object, ...]
    """Fixings and props of that day."""
    clips: Mapping[str, tuple[float, float]]
    """Likely load, N, and how far it may be off all the time, ln, by fixing id."""


class Past(Struct, frozen=True, eq=False):
    """A stem's days gone by, and what they were wound back from."""

    rests_on: tuple[object, ...]
    layout: Layout
    days: Mapping[date, PastDay]


def leader_past(season: Season, leader: Leader, outlook: Outlook, past: Past | None = None) -> Past:
    """Every day on which a clip of a standing leader was seen; days are taken from ``past``, an earlier answer for
    this leader, where nothing has changed that they rest on."""
    ahead = outlook.leaders[leader.id]
    stem = ahead.days[min(ahead.days)]
    pace = (ahead.growth_m_per_week.mid / 7, ahead.trusses_per_week.mid / 7)
    # What the past of a stem is wound back from. What a day's own fixings and props were is asked beside it: what
    # is hung, wound or seen today leaves the past as it was.
    rests_on = (
        *(leader.id, leader.u_m, leader.training, leader.cultivar, leader.hook, leader.lowerings),
        *(leader.readings, leader.twisted_in_on is not None, leader.trusses_lost),
        *(stem, pace, outlook.day),
    )
    holds = past is not None and past.layout is season.layout and past.rests_on == rests_on
    days_before = past.days if past is not None and holds else {}
    days = {}
    for day in sorted({day for clip in _every_seen(leader) for day in clip.days}):
        # The fixings and props of that day, as far as they move loads.
        held_by = (
            *((f.id, f.on, f.string, f.u_m, f.z_m, f.s_m) for f in _fixings_as_of(leader, day)),
            *_props_as_of(leader, day),
        )
        before = days_before.get(day)
        if before is not None and before.held_by == held_by:
            days[day] = before
        else:
            then = stem_as_of(leader, stem, pace, outlook.day, day)
            borne = standing(season.layout, leader_as_of(leader, day), then).borne.clips
            days[day] = PastDay(held_by, {f: (carried.mid_n, carried.lasting_ln) for f, carried in borne.items()})
    return Past(rests_on, season.layout, days)


def leader_histories(leader: Leader, past: Past) -> dict[str, History]:
    """Looks at every clip of a standing leader, those that ended included, by fixing id.

    A clip set by a tick and never seen has held nothing yet: its history is empty.
    """
    return {clip.fixing.id: _history(clip, past.days) for clip in _every_seen(leader)}


def kinds_of(season: Season) -> dict[str, list[Fixing]]:
    """Clips standing and ended by kind, ties left out."""
    by_kind: dict[str, list[Fixing]] = {}
    for leader in season.leaders.values():
        for fixing in (*leader.fixings, *(ending.fixing for ending in leader.endings)):
            if not fixing.tie:
                by_kind.setdefault(fixing.clip_kind, []).append(fixing)
    return by_kind


def _every_seen(leader: Leader) -> list[_ClipLooks]:
    return [*map(_seen, leader.fixings), *map(_ended, leader.endings)]


def _seen(fixing: Fixing) -> _ClipLooks:
    return _ClipLooks(fixing, _looks(fixing, fixing.seen_on))


def _ended(ending: Ending) -> _ClipLooks:
    fixing = ending.fixing
    if ending.how in FAILED:
        return _ClipLooks(fixing, _looks(fixing, (day for day in fixing.seen_on if day < ending.day)), ending.day)
    return _ClipLooks(fixing, _looks(fixing, (*fixing.seen_on, ending.day)))


def _looks(fixing: Fixing, seen: Iterable[date]) -> tuple[date, ...]:
    """Days on which it was seen under its load: not the day it was closed, and none for one set by a tick."""
    kept: list[date] = []
    for day in () if fixing.assumed else seen:
        if day > fixing.hung_on and (not kept or day - kept[-1] >= LOOKS_APART):
            kept.append(day)
    return tuple(kept)


def _history(clip: _ClipLooks, past: Mapping[date, PastDay]) -> History:
    fixing, failed_on = clip.fixing, clip.failed_on
    return History(
        tuple(_look(fixing, day, past) for day in clip.held_on),
        _look(fixing, failed_on, past) if failed_on is not None else None,
    )


def _look(fixing: Fixing, day: date, past: Mapping[date, PastDay]) -> Look:
    load_n, lasting_ln = past[day].clips.get(fixing.id, (0.0, 0.0))
    return Look((day - fixing.hung_on).days / 7, load_n, lasting_ln)


def leader_as_of(leader: Leader, day: date) -> Leader:
    """A leader's hook and fixings as they were at a visit; what was found failed that day still counts."""
    hook = leader.hook
    if hook is not None:
        hook = replace(hook, u_m=_hook_as_of(leader, hook.u_m, day))
    fixings = [
        replace(fixing, u_m=hook.u_m)
        if hook is not None and fixing.on == "head" and fixing.u_m != hook.u_m
        else fixing
        for fixing in _fixings_as_of(leader, day)
    ]
    return replace(
        leader,
        hook=hook,
        fixings=tuple(sorted(fixings, key=lambda fixing: fixing.s_m)),
        props=_props_as_of(leader, day),
    )


def _fixings_as_of(leader: Leader, day: date) -> list[Fixing]:
    ended = [ending.fixing for ending in leader.endings if ending.day >= day]
    return [fixing for fixing in (*leader.fixings, *ended) if fixing.hung_on <= day]


def _props_as_of(leader: Leader, day: date) -> tuple[Prop, ...]:
    return tuple(prop for prop in leader.props if prop.day <= day)


def _hook_as_of(leader: Leader, now_u_m: float, day: date) -> float:
    """Where the hook hung: moved last by a noted lowering, before the first one over the root."""
    moves = [(move.day, move.hook_u_m) for move in leader.lowerings if move.hook_u_m is not None]
    if not moves or day >= moves[-1][0]:
        return now_u_m
    i = bisect_right([moved_on for moved_on, _ in moves], day)
    return leader.u_m if i == 0 else moves[i - 1][1]


def stem_as_of(leader: Leader, stem: StemOn, pace: tuple[float, float], today: date, day: date) -> StemOn:
    """A stem wound back to an earlier day. ``pace`` is growth in m and flowering trusses, both a day."""
    back = max(0, (today - day).days)
    length_m = _length_as_of(leader, stem.length_m.mid, pace[0], today, day)
    grown_m = stem.length_m.mid - length_m
    let_out_m = sum(move.let_out_m or 0.0 for move in leader.lowerings if day < move.day <= today)
    tip_z_m = min(max(stem.tip_z_m.mid - grown_m + let_out_m, 0.1), length_m)
    return replace(
        stem,
        day=day,
        length_m=Band(length_m, length_m, length_m),
        tip_z_m=Band(tip_z_m, tip_z_m, tip_z_m),
        trusses=_trusses_as_of(leader, stem.trusses, pace[1], back),
        bare_below_m=max(0.0, stem.bare_below_m - grown_m),
    )


def _length_as_of(leader: Leader, now_m: float, m_a_day: float, today: date, day: date) -> float:
    """Between the readings of its length around that day; else back by its present growth."""
    read = [(reading.day, reading.length_m) for reading in leader.readings if reading.length_m is not None]
    lengths = [*read, (today, now_m)]
    before = [point for point in lengths if point[0] <= day]
    after = [point for point in lengths if point[0] > day]
    if before and after:
        (start, low), (end, high) = before[-1], after[0]
        return low + (high - low) * (day - start).days / (end - start).days
    if not after:
        return now_m
    end, high = after[0]
    return max(min(PLANTED_M, high), high - m_a_day * (end - day).days)


def _trusses_as_of(
    leader: Leader, trusses: tuple[TrussOn, ...], trusses_a_day: float, back: int
) -> tuple[TrussOn, ...]:
    if not trusses or back == 0:
        return trusses
    apart_s, apart_z = _spacing(trusses)
    z_a_day = apart_z * trusses_a_day if trusses_a_day > 0 else 1 / REFERENCE_DAYS
    earlier = [_younger(truss, z) for truss in trusses if (z := truss.z - z_a_day * back) >= 0]
    lowest = trusses[0]
    for n in range(1, lowest.number):
        z = lowest.z + n * apart_z - z_a_day * back
        if z >= 1 or lowest.number - n in leader.trusses_lost:
            break
        if z >= 0:
            earlier.insert(0, _younger(lowest, z, below=n, below_m=min(n * apart_s, lowest.s_m)))
    return tuple(earlier)


def _spacing(trusses: tuple[TrussOn, ...]) -> tuple[float, float]:
    """Stem and development from one truss to the next, on average."""
    between = len(trusses) - 1
    if between == 0:
        return 0.25, 1 / 8
    return (trusses[-1].s_m - trusses[0].s_m) / between, max(0.02, (trusses[0].z - trusses[-1].z) / between)


def _younger(truss: TrussOn, z: float, *, below: int = 0, below_m: float = 0.0) -> TrussOn:
    """The same truss at an earlier ``z``, or one like it further down."""
    share_now = mass_share(min(1.0, max(0.02, truss.z)))
    return TrussOn(
        number=truss.number - below,
        s_m=truss.s_m - below_m,
        z=z,
        fruits=truss.fruits,
        kg=truss.kg * mass_share(min(1.0, max(0.0, z))) / share_now,
        ripe_on=truss.ripe_on,
        counted=truss.counted,
    )
