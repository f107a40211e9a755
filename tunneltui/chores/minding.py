"""What to mind where the work can hurt: steps, wires, hoops near their maker's figure, the heat.

Usual cautions, no more (common practice, no source): labels, local codes and licensed practice come before them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

from tunneltui.care.heat_hours import DayHeat, day_heat
from tunneltui.cells import load, m, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import STEPS, WIRE
from tunneltui.chores.kinds import KINDS
from tunneltui.loads.result import HoopLoad, Loads
from tunneltui.memo import Stages
from tunneltui.season.state import Season

NEAR_ALLOWED = 0.8
"""From this share of its maker's figure on a hoop is spoken of: wind and snow come on top (a judgement)."""


def with_cautions(stages: Stages, season: Season, loads: Loads, chores: Iterable[Chore]) -> Iterator[Chore]:
    """The same chores, each with its warnings; a warning that holds for several reads alike. The heat of a
    day is looked up with the whole house."""

    @cache
    def heat(tunnel: str) -> str:
        return _heat(stages.anew("house", day_heat, tunnel, season, tunnel, season.day))

    @cache
    def hoops(row: str) -> str:
        return _hoops(season, loads, row) if row in season.layout.rows else ""

    for chore in chores:
        standing = season.layout.rows.get(chore.row)
        minded = [*KINDS[chore.kind].cautions, *([STEPS] if chore.overhead else [])]
        if standing is not None and chore.overhead:
            minded.append(heat(standing[0].key))
        if {STEPS, WIRE} & set(minded):
            minded.append(hoops(chore.row))
        yield chore._replace(
            cautions=tuple(dict.fromkeys(caution for caution in (*chore.cautions, *minded) if caution))
        )


def _heat(hours: DayHeat | None) -> str:
    """By what hour overhead work should be done in a tunnel that will be too hot; '' where it will not."""
    if hours is None or hours.done_by is None:
        return ""
    by = say("Overhead by {}:00", hours.done_by) if hours.done_by > 0 else "Nothing overhead by day"
    return say("{}, or in the cool of the evening: the heat between strains greatly.", by)


def _hoops(season: Season, loads: Loads, row: str) -> str:
    """The fullest hoop over a row's tunnel, where it is near what its maker allows."""
    tunnel = season.layout.rows[row][0].key
    near = [hoop for hoop in loads.hoops if hoop.tunnel == tunnel and _share(hoop) >= NEAR_ALLOWED]
    if not near:
        return ""
    fullest = max(near, key=_share)
    return say(
        "The hoop at {} of {} carries {} of the {} its maker allows, wind and snow come on top: before more hangs "
        "there ask a licensed engineer.",
        m(fullest.x_m, 1),
        season.layout.rows[row][0].name,
        load(fullest.load_n),
        load(fullest.allowed_n or 0.0),
    )


def _share(hoop: HoopLoad) -> float:
    return hoop.load_n / hoop.allowed_n if hoop.allowed_n else 0.0
