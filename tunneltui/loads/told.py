"""What was told of clips against what then happened, by the weeks they had hung.

Every look at a clip is a question answered: the chance that it would be found failed there, by what was known of
its kind before that week and what it had held before, and whether it was. Loads are worked back from today's
picture (``loads.history``), for the journal keeps no old forecasts. Worked out only where it is asked for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from tunneltui.cells import Quantity, joined, say
from tunneltui.loads.history import kinds_of, leader_histories
from tunneltui.loads.kinds import tests_of, unseen
from tunneltui.loads.strength import Strength, chance, learn, prior_of, record
from tunneltui.loads.trials import Heaviest, History, Look, heaviest
from tunneltui.loads.workings import Workings, hanging
from tunneltui.season.state import Fixing

WEEKS = 3
"""From so many weeks on clips are told of together."""


class ToldOfWeek(NamedTuple):
    """Of clips that had hung so many full weeks; ``WEEKS`` or more together."""

    weeks: int
    looks: int
    failures_told: float
    """The sum of the chances told."""
    happened: int


class _Seen(NamedTuple):
    fixing: Fixing
    history: History


def clip_histories(workings: Workings) -> dict[str, History]:
    """Of every clip of a standing stem that is foreseen, by fixing id."""
    return {
        fixing: history
        for leader, past in workings.pasts.items()
        for fixing, history in leader_histories(workings.season.leaders[leader], past).items()
    }


def told_and_happened(workings: Workings) -> tuple[ToldOfWeek, ...]:
    """One line for each week hung, 0 to ``WEEKS``, of all kinds of clip together; ties are none."""
    season = workings.season
    histories = clip_histories(workings)
    loads = hanging(workings.stems, workings.day)
    looks: dict[int, int] = defaultdict(int)
    chances: dict[int, float] = defaultdict(float)
    failures: dict[int, int] = defaultdict(int)
    rated = {kind.key: kind for kind in season.holding.clips}
    for key, fixings in kinds_of(season).items():
        prior = prior_of(rated.get(key), season.holding.limits)
        seen = [_Seen(f, histories[f.id]) for f in fixings if f.id in histories]
        tests = tests_of(season, key)
        by_week: dict[date, Strength] = {}
        for fixing, history in seen:
            held: Heaviest | None = None
            ends = [(look, False) for look in history.held]
            ends += [(history.failed, True)] if history.failed is not None else []
            for look, failed in ends:
                week = _week_of(fixing, look)
                if week not in by_week:
                    there = [hung for hung in seen if hung.fixing.hung_on < week]
                    records = [record(_before(hung, week), prior) for hung in there]
                    # What hung unseen for a week is taken to have borne then what it bears today.
                    old = [hung.fixing for hung in there if week - hung.fixing.hung_on >= timedelta(days=7)]
                    borne = {fixing.id: loads[fixing.id] for fixing in old if fixing.id in loads}
                    others = unseen([hung.fixing for hung in there], records, borne, prior)
                    by_week[week] = learn(prior, records, tests, others)
                weeks = min(WEEKS, int(look.weeks))
                looks[weeks] += 1
                chances[weeks] += chance(held, (look,), by_week[week])
                failures[weeks] += failed
                held = heaviest((look,), prior.weakening_per_week, prior.tau_ln, held)
    return tuple(ToldOfWeek(weeks, looks[weeks], chances[weeks], failures[weeks]) for weeks in range(WEEKS + 1))


def told_words(told: Sequence[ToldOfWeek]) -> str:
    """``told 12, happened 9``, in all and by week; '' where no clip was ever looked at."""
    if not any(week.looks for week in told):
        return ""
    weeks = [("first week", told[0]), ("second", told[1]), ("third", told[2]), ("later", told[3])]
    by_week = joined(
        ", ",
        (
            say("{} {} and {}", name, Quantity(week.failures_told, ""), week.happened)
            for name, week in weeks
            if week.looks
        ),
    )
    return say("Failures of clips: {} ({}).", in_all(told), by_week)


def in_all(told: Sequence[ToldOfWeek]) -> str:
    """``told 12, happened 9``."""
    failures_told = sum(week.failures_told for week in told)
    return say("told {}, happened {}", Quantity(failures_told, ""), sum(week.happened for week in told))


def _day_of(fixing: Fixing, look: Look) -> date:
    return fixing.hung_on + timedelta(days=round(7 * look.weeks))


def _week_of(fixing: Fixing, look: Look) -> date:
    """The Monday of its week: what is known is taken anew once a week."""
    day = _day_of(fixing, look)
    return day - timedelta(days=day.weekday())


def _before(seen: _Seen, day: date) -> History:
    """What had been seen of a clip before a day."""
    held = tuple(look for look in seen.history.held if _day_of(seen.fixing, look) < day)
    failed = seen.history.failed
    return History(held, failed if failed is not None and _day_of(seen.fixing, failed) < day else None)
