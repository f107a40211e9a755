"""What the loads of a day are summed up from, leader by leader and loop by loop, and what of it holds still after
a change: a changed leader's stem is solved anew, its loop's weak points are sought anew, the rest is kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import log

from tunneltui.growth.outlook import LeaderOutlook, Outlook
from tunneltui.loads.clips import Carried
from tunneltui.loads.history import FAILED, Past, leader_histories, leader_past
from tunneltui.loads.kinds import learned_strengths, strength_of
from tunneltui.loads.result import ClipLoad, WeakPoint
from tunneltui.loads.stem import Stem, stem_on
from tunneltui.loads.strength import Record, Strength, chance, prior_of, record
from tunneltui.loads.trials import Look
from tunneltui.loads.weak_points import weak_points
from tunneltui.season.state import Fixing, Season

WEEK = timedelta(days=7)
_UNSEEN = Record(None)
LOOK_DAYS = (2, 6)
"""A week has two looks, on these of its days (assumed)."""


@dataclass(frozen=True, slots=True, eq=False)
class Workings:
    """Mappings are by leader id in walking order, save where said."""

    season: Season
    outlook: Outlook
    day: date
    stems: dict[str, Stem]
    later: dict[str, Stem]
    """A week on."""
    pasts: dict[str, Past]
    records: dict[str, dict[str, Record]]
    """Then by fixing id."""
    learned: dict[str, Strength]
    """By kind of clip."""
    clips: dict[str, tuple[ClipLoad, ...]]
    weak_points: dict[str, tuple[WeakPoint, ...]]
    """By loop."""
    head_failed: bool
    """Whether a head clip ever failed by itself in this house."""


def work_out(
    season: Season, outlook: Outlook, day: date, was: Workings | None, *, learn: bool, alone: bool = False
) -> Workings:
    """Everything for one day, taken from ``was`` where nothing it rests on has changed.

    With ``learn`` False kinds of clip keep the strength they have in ``was``; with ``alone`` True each stem is
    looked at by itself and no loop is searched for weak points.
    """
    standing = [leader for leader in season.leaders.values() if leader.id in outlook.leaders]
    kept = _unchanged(was, season, outlook, day) if was is not None else frozenset()
    stems, later, pasts, records = {}, {}, {}, {}
    prior = prior_of(None, season.holding.limits)
    for leader in standing:
        i = leader.id
        if was is not None and i in kept:
            stems[i], later[i] = was.stems[i], was.later[i]
            pasts[i], records[i] = was.pasts[i], was.records[i]
        else:
            today, ahead = outlook.stem(i, day), outlook.stem(i, day + WEEK)
            stems[i] = stem_on(season, leader, today)
            later[i] = stems[i] if ahead is today else stem_on(season, leader, ahead)
            pasts[i] = leader_past(season, leader, outlook, was.pasts.get(i) if was is not None else None)
            records[i] = {
                fixing: record(history, prior) for fixing, history in leader_histories(leader, pasts[i]).items()
            }
    learned = _learned(season, day, stems, records, was if not learn else None)
    clips = {}
    for i, stem in stems.items():
        if was is not None and i in kept and learned == was.learned:
            clips[i] = was.clips[i]
        else:
            clips[i] = tuple(_clips(season, day, stem, later[i], learned, records[i]))
    return Workings(
        season,
        outlook,
        day,
        stems,
        later,
        pasts,
        records,
        learned,
        clips,
        {} if alone else _weak_points(season, stems, clips, was, kept),
        _head_failed(season) or (alone and was is not None and was.head_failed),
    )


def _unchanged(was: Workings, season: Season, outlook: Outlook, day: date) -> frozenset[str]:
    """Leaders of whom everything that loads ask is as it was; nobody where the house itself changed."""
    if (was.day, was.outlook.day) != (day, outlook.day):
        return frozenset()
    if was.season.holding != season.holding or was.season.strings != season.strings:
        return frozenset()
    return frozenset(
        i
        for i in season.leaders
        if i in was.stems
        and i in outlook.leaders
        and season.leaders[i] == was.season.leaders[i]
        and _asked(outlook.leaders[i], day) == _asked(was.outlook.leaders[i], day)
    )


def _asked(ahead: LeaderOutlook, day: date) -> tuple[object, ...]:
    """What loads ask of an outlook: the stem of the day, a week on, and where its past is wound back from."""
    first, last = min(ahead.days), max(ahead.days)
    stems = (ahead.days[first], ahead.days[min(day, last)], ahead.days[min(day + WEEK, last)])
    return (*stems, ahead.growth_m_per_week.mid, ahead.trusses_per_week.mid)


def hanging(stems: Mapping[str, Stem], day: date) -> dict[str, Look]:
    """What every standing clip bears on a day, by fixing id."""
    return {
        fixing.id: Look((day - fixing.hung_on).days / 7, borne.mid_n, borne.lasting_ln)
        for stem in stems.values()
        for fixing in stem.leader.fixings
        if (borne := stem.borne.clips.get(fixing.id)) is not None
    }


def _learned(
    season: Season,
    day: date,
    stems: Mapping[str, Stem],
    records: Mapping[str, Mapping[str, Record]],
    was: Workings | None,
) -> dict[str, Strength]:
    """Strength of each kind; as it was where that is asked for and no kind is new."""
    used = {fixing.clip_kind for i in records for fixing in season.leaders[i].fixings if not fixing.tie}
    if was is not None and used <= was.learned.keys():
        return was.learned
    seen = {fixing: one for of in records.values() for fixing, one in of.items()}
    return learned_strengths(season, seen, hanging(stems, day))


def _weak_points(
    season: Season,
    stems: Mapping[str, Stem],
    clips: Mapping[str, tuple[ClipLoad, ...]],
    was: Workings | None,
    kept: frozenset[str],
) -> dict[str, tuple[WeakPoint, ...]]:
    found: dict[str, tuple[WeakPoint, ...]] = {}
    loops_before = _by_loop(was.season, was.stems) if was is not None else {}
    for loop, members in _by_loop(season, stems).items():
        strengths = _strengths_n(clips, members)
        if was is not None and loop in was.weak_points and members.keys() <= kept:
            before = loops_before[loop]
            if before.keys() == members.keys() and _strengths_n(was.clips, before) == strengths:
                found[loop] = was.weak_points[loop]
                continue
        found[loop] = tuple(weak_points(season, members, strengths))
    return found


def _by_loop(season: Season, stems: Mapping[str, Stem]) -> dict[str, dict[str, Stem]]:
    """Stems that can bring each other down: those of a loop. All of them together where one is noted on a string
    of another loop."""
    strings = season.strings
    across = any(
        fixing.string in strings and strings[fixing.string].loop != stem.leader.loop
        for stem in stems.values()
        for fixing in stem.leader.fixings
    )
    found: dict[str, dict[str, Stem]] = {}
    for i, stem in stems.items():
        found.setdefault("" if across else stem.leader.loop, {})[i] = stem
    return found


def _strengths_n(clips: Mapping[str, tuple[ClipLoad, ...]], leaders: Iterable[str]) -> dict[str, float]:
    return {clip.id: clip.strength_n for leader in leaders for clip in clips[leader]}


def _head_failed(season: Season) -> bool:
    return any(
        ending.fixing.on == "head" and ending.how in FAILED
        for leader in (*season.leaders.values(), *season.gone.values())
        for ending in leader.endings
    )


def clips_as(workings: Workings, season: Season, outlook: Outlook, leader: str) -> tuple[ClipLoad, ...]:
    """What a leader's clips would bear in another season and outlook of the same day, by what is known of
    clips."""
    day, one = workings.day, season.leaders[leader]
    stem = stem_on(season, one, outlook.stem(leader, day))
    later = stem_on(season, one, outlook.stem(leader, day + WEEK))
    return tuple(_clips(season, day, stem, later, workings.learned, workings.records.get(leader, {})))


def _clips(
    season: Season,
    day: date,
    stem: Stem,
    later: Stem,
    learned: Mapping[str, Strength],
    records: Mapping[str, Record],
) -> Iterable[ClipLoad]:
    for fixing in stem.leader.fixings:
        carried = stem.borne.clips.get(fixing.id)
        if carried is not None:
            coming = later.borne.clips.get(fixing.id, carried)
            strength = strength_of(season, fixing, learned)
            yield _clip(season, day, stem, fixing, carried, coming, strength, records.get(fixing.id, _UNSEEN))


def _clip(
    season: Season,
    day: date,
    stem: Stem,
    fixing: Fixing,
    carried: Carried,
    coming: Carried,
    strength: Strength,
    seen: Record,
) -> ClipLoad:
    weeks = max(0.0, (day - fixing.hung_on).days / 7)
    strength_n = strength.quantile_n(weeks)
    next_n = max(carried.mid_n, coming.mid_n)
    # Half of what the forecast says a load will gain is taken as its error (assumed).
    forecast_sd_ln = abs(log(next_n / carried.mid_n)) / 2 if carried.mid_n > 0.1 else 0.0
    return ClipLoad(
        id=fixing.id,
        leader=stem.leader.name,
        on=_on(season, fixing),
        u_m=fixing.u_m,
        z_m=stem.along.z_m(fixing.s_m),
        s_m=fixing.s_m,
        low_n=carried.low_n,
        mid_n=carried.mid_n,
        high_n=carried.high_n,
        sd_n=carried.sd_n,
        strength_n=strength_n,
        share=carried.mid_n / strength_n,
        mid_7d_n=coming.mid_n,
        chance_7d=chance(seen.held, week_of_looks(weeks, carried, coming), strength, forecast_sd_ln),
        assumed=fixing.assumed,
        weeks_hung=weeks,
    )


def week_of_looks(weeks: float, now: Carried, later: Carried) -> tuple[Look, Look]:
    """The coming week's, at the loads that lead from today's to those a week on."""
    lasting_ln = max(now.lasting_ln, later.lasting_ln)
    return tuple(  # type: ignore[return-value]
        Look(weeks + days / 7, now.mid_n + (later.mid_n - now.mid_n) * days / 7, lasting_ln) for days in LOOK_DAYS
    )


def _on(season: Season, fixing: Fixing) -> str:
    if fixing.on != "string":
        return fixing.on
    return season.string_name(fixing.string)
