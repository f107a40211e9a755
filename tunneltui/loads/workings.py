"""What the loads of a day are summed up from, leader by leader and loop by loop: stages of a plan, so that after a
change a changed leader's stem is solved anew, its loop's weak points are sought anew and the rest is kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, timedelta
from math import log
from types import MappingProxyType

from tunneltui.growth.outlook import LeaderOutlook, Outlook
from tunneltui.holding.layout import Layout
from tunneltui.holding.model import Holding
from tunneltui.loads.clips import Carried
from tunneltui.loads.history import FAILED, Past, kinds_of, leader_histories, leader_past
from tunneltui.loads.kinds import learned_strength, strength_of
from tunneltui.loads.result import ClipLoad, WeakPoint
from tunneltui.loads.stem import LoadedStem, standing, stem_on
from tunneltui.loads.strength import HeldRecord, Prior, Strength, chance, prior_of, record
from tunneltui.loads.trials import Look
from tunneltui.loads.weak_points import weak_points
from tunneltui.memo import Memo, Stages
from tunneltui.season.state import Fixing, HungString, Leader, Season, empty_season, hang_across
from tunneltui.values import replace

WEEK = timedelta(days=7)
_UNSEEN = HeldRecord(None)
LOOK_DAYS = (2, 6)
"""A week has two looks, on these of its days (assumed)."""
NOTHING_TAUGHT: Mapping[str, Strength] = MappingProxyType({})


@dataclass(frozen=True, slots=True, eq=False)
class Workings:
    """Mappings are by leader id in walking order, save where noted."""

    season: Season
    outlook: Outlook
    day: date
    stems: dict[str, LoadedStem]
    later: dict[str, LoadedStem]
    """A week on."""
    pasts: dict[str, Past]
    records: dict[str, dict[str, HeldRecord]]
    """Then by fixing id."""
    learned: dict[str, Strength]
    """By kind of clip."""
    clips: dict[str, tuple[ClipLoad, ...]]
    weak_points: dict[str, tuple[WeakPoint, ...]]
    """By loop."""
    head_failed: bool
    """Whether a head clip ever failed by itself in this house."""
    memo: Memo
    """For the same with something changed."""


def work_out(
    stages: Stages,
    season: Season,
    outlook: Outlook,
    day: date,
    *,
    alone: bool = False,
    taught: Mapping[str, Strength] = NOTHING_TAUGHT,
) -> Workings:
    """Everything for one day of the leaders that the outlook speaks of. What a clip that was opened or failed
    teaches of its kind waits for the whole house.

    With ``alone`` True each stem is looked at by itself and no loop is searched for weak points. Of kinds that are
    ``taught`` nothing is learned anew.
    """
    stands = what_stands(stages, season)
    prior = prior_of(None, season.holding.limits)
    stems, later, pasts, records = {}, {}, {}, {}
    for i, leader in season.leaders.items():
        if i not in outlook.leaders:
            continue
        today, ahead = outlook.stem(i, day), outlook.stem(i, day + WEEK)
        stems[i] = stages.of(standing, (i, "today"), season.layout, leader, today)
        later[i] = stems[i]
        if ahead is not today:
            later[i] = stages.of(standing, (i, "in a week"), season.layout, leader, ahead)
        pasts[i] = stages.resumed(_past, i, stands, leader, outlook.leaders[i], outlook.day)
        records[i] = stages.of(_records, i, leader, pasts[i], prior)
    learned = {**_learned(stages, season, day, stems, records), **taught}
    clips = {
        i: stages.of(_clips_of, i, stands, day, stem, later[i], _strengths(stem.leader, learned), records[i])
        for i, stem in stems.items()
    }
    points: dict[str, tuple[WeakPoint, ...]] = {}
    for loop, members in ({} if alone else _by_loop(stands, stems)).items():
        strengths_n = {clip.id: clip.strength_n for leader in members for clip in clips[leader]}
        points[loop] = stages.of(_weak_points_of_loop, loop, stands, members, strengths_n)
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
        points,
        stages.anew("loop", _head_failed, "", season),
        stages.memo,
    )


def what_stands(stages: Stages, season: Season) -> Season:
    return stages.of(_stands, "", season.day, season.holding, season.layout, season.strings)


def _stands(day: date, holding: Holding, layout: Layout, strings: dict[str, HungString]) -> Season:
    """The season where nothing is known but what stands."""
    return replace(empty_season(day, holding, layout), strings=strings)


def _past(past: Past | None, stands: Season, leader: Leader, ahead: LeaderOutlook, today: date) -> Past:
    return leader_past(stands, leader, Outlook(today, {leader.id: ahead}, (), air_typical=False), past)


def _records(leader: Leader, past: Past, prior: Prior) -> dict[str, HeldRecord]:
    return {fixing: record(history, prior) for fixing, history in leader_histories(leader, past).items()}


def hanging(stems: Mapping[str, LoadedStem], day: date, of: Set[str] | None = None) -> dict[str, Look]:
    """What every standing clip bears on a day, by fixing id; that of some fixings."""
    return {
        fixing.id: Look((day - fixing.hung_on).days / 7, borne.mid_n, borne.lasting_ln)
        for stem in stems.values()
        for fixing in stem.leader.fixings
        if (of is None or fixing.id in of) and (borne := stem.borne.clips.get(fixing.id)) is not None
    }


def _learned(
    stages: Stages,
    season: Season,
    day: date,
    stems: Mapping[str, LoadedStem],
    records: Mapping[str, Mapping[str, HeldRecord]],
) -> dict[str, Strength]:
    """Strength of each kind; as it was until the house is planned, where the kind is not new."""
    used = kinds_of(season)
    kinds = dict.fromkeys([*(kind.key for kind in season.holding.clips), *used])
    return {
        kind: stages.anew("house", _strength, kind, season, day, kind, used.get(kind, []), stems, records)
        for kind in kinds
    }


def _strength(
    season: Season,
    day: date,
    kind: str,
    fixings: Sequence[Fixing],
    stems: Mapping[str, LoadedStem],
    records: Mapping[str, Mapping[str, HeldRecord]],
) -> Strength:
    own = {fixing.id for fixing in fixings}
    seen = {fixing: look for of in records.values() for fixing, look in of.items() if fixing in own}
    return learned_strength(season, kind, fixings, seen, hanging(stems, day, own))


def _strengths(leader: Leader, learned: Mapping[str, Strength]) -> dict[str, Strength]:
    return {fixing.clip_kind: learned[fixing.clip_kind] for fixing in leader.fixings if not fixing.tie}


def _weak_points_of_loop(
    stands: Season, stems: dict[str, LoadedStem], strengths_n: dict[str, float]
) -> tuple[WeakPoint, ...]:
    return tuple(weak_points(stands, stems, strengths_n))


def _by_loop(season: Season, stems: Mapping[str, LoadedStem]) -> dict[str, dict[str, LoadedStem]]:
    """Stems that can bring each other down: those of a loop. All of them together where one is noted on a string
    of another loop."""
    across = hang_across(season, (stem.leader for stem in stems.values()))
    by_loop: dict[str, dict[str, LoadedStem]] = {}
    for i, stem in stems.items():
        by_loop.setdefault("" if across else stem.leader.loop, {})[i] = stem
    return by_loop


def _head_failed(season: Season) -> bool:
    return any(
        ending.fixing.on == "head" and ending.how in FAILED
        for leader in (*season.leaders.values(), *season.gone.values())
        for ending in leader.endings
    )


def clips_as(workings: Workings, season: Season, outlook: Outlook, leader: str) -> tuple[ClipLoad, ...]:
    """What a leader's clips would bear in another season and outlook of the same day, by what is known of
    clips."""
    day, whose = workings.day, season.leaders[leader]
    stem = stem_on(season, whose, outlook.stem(leader, day))
    later = stem_on(season, whose, outlook.stem(leader, day + WEEK))
    return tuple(_clips(season, day, stem, later, workings.learned, workings.records.get(leader, {})))


def _clips_of(
    stands: Season,
    day: date,
    stem: LoadedStem,
    later: LoadedStem,
    learned: dict[str, Strength],
    records: dict[str, HeldRecord],
) -> tuple[ClipLoad, ...]:
    return tuple(_clips(stands, day, stem, later, learned, records))


def _clips(
    season: Season,
    day: date,
    stem: LoadedStem,
    later: LoadedStem,
    learned: Mapping[str, Strength],
    records: Mapping[str, HeldRecord],
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
    stem: LoadedStem,
    fixing: Fixing,
    carried: Carried,
    coming: Carried,
    strength: Strength,
    seen: HeldRecord,
) -> ClipLoad:
    weeks = max(0.0, (day - fixing.hung_on).days / 7)
    strength_n = strength.quantile_n(weeks)
    next_n = max(carried.mid_n, coming.mid_n)
    # Half of what the forecast says a load will gain is taken as its error (assumed).
    forecast_sd_ln = abs(log(next_n / carried.mid_n)) / 2 if carried.mid_n > 0.1 else 0.0
    return ClipLoad(
        id=fixing.id,
        leader=stem.leader.name,
        on=fixing.on if fixing.on != "string" else season.string_name(fixing.string),
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
