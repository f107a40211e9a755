"""What a clip has held so far, as two numbers: the heaviest of its trials and how sure that is.

Each look that finds a clip holding is a trial: ln of its load, with what the clip has weakened by since it was
closed, and the load model's own error of that look. Having passed them all, it bears more than the heaviest. The
heaviest of several normal values is itself taken as normal, by its first two moments (C. E. Clark, 1961, "The
greatest of a finite set of random variables", Operations Research 9, 145-162, equations 2 to 4)."""

from __future__ import annotations

from collections.abc import Iterable
from math import erfc, exp, hypot, log, pi, sqrt
from typing import NamedTuple

LEAST_N = 0.7
"""Added to a load as its error is to it: what a slack clip bears is not nothing (assumed)."""
LOOK_LN = 0.20
"""Error of ln load from look to look (own simulation)."""
ROOT_HALF = sqrt(0.5)
_NORMAL = 1 / sqrt(2 * pi)


class Look(NamedTuple):
    """A clip's load on a day on which it was seen."""

    weeks: float
    """Since it was closed."""
    load_n: float
    lasting_ln: float
    """How far this clip's load may be off all the time, as a standard deviation of ln load."""


class History(NamedTuple):
    """One clip at the looks it had; the day it was closed is none."""

    held: tuple[Look, ...]
    failed: Look | None = None
    """The look at which it was found failed."""


class Heaviest(NamedTuple):
    z: float
    """Mean of the heaviest trial, ln N."""
    t: float
    """Its standard deviation."""
    lasting_ln: float
    """Of the look with the heaviest load."""
    most_ln: float
    """That load's trial, without its error."""
    widest_ln: float
    """The most that any of its looks' loads may be off all the time."""


def demand_ln(look: Look, weakening_per_week: float) -> float:
    return log(hypot(look.load_n, LEAST_N)) + weakening_per_week * look.weeks


def heaviest(
    looks: Iterable[Look], weakening_per_week: float, tau_ln: float = LOOK_LN, so_far: Heaviest | None = None
) -> Heaviest | None:
    """The heaviest of ``so_far`` and these trials; None without any.

    As the head moves on a clip is no longer the last before the hook, and its load is known less well: the error
    it has there beside that of its old place is new to it, a trial like a look's own error, once.
    """
    for look in looks:
        m = demand_ln(look, weakening_per_week)
        if so_far is None:
            so_far = Heaviest(m, tau_ln, look.lasting_ln, m, look.lasting_ln)
            continue
        z, t, lasting_ln, most_ln, widest_ln = so_far
        widest_ln = max(widest_ln, look.lasting_ln)
        own2 = tau_ln * tau_ln + widest_ln * widest_ln - so_far.widest_ln * so_far.widest_ln
        apart = sqrt(t * t + own2)
        k = (z - m) / apart
        first = 0.5 * erfc(-k * ROOT_HALF)
        second = 1.0 - first
        between = apart * _NORMAL * exp(-k * k / 2)
        mean = z * first + m * second + between
        square = (z * z + t * t) * first + (m * m + own2) * second + (z + m) * between
        if m > most_ln:
            lasting_ln, most_ln = look.lasting_ln, m
        so_far = Heaviest(mean, sqrt(square - mean * mean), lasting_ln, most_ln, widest_ln)
    return so_far


def phi(z: float) -> float:
    """Standard normal distribution."""
    return 0.5 * erfc(-z * ROOT_HALF)
