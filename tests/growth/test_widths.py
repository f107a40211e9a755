"""Bands by how far earlier forecasts were off. Own worked cases; three decimals were printed."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.growth.growing import PLANTED, read_weekly, small_diary
from tunneltui.growth.forecast import outlook
from tunneltui.growth.widths import Widths, WidthsSeen
from tunneltui.season.fold import fold


@pytest.mark.parametrize(("errors", "share"), [((2, 2, 2), 1.933), ((5,), 2.143), ((0.2,) * 6, 0.80)])
def test_what_errors_teach(errors: tuple[float, ...], share: float) -> None:
    seen = WidthsSeen()
    for error in errors:
        seen.take(7, [error**2])
    assert seen.learned().near == pytest.approx(share, abs=0.001)
    assert seen.learned().far == 1.0


@given(st.floats(0.8, 4), st.floats(0.8, 4))
def test_no_band_narrows_with_the_days_ahead(near: float, far: float) -> None:
    """Variances grow at least as the days do."""
    widths = Widths(near, far)
    assert all(
        early * widths.over(early) <= late * widths.over(late) + 1e-9 for early, late in pairwise(range(1, 30))
    )


def test_a_crop_that_swings_more_than_usual_gets_wider_bands() -> None:
    reached = []
    for swing_m in (0.0, 0.15):
        diary, ids = small_diary()
        diary.warm(PLANTED, PLANTED.replace(month=7), 20.0)
        for at, leader in enumerate(ids):
            lengths = [0.6 + 0.3 * week + (swing_m if week % 2 else 0.0) for week in range(8)]
            read_weekly(diary, leader, f"W1-{at + 1:02d}", lengths)
        band = outlook(fold(diary.entries, PLANTED.replace(month=6, day=26))).leaders[ids[0]].growth_m_per_week
        reached.append(band.high - band.low)
    assert reached[1] > 1.5 * reached[0]
