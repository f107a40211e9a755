"""Lowerings of rows nobody has seen: spacings, slopes, wires and strings drawn at random."""

from __future__ import annotations

from random import Random

import pytest

from tests.chores.simulated import Week, crossings, weeks
from tunneltui.chores.lowering_plan import HOOKS_APART_M, OFF_LAYER_M
from tunneltui.holding.model import Limits
from tunneltui.loads.path import layer_z_m


def season_of(seed: int) -> list[Week]:
    """Eight to sixteen leaders, 0.25 to 0.7 m apart, under a wire of 1.7 to 2.6 m, on slopes of 0.08 to 0.30."""
    luck = Random(seed)
    slope = luck.uniform(0.08, 0.30)
    return list(
        weeks(
            seed,
            luck.choice((0.03, 0.10, 0.20)),
            spacing_m=luck.uniform(0.25, 0.70),
            wire_m=luck.uniform(1.7, 2.6),
            leaders=luck.randint(8, 16),
            limits=Limits(
                run_slope=slope,
                first_tier_m=luck.uniform(0.2, 0.7),
                bend_radius_m=luck.choice((0.10, 0.15, 0.20)),
                lower_most_m=luck.choice((0.3, 0.4, 0.6)),
                string_span_m=luck.choice((0.6, 0.9)),
            ),
            string_offset_m=luck.uniform(0.0, 0.2),
        )
    )


def unsaid(week: Week) -> list[str]:
    """Moves that leave a hook close beside another, or a bend off its layer, without a word of it."""
    limits = week.season.holding.limits
    hooks = {one.id: one.hook.u_m for one in week.season.leaders.values() if one.hook is not None}
    found = []
    for move in week.moves:
        if move.let_out_m <= 0 or move.coiled or move.unnoted:
            continue
        said = " ".join((*move.mind, move.limited_by))
        near = min(abs(hooks[move.leader] - u_m) for other, u_m in hooks.items() if other != move.leader)
        if near < HOOKS_APART_M - 1e-3 and "hook" not in said:
            found.append(f"{move.name}: hook {near:.3f} m from another")
        one = week.season.leaders[move.leader]
        off_m = move.bend_z_m - layer_z_m(one.u_m, move.hook_to_u_m, limits)
        if abs(off_m) > OFF_LAYER_M + 1e-3 and "layer" not in said:
            found.append(f"{move.name}: bend {off_m:.2f} m off its layer")
    return found


def tally(seeds: range) -> tuple[int, int, list[str]]:
    moves = crossed = 0
    silent: list[str] = []
    for seed in seeds:
        for week in season_of(seed):
            moves += len(week.moves)
            crossed += crossings(week)
            silent += [f"seed {seed}: {one}" for one in unsaid(week)]
    return moves, crossed, silent


def test_stems_of_a_few_random_rows_never_cross_and_nothing_goes_unsaid() -> None:
    moves, crossed, silent = tally(range(12))
    assert moves > 400
    assert crossed == 0
    assert silent == []


@pytest.mark.long
def test_stems_of_a_thousand_random_rows_never_cross_and_nothing_goes_unsaid() -> None:
    moves, crossed, silent = tally(range(1_000))
    print(f"{moves} moves, {crossed} crossings, {len(silent)} unsaid")
    assert crossed == 0
    assert silent == []
