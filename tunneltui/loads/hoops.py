"""What reaches the hoops of a tunnel from its crop wires, against the figure its maker allows.

Only the crop: wind, snow and the tunnel's own weight are not reckoned, and real hoops are neither semicircles nor
pinned (two-hinged arch, textbook form). A load on one side bends a hoop more than the same on both: that is
called out.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence

from msgspec import Struct

from tunneltui.holding.model import Tunnel
from tunneltui.loads.masses import GRAVITY_M_PER_S2
from tunneltui.loads.result import HoopLoad

ONE_SIDED_SHARE = 2 / 3
"""A hoop counts as loaded on one side when that side brings more than this of its load (assumed)."""


class Pull(Struct, frozen=True):
    """What one hanger passes down to the tunnel."""

    x_m: float
    """Along the tunnel from the door."""
    across_m: float
    """From the left wall; 0 where the holding does not say."""
    newton: float


def hoop_loads(tunnel: Tunnel, pulls: Iterable[Pull]) -> list[HoopLoad]:
    """Load of every hoop that gets any. A hanger between two hoops loads both by the lever."""
    places = _hoops_m(tunnel)
    left, right, unplaced = ([0.0] * len(places) for _ in range(3))
    for pull in pulls:
        sides = unplaced if pull.across_m <= 0 else left if pull.across_m < tunnel.width_m / 2 else right
        for i, share in _shares(places, pull.x_m):
            sides[i] += share * pull.newton
    allowed = tunnel.crop_allowed_kg_per_hoop
    allowed_n = allowed * GRAVITY_M_PER_S2 if allowed is not None else None
    hoops = []
    for x_m, left_n, other, somewhere in zip(places, left, right, unplaced, strict=True):
        load_n = left_n + other + somewhere
        if load_n > 0:
            one_sided = max(left_n, other) > ONE_SIDED_SHARE * load_n
            hoops.append(HoopLoad(tunnel.key, x_m, load_n, allowed_n, one_sided))
    return hoops


def _hoops_m(tunnel: Tunnel) -> list[float]:
    count = int(tunnel.length_m / tunnel.hoop_every_m + 1e-9)
    return [i * tunnel.hoop_every_m for i in range(count + 1)]


def _shares(places: Sequence[float], x_m: float) -> list[tuple[int, float]]:
    i = bisect_right(places, x_m) - 1
    if i < 0 or i >= len(places) - 1:
        return [(max(0, i), 1.0)]
    share = (x_m - places[i]) / (places[i + 1] - places[i])
    return [(i, 1 - share), (i + 1, share)]
