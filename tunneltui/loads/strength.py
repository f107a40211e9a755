"""How much a kind of clip bears: learned from bucket tests, failures and clips seen holding.

Form, constants and checks: own simulation. ln strength of one clip = mu + s e - weakening x weeks hung,
e ~ N(0, 1) of its own. Modelled loads are noisy from week to week, so a visit that found it holding has the chance
(1 - eps) Phi((mu + s e - ln load - weakening x weeks) / tau). Strengths are on the scale of the tool's own loads:
a lasting error of the load model ends up in mu and s.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp, hypot, inf, isinf, log, pi, sqrt

from tunneltui.holding.model import ClipKind, Limits
from tunneltui.loads.clip_evidence import Errors, History, Kind, Visit, evidence, phi

FIVE_IN_HUNDRED = 1.645
MEDIAN_SD_LN = 0.35
TESTED_SD_LN = 0.25
"""Of a rating whose maker says how it was tested (assumed)."""
SPREAD_SD_LN = 0.30
HEAD_SD_LN = 0.45
"""Play between head clips: which of them bears the head is not known (own simulation)."""
TAU_LN = 0.15
"""Week-to-week error of modelled loads, 0.12 to 0.20 (assumed, from simulated rods)."""
EPS = 0.0003
"""Knocks and bad closing, per clip and week (assumed)."""
BENCH_SD_LN = 0.15
"""A bucket weighs truly, the model does not: how far the two scales may lie apart (assumed)."""

_MANY = 500
_LIKE_LN = 0.05
"""Of so many bucket tests that did not break at one load, those with ends within 5 % of each other are reckoned as
one: that moves median and spread by less than a thousandth."""
_STEP = 1e-3
_HERMITE = (
    (0.0, 8 / 15),
    *((sign * x, w) for x, w in ((1.3556261800, 0.2220759220), (2.8569700139, 0.0112574113)) for sign in (-1, 1)),
)
"""Five-point Gauss-Hermite for a standard normal (Abramowitz and Stegun, table 25.10, rescaled)."""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed of a kind before anything is seen, and what stays fixed."""

    median_n: float = 38.0
    median_sd_ln: float = MEDIAN_SD_LN
    spread_ln: float = 0.35
    spread_sd_ln: float = SPREAD_SD_LN
    weakening_per_week: float = 0.005
    tau_ln: float = TAU_LN
    eps: float = EPS
    bench_sd_ln: float = BENCH_SD_LN

    @property
    def errors(self) -> Errors:
        return Errors(self.weakening_per_week, self.tau_ln, self.eps)


@dataclass(frozen=True, slots=True)
class BucketTest:
    """A clip that held ``lower_n`` and broke by ``upper_n``: equal if filled slowly, None if it never broke,
    ``lower_n`` 0 if it broke at once."""

    lower_n: float
    upper_n: float | None
    weeks: float = 0.0


@dataclass(frozen=True, slots=True)
class Strength:
    """A kind's strength: mode and covariance of the posterior of (mu, ln s), and the posterior at points."""

    mu: float
    ln_s: float
    var_mu: float
    cov: float
    var_ln_s: float
    log_posterior: float
    """Without the prior's constants."""
    prior: Prior
    failures: int
    held: int
    tested: int
    points: tuple[tuple[float, float, float], ...] = ()
    """(weight, mu, s) over the posterior; with few failures it is lopsided, and its mode lies too low."""

    @property
    def s(self) -> float:
        return exp(self.ln_s)

    def quantile_n(self, weeks: float = 0.0, z: float = -FIVE_IN_HUNDRED) -> float:
        """Load that a share Phi(z) of the kind does not bear after so many weeks; 1 in 20 by default."""
        return exp(self.mu - self.prior.weakening_per_week * weeks + z * self.s)

    def quantile_sd_ln(self, z: float = -FIVE_IN_HUNDRED) -> float:
        """Standard deviation of ln quantile by the curvature at the mode."""
        turn = z * self.s
        return sqrt(max(0.0, self.var_mu + 2 * turn * self.cov + turn * turn * self.var_ln_s))

    def band_n(self, z: float = -FIVE_IN_HUNDRED) -> tuple[float, float]:
        """90 % interval of a quantile of new clips, from the posterior's own mean and spread."""
        values = [(weight, mu + z * s) for weight, mu, s in self.points]
        mid = sum(weight * value for weight, value in values)
        sd = sqrt(sum(weight * (value - mid) ** 2 for weight, value in values))
        return exp(mid - FIVE_IN_HUNDRED * sd), exp(mid + FIVE_IN_HUNDRED * sd)


def prior_of(kind: ClipKind | None, limits: Limits) -> Prior:
    """A maker's rating as the median, else the holding's default."""
    rated = kind is not None and kind.rating_n is not None
    return Prior(
        median_n=kind.rating_n if kind is not None and kind.rating_n is not None else limits.clip_median_n,
        median_sd_ln=TESTED_SD_LN if rated and kind is not None and kind.rating_tested else MEDIAN_SD_LN,
        spread_ln=limits.clip_spread_ln,
        weakening_per_week=limits.clip_weakening_per_week,
    )


def log_likelihood(history: History, mu: float, s: float, prior: Prior) -> float:
    """ln of the chance of what was seen of one clip."""
    return log(max(_kind(mu, s, history.head).chance(evidence(history, prior.errors)), 1e-300))


def chance(history: History, coming: Visit, strength: Strength, forecast_sd_ln: float = 0.0) -> float:
    """Chance that a clip that has held so far fails under a coming load.

    ``forecast_sd_ln`` is what the forecast adds to the error of modelled loads. How little is known of the kind
    itself counts as a wider spread of its clips.
    """
    prior = strength.prior
    kind = _kind(strength.mu, hypot(strength.s, sqrt(strength.var_mu)), history.head)
    before = kind.chance(evidence(history, prior.errors))
    if before < 1e-200:
        return chance(History((), head=history.head), coming, strength, forecast_sd_ln)
    tau = hypot(prior.tau_ln, forecast_sd_ln)
    return min(1.0, max(0.0, 1 - kind.chance(evidence(history, prior.errors, coming, tau)) / before))


def learn(prior: Prior, histories: Iterable[History], tests: Iterable[BucketTest] = ()) -> Strength:
    """The most likely strength of a kind given everything seen of it. The same evidence is worked out once."""
    counted = Counter(history for history in histories if history.held or history.window)
    ordered = sorted(counted.items(), key=lambda item: (item[0].held, item[0].window, item[0].head))
    return _learned(prior, tuple(ordered), tuple(tests))


@lru_cache(maxsize=64)
def _learned(prior: Prior, histories: tuple[tuple[History, int], ...], tests: tuple[BucketTest, ...]) -> Strength:
    ln_median, ln_spread = log(prior.median_n), log(prior.spread_ln)
    start = [ln_median, ln_spread, 0.0] if tests and prior.bench_sd_ln > 0 else [ln_median, ln_spread]
    tested = _Tested(tests, prior)
    seen = [(evidence(history, prior.errors), history.head, count) for history, count in histories]

    def log_posterior(at: Sequence[float]) -> float:
        mu, s = at[0], exp(at[1])
        value = -(((mu - ln_median) / prior.median_sd_ln) ** 2) / 2
        value -= ((at[1] - ln_spread) / prior.spread_sd_ln) ** 2 / 2
        kinds = (_kind(mu, s, False), _kind(mu, s, True)) if seen else ()
        value += sum(count * log(max(kinds[head].chance(of_one), 1e-300)) for of_one, head, count in seen)
        bias = at[2] if len(at) == 3 else 0.0
        value -= (bias / prior.bench_sd_ln) ** 2 / 2 if len(at) == 3 else 0.0
        return value + tested.log_chance(mu + bias, s)

    scale = [prior.median_sd_ln, prior.spread_sd_ln, prior.bench_sd_ln][: len(start)]
    mode, covariance, best = _climb(log_posterior, start, scale)
    return Strength(
        mode[0],
        mode[1],
        covariance[0][0],
        covariance[0][1],
        covariance[1][1],
        best,
        prior,
        failures=sum(count for history, count in histories if history.window),
        held=sum(count for history, count in histories if not history.window),
        tested=len(tests),
        points=_posterior_points(log_posterior, mode, covariance),
    )


def _kind(mu: float, s: float, head: bool) -> Kind:
    return Kind(mu, hypot(s, HEAD_SD_LN) if head else s)


class _Tested:
    """Bucket tests made ready: those that broke at one load by their sums, the others one by one."""

    __slots__ = ("_between", "_broke", "_squares", "_sum")

    def __init__(self, tests: Iterable[BucketTest], prior: Prior) -> None:
        self._broke, self._sum, self._squares = 0, 0.0, 0.0
        between: list[tuple[float, float]] = []
        for test in tests:
            weakened = prior.weakening_per_week * test.weeks
            lower = log(test.lower_n) + weakened if test.lower_n > 0 else -inf
            if test.upper_n is not None and test.upper_n == test.lower_n:
                self._broke += 1
                self._sum += lower
                self._squares += lower * lower
            else:
                between.append((lower, log(test.upper_n) + weakened if test.upper_n is not None else inf))
        self._between = sorted(Counter(between if len(between) < _MANY else map(_rounded, between)).items())

    def log_chance(self, mu: float, s: float) -> float:
        off = self._squares - 2 * mu * self._sum + self._broke * mu * mu
        value = -off / (2 * s * s) - self._broke * log(s * sqrt(2 * pi))
        for (lower, upper), count in self._between:
            value += count * log(max(phi((mu - lower) / s) - phi((mu - upper) / s), 1e-300))
        return value


def _rounded(ends: tuple[float, float]) -> tuple[float, float]:
    """Both ends of ln strength on the lattice of ``_LIKE_LN``, where that leaves something between them."""
    lower, upper = (end if isinf(end) else round(end / _LIKE_LN) * _LIKE_LN for end in ends)
    return (lower, upper) if lower < upper else ends


def _climb(
    function: Callable[[Sequence[float]], float], start: list[float], scale: list[float]
) -> tuple[list[float], list[list[float]], float]:
    """Mode by Newton on central differences, with the inverse of minus the Hessian there and the height.

    Where the surface is not bowed downward, a step along the slope measured in the prior's own spread.
    """
    at, best = start, function(start)
    for _ in range(60):
        slope, bow = _differences(function, at, best)
        covariance = _inverse([[-value for value in row] for row in bow])
        if covariance is None:
            step = [min(1.0, max(-1.0, g * w)) * w for g, w in zip(slope, scale, strict=True)]
        else:
            step = [sum(c * g for c, g in zip(row, slope, strict=True)) for row in covariance]
        at, best, moved = _step_up(function, at, best, step)
        if covariance is not None and moved < 1e-7:
            return at, covariance, best
    slope, bow = _differences(function, at, best)
    found = _inverse([[-value for value in row] for row in bow])
    return at, found or [[w * w if i == j else 0.0 for j in range(len(scale))] for i, w in enumerate(scale)], best


def _posterior_points(
    function: Callable[[Sequence[float]], float], mode: list[float], covariance: list[list[float]]
) -> tuple[tuple[float, float, float], ...]:
    """The posterior on 5 x 5 points laid by its mode and covariance; a bench bias follows as it is expected to."""
    root = _triangular_root(covariance)
    found = []
    for x, weight_x in _HERMITE:
        for y, weight_y in _HERMITE:
            at = [middle + row[0] * x + row[1] * y for middle, row in zip(mode, root, strict=True)]
            found.append((log(weight_x * weight_y) + (x * x + y * y) / 2 + function(at), at[0], exp(at[1])))
    most = max(height for height, _, _ in found)
    total = sum(exp(height - most) for height, _, _ in found)
    return tuple((exp(height - most) / total, mu, s) for height, mu, s in found)


def _triangular_root(matrix: list[list[float]]) -> list[list[float]]:
    """Lower triangular L with L L' the matrix (Cholesky)."""
    n = len(matrix)
    root = [[0.0] * n for _ in range(n)]
    for i in range(n):
        for j in range(i + 1):
            rest = matrix[i][j] - sum(root[i][k] * root[j][k] for k in range(j))
            root[i][j] = sqrt(max(rest, 0.0)) if i == j else rest / root[j][j]
    return root


def _step_up(
    function: Callable[[Sequence[float]], float], at: list[float], best: float, step: list[float]
) -> tuple[list[float], float, float]:
    """As much of a step as climbs; what it moved."""
    share = min(1.0, 1.0 / max(1e-12, max(abs(move) for move in step)))
    for _ in range(30):
        there = [value + share * move for value, move in zip(at, step, strict=True)]
        height = function(there)
        if height > best:
            return there, height, max(abs(share * move) for move in step)
        share /= 2
    return at, best, 0.0


def _differences(
    function: Callable[[Sequence[float]], float], at: list[float], here: float
) -> tuple[list[float], list[list[float]]]:
    n, h = len(at), _STEP

    def moved(*moves: tuple[int, float]) -> float:
        there = list(at)
        for i, by in moves:
            there[i] += by
        return function(there)

    up = [moved((i, h)) for i in range(n)]
    down = [moved((i, -h)) for i in range(n)]
    slope = [(up[i] - down[i]) / (2 * h) for i in range(n)]
    bow = [[0.0] * n for _ in range(n)]
    for i in range(n):
        bow[i][i] = (up[i] - 2 * here + down[i]) / (h * h)
        for j in range(i):
            both = moved((i, h), (j, h)) + moved((i, -h), (j, -h))
            bow[i][j] = bow[j][i] = (both - up[i] - down[i] - up[j] - down[j] + 2 * here) / (2 * h * h)
    return slope, bow


def _inverse(matrix: list[list[float]]) -> list[list[float]] | None:
    """Inverse of a small symmetric matrix by Gauss-Jordan; None unless positive definite."""
    n = len(matrix)
    rows = [[*row, *(1.0 if i == j else 0.0 for j in range(n))] for i, row in enumerate(matrix)]
    for i in range(n):
        if not rows[i][i] > 1e-9:
            return None
        pivot = rows[i][i]
        rows[i] = [value / pivot for value in rows[i]]
        for j in range(n):
            if j != i and rows[j][i]:
                factor = rows[j][i]
                rows[j] = [a - factor * b for a, b in zip(rows[j], rows[i], strict=True)]
    return [row[n:] for row in rows]
