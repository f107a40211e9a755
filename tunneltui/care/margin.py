"""How much warmer this tunnel is than the weather issued for outside: published spread, then the tunnel's own.

Own nights count from the first on, weighed against the published mean; the spread is the tunnel's own only once a
week of nights stands behind it. It holds where the thermometer hangs, and for the forecasts that were followed.
"""

from __future__ import annotations

from datetime import timedelta
from statistics import stdev

from msgspec import Struct

from tunneltui.care.frost import TUNNEL_ADDS_K
from tunneltui.care.tunnel_air import air_on, issued_for
from tunneltui.care.water import TUNNEL_DAY_K
from tunneltui.growth.air import is_part_day
from tunneltui.season.state import Season

OWN_DAYS = 56
"""Older nights belong to another part of the season."""
PUBLISHED_WORTH_DAYS = 3.0
"""Own days that weigh as much as the published mean (assumed, as for the daily mean in growth)."""
OWN_SPREAD_FROM = 7
TWO_TAILS_90 = 1.645
"""Half a 90 % interval in standard deviations of a normal distribution."""
DAY_ADDS_K = (0.0, TUNNEL_DAY_K, 9.0)
"""Day maximum over outside: +4.2 K mean (Savage 1980); shut tunnels reach some 40 degC in April (Guttormsen 1972),
so the high end is open; 9 K is a guess."""


class Margin(Struct, frozen=True):
    """Kelvin over the issued figure: low, likely, high."""

    low_k: float
    mid_k: float
    high_k: float
    own_days: int
    """Days of this tunnel behind it; under a week the spread is the published one."""

    def over(self, outside_c: float) -> tuple[float, float, float]:
        return outside_c + self.low_k, outside_c + self.mid_k, outside_c + self.high_k


def night_margin(season: Season, tunnel: str) -> Margin:
    """The night minimum inside over the one issued for outside."""
    return _margin(_differences(season, tunnel)[0], TUNNEL_ADDS_K)


def day_margin(season: Season, tunnel: str) -> Margin:
    """The day maximum inside over the one issued for outside."""
    return _margin(_differences(season, tunnel)[1], DAY_ADDS_K)


def _differences(season: Season, tunnel: str) -> tuple[list[float], list[float]]:
    nights, days = [], []
    for back in range(1, OWN_DAYS + 1):
        day = season.day - timedelta(days=back)
        air = air_on(season, tunnel, day)
        if air is None or air.source == "estimate" or is_part_day(air):
            continue
        low, high = issued_for(season, day)
        if low is not None and air.min_c is not None:
            nights.append(air.min_c - low)
        if high is not None and air.max_c is not None:
            days.append(air.max_c - high)
    return nights, days


def _margin(own: list[float], published: tuple[float, float, float]) -> Margin:
    low, mid, high = published
    if not own:
        return Margin(low, mid, high, 0)
    likely = (sum(own) + PUBLISHED_WORTH_DAYS * mid) / (len(own) + PUBLISHED_WORTH_DAYS)
    if len(own) < OWN_SPREAD_FROM:
        return Margin(min(low, likely), likely, max(high, likely), len(own))
    spread = TWO_TAILS_90 * stdev(own)
    return Margin(likely - spread, likely, likely + spread, len(own))
