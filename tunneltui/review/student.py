"""Student's t distribution, for intervals of differences. Checked against a statistics library in the tests."""

from __future__ import annotations

import math


def t_tail(t: float, df: float) -> float:
    """Two-sided probability of a value at least as far from nought. ``df`` need not be whole."""
    return _incomplete_beta(df / 2, 0.5, df / (df + t * t))


def t_quantile(two_sided: float, df: float) -> float:
    """The value that is passed, in size, with this probability; by bisection to 12 digits."""
    low, high = 0.0, 1.0
    while t_tail(high, df) > two_sided:
        high *= 2
    for _ in range(200):
        mid = (low + high) / 2
        if t_tail(mid, df) > two_sided:
            low = mid
        else:
            high = mid
    return (low + high) / 2


def _incomplete_beta(a: float, b: float, x: float) -> float:
    """Regularised incomplete beta function by its continued fraction (Abramowitz and Stegun 26.5.8, with Lentz's
    evaluation)."""
    if x in (0.0, 1.0):
        return x
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(b, a, 1 - x)
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return math.exp(log_front) / a * _continued_fraction(a, b, x)


def _continued_fraction(a: float, b: float, x: float) -> float:
    tiny = 1e-300
    c, d = 1.0, 1 - (a + b) * x / (a + 1)
    d = 1 / (d if abs(d) > tiny else tiny)
    value = d
    for m in range(1, 500):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 + term * d
            d = 1 / (d if abs(d) > tiny else tiny)
            c = 1 + term / c
            c = c if abs(c) > tiny else tiny
            value *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return value
