"""Clips, twine, hooks and fleece: what came in, what hangs, what failed, what the season still asks for."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from tunneltui.season.state import Season

SPARE_SHARE = 0.1
"""Kept over for failures and lost clips. Common practice, no source."""
CLIPS_A_STEM_METRE = 10 / 3
"""A clip every 30 cm (extension text on hobby hydroponics)."""


@dataclass(frozen=True, slots=True)
class Store:
    item: str
    kind: str
    pool: str
    year: int | None
    stocked: float
    on_plants: int
    failed: int
    taken_back: int
    in_store: float
    """Stocked less what hangs and what broke; below nought the count is behind and wants a look."""


def stores(season: Season) -> list[Store]:
    """Every kind that was ever stocked or used, by item and kind."""
    hanging = Counter(f.clip_kind for leader in season.leaders.values() for f in leader.fixings if not f.tie)
    ends = [e for leader in season.leaders.values() for e in leader.endings if not e.fixing.tie]
    failed = Counter(e.fixing.clip_kind for e in ends if e.how is not None)
    broken = Counter(e.fixing.clip_kind for e in ends if e.how == "broke")
    taken = Counter(e.fixing.clip_kind for e in ends if e.how is None)
    hooks = Counter(leader.hook.kind for leader in season.leaders.values() if leader.hook is not None)
    kinds = {clip.key: clip for clip in season.holding.clips}
    keys = set(season.stock) | {("clip", kind) for kind in hanging | failed | taken} | {("hook", k) for k in hooks}
    found = []
    for item, kind in sorted(keys):
        stocked = season.stock.get((item, kind), 0.0)
        used = {"clip": hanging[kind], "hook": hooks[kind]}.get(item, 0)
        lost = broken[kind] if item == "clip" else 0
        clip = kinds.get(kind) if item == "clip" else None
        found.append(
            Store(
                item,
                kind,
                clip.pool if clip else "",
                clip.year if clip else None,
                stocked,
                used,
                failed[kind] if item == "clip" else 0,
                taken[kind] if item == "clip" else 0,
                stocked - used - lost,
            )
        )
    return found
