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


def clips_to_buy(season: Season, metres_to_come: float) -> float:
    """Clips the stems' growth until the end still asks for, less what is in store and comes back meanwhile.

    ``metres_to_come``: growth of all stems together until the end. Bare lower stem gives back as many clips as it
    grows once stems are being lowered, so only the metres of standing length count there.
    """
    in_store = sum(store.in_store for store in stores(season) if store.item == "clip")
    return max(0.0, metres_to_come * CLIPS_A_STEM_METRE * (1 + SPARE_SHARE) - in_store)
