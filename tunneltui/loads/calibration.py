"""Failures of clips foreseen against those that happened, by the weeks the clips had hung.

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
from tunneltui.loads.kinds import tests_of, unseen_clips
from tunneltui.loads.strength import Strength, chance, learn, prior_of, record
from tunneltui.loads.trials import Heaviest, History, Look, heaviest
from tunneltui.loads.workings import Workings, hanging
from tunneltui.season.state import Fixing

WEEKS = 3
"""From so many weeks on clips are counted together."""


class WarningRecord(NamedTuple):
    """Clips that had hung so many full weeks; ``WEEKS`` or more together."""

    weeks: int
    looks: int
    failures_foreseen: float
    """The sum of the chances foreseen."""
    happened: int


class _ClipHistory(NamedTuple):
    fixing: Fixing
    history: History


def clip_histories(workings: Workings) -> dict[str, History]:
    """Of every clip of a standing stem that is foreseen, by fixing id."""
    return {
        fixing: history
        for leader, past in workings.pasts.items()
        for fixing, history in leader_histories(workings.season.leaders[leader], past).items()
    }


def warning_records(workings: Workings) -> tuple[WarningRecord, ...]:
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
        seen = [_ClipHistory(f, histories[f.id]) for f in fixings if f.id in histories]
        tests = tests_of(season, key)
        by_week: dict[date, Strength] = {}
        for fixing, history in seen:
            held: Heaviest | None = None
            ends = [(look, False) for look in history.held]
            ends += [(history.failed, True)] if history.failed is not None else []
            for look, failed in ends:
                # What is known is taken anew once a week, on its Monday.
                day = _day_of(fixing, look)
                week = day - timedelta(days=day.weekday())
                if week not in by_week:
                    hung_before = [hung for hung in seen if hung.fixing.hung_on < week]
                    records = [record(_before(hung, week), prior) for hung in hung_before]
                    # What hung unseen for a week is taken to have borne then what it bears today.
                    old = [hung.fixing for hung in hung_before if week - hung.fixing.hung_on >= timedelta(days=7)]
                    borne = {fixing.id: loads[fixing.id] for fixing in old if fixing.id in loads}
                    others = unseen_clips([hung.fixing for hung in hung_before], records, borne, prior)
                    by_week[week] = learn(prior, records, tests, others)
                weeks = min(WEEKS, int(look.weeks))
                looks[weeks] += 1
                chances[weeks] += chance(held, (look,), by_week[week])
                failures[weeks] += failed
                held = heaviest((look,), prior.weakening_per_week, prior.tau_ln, held)
    return tuple(WarningRecord(weeks, looks[weeks], chances[weeks], failures[weeks]) for weeks in range(WEEKS + 1))


def warnings_words(records: Sequence[WarningRecord]) -> str:
    """``told 12, happened 9``, in all and by week; '' where no clip was ever looked at."""
    if not any(week.looks for week in records):
        return ""
    weeks = [("first week", records[0]), ("second", records[1]), ("third", records[2]), ("later", records[3])]
    by_week = joined(
        ", ",
        (
            say("{} {} and {}", name, Quantity(week.failures_foreseen, ""), week.happened)
            for name, week in weeks
            if week.looks
        ),
    )
    return say("Failures of clips: {} ({}).", in_all(records), by_week)


def in_all(records: Sequence[WarningRecord]) -> str:
    """``told 12, happened 9``."""
    failures_foreseen = sum(week.failures_foreseen for week in records)
    return say("told {}, happened {}", Quantity(failures_foreseen, ""), sum(week.happened for week in records))


def _day_of(fixing: Fixing, look: Look) -> date:
    return fixing.hung_on + timedelta(days=round(7 * look.weeks))


def _before(seen: _ClipHistory, day: date) -> History:
    """What had been seen of a clip before a day."""
    held = tuple(look for look in seen.history.held if _day_of(seen.fixing, look) < day)
    failed = seen.history.failed
    return History(held, failed if failed is not None and _day_of(seen.fixing, failed) < day else None)
