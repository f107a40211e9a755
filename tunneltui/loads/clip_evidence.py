"""What a clip's visits say of its own strength: the chance of what was seen, for every strength it may have.

Form: own simulation. Of a clip whose ln strength is x, a visit that found it holding has the chance
(1 - eps) Phi((x - ln load - weakening x weeks) / tau). What was seen of one clip is thus a function of x alone; it
is tabulated once, on a lattice that all clips share, and each kind that comes into question weighs the table with
its own normal density.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, erfc, exp, floor, log, sqrt
from operator import mul

STEP_LN = 0.075
"""Of the lattice: half the usual tau. Its sums are within 1e-8 of quadrature for a spread of 0.1 or more."""
_REACH = 7.5
"""Standard deviations of a kind that are looked at, either side: what is left out is lost in the differences that
the climb to the most likely strength is made by."""
_SURE = 6.0
"""Standard deviations beyond which a chance counts as 1."""
_HOPELESS = 15.0
"""Standard deviations below which it counts as 0."""
_ROOT_HALF = sqrt(0.5)

Visit = tuple[float, float]
"""(weeks hung, load in N) at one visit."""


@dataclass(frozen=True, slots=True)
class History:
    """One clip at the visits it was seen."""

    held: tuple[Visit, ...]
    window: tuple[Visit, ...] = ()
    """Visits since it was last seen holding, up to the one where it was found failed; () if it never failed."""
    head: bool = False


@dataclass(frozen=True, slots=True)
class Errors:
    """What stays fixed of a kind while its strength is sought."""

    weakening_per_week: float
    tau_ln: float
    eps: float


@dataclass(frozen=True, slots=True)
class Evidence:
    """The chance of what was seen at each point of the lattice."""

    first: int
    """Lattice number of the first value."""
    values: tuple[float, ...]
    below: float
    above: float


class Kind:
    """A kind of clips as weights on the lattice: ln strength is normal about ``mu`` with ``s``."""

    __slots__ = ("_first", "_up_to", "_weights")

    def __init__(self, mu: float, s: float) -> None:
        self._first = floor((mu - _REACH * s) / STEP_LN)
        count = ceil((mu + _REACH * s) / STEP_LN) - self._first + 1
        scale, start = STEP_LN / s, (self._first * STEP_LN - mu) / s
        raw = [exp(-0.5 * (start + scale * i) ** 2) for i in range(count)]
        total = sum(raw)
        self._weights = [weight / total for weight in raw]
        self._up_to = [0.0]
        for weight in self._weights:
            self._up_to.append(self._up_to[-1] + weight)

    def chance(self, seen: Evidence) -> float:
        """Chance of what was seen of a clip of this kind."""
        weights, values, count = self._weights, seen.values, len(self._weights)
        start = seen.first - self._first
        low, high = min(max(start, 0), count), min(max(start + len(values), 0), count)
        between: float = sum(map(mul, weights[low:high], values[low - start :]))
        return seen.below * self._up_to[low] + between + seen.above * (1.0 - self._up_to[high])


@lru_cache(maxsize=8192)
def evidence(history: History, errors: Errors, coming: Visit | None = None, coming_tau: float = 1.0) -> Evidence:
    """Of a clip's visits; with ``coming``, and of holding that as well."""
    tau = errors.tau_ln
    held = [(demand_ln(visit, errors), tau) for visit in history.held]
    if coming is not None:
        held.append((demand_ln(coming, errors), coming_tau))
    window = [(demand_ln(visit, errors), tau) for visit in history.window]
    lasts = (1 - errors.eps) ** len(held)
    fails_anyhow = 1 - (1 - errors.eps) ** len(window) if window else 1.0
    if not held and not window:
        return Evidence(0, (), 1.0, 1.0)
    first = floor(_first_x(held, window) / STEP_LN)
    last = ceil(max(ln + _SURE * spread for ln, spread in (*held, *window)) / STEP_LN)
    values = tuple(
        lasts * _all_hold(held, x) * (1 - (1 - fails_anyhow) * _all_hold(window, x) if window else 1.0)
        for x in (i * STEP_LN for i in range(first, last + 1))
    )
    return Evidence(first, values, 0.0 if held else lasts, lasts * fails_anyhow)


def demand_ln(visit: Visit, errors: Errors) -> float:
    """ln of the load, with what the clip has weakened by since it was hung."""
    weeks, load_n = visit
    return log(max(load_n, 1e-3)) + errors.weakening_per_week * weeks


def phi(z: float) -> float:
    """Standard normal distribution."""
    return 1.0 if z > _SURE else 0.5 * erfc(-z * _ROOT_HALF)


def _first_x(held: Sequence[tuple[float, float]], window: Sequence[tuple[float, float]]) -> float:
    """Below it the chance is 0 where it ever held, else 1."""
    if held:
        return max(ln - _HOPELESS * spread for ln, spread in held)
    return max(ln - _SURE * spread for ln, spread in window)


def _all_hold(visits: Iterable[tuple[float, float]], x: float) -> float:
    through = 1.0
    for ln, spread in visits:
        z = (x - ln) / spread
        if z < _SURE:
            through *= 0.5 * erfc(-z * _ROOT_HALF)
    return through
