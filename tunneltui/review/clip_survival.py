"""How clips lasted, by kind: hung, holding, failed and how, taken back, and how old the failed ones were."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from statistics import median

from tunneltui.season.state import Ending, Fixing, Season


@dataclass(frozen=True, slots=True)
class ClipRecord:
    clip_kind: str
    hung: int
    holding: int
    taken_back: int
    failed: dict[str, int]
    """By how they failed."""
    median_weeks_at_failure: float | None
    share_failed: float
    by_way: dict[str, tuple[int, int]] = field(default_factory=dict)
    """(hung, failed) by what it was clipped to: the head's twine, a string and so on."""
    failed_by_weeks: dict[int, int] = field(default_factory=dict)
    """Failures by full weeks since it was hung."""


def clip_survival(season: Season) -> list[ClipRecord]:
    """A line for every kind of clip that was hung, on standing plants and on those gone since."""
    leaders = [*season.leaders.values(), *season.gone.values()]
    holding: list[Fixing] = [f for leader in season.leaders.values() for f in leader.fixings if not f.tie]
    ends: list[Ending] = [e for leader in leaders for e in leader.endings if not e.fixing.tie]
    kinds = sorted({f.clip_kind for f in holding} | {e.fixing.clip_kind for e in ends})
    return [
        _record(
            kind,
            [f for f in holding if f.clip_kind == kind],
            [e for e in ends if e.fixing.clip_kind == kind],
        )
        for kind in kinds
    ]


def _record(kind: str, holding: list[Fixing], ends: list[Ending]) -> ClipRecord:
    failed = [e for e in ends if e.how is not None]
    weeks = [(e.day - e.fixing.hung_on).days / 7 for e in failed]
    hung = len(holding) + len(ends)
    return ClipRecord(
        kind,
        hung,
        len(holding),
        len(ends) - len(failed),
        dict(sorted(Counter(str(e.how) for e in failed).items())),
        median(weeks) if weeks else None,
        len(failed) / hung if hung else 0.0,
        {
            way: (
                sum(f.on == way for f in (*holding, *(e.fixing for e in ends))),
                sum(e.fixing.on == way for e in failed),
            )
            for way in sorted({f.on for f in (*holding, *(e.fixing for e in ends))})
        },
        dict(sorted(Counter(int(age) for age in weeks).items())),
    )
