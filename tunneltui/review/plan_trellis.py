"""First clip, rise and tiers planned together, so that the longest stem's head still hangs long enough.

One first tier and one rise for the whole house, as the holding keeps them. The first tier stays where it is asked
for and the rise as steep as it may be, as long as every tiered loop then holds its longest likely stem; else the
rise is made flatter, down to the least gap between tiers, then the first tier is lowered. Where even that does not
hold a loop's stems, its fit says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from tunneltui.growth.outlook import Band
from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Limits
from tunneltui.loads.room import held_m, most_travel_m, way_m, wire_m
from tunneltui.review.plan_records import STEM_SPREAD
from tunneltui.review.plan_values import CultivarRecord, LoopFit
from tunneltui.season.state import Leader, Season
from tunneltui.values import replace

if TYPE_CHECKING:
    from tunneltui.review.plan_season import ComingSeason

LOWEST_FIRST_M = 0.50
"""A first tier lower than this hangs fruit on the soil. Common practice, no source."""
FIRST_STEP_M, SLOPE_STEP = 0.05, 0.01


class Trellis(Struct, frozen=True):
    first_tier_m: float
    run_slope: float
    fits: tuple[LoopFit, ...]
    """Every tiered loop that something is planted in."""


class _LoopNeed(Struct, frozen=True):
    loop: Loop
    lengths_m: tuple[Band, ...]
    spacing_m: float
    wire_m: float

    @property
    def longest_m(self) -> Band:
        return max(self.lengths_m, key=lambda band: band.mid)


def trellis(planned: ComingSeason, records: Mapping[str, CultivarRecord]) -> Trellis:
    """The first tier and the rise for stems of their last day, and whether each loop holds them."""
    season = planned.season
    needs = [a for loop in season.layout.loops.values() if (a := _need(planned, loop, records)) is not None]
    limits = season.holding.limits
    chosen = _chosen(limits, needs)
    return Trellis(chosen.first_tier_m, chosen.run_slope, tuple(_fit(chosen, loop) for loop in needs))


def most_held_m(season: Season) -> dict[str, float]:
    """By loop with tiered stems, the longest its tiers hold at all: the first as low and the rise as flat as may
    be."""
    loops = season.layout.loops.values()
    tiered = [loop for loop in loops if any(x.training == "tiered" for x in season.leaders_of_loop(loop.id))]
    if not tiered:
        return {}
    needs = [_loop_need(season, loop, ()) for loop in tiered]
    *_, roomiest = _choices(season.holding.limits, needs)
    return {loop.loop.id: _holds_m(roomiest, loop) for loop in needs}


def _need(planned: ComingSeason, loop: Loop, records: Mapping[str, CultivarRecord]) -> _LoopNeed | None:
    leaders = [leader for leader in planned.season.leaders_of_loop(loop.id) if leader.training == "tiered"]
    bands = [_length_band(planned, leader, records.get(leader.cultivar)) for leader in leaders]
    return _loop_need(planned.season, loop, bands) if bands else None


def _length_band(planned: ComingSeason, leader: Leader, record: CultivarRecord | None) -> Band:
    """Length at the end; its interval is how stems of the cultivar differ, in the air of a typical year."""
    mid = planned.stem(leader.id, planned.last_day).length_m.mid
    share = record.stem_spread if record else STEM_SPREAD
    return Band(mid * (1 - share), mid, mid * (1 + share))


def _loop_need(season: Season, loop: Loop, lengths_m: Sequence[Band]) -> _LoopNeed:
    roots = sorted(leader.u_m for leader in season.leaders_of_loop(loop.id))
    spacing_m = (roots[-1] - roots[0]) / (len(roots) - 1) if len(roots) > 1 else loop.length_m
    return _LoopNeed(loop, tuple(lengths_m), spacing_m, wire_m(season, loop))


def _chosen(limits: Limits, needs: Sequence[_LoopNeed]) -> Limits:
    """The first choice that holds every likely stem, else the roomiest for the fullest loop."""
    if not needs:
        return limits
    choices = list(_choices(limits, needs))
    for choice in choices:
        if all(_holds_m(choice, loop) >= loop.longest_m.high for loop in needs):
            return choice
    return max(choices, key=lambda choice: min(_holds_m(choice, loop) - loop.longest_m.mid for loop in needs))


def _choices(limits: Limits, needs: Sequence[_LoopNeed]) -> Iterator[Limits]:
    """As asked for first, then flatter, then lower."""
    as_asked = limits.run_slope
    most = max(limits.tier_gap_m / loop.spacing_m if loop.spacing_m > 0 else as_asked for loop in needs)
    flattest = min(as_asked, most)
    slopes = [as_asked]
    while slopes[-1] > flattest + 1e-9:
        slopes.append(max(flattest, slopes[-1] - SLOPE_STEP))
    first_m = limits.first_tier_m
    while True:
        for slope in slopes:
            yield replace(limits, first_tier_m=round(first_m, 3), run_slope=round(slope, 4))
        if first_m - FIRST_STEP_M < LOWEST_FIRST_M - 1e-9:
            return
        first_m -= FIRST_STEP_M


def _holds_m(limits: Limits, need: _LoopNeed) -> float:
    return held_m(limits, need.wire_m, limits.run_slope, need.loop.length_m)


def _fit(limits: Limits, need: _LoopNeed) -> LoopFit:
    slope, longest_m, holds_m = limits.run_slope, need.longest_m, _holds_m(limits, need)
    upright_m = limits.first_tier_m + limits.head_least_m
    lying_m = sum(max(0.0, band.mid - upright_m) for band in need.lengths_m)
    return LoopFit(
        need.loop.id,
        longest_m,
        holds_m,
        limits.first_tier_m,
        slope,
        slope * need.spacing_m,
        _head_m(limits, need),
        lying_m / need.loop.length_m,
        longest_m.mid <= holds_m,
        need.loop.length_m,
        _way_needed_m(limits, need, holds_m),
    )


def _head_m(limits: Limits, need: _LoopNeed) -> float:
    slope, top_m = limits.run_slope, need.wire_m - limits.tip_margin_m
    lies_m = min(way_m(limits, need.wire_m, slope, need.longest_m.mid), need.loop.length_m)
    return max(0.0, top_m - limits.first_tier_m - slope * lies_m)


def _way_needed_m(limits: Limits, need: _LoopNeed, holds_m: float) -> float | None:
    """What the longest stem wants along its row where that is too short; None where it is long enough."""
    if need.longest_m.mid <= holds_m or need.loop.length_m >= most_travel_m(limits, need.wire_m, limits.run_slope):
        return None
    return way_m(limits, need.wire_m, limits.run_slope, need.longest_m.mid)
