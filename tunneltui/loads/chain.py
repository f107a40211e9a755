"""All loads of one day, from the clip on a stem to the hoop over it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.model import Cultivar
from tunneltui.loads.clips import Line, StemLoads, stem_loads
from tunneltui.loads.lines import line_loads
from tunneltui.loads.masses import GRAVITY_M_PER_S2, Weights, weights
from tunneltui.loads.path import stem_path
from tunneltui.loads.result import ClipLoad, LineLoad, Loads, RowLoad, StemPath
from tunneltui.loads.strength import History, Strength, chance, learn, prior_of
from tunneltui.season.state import Fixing, Leader, Season

WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Stem:
    """One leader on one day with what follows from it."""

    leader: Leader
    path: StemPath
    weights: Weights
    weighed: bool
    borne: StemLoads


def loads(season: Season, outlook: Outlook, day: date) -> Loads:
    """What everything bears on a day of the outlook, nothing lowered or picked until then."""
    stems = stems_on(season, outlook, day)
    later = stems_on(season, outlook, day + WEEK)
    borne = {leader: stem.borne for leader, stem in stems.items()}
    lines = line_loads(season, borne)
    clips = _clips(season, day, stems, later)
    return Loads(
        day=day,
        clips=tuple(sorted(clips, key=lambda clip: (-clip.share, -clip.chance_7d, clip.id))),
        lines=tuple(sorted(lines, key=_fullest_line)),
        wires=(),
        hoops=(),
        rows=tuple(_rows(season, outlook, day, stems)),
        weak_points=(),
        paths={leader: stem.path for leader, stem in stems.items()},
        faults=tuple(_faults(season, stems)),
    )


def stems_on(season: Season, outlook: Outlook, day: date) -> dict[str, Stem]:
    """Every standing leader the outlook speaks of, by id, on a day."""
    return {
        leader.id: stem(season, leader, outlook.stem(leader.id, day))
        for leader in season.leaders.values()
        if leader.id in outlook.leaders
    }


def stem(season: Season, leader: Leader, grown: StemOn) -> Stem:
    """One leader's path, weight and loads."""
    cultivar = season.layout.cultivars.get(leader.cultivar)
    path = stem_path(leader, grown, season.layout)
    weight = weights(grown, cultivar)
    weighed = _weighed(cultivar, grown)
    return Stem(leader, path, weight, weighed, stem_loads(leader, path, weight, weighed=weighed))


def _weighed(cultivar: Cultivar | None, grown: StemOn) -> bool:
    known = cultivar is not None and cultivar.fruit_g is not None
    return known or any(truss.counted for truss in grown.trusses)


def _clips(season: Season, day: date, stems: Mapping[str, Stem], later: Mapping[str, Stem]) -> list[ClipLoad]:
    strengths = _strengths(season)
    found = []
    for leader_id, stem in stems.items():
        line = Line(stem.path)
        for fixing in stem.leader.fixings:
            carried = stem.borne.clips.get(fixing.id)
            if carried is None:
                continue
            coming = later[leader_id].borne.clips.get(fixing.id, carried)
            strength = strengths[fixing.clip_kind]
            weeks = max(0.0, (day - fixing.hung_on).days / 7)
            strength_n = strength.quantile_n(weeks)
            next_n = max(carried.mid_n, coming.mid_n)
            found.append(
                ClipLoad(
                    id=fixing.id,
                    leader=stem.leader.name,
                    on=_on(season, fixing),
                    u_m=fixing.u_m,
                    z_m=line.z_m(fixing.s_m),
                    s_m=fixing.s_m,
                    low_n=carried.low_n,
                    mid_n=carried.mid_n,
                    high_n=carried.high_n,
                    sd_n=carried.sd_n,
                    strength_n=strength_n,
                    share=carried.mid_n / strength_n,
                    chance_7d=chance(History((), head=fixing.on == "head"), (weeks + 1, next_n), strength),
                    assumed=fixing.assumed,
                    weeks_hung=weeks,
                )
            )
    return found


def _strengths(season: Season) -> dict[str, Strength]:
    kinds = {kind.key: kind for kind in season.holding.clips}
    used = {fixing.clip_kind for leader in season.leaders.values() for fixing in leader.fixings}
    return {key: learn(prior_of(kinds.get(key), season.holding.limits), ()) for key in sorted(used)}


def _on(season: Season, fixing: Fixing) -> str:
    if fixing.on != "string":
        return fixing.on
    string = season.strings.get(fixing.string) or season.layout.strings.get(fixing.string)
    return f"string {string.number}" if string else "string"


def _fullest_line(line: LineLoad) -> tuple[float, float, str]:
    return (-(line.share if line.share is not None else 0.0), -line.mid_n, line.id)


def _rows(season: Season, outlook: Outlook, day: date, stems: Mapping[str, Stem]) -> list[RowLoad]:
    """Weight of each row's stems above the soil, now and at its greatest within the outlook."""
    days = sorted({d for leader in outlook.leaders.values() for d in leader.days if d >= day} | {day})
    by_row: dict[str, dict[date, float]] = {row: dict.fromkeys(days, 0.0) for row in season.layout.rows}
    for leader_id, stem in stems.items():
        cultivar = season.layout.cultivars.get(stem.leader.cultivar)
        for d in days:
            by_row[stem.leader.row][d] += weights(outlook.stem(leader_id, d), cultivar).total_n
    rows = []
    for row, newtons in by_row.items():
        peak = max(days, key=lambda d: newtons[d])
        rows.append(RowLoad(row, newtons[day] / GRAVITY_M_PER_S2, newtons[peak] / GRAVITY_M_PER_S2, peak))
    return rows


def _faults(season: Season, stems: Mapping[str, Stem]) -> list[str]:
    faults = [stem.path.fault for stem in stems.values() if stem.path.fault]
    for aside in season.set_aside:
        if aside.entry.kind == "clip_failed":
            faults.append(f"Entry {aside.entry.id} notes a failure of a clip that is not there: {aside.why}")
    return faults
