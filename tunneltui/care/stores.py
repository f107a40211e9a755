"""Clips, twine, hooks and fleece: in and out, on the plants, failed, and what the season still asks for."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping
from math import ceil

from msgspec import Struct

from tunneltui.cells import Unit
from tunneltui.growth.outlook import Band
from tunneltui.growth.season_end import LeaderEnd, SeasonEnd
from tunneltui.holding.layout import row_id
from tunneltui.season.state import Leader, Season

SPARE_SHARE = 0.1
"""Kept over for failures and lost clips. Common practice, no source."""
CLIPS_A_STEM_METRE = 10 / 3
"""A clip every 30 cm (extension text on hobby hydroponics)."""
OWN_CLIPS_FROM = 20
"""Clips that must hang before their own number a metre stands in for the text's."""


class Store(Struct, frozen=True):
    item: str
    kind: str
    pool: str
    year: int | None
    came_in: float
    went_out: float
    """Thrown out or given away; what broke on the plants is not in it."""
    stocked: float
    """What came in less what went out."""
    on_plants: int
    failed: int
    taken_back: int
    in_store: float
    """Stocked less what hangs and what broke; below nought the count is behind and wants a look."""

    @property
    def known_stock(self) -> float | None:
        """How many are in store; None where none ever came in, or more hang than did: nobody counted them."""
        return self.in_store if self.came_in > 0 and self.in_store >= 0 else None


def stores(season: Season) -> list[Store]:
    """Every kind that was ever stocked or used, by item and kind."""
    hanging = Counter(f.clip_kind for leader in season.leaders.values() for f in leader.fixings if not f.tie)
    every = [*season.leaders.values(), *season.gone.values()]
    ends = [e for leader in every for e in leader.endings if not e.fixing.tie]
    failed = Counter(e.fixing.clip_kind for e in ends if e.how is not None)
    broken = Counter(e.fixing.clip_kind for e in ends if e.how == "broke")
    taken = Counter(e.fixing.clip_kind for e in ends if e.how is None)
    hooks = Counter(leader.hook.kind for leader in season.leaders.values() if leader.hook is not None)
    fleeces = sum(1 for on in season.fleece_on.values() if on)
    kinds = {clip.key: clip for clip in season.holding.clips}
    keys = set(season.stock) | {("clip", kind) for kind in hanging | failed | taken} | {("hook", k) for k in hooks}
    keys |= {("fleece", "")} if fleeces and not any(item == "fleece" for item, _ in season.stock) else set()
    kept = []
    for item, kind in sorted(keys):
        counts = [b.count for _, _, b in season.stockings if (b.item, b.item_kind) == (item, kind)]
        came, went = sum(c for c in counts if c > 0), -sum(c for c in counts if c < 0)
        used = {"clip": hanging[kind], "hook": hooks[kind]}.get(item, 0)
        if item == "fleece":
            # Which piece lies where is not noted: the first kind stands for all that are on.
            used, fleeces = fleeces, 0
        lost = broken[kind] if item == "clip" else 0
        clip = kinds.get(kind) if item == "clip" else None
        kept.append(
            Store(
                item,
                kind,
                clip.pool if clip else "",
                clip.year if clip else None,
                came,
                went,
                came - went,
                used,
                failed[kind] if item == "clip" else 0,
                taken[kind] if item == "clip" else 0,
                came - went - used - lost,
            )
        )
    return kept


class Need(Struct, frozen=True):
    """What the season still asks for beyond what hangs, and what there is of it."""

    item: str
    needed: Band
    in_store: float | None
    """None: nobody counted it, or it cannot be counted in this unit."""
    unit: Unit
    clip_every_m: float | None = None
    """Of stem held, by which clips are counted."""
    clips_hanging: int = 0
    """From which that is taken; 0: it is a usual one."""
    unnoted_hooks: int = 0
    """Their twine is taken as used up."""
    spool_unknown: bool = False
    """Twine is stocked and the holding does not say how long a spool is."""

    @property
    def short(self) -> tuple[float, float] | None:
        """(likely, at most) missing; None where that cannot be said."""
        if self.in_store is None:
            return None
        return max(0.0, self.needed.mid - self.in_store), max(0.0, self.needed.high - self.in_store)


def needs(season: Season, end: SeasonEnd | None) -> list[Need]:
    """Clips, hooks, hook twine and fleece from today to the last pick; [] where no last pick lies ahead."""
    if end is None or not season.leaders:
        return []
    in_store = _in_store(stores(season))
    clips = uses_clips(season)
    longest_m = _lengths(season, end, "high")
    bare = float(sum(1 for leader in season.leaders.values() if leader.hook is None))
    return [
        *([_clips(season, end, in_store.get("clip"), clips)] if held_m(season, longest_m, clips) > 0 else []),
        Need("hook", Band(bare, bare, bare), in_store.get("hook"), ""),
        _twine(season, end),
        _fleece(season, in_store.get("fleece")),
    ]


def _in_store(every: Iterable[Store]) -> dict[str, float]:
    """By item how many are there of all kinds together; an item of which nobody ever counted one is left out."""
    counts: dict[str, float] = defaultdict(float)
    for store in every:
        if store.known_stock is not None:
            counts[store.item] += store.known_stock
    return dict(counts)


def _clips(season: Season, end: SeasonEnd, in_store: float | None, clips: bool) -> Need:
    """By the stem that comes to be held, at the clips a metre that this grower hangs, with a tenth spare.

    ``clips``: as ``uses_clips`` says. A tiered stem that is longer than its wire is high and of which nothing that
    holds it was noted, of a journal begun in mid season, says nothing of how many clips a stem carries.
    """
    hanging = sum(1 for leader in season.leaders.values() for f in leader.fixings if not f.tie)
    telling_m = {
        name: stem.length_today_m for name, stem in end.leaders.items() if _tells_its_clips(season, name, stem)
    }
    now_m = held_m(season, telling_m, clips)
    own = hanging >= OWN_CLIPS_FROM and now_m > 0
    a_metre = hanging / now_m if own else CLIPS_A_STEM_METRE

    def beyond(which: str) -> float:
        clips_needed = held_m(season, _lengths(season, end, which), clips) * a_metre * (1 + SPARE_SHARE)
        return float(max(0, ceil(clips_needed) - hanging))

    needed = Band(*(beyond(which) for which in ("low", "mid", "high")))
    return Need("clip", needed, in_store, "", 1 / a_metre, hanging if own else 0)


def _tells_its_clips(season: Season, name: str, stem: LeaderEnd) -> bool:
    if (leader := season.leaders.get(name)) is None:
        return False
    lies = leader.training == "tiered" and stem.length_today_m > _wire_m(season, name)
    return bool(leader.fixings) or not lies


def held_m(season: Season, length_m: Mapping[str, float], clips: bool) -> float:
    """Stem that carries clips at one time [m], of all leaders whose length is given. ``clips``: as ``uses_clips``
    says."""
    return sum(
        min(of_stem_m, _clipped_m(season, season.leaders[name], clips))
        for name, of_stem_m in length_m.items()
        if name in season.leaders
    )


def _lengths(season: Season, end: SeasonEnd, which: str) -> dict[str, float]:
    """Stem length on the last pick day by leader; a stem without its tip grows no more than it has."""
    return {name: getattr(stem.length_m, which) for name, stem in end.leaders.items() if name in season.leaders}


def _twine(season: Season, end: SeasonEnd) -> Need:
    """Metres of hook twine beyond what the hooks still carry."""

    def beyond(which: str) -> float:
        return sum(
            max(0.0, length_m - _wire_m(season, name) - _let_out_m(season.leaders[name]) - _spare_m(season, name))
            for name, length_m in _lengths(season, end, which).items()
        )

    on_hooks = {hook.twine for hook in season.holding.hooks if hook.twine}
    stocked = {kind for kind in twine_kinds(season) if not on_hooks or kind in on_hooks}
    there_m = twine_in_store_m(season, stocked)
    unnoted = sum(1 for x in season.leaders.values() if x.hook is not None and x.hook.spare_m is None)
    return Need(
        "twine",
        Band(*(round(beyond(which), 1) for which in ("low", "mid", "high"))),
        there_m,
        "m",
        unnoted_hooks=unnoted,
        spool_unknown=there_m is None and bool(stocked),
    )


def twine_kinds(season: Season) -> list[str]:
    """Kinds of twine that were ever stocked."""
    return [store.kind for store in stores(season) if store.item == "twine"]


def twine_in_store_m(season: Season, kinds: Collection[str]) -> float | None:
    """Metres of those kinds on whole spools; None without a kind, or where one's spool is of unknown length."""
    spool_m = {twine.key: twine.spool_m for twine in season.holding.twines}
    metres = 0.0
    for store in stores(season):
        if store.item == "twine" and store.kind in kinds:
            length_m = spool_m.get(store.kind)
            if length_m is None:
                return None
            metres += max(0.0, store.in_store) * length_m
    return metres if kinds else None


def _wire_m(season: Season, leader: str) -> float:
    return season.layout.rows[season.leaders[leader].row][1].wire_height_m


def _let_out_m(leader: Leader) -> float:
    return sum(lowering.let_out_m or 0.0 for lowering in leader.lowerings)


def _spare_m(season: Season, leader: str) -> float:
    hook = season.leaders[leader].hook
    return (hook.spare_m or 0.0) if hook is not None else 0.0


def _fleece(season: Season, in_store: float | None) -> Need:
    bare = [
        tunnel.key
        for tunnel in season.holding.tunnels
        if any(season.leaders_of_row(row_id(tunnel, row)) for row in tunnel.rows)
        and not season.fleece_on.get(tunnel.key, False)
    ]
    count = float(len(bare))
    return Need("fleece", Band(0.0, count, count), in_store, "")


def uses_clips(season: Season) -> bool:
    """False where heads are twisted in, and no clip was ever stocked or hung: there only stems that are led along
    strings want clips."""
    every = [*season.leaders.values(), *season.gone.values()]
    clips = [f for leader in every for f in (*leader.fixings, *(e.fixing for e in leader.endings)) if not f.tie]
    stocked = any(item == "clip" for item, _ in season.stock)
    return bool(clips) or stocked or not any(leader.twisted_in_on for leader in every)


def _clipped_m(season: Season, leader: Leader, clips: bool) -> float:
    """Of one stem, however long: bare lower stem gives its clips back, what lies on the ground carries none."""
    if leader.training != "tiered" and not clips:
        return 0.0
    limits = season.holding.limits
    stretches = season.layout.loops[leader.loop].stretches
    top_m = min(season.layout.rows[stretch.row][1].wire_height_m for stretch in stretches)
    if leader.training != "tiered":
        return top_m
    return top_m + (top_m - limits.first_tier_m) / max(limits.run_slope, 0.05)
