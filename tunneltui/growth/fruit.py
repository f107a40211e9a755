"""Mass of fruits and trusses, as a function of development ``z`` alone.

Gompertz curve of potential fruit growth (De Koning 1994, in Vanthoor 2011 eq. 38-39), run in days at 20 degC, so
that a cold fruit is as heavy at the same ``z`` as a warm one; scaled to the ripe mass.
"""

from __future__ import annotations

from math import exp

REFERENCE_DAYS = 55.2
"""Flower to ripe at 20 degC by the published rate."""


def gompertz(day: float, growth_days: float) -> float:
    """Share of its full potential mass that a fruit has on a day of its ``growth_days`` (40 to 65)."""
    middle = -4.93 + 0.548 * growth_days
    speed = 1 / (2.44 + 0.403 * middle)
    return exp(-exp(-speed * (day - middle)))


_RIPE = gompertz(REFERENCE_DAYS, REFERENCE_DAYS)
_STEPS = 200
_SHARES = [gompertz(REFERENCE_DAYS * step / _STEPS, REFERENCE_DAYS) / _RIPE for step in range(_STEPS + 1)]


def mass_share(z: float) -> float:
    """Mass at development ``z`` as a share of the ripe mass; 1 from ripe on."""
    if z >= 1:
        return 1.0
    if z <= 0:
        return _SHARES[0]
    place = z * _STEPS
    below = int(place)
    return _SHARES[below] + (place - below) * (_SHARES[below + 1] - _SHARES[below])


def truss_kg(z: float, fruits: float, fruit_g: float, stalk_share: float) -> float:
    """Mass of a truss on the stem, its stalk included, in kg."""
    return fruits * fruit_g / 1000 * mass_share(z) / (1 - stalk_share)
