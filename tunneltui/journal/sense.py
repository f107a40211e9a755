"""Whether the parts of one entry agree with each other: what no single field's limits can tell. Pure."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from itertools import pairwise, zip_longest
from typing import Any

from tunneltui.holding.user_error import Fault
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import Air, BucketTested, Forecast
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_standing import Measured

HOURS_OF_A_DAY = (23, 24, 25)
"""The days on which the clock changes are an hour shorter or longer."""
FEWEST_FOR_A_FRACTION = 3
"""A single hour at 1 % or less is a faulty reading; so many without one above are fractions."""
WARMEST_NIGHT_C = 40.0
"""No night is warmer; 41 to 80 degF are 5 to 27 degC."""


def nonsense(body: Body) -> str:
    """What in a body contradicts itself, as a sentence; '' if nothing does."""
    check = _CHECKS.get(type(body))
    return check(body) if check else ""


def _air(body: Air) -> str:
    ends = [(name, getattr(body, name)) for name in ("min_c", "mean_c", "max_c")]
    given = [(name, value) for name, value in ends if value is not None]
    for (low, least), (high, most) in pairwise(given):
        if least > most:
            return f"{low} {least:g} is above {high} {most:g}."
    for name in ("hours_c", "hours_rh"):
        hours = getattr(body, name)
        if hours and len(hours) not in HOURS_OF_A_DAY:
            return f"{name} has {len(hours)} hours, a local day has 23, 24 or 25."
    if not given and not any(value is not None for value in (*body.hours_c, *body.hours_rh)):
        return "it reads nothing: min_c, max_c, mean_c or hours were wanted."
    if body.min_c is not None and body.min_c > WARMEST_NIGHT_C:
        return _no_night(body.min_c)
    return fractions("hours_rh", [rh for rh in body.hours_rh if rh is not None])


def _no_night(min_c: float) -> str:
    return f"min_c is {min_c:g}: no night is so warm, degC was wanted and this looks like degF."


def fractions(name: str, percents: list[float]) -> str:
    """A sentence where values that should be percent are all between 0 and 1."""
    if len(percents) >= FEWEST_FOR_A_FRACTION and max(percents) <= 1 < 100 * max(percents):
        return f"{name} reads {max(percents):g} at most: percent was wanted, this looks like fractions of one."
    return ""


def _forecast(body: Forecast) -> str:
    try:
        date.fromisoformat(body.issued)
    except ValueError:
        return f"issued is {body.issued!r}, a day such as 2026-08-20 was wanted."
    if not any(value is not None for value in (*body.min_c, *body.max_c)):
        return "it foretells nothing: min_c or max_c was wanted."
    for ahead, (low, high) in enumerate(zip_longest(body.min_c, body.max_c)):
        if low is not None and high is not None and low > high:
            return f"on day {ahead + 1} min_c {low:g} is above max_c {high:g}."
        if low is not None and low > WARMEST_NIGHT_C:
            return f"on day {ahead + 1} {_no_night(low)}"
    return ""


def _bucket_test(body: BucketTested) -> str:
    if body.drained_l >= body.given_l:
        return f"{body.drained_l:g} L drained of {body.given_l:g} L given: more must be given than drains."
    return ""


def _picked(body: Picked) -> str:
    if body.colour_percent is not None and 0 < body.colour_percent < 1:
        return f"colour_percent is {body.colour_percent:g}: percent was wanted, this looks like a fraction of one."
    return ""


def _measured(body: Measured) -> str:
    of_it = ("leader", "stems", "by")
    if all(getattr(body, name) is None for name in body.__struct_fields__ if name not in of_it):
        return "it reads nothing: growth_m, flowering_truss, lowest_truss or another reading was wanted."
    return ""


_CHECKS: dict[type, Callable[[Any], str]] = {
    Air: _air,
    Forecast: _forecast,
    BucketTested: _bucket_test,
    Picked: _picked,
    Measured: _measured,
}


def out_of_its_time(body: Body, day: date) -> str:
    """Why an entry cannot stand on that day, as a sentence: a forecast for days before it was issued."""
    if isinstance(body, Forecast) and not _forecast(body) and day < date.fromisoformat(body.issued):
        past = f"{day.isoformat()}, which was past by then"
        return Fault(f"A forecast issued on {body.issued} cannot speak of {past}.")
    return ""
