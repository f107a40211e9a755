"""All loads of one day, from the clip on a stem to the hoop over it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from math import log

from tunneltui.growth.outlook import Outlook
from tunneltui.loads.clips import Carried
from tunneltui.loads.kinds import kind_strengths, strength_of, strengths
from tunneltui.loads.lines import line_loads
from tunneltui.loads.masses import GRAVITY_M_PER_S2, weights
from tunneltui.loads.overhead import hoops, unknown_wires, wire_loads, wires
from tunneltui.loads.result import ClipLoad, LineLoad, Loads, RowLoad
from tunneltui.loads.stem import Stem, stems_on
from tunneltui.loads.strength import History, Strength, chance
from tunneltui.loads.weak_points import weak_points
from tunneltui.season.state import Fixing, Season

WEEK = timedelta(days=7)


def loads(season: Season, outlook: Outlook, day: date) -> Loads:
    """What everything bears on a day of the outlook, nothing lowered or picked until then."""
    stems, later = stems_on(season, outlook, day), stems_on(season, outlook, day + WEEK)
    learned, histories = strengths(season, outlook)
    clips = list(_clips(season, day, stems, later, learned, histories))
    borne = {leader: stem.borne for leader, stem in stems.items()}
    lines = line_loads(season, borne)
    hanging = wires(season, borne, lines)
    return Loads(
        day=day,
        clips=tuple(sorted(clips, key=lambda clip: (-clip.share, -clip.chance_7d, clip.id))),
        lines=tuple(sorted(lines, key=_fullest_line)),
        wires=tuple(wire_loads(season, hanging)),
        hoops=tuple(hoops(season, hanging)),
        rows=tuple(_rows(season, outlook, day, stems)),
        weak_points=tuple(weak_points(season, stems, {clip.id: clip.strength_n for clip in clips})),
        paths={leader: stem.path for leader, stem in stems.items()},
        faults=(*_faults(season, stems.values()), *unknown_wires(season, lines)),
        strengths=tuple(kind_strengths(learned)),
    )


def _clips(
    season: Season,
    day: date,
    stems: Mapping[str, Stem],
    later: Mapping[str, Stem],
    learned: Mapping[str, Strength],
    histories: Mapping[str, History],
) -> Iterable[ClipLoad]:
    for leader_id, stem in stems.items():
        coming = later[leader_id].borne.clips
        for fixing in stem.leader.fixings:
            carried = stem.borne.clips.get(fixing.id)
            if carried is not None:
                strength = strength_of(season, fixing, learned)
                history = histories[fixing.id]
                yield _clip(season, day, stem, fixing, carried, coming.get(fixing.id, carried), strength, history)


def _clip(
    season: Season,
    day: date,
    stem: Stem,
    fixing: Fixing,
    carried: Carried,
    coming: Carried,
    strength: Strength,
    history: History,
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
        chance_7d=chance(history, (weeks + 1, next_n), strength, forecast_sd_ln),
        assumed=fixing.assumed,
        weeks_hung=weeks,
    )


def _on(season: Season, fixing: Fixing) -> str:
    if fixing.on != "string":
        return fixing.on
    string = season.strings.get(fixing.string)
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


def _faults(season: Season, stems: Iterable[Stem]) -> list[str]:
    faults = [stem.path.fault for stem in stems if stem.path.fault]
    for aside in season.set_aside:
        if aside.entry.kind == "clip_failed":
            faults.append(f"Entry {aside.entry.id} notes a failure of a clip that is not there: {aside.why}.")
    return faults
