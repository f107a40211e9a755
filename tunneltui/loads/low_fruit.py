"""Fruit that hangs on the soil: trusses by where they leave a stem's path."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from tunneltui.growth.outlook import TrussOn
from tunneltui.loads.result import StemPath

FRUIT_CLEAR_M = 0.15
"""A truss rooted lower on the stem's path than this hangs its fruit on the soil. Common practice, no source."""


def low_trusses(path: StemPath, trusses: Iterable[TrussOn], let_out_m: float = 0.0) -> list[TrussOn]:
    """Those whose fruit lies on the soil, or comes down to it once so much more stem is let out: what hangs in the
    head comes down by as much. The truss at the very foot of a stem stands as it grew."""
    low = []
    for truss in trusses:
        z_m = _height_m(path, truss.s_m)
        if z_m is not None and z_m - let_out_m < FRUIT_CLEAR_M < truss.s_m:
            low.append(truss)
    return low


def _height_m(path: StemPath, s_m: float) -> float | None:
    for (_, low_z, low_s), (_, high_z, high_s) in pairwise(path.points):
        if low_s <= s_m <= high_s and high_s > low_s:
            return low_z + (high_z - low_z) * (s_m - low_s) / (high_s - low_s)
    return None
