"""How much a kind of clip bears: learned from bucket tests, failures and clips seen holding.

ln strength of one clip of a kind, less the lasting error of its own load, is normal about mu with hypot(s, v),
where v is what is known of that load alone: uncertain loads teach little and do not widen s. A share c of clips
is closed badly and gone by the first look whatever it bears. What a clip has held so far is in ``loads.trials``;
with H the chance of having held it,

    holding (1 - c) H;  failed later (1 - c) (H0 - H1 + eps H0);  at the first look c + (1 - c) (1 - H1) + eps,

H0 before and H1 with the trial it failed at. Priors are normal for mu, ln s and ln c; the most likely values are
found by Newton's method and taken as the middle of a normal posterior (Laplace), whose points are those of the
cubature of degree three for n variables (A. H. Stroud, 1971, Approximate Calculation of Multiple Integrals,
formula E_n^{r^2} 3-1). Form and constants from own simulation; priors assumed. Strengths are on the scale of the
tool's own loads: a common error of the load model ends up in mu."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from math import erfc, exp, hypot, inf, isinf, log, pi, sqrt
from typing import NamedTuple

from msgspec import Struct

from tunneltui.holding.model import ClipKind, Limits
from tunneltui.loads.trials import LOOK_LN, ROOT_HALF, Heaviest, History, Look, heaviest, phi

FIVE_IN_HUNDRED = 1.645
MEDIAN_SD_LN = 0.35
TESTED_SD_LN = 0.25
"""Of a rating whose maker says how it was tested (assumed)."""
SPREAD_SD_LN = 0.35
BADLY_CLOSED_SD_LN = 1.0
EPS = 0.0003
"""Knocks and the like, per clip and look (assumed)."""
NOTICED = 0.8
"""Share of failures that are noted where nobody is known to have looked, but some were noted (assumed)."""
BENCH_SD_LN = 0.15
"""A bucket weighs truly, the model does not: how far the two scales may lie apart (assumed)."""

_MANY = 500
_LIKE_LN = 0.05
"""Of so many bucket tests that did not break at one load, those with ends within 5 % of each other are reckoned as
one: that moves median and spread by less than a thousandth."""
_MANY_RECORDS = 150
_LIKE_T2 = 0.01
"""Of so many different records of clips that hold, those alike to 5 % of load and 0.01 of variance are reckoned as
one: that moves mu by 0.003 and ln s by 0.016."""
_STEP = 1e-3
_CLOSE = 1e-4
"""A Newton step so short ends the climb, for the next would be its square: the mode moves by under 1e-7."""
_NOTHING = 1e-300
_ROUNDS = 3
"""Of looking for where a likelihood has fallen; one more moves an end by less than a thousandth."""


class Prior(Struct, frozen=True):
    """What is believed of a kind before anything is seen, and what stays fixed."""

    median_n: float = 38.0
    median_sd_ln: float = MEDIAN_SD_LN
    spread_ln: float = 0.40
    spread_sd_ln: float = SPREAD_SD_LN
    badly_closed: float = 0.005
    weakening_per_week: float = 0.005
    tau_ln: float = LOOK_LN
    eps: float = EPS
    bench_sd_ln: float = BENCH_SD_LN


class HeldRecord(NamedTuple):
    """One clip: the heaviest it has held, and with the trial it failed at."""

    held: Heaviest | None
    failed: Heaviest | None = None


class BucketTest(Struct, frozen=True):
    """A clip that held ``lower_n`` and broke by ``upper_n``: equal if filled slowly, None if it never broke,
    ``lower_n`` 0 if it broke at once."""

    lower_n: float
    upper_n: float | None
    weeks: float = 0.0


Points = tuple[tuple[float, float, float], ...]


class Strength(Struct, frozen=True):
    """A kind's strength: mode and covariance of the posterior of (mu, ln s, ln c), and points that stand for
    it."""

    mu: float
    ln_s: float
    ln_c: float
    covariance: tuple[tuple[float, ...], ...]
    log_posterior: float
    """Without the prior's constants."""
    prior: Prior
    failures: int
    held: int
    tested: int
    points: Points = ()
    """(mu, s, c) of even weight."""
    fifth_n: tuple[float, float] = (0.0, 0.0)
    """90 % interval of the load that 1 in 20 new clips does not bear, by the likelihood ratio. Clips may sooner be
    spread wider than told than less wide: it reaches further down than ``band_n``."""

    @property
    def s(self) -> float:
        return exp(self.ln_s)

    def quantile_n(self, weeks: float = 0.0, z: float = -FIVE_IN_HUNDRED) -> float:
        """Load that a share Phi(z) of the kind does not bear after so many weeks; 1 in 20 by default."""
        return exp(self.mu - self.prior.weakening_per_week * weeks + z * self.s)

    def quantile_sd_ln(self, z: float = -FIVE_IN_HUNDRED) -> float:
        """Standard deviation of ln quantile by the curvature at the mode."""
        turn, of = z * self.s, self.covariance
        return sqrt(max(0.0, of[0][0] + 2 * turn * of[0][1] + turn * turn * of[1][1]))

    def band_n(self, z: float = -FIVE_IN_HUNDRED) -> tuple[float, float]:
        """90 % interval of a quantile of new clips by the curvature at the mode."""
        wide = exp(FIVE_IN_HUNDRED * self.quantile_sd_ln(z))
        return self.quantile_n(z=z) / wide, self.quantile_n(z=z) * wide


def prior_of(kind: ClipKind | None, limits: Limits) -> Prior:
    """A maker's rating as the median, else the holding's default."""
    rated = kind is not None and kind.rating_n is not None
    return Prior(
        median_n=kind.rating_n if kind is not None and kind.rating_n is not None else limits.clip_median_n,
        median_sd_ln=TESTED_SD_LN if rated and kind is not None and kind.rating_tested else MEDIAN_SD_LN,
        spread_ln=limits.clip_spread_ln,
        badly_closed=limits.clip_badly_closed,
        weakening_per_week=limits.clip_weakening_per_week,
    )


def record(history: History, prior: Prior) -> HeldRecord:
    """What was seen of one clip, made ready to be learned from."""
    held = heaviest(history.held, prior.weakening_per_week, prior.tau_ln)
    if history.failed is None:
        return HeldRecord(held)
    return HeldRecord(held, heaviest((history.failed,), prior.weakening_per_week, prior.tau_ln, held))


def holds(of: Heaviest, mu: float, s: float, lasting_ln: float) -> float:
    """Chance that a clip of a kind bears more than the heaviest of its trials."""
    return phi((mu - of.z) / sqrt(s * s + of.t * of.t + lasting_ln * lasting_ln))


def chance(
    held: Heaviest | None, coming: Sequence[Look], strength: Strength, forecast_sd_ln: float = 0.0
) -> float:
    """Chance that a clip that has held so far is found failed at one of the coming looks.

    ``held`` is None for one never seen holding, which may be closed badly. ``forecast_sd_ln`` is what the forecast
    adds to the error of modelled loads. What is not known of the kind is taken over the points of its posterior.
    """
    prior = strength.prior
    tau_ln = hypot(prior.tau_ln, forecast_sd_ln)
    through = heaviest(coming, prior.weakening_per_week, tau_ln, held)
    if through is None:
        return 0.0
    knocked_not = (1 - prior.eps) ** len(coming)
    before = fails = 0.0
    for mu, s, c in strength.points:
        had = 1.0 if held is None else holds(held, mu, s, through.lasting_ln)
        lasts = knocked_not * (1 - c if held is None else 1.0)
        before += had
        fails += had - min(had, holds(through, mu, s, through.lasting_ln)) * lasts
    return fails / before if before > _NOTHING else 1.0


def learn(
    prior: Prior, records: Iterable[HeldRecord], tests: Iterable[BucketTest] = (), unseen: Iterable[Heaviest] = ()
) -> Strength:
    """The most likely strength of a kind given everything seen of it. The same evidence is worked out once.

    ``unseen`` is what clips bear that hang and were never looked at. Where failures are noted they held, as far as
    a failure is noticed; without them only those that fail would count.
    """
    survivors: dict[tuple[float, float, float], float] = defaultdict(float)
    failed: list[HeldRecord] = []
    seen = 0
    for worst in records:
        if worst.failed is not None:
            failed.append(worst)
        elif worst.held is not None:
            survivors[worst.held[:3]] += 1
            seen += 1
    for trial in unseen if failed else ():
        survivors[trial[:3]] += NOTICED
    if len(survivors) > _MANY_RECORDS:
        alike: dict[tuple[float, float, float], float] = defaultdict(float)
        for (z, t, v), count in survivors.items():
            like_t2 = max(1, round(t * t / _LIKE_T2)) * _LIKE_T2
            alike[round(z / _LIKE_LN) * _LIKE_LN, sqrt(like_t2), v] += count
        survivors = alike
    return _learned(prior, tuple(sorted(survivors.items())), tuple(sorted(failed, key=repr)), tuple(tests), seen)


@lru_cache(maxsize=64)
def _learned(
    prior: Prior,
    survivors: tuple[tuple[tuple[float, float, float], float], ...],
    failed: tuple[HeldRecord, ...],
    tests: tuple[BucketTest, ...],
    seen: int,
) -> Strength:
    ln_median, ln_spread, ln_badly = log(prior.median_n), log(prior.spread_ln), log(max(prior.badly_closed, 1e-6))
    start = [ln_median, ln_spread, ln_badly]
    scale = [prior.median_sd_ln, prior.spread_sd_ln, BADLY_CLOSED_SD_LN]
    if tests and prior.bench_sd_ln > 0:
        start, scale = [*start, 0.0], [*scale, prior.bench_sd_ln]
    tested = _Tested(tests, prior)
    held = sum(count for _, count in survivors)
    held_n = [(z, t * t + v * v, count) for (z, t, v), count in survivors]
    first = [(at.z, at.t**2 + at.lasting_ln**2) for before, at in failed if at is not None and before is None]
    later = [
        ((before.z, before.t**2 + at.lasting_ln**2), (at.z, at.t**2 + at.lasting_ln**2))
        for before, at in failed
        if at is not None and before is not None
    ]

    def log_posterior(at: Sequence[float]) -> float:
        mu, s, c = at[0], exp(min(at[1], 5.0)), min(exp(at[2]), 0.99)
        value = -sum(((a - b) / w) ** 2 for a, b, w in zip(at, start, scale, strict=True)) / 2
        if survivors or failed:
            value += held * log(1 - c)
            square = s * s
            for z, variance, count in held_n:
                value += count * log(max(0.5 * erfc((z - mu) * ROOT_HALF / sqrt(square + variance)), _NOTHING))
            for z, variance in first:
                fails = 0.5 * erfc((mu - z) * ROOT_HALF / sqrt(square + variance))
                value += log(c + (1 - c) * fails + prior.eps)
            for (z0, variance0), (z1, variance1) in later:
                had = 0.5 * erfc((z0 - mu) * ROOT_HALF / sqrt(square + variance0))
                through = 0.5 * erfc((z1 - mu) * ROOT_HALF / sqrt(square + variance1))
                value += log(max((1 - c) * (max(0.0, had - through) + prior.eps * had), _NOTHING))
        return value + tested.log_chance(mu + (at[3] if len(at) == 4 else 0.0), s)

    mode, covariance, best = _climb(log_posterior, start, scale)
    of_kind = tuple(tuple(row[:3]) for row in covariance[:3])
    return Strength(
        mode[0],
        mode[1],
        mode[2],
        of_kind,
        best,
        prior,
        failures=len(failed),
        held=seen,
        tested=len(tests),
        points=_points(mode, of_kind),
        fifth_n=_fifth_n(log_posterior, mode, covariance, best),
    )


def _points(
    mode: Sequence[float], covariance: Sequence[Sequence[float]]
) -> tuple[tuple[float, float, float], ...]:
    root = _triangular_root(covariance)
    n = len(covariance)
    points = []
    for column in range(n):
        for side in (sqrt(n), -sqrt(n)):
            mu, ln_s, ln_c = (mode[i] + side * root[i][column] for i in range(n))
            points.append((mu, exp(ln_s), min(exp(ln_c), 0.99)))
    return tuple(points)


def _fifth_n(
    log_posterior: Callable[[Sequence[float]], float],
    mode: Sequence[float],
    covariance: Sequence[Sequence[float]],
    best: float,
) -> tuple[float, float]:
    """Ends where the log posterior has fallen by 1.645^2 / 2 (likelihood ratio; S. S. Wilks, 1938, Annals of
    Mathematical Statistics 9, 60-62), on the line on which the quantile changes most for what it costs."""
    slope = [1.0, -FIVE_IN_HUNDRED * exp(mode[1]), *(0.0 for _ in mode[2:])]
    line = [sum(c * g for c, g in zip(row, slope, strict=True)) for row in covariance]
    length = sqrt(sum(step * g for step, g in zip(line, slope, strict=True)))
    low, high = (
        _fallen_at(log_posterior, mode, [side * step / length for step in line], best) for side in (-1, 1)
    )
    return low, high


def _fallen_at(
    log_posterior: Callable[[Sequence[float]], float], mode: Sequence[float], step: Sequence[float], best: float
) -> float:
    fall, steps = FIVE_IN_HUNDRED**2 / 2, FIVE_IN_HUNDRED
    for _ in range(_ROUNDS):
        fallen = best - log_posterior([value + steps * move for value, move in zip(mode, step, strict=True)])
        steps = min(2 * FIVE_IN_HUNDRED, steps * sqrt(fall / max(fallen, fall / 4)))
    return exp(mode[0] + steps * step[0] - FIVE_IN_HUNDRED * exp(mode[1] + steps * step[1]))


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
        if covariance is not None and moved < _CLOSE:
            return at, covariance, best
    slope, bow = _differences(function, at, best)
    climb = _inverse([[-value for value in row] for row in bow])
    return at, climb or [[w * w if i == j else 0.0 for j in range(len(scale))] for i, w in enumerate(scale)], best


def _triangular_root(matrix: Sequence[Sequence[float]]) -> list[list[float]]:
    """Lower triangular L with L L' the matrix (Cholesky)."""
    n = len(matrix)
    root = [[0.0] * n for _ in range(n)]
    for i in range(n):
        for j in range(i + 1):
            rest = matrix[i][j] - sum(root[i][k] * root[j][k] for k in range(j))
            root[i][j] = sqrt(max(rest, 0.0)) if i == j else (rest / root[j][j] if root[j][j] else 0.0)
    return root


def _step_up(
    function: Callable[[Sequence[float]], float], at: list[float], best: float, step: list[float]
) -> tuple[list[float], float, float]:
    """As much of a step as climbs; what it moved."""
    share = min(1.0, 1.0 / max(1e-12, max(abs(move) for move in step)))
    for _ in range(30):
        point = [value + share * move for value, move in zip(at, step, strict=True)]
        height = function(point)
        if height > best:
            return point, height, max(abs(share * move) for move in step)
        share /= 2
    return at, best, 0.0


def _differences(
    function: Callable[[Sequence[float]], float], at: list[float], value: float
) -> tuple[list[float], list[list[float]]]:
    n, h = len(at), _STEP

    def moved(*moves: tuple[int, float]) -> float:
        point = list(at)
        for i, by in moves:
            point[i] += by
        return function(point)

    up = [moved((i, h)) for i in range(n)]
    down = [moved((i, -h)) for i in range(n)]
    slope = [(up[i] - down[i]) / (2 * h) for i in range(n)]
    bow = [[0.0] * n for _ in range(n)]
    for i in range(n):
        bow[i][i] = (up[i] - 2 * value + down[i]) / (h * h)
        for j in range(i):
            corners = moved((i, h), (j, h)) + moved((i, -h), (j, -h))
            bow[i][j] = bow[j][i] = (corners - up[i] - down[i] - up[j] - down[j] + 2 * value) / (2 * h * h)
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
