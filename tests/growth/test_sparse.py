"""What reading a few plants is worth. By hand from the variances: level 0.30 assumed, 0.08 between stems."""

from __future__ import annotations

from math import sqrt

import pytest

from tunneltui.growth.sparse import month_unread_m


def test_nobody_read() -> None:
    """100 cm in a month: 1.645 sqrt((0.30^2 + 0.08^2) 100^2 + 28) cm."""
    assert month_unread_m(0.25, 0) == pytest.approx(1.645 * sqrt(964 + 28) / 100, rel=0.01)


def test_two_read_weekly_leave_what_lies_between_stems() -> None:
    """0.08^2 (1 + 1/2) of 100 cm, and the weeks' own errors: less than half of what is not known unread."""
    least = 1.645 * sqrt(0.08**2 * 1.5 * 100**2 + 28) / 100
    two, ten = month_unread_m(0.25, 2), month_unread_m(0.25, 10)
    assert least < two < 0.5 * month_unread_m(0.25, 0)
    assert ten < two
