"""What follows when one clip, string or hook lets go (load put on at once; shares by own simulation).

The path stays, what let go is left out, and every load that rises is taken as it swings: before + 2 (after -
before). The largest share above 1 goes next, and so on until nothing does. A stem drops when nothing holds it
above its root any more, or a stretch of over 1.5 m hangs free; it may land on the clip below on its string.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from msgspec import Struct, field

from tunneltui.cells import say
from tunneltui.loads.clips import StemLoads, stem_loads
from tunneltui.loads.lines import hook_id, hook_strength_n, twine_strength_n
from tunneltui.loads.result import WeakPoint
from tunneltui.loads.stem import LoadedStem
from tunneltui.season.state import Fixing, Season

SWING = 2.0
"""A load put on at once, elastic and undamped, doubles (textbook: a load put on at once)."""
BESIDE_HOOK = 1.15
"""A hook next to a lost fixing: the likely load is 13 % low there (own simulation)."""
FREE_M = 1.5
"""A stretch longer than this without a fixing is counted as dropped."""


class _Limits(Struct, frozen=True):
    """Strengths by fixing, string and hook id; None where unknown."""

    clips: Mapping[str, float]
    strings: Mapping[str, float | None]
    hooks: Mapping[str, float | None]


class _Losses(Struct):
    """A house while things let go."""

    gone: set[str] = field(default_factory=set)
    """Fixing ids."""
    unhooked: set[str] = field(default_factory=set)
    """Leader ids."""
    cut: set[str] = field(default_factory=set)
    """String ids."""
    borne: dict[str, StemLoads] = field(default_factory=dict)
    """Static loads of the leaders touched so far."""
    landed_n: dict[str, float] = field(default_factory=dict)
    """What fell on a clip, by fixing id."""
    dropped: list[str] = field(default_factory=list)


class _Next(Struct, frozen=True):
    share: float
    fixings: tuple[Fixing, ...] = ()
    hook_of: str = ""
    string: str = ""


def weak_points(
    season: Season, stems: Mapping[str, LoadedStem], clip_strength_n: Mapping[str, float]
) -> list[WeakPoint]:
    """Every clip, string and hook whose loss would drop a stem or take something else over its strength.

    Those that drop most come first, then those that load the next one most.
    """
    house = _IntactHouse(season, stems, clip_strength_n)
    points = []
    for stem in stems.values():
        for fixing in stem.leader.fixings:
            if fixing.id in stem.borne.clips:
                points.append(house.lose(fixing.id, stem.leader.name, [fixing]))
        if stem.borne.hook is not None:
            points.append(house.lose(hook_id(stem.leader), stem.leader.name, [], hook_of=stem.leader.id))
    for string, fixings in house.on_string.items():
        points.append(house.lose(string, "", fixings, string=string))
    telling = [point for point in points if point.drops or point.first_over]
    return sorted(telling, key=most_drops_first)


def most_drops_first(point: WeakPoint) -> tuple[float, float, str]:
    """Order of weak points."""
    return (-len(point.drops), -point.first_over_share, point.fixing)


class _IntactHouse:
    """Everything that stays the same from one loss to the next."""

    __slots__ = ("_solved", "limits", "on_string", "season", "stems")

    def __init__(
        self, season: Season, stems: Mapping[str, LoadedStem], clip_strength_n: Mapping[str, float]
    ) -> None:
        self.season, self.stems = season, stems
        self._solved: dict[tuple[str, frozenset[str], bool], StemLoads] = {}
        self.on_string: dict[str, list[Fixing]] = {}
        for stem in stems.values():
            for fixing in stem.leader.fixings:
                if fixing.on == "string" and fixing.id in stem.borne.clips:
                    self.on_string.setdefault(fixing.string, []).append(fixing)
        for fixings in self.on_string.values():
            fixings.sort(key=lambda fixing: (-self.z_m(fixing), fixing.id))
        strings = season.strings
        self.limits = _Limits(
            clip_strength_n,
            {
                string: twine_strength_n(season.layout, strings[string].twine, strings[string].knot_share)
                for string in self.on_string
                if string in strings
            },
            {leader: hook_strength_n(season, stem.leader) for leader, stem in stems.items()},
        )

    def z_m(self, fixing: Fixing) -> float:
        return self.stems[fixing.leader].along.z_m(fixing.s_m)

    def lose(
        self, name: str, leader: str, fixings: list[Fixing], *, hook_of: str = "", string: str = ""
    ) -> WeakPoint:
        """Lets one thing go, and then whatever that takes over its strength."""
        state = _Losses()
        goes: _Next | None = _Next(0.0, tuple(fixings), hook_of, string)
        first: _Next | None = None
        while goes is not None:
            goes = self._let_go(state, goes)
            first = first or goes
        names = tuple(self.stems[dropped].leader.name for dropped in state.dropped)
        return WeakPoint(name, leader, names, self._words(first) if first else "", first.share if first else 0.0)

    def _let_go(self, state: _Losses, goes: _Next) -> _Next | None:
        """One thing lets go; what would be next."""
        state.gone |= {fixing.id for fixing in goes.fixings}
        state.unhooked |= {goes.hook_of} - {""}
        state.cut |= {goes.string} - {""}
        touched = dict.fromkeys(
            [fixing.leader for fixing in goes.fixings] + ([goes.hook_of] if goes.hook_of else [])
        )
        best: _Next | None = None
        for leader in touched:
            stem = self.stems[leader]
            before = state.borne.get(leader, stem.borne)
            after = self._without(stem, state.gone, hooked=leader not in state.unhooked)
            state.borne[leader] = after
            if leader not in state.dropped and self._drops(stem, state, after):
                state.dropped.append(leader)
                self._land(stem, state, before)
            lying = [fixing.id for fixing in stem.leader.fixings if fixing.on != "head"]
            beside_hook = bool(lying) and lying[-1] in {fixing.id for fixing in goes.fixings}
            for candidate in self._candidates(stem, state, before, after, beside_hook=beside_hook):
                best = candidate if best is None or candidate.share > best.share else best
        for candidate in self._struck(state):
            best = candidate if best is None or candidate.share > best.share else best
        return best if best is not None and best.share > 1 else None

    def _without(self, stem: LoadedStem, gone: set[str], *, hooked: bool) -> StemLoads:
        """A stem's loads without what is gone of it: several losses come to the same."""
        own = frozenset(fixing.id for fixing in stem.leader.fixings if fixing.id in gone)
        key = (stem.leader.id, own, hooked)
        if key not in self._solved:
            self._solved[key] = stem_loads(stem.ready, without=own, hooked=hooked)
        return self._solved[key]

    def _candidates(
        self, stem: LoadedStem, state: _Losses, before: StemLoads, after: StemLoads, *, beside_hook: bool
    ) -> list[_Next]:
        candidates = []
        leader = stem.leader
        for fixing in leader.fixings:
            if fixing.id in after.clips:
                before_n, after_n = before.clips[fixing.id].mid_n, after.clips[fixing.id].mid_n
                if after_n > before_n:
                    share = (before_n + SWING * (after_n - before_n)) / self.limits.clips[fixing.id]
                    candidates.append(_Next(share, (fixing,)))
                    candidates += self._string(state, fixing, SWING * (after_n - before_n))
        limit_n = self.limits.hooks[leader.id]
        if limit_n is not None and before.hook is not None and after.hook is not None:
            before_n, after_n = before.hook.mid_n, after.hook.mid_n * (BESIDE_HOOK if beside_hook else 1.0)
            if after_n > before_n:
                share = (before_n + SWING * (after_n - before_n)) / limit_n
                candidates.append(_Next(share, hook_of=leader.id))
        return candidates

    def _string(self, state: _Losses, fixing: Fixing, rise_n: float) -> list[_Next]:
        limit_n = self.limits.strings.get(fixing.string)
        if fixing.on != "string" or limit_n is None or fixing.string in state.cut:
            return []
        mates = tuple(mate for mate in self.on_string[fixing.string] if mate.id not in state.gone)
        carried_n = sum(self.stems[mate.leader].borne.clips[mate.id].mid_n for mate in mates)
        return [_Next((carried_n + rise_n) / limit_n, mates, string=fixing.string)]

    def _drops(self, stem: LoadedStem, state: _Losses, after: StemLoads) -> bool:
        if not after.clips and after.hook is None:
            return True
        free_m = _longest_free_m(stem, state.gone, hooked=after.hook is not None)
        return free_m > FREE_M and free_m > _longest_free_m(stem, set(), hooked=stem.borne.hook is not None) + 1e-9

    def _land(self, stem: LoadedStem, state: _Losses, before: StemLoads) -> None:
        """What a dropped stem brings down on the next clip below, on each string it has come off."""
        for fixing in stem.leader.fixings:
            mates = self.on_string.get(fixing.string, [])
            if fixing.on != "string" or fixing.id not in state.gone or fixing not in mates:
                continue
            below = [mate for mate in mates[mates.index(fixing) + 1 :] if mate.id not in state.gone]
            if below and below[0].leader != fixing.leader and fixing.id in before.clips:
                state.landed_n[below[0].id] = state.landed_n.get(below[0].id, 0.0) + before.clips[fixing.id].mid_n

    def _struck(self, state: _Losses) -> list[_Next]:
        struck = []
        for string in self.on_string.values():
            for fixing in string if state.landed_n else ():
                if fixing.id in state.landed_n and fixing.id not in state.gone:
                    own_n = self.stems[fixing.leader].borne.clips[fixing.id].mid_n
                    share = (own_n + SWING * state.landed_n[fixing.id]) / self.limits.clips[fixing.id]
                    struck.append(_Next(share, (fixing,)))
        return struck

    def _words(self, goes: _Next) -> str:
        if goes.string:
            return self.season.string_name(goes.string)
        if goes.hook_of:
            return hook_id(self.stems[goes.hook_of].leader)
        fixing = goes.fixings[0]
        name = self.stems[fixing.leader].leader.name
        if fixing.on != "string":
            return say("{} clip of {}", fixing.on, name)
        return say("clip of {} on {}", name, self.season.string_name(fixing.string))


def _longest_free_m(stem: LoadedStem, gone: set[str], *, hooked: bool) -> float:
    """Longest stretch of stem, root to tip, without a fixing; soil, rests and the head's twine hold theirs."""
    held = [station.s_m for station in stem.ready.stations if station.kind in ("root", "ground")]
    held += [f.s_m for f in stem.leader.fixings if f.id not in gone and (hooked or f.on != "head")]
    if hooked:
        held += [stem.ready.stations[-1].s_m, stem.weights.length_m]
    else:
        held.append(stem.weights.length_m)
    return max(b - a for a, b in pairwise(sorted(held)))
