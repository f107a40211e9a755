"""All loads of one day, from the clip on a stem to the hoop over it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from tunneltui.growth.outlook import Outlook
from tunneltui.loads.corner import corner_loads
from tunneltui.loads.kinds import kind_strengths
from tunneltui.loads.lines import line_loads
from tunneltui.loads.masses import GRAVITY_M_PER_S2
from tunneltui.loads.overhead import hoops, unknown_wires, wire_loads, wires
from tunneltui.loads.result import LineLoad, Loads, RowLoad
from tunneltui.loads.stem import LoadedStem
from tunneltui.loads.strength import Strength
from tunneltui.loads.weak_points import most_drops_first
from tunneltui.loads.workings import NOTHING_TAUGHT, Workings, work_out
from tunneltui.memo import Stages
from tunneltui.season.state import Season
from tunneltui.values import replace


def loads(
    season: Season,
    outlook: Outlook,
    day: date,
    *,
    alone: bool = False,
    taught: Mapping[str, Strength] = NOTHING_TAUGHT,
) -> Loads:
    """What everything bears on a day of the outlook, nothing lowered or picked until then.

    ``alone`` True leaves the weak points out. ``taught``: strengths of kinds of clip by another season's clips.
    """
    return plan_loads(Stages(), season, outlook, day, alone=alone, taught=taught)


def update_loads(before: Loads, season: Season, outlook: Outlook, *, learn: bool = True) -> Loads:
    """``loads(season, outlook, before.day)`` to the last digit, after something changed since ``before`` was
    worked out.

    Only stems that changed are solved anew and only their loops searched for weak points; what changed is
    found by comparing, so that any change may be given. ``learn`` False keeps the strengths of the kinds of
    clip as ``before`` has them: a clip that was opened or failed is evidence on every clip of its kind in the
    house, and to weigh all of it again takes longer than a key may.
    """
    memo = before.workings.memo if before.workings is not None else None
    return plan_loads(Stages(memo, "house" if learn else "loop"), season, outlook, before.day)


def plan_loads(
    stages: Stages,
    season: Season,
    outlook: Outlook,
    day: date,
    *,
    alone: bool = False,
    taught: Mapping[str, Strength] = NOTHING_TAUGHT,
) -> Loads:
    """The loads as a part of a plan. At a stem's depth those of the leaders that the outlook speaks of; what is
    summed up of others is as it was."""
    workings = work_out(stages, season, outlook, day, alone=alone or stages.depth == "stem", taught=taught)
    summed = stages.anew("loop", _summed_up, "", workings)
    clips = [clip for of in workings.clips.values() for clip in of]
    weak = [point for points in workings.weak_points.values() for point in points]
    return replace(
        summed,
        clips=tuple(sorted(clips, key=lambda clip: (-clip.share, -clip.chance_7d, clip.id))),
        weak_points=tuple(sorted(weak, key=most_drops_first)),
        paths={leader: stem.path for leader, stem in workings.stems.items()},
        workings=workings,
    )


def _summed_up(workings: Workings) -> Loads:
    """What lines, wires and hoops bear of all stems together."""
    season, stems = workings.season, workings.stems
    borne = {leader: stem.borne for leader, stem in stems.items()}
    lines = line_loads(season, borne)
    hanging = wires(season, borne, lines)
    faults = [stem.path.fault for stem in stems.values() if stem.path.fault]
    for aside in season.set_aside:
        if aside.entry.kind == "clip_failed":
            faults.append(f"Entry {aside.entry.id} notes a failure of a clip that is not there: {aside.why}.")
    return Loads(
        day=workings.day,
        clips=(),
        lines=tuple(sorted(lines, key=_fullest_line)),
        wires=tuple(wire_loads(season, hanging)),
        hoops=tuple(hoops(season, hanging)),
        rows=tuple(_rows(season, stems)),
        weak_points=(),
        paths={},
        faults=(*faults, *unknown_wires(season, lines)),
        corners=tuple(corner_loads(season, borne)),
        strengths=tuple(kind_strengths(workings.learned)),
    )


def _fullest_line(line: LineLoad) -> tuple[float, float, str]:
    return (-(line.share if line.share is not None else 0.0), -line.mid_n, line.id)


def _rows(season: Season, stems: Mapping[str, LoadedStem]) -> list[RowLoad]:
    """Weight of each row's stems above the soil."""
    newtons = dict.fromkeys(season.layout.rows, 0.0)
    for stem in stems.values():
        newtons[stem.leader.row] += stem.weights.total_n
    return [RowLoad(row, newton / GRAVITY_M_PER_S2) for row, newton in newtons.items()]
