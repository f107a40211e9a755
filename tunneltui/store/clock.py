"""The machine's clock, as the store reads it."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date, datetime

Clock = Callable[[], int]
"""Gives microseconds since 1970 UTC."""


def now_us() -> int:
    return time.time_ns() // 1000


def local_day(at_us: int) -> date:
    """The day on this machine's calendar."""
    return datetime.fromtimestamp(at_us / 1_000_000).date()
