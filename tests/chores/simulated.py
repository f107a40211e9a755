"""A row that grows and is lowered week by week by the plan under test; growth is the test's own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import combinations, pairwise
from random import Random

from tests.chores.given import DAY, SPACING_M, fixing, holding, leader, outlook, row, season, stem
from tunneltui.chores.lowering_head import height_limit
from tunneltui.chores.lowering_move import LoweringMove
from tunneltui.chores.lowering_plan import plan_lowering
from tunneltui.growth.outlook import StemOn
from tunneltui.holding.model import Limits, Place, String
from tunneltui.loads.path import stem_path
from tunneltui.season.state import Hook, Leader, Season
from tunneltui.values import replace

Run = list[tuple[float, float]]
LEADERS, WEEKS = 24, 14
STEM_FROM_M, STEM_TO_M = 1.5, 4.9
"""Loads-forms.md section 4: 24 leaders, 14 weeks, stem 1.5 to 4.9 m."""
FIRST_TIER_M = 0.30


@dataclass(frozen=True, slots=True)
class Week:
    season: Season
    stems: dict[str, StemOn]
    """After the lowering."""
    moves: tuple[LoweringMove, ...]


def weeks(
    seed: int,
    vigour_sd: float,
    *,
    spacing_m: float = SPACING_M,
    wire_m: float = 2.0,
    leaders: int = LEADERS,
    limits: Limits | None = None,
    string_offset_m: float = 0.10,
) -> Iterator[Week]:
    """One season of weekly lowerings in one long row."""
    luck = Random(seed)
    stands = holding(
        row(
            length_m=spacing_m * leaders + 6.0,
            wire_height_m=wire_m,
            places=tuple(Place(f"W1-{n:02d}", spacing_m * n) for n in range(1, leaders + 1)),
            strings=tuple(String(n, spacing_m * n + string_offset_m) for n in range(1, leaders + 10)),
        ),
        limits=limits or Limits(first_tier_m=FIRST_TIER_M),
        length_m=spacing_m * leaders + 7.0,
    )
    pace_m = {}
    standing = []
    for n in range(1, leaders + 1):
        one = leader(n)
        one = replace(one, x_m=spacing_m * n, u_m=spacing_m * n)
        one = replace(one, hook=replace(one.hook, u_m=one.u_m))  # type: ignore[type-var]
        standing.append(replace(one, hook=replace(one.hook, spare_m=None)))  # type: ignore[type-var]
        pace_m[one.id] = (STEM_TO_M - STEM_FROM_M) / WEEKS * max(0.3, luck.gauss(1, vigour_sd))
    here = season(standing, stands)
    stems = {one.id: stem(STEM_FROM_M, STEM_FROM_M) for one in standing}
    for _ in range(WEEKS):
        stems = {x: _grown(stems[x], pace_m[x] * max(0.2, luck.gauss(1, 0.15))) for x in stems}
        coming = outlook(stems, m_per_week=pace_m, half_m=0.04)
        next_visit = DAY + timedelta(days=7)
        due = [
            one
            for one in here.leaders.values()
            if coming.stem(one.id, next_visit).tip_z_m.mid
            >= height_limit(here, one)[0] - here.holding.limits.tip_margin_m
        ]
        moves = plan_lowering(here, coming, due, DAY, next_visit)
        here, stems = _done(here, stems, moves)
        yield Week(here, stems, moves)


def _grown(grown: StemOn, by_m: float) -> StemOn:
    return stem(grown.length_m.mid + by_m, grown.tip_z_m.mid + by_m)


def _done(
    here: Season, stems: dict[str, StemOn], moves: tuple[LoweringMove, ...]
) -> tuple[Season, dict[str, StemOn]]:
    leaders, stems = dict(here.leaders), dict(stems)
    for move in moves:
        one, grown = leaders[move.leader], stems[move.leader]
        closed = [
            replace(fixing(f"{one.id} {clip.number} {clip.s_m}", one, clip.s_m, clip.number), u_m=clip.u_m)
            for clip in move.clips
        ]
        hook = Hook(one.hook.number if one.hook else 0, move.hook_to_u_m, None, "plain", DAY, assumed=False)
        coiled_m = one.coiled_m + (move.let_out_m if move.coiled else 0.0)
        leaders[one.id] = replace(one, hook=hook, fixings=(*one.fixings, *closed), coiled_m=coiled_m)
        stems[one.id] = stem(grown.length_m.mid, grown.tip_z_m.mid - move.let_out_m)
    return replace(here, leaders=leaders), stems


def run(here: Season, one: Leader, grown: StemOn) -> Run:
    """The lying stem, from its first hold to its bend."""
    path = stem_path(one, grown, here.layout)
    points = [(u_m, z_m) for u_m, z_m, _ in path.points]
    return points[1:-1] if path.bend_z_m is not None and len(points) > 3 else []


def crossings(week: Week) -> int:
    """Pairs of lying stems of which one is above the other at one place and below it at another."""
    runs = [run(week.season, one, week.stems[one.id]) for one in week.season.leaders.values()]
    return sum(_cross(a, b) for a, b in combinations([r for r in runs if r], 2))


def _cross(a: Run, b: Run, least_m: float = 0.005) -> bool:
    from_m, to_m = max(a[0][0], b[0][0]), min(a[-1][0], b[-1][0])
    places = [from_m, to_m, *(u for u, _ in (*a, *b) if from_m < u < to_m)]
    if from_m >= to_m:
        return False
    apart = [_height(a, u) - _height(b, u) for u in places]
    return max(apart) > least_m and min(apart) < -least_m


def _height(line: Run, u_m: float) -> float:
    for (u0, z0), (u1, z1) in pairwise(line):
        if u0 <= u_m <= u1:
            return z0 + (z1 - z0) * (u_m - u0) / (u1 - u0) if u1 > u0 else z0
    return line[-1][1]
