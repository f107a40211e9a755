"""Whole seasons by the round, against what the rules must reach. Thresholds hold today and are only tightened.

In the end, pooled over 24 fresh houses: ripe fruit left under 3 % (sloppy 10), no tip out early, heads over the
wire and loose under 1.5 % each (sloppy 6), needless lowerings under 5 %, nothing starved, contradictory or over
the minutes, at least the kg of the fixed passes in 1.05 of their minutes of like work.
"""

from __future__ import annotations

import pytest

from tests.seasons.__main__ import run
from tests.seasons.growers import FIXED
from tests.seasons.score import scored, table

FEW = (7001, 7004)
"""Houses of the normal tests: with two growers each they make four seasons. Small, for their minutes; the first is
of the other truth."""
MOST_STEMS = 14
MANY = tuple(range(8000, 8016))


BOUNDS = (
    ("obedient", "late_share", 0.0, 0.03),
    ("obedient", "over_share", 0.0, 0.02),
    ("obedient", "loose_share", 0.0, 0.02),
    ("obedient", "tips_early", 0.0, 0.0),
    ("obedient", "needless_share", 0.0, 0.05),
    ("obedient", "starved", 0, 0),
    ("obedient", "over_minutes", 0, 0),
    ("obedient", "impossible", 0, 3),
    ("obedient", "must_again", 0, 0),
    ("obedient", "level_share", 0.80, 1.0),
    ("obedient", "kg_ratio", 0.95, 1.5),
    ("obedient", "core_ratio", 0.5, 1.25),
    ("obedient", "all_ratio", 0.5, 1.65),
    ("sloppy", "late_share", 0.0, 0.25),
    ("sloppy", "over_share", 0.0, 0.15),
    ("sloppy", "kg_ratio", 0.75, 1.5),
)


def test_four_seasons_hold() -> None:
    """All bounds in one test: the seasons take long, and several workers would each live them."""
    rows = tuple(run(list(FEW), ["obedient", "sloppy"], "full", MOST_STEMS, truth="mixed"))
    score = scored(rows)
    broken = [
        f"{grower} {key} {score[grower][key]}: {least} to {most}"
        for grower, key, least, most in BOUNDS
        if not holds(score[grower][key], least, most)
    ]
    assert not broken, "\n".join([*broken, table(rows)])
    assert score[FIXED]["kg_ratio"] == 1.0, "the fixed passes are their own measure"


def holds(value: float | None, least: float, most: float) -> bool:
    return value is not None and least <= value <= most


@pytest.mark.long
def test_a_season_is_the_same_when_lived_again() -> None:
    one, other = (run([FEW[0]], ["sloppy"], "full", MOST_STEMS) for _ in range(2))
    assert one == other


@pytest.mark.long
@pytest.mark.parametrize("grower", ["obedient", "sloppy"])
def test_many_seasons_hold(grower: str) -> None:
    """32 seasons: 16 houses, two growers, half of them of each truth."""
    rows = run(list(MANY), [grower], "full", truth="mixed")
    score = scored(rows)[grower]
    least_kg = {"obedient": 0.95, "sloppy": 0.80}[grower]
    assert (score["kg_ratio"] or 0.0) > least_kg, table(rows)
    assert score["starved"] == score["over_minutes"] == 0, table(rows)
