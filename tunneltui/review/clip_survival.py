"""How clips lasted, by kind: hung, holding, failed and how; the failed ones by what they held, age and load."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from itertools import pairwise
from statistics import median

from msgspec import Struct, field

from tunneltui.loads.trials import History
from tunneltui.season.state import Ending, Fixing, Season

LOAD_EDGES_N = (5.0, 10.0, 15.0, 20.0)
"""Where one band of load ends and the next begins."""


class LoadBand(Struct, frozen=True):
    """Clips whose greatest known load lay from ``low_n`` to below ``high_n`` (None: no upper end)."""

    low_n: float
    high_n: float | None
    clips: int
    failed: int
    """Of these, at the load they bore when they were found failed."""


class ClipRecord(Struct, frozen=True):
    clip_kind: str
    hung: int
    holding: int
    taken_back: int
    came_down: int
    """Held until its plant was cleared, and to be counted back from there."""
    failed: dict[str, int]
    """By how they failed."""
    median_weeks_at_failure: float | None
    share_failed: float
    by_way: dict[str, tuple[int, int]] = field(default_factory=dict)
    """(hung, failed) by what it was clipped to: the head's twine, a string and so on."""
    failed_by_weeks: dict[int, int] = field(default_factory=dict)
    """Failures by full weeks since it was hung."""
    by_load: tuple[LoadBand, ...] = ()
    """Only bands that a clip fell into; loads are worked back (``loads.history``)."""
    load_unknown: tuple[int, int] = (0, 0)
    """(clips, failed) whose load cannot be worked back: never seen, or of a stem that is gone."""


def clip_survival(
    season: Season, past: Mapping[str, History], since: date | None = None, until: date | None = None
) -> list[ClipRecord]:
    """A line for every kind of clip that was hung in the span, on standing plants and on those gone since.

    ``past`` is what clips of standing stems bore, by fixing id; those that are not there are of unknown load.
    """
    first, last = since or date.min, until or date.max
    leaders = [*season.leaders.values(), *season.gone.values()]
    holding = [f for leader in season.leaders.values() for f in leader.fixings if not f.tie]
    ends = [e for leader in leaders for e in leader.endings if not e.fixing.tie]
    down = [f for leader in season.gone.values() for f in leader.fixings if not f.tie]
    holding = [f for f in holding if first <= f.hung_on <= last]
    down = [f for f in down if first <= f.hung_on <= last]
    ends = [e for e in ends if first <= e.fixing.hung_on <= last]
    kinds = sorted({f.clip_kind for f in (*holding, *down)} | {e.fixing.clip_kind for e in ends})
    return [
        _record(
            kind,
            [f for f in holding if f.clip_kind == kind],
            [f for f in down if f.clip_kind == kind],
            [e for e in ends if e.fixing.clip_kind == kind],
            past,
        )
        for kind in kinds
    ]


def _record(
    kind: str, holding: list[Fixing], down: list[Fixing], ends: list[Ending], past: Mapping[str, History]
) -> ClipRecord:
    failed = [e for e in ends if e.how is not None]
    weeks = [(e.day - e.fixing.hung_on).days / 7 for e in failed]
    hung = len(holding) + len(down) + len(ends)
    every = [*holding, *down, *(e.fixing for e in ends)]
    failed_ids = {e.fixing.id for e in failed}
    loads = {f.id: _greatest_n(past.get(f.id)) for f in every}
    unknown = [id_ for id_, load in loads.items() if load is None]
    return ClipRecord(
        kind,
        hung,
        len(holding),
        len(ends) - len(failed),
        len(down),
        dict(sorted(Counter(str(e.how) for e in failed).items())),
        median(weeks) if weeks else None,
        len(failed) / hung if hung else 0.0,
        {
            way: (sum(f.on == way for f in every), sum(e.fixing.on == way for e in failed))
            for way in sorted({f.on for f in every})
        },
        dict(sorted(Counter(int(age) for age in weeks).items())),
        _bands([(load, id_ in failed_ids) for id_, load in loads.items() if load is not None]),
        (len(unknown), sum(id_ in failed_ids for id_ in unknown)),
    )


def _greatest_n(history: History | None) -> float | None:
    """What it bore when it was found failed; of one that never failed the most it was seen to hold."""
    if history is None:
        return None
    if history.failed is not None:
        return history.failed.load_n
    return max((look.load_n for look in history.held), default=None)


def _bands(loads: Sequence[tuple[float, bool]]) -> tuple[LoadBand, ...]:
    edges = (0.0, *LOAD_EDGES_N, float("inf"))
    load_bands = []
    for low, high in pairwise(edges):
        inside = [failed for load, failed in loads if low <= load < high]
        if inside:
            load_bands.append(LoadBand(low, None if high == float("inf") else high, len(inside), sum(inside)))
    return tuple(load_bands)
