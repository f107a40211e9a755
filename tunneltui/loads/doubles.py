"""Which clips of a lowering to close double: the warning that comes before a clip is closed.

Half of the clips that fail do so within two days of being closed, so that a flag the next morning is late (own
simulation). Where a kind's failures are known, its chance in the first fortnight decides: so long a clip is the
last before the hook, while fruit swells; by the first week alone a fixed rule saved more (own simulation). Until
then the last clip before the hook of a heavy cultivar is doubled, which with many second clips saves as much."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.growth.defaults import traits
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.kinds import clip_kind, kind_strength
from tunneltui.loads.lowered import (
    DOUBLED_M,
    Hanging,
    Laid,
    StringClip,
    after_let_out,
    as_lowered,
    hanging,
    let_down,
)
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.loads.stem import LoadedStem, stem_on
from tunneltui.loads.strength import Strength, chance
from tunneltui.loads.trials import Look
from tunneltui.loads.workings import week_of_looks
from tunneltui.season.state import Leader, Season

KNOWN_FROM = 3
"""Failures of a kind from which on its chances decide (assumed)."""
HEAVY_KG = 0.75
"""A cultivar with so much ripe fruit on a truss is a heavy one (assumed)."""


class TooMuch(Struct, frozen=True):
    """A string clip that would carry more than its allowed share after the lowering, and did not before."""

    beside: StringClip
    """Where a second clip would go."""
    hangs: bool
    """It is closed already: whether a new one is doubled its chance decides."""


class Bearing(Struct, frozen=True, eq=False):
    """What hangs in the house, looked up clip by clip, and what is known of each kind."""

    clips: Mapping[str, ClipLoad]
    learned: Mapping[str, Strength]
    """By kind of clip."""


NOTHING_KNOWN = Bearing({}, {})


def bearing_of(loads: Loads) -> Bearing:
    return Bearing({clip.id: clip for clip in loads.clips}, loads.workings.learned if loads.workings else {})


def second_clips(
    season: Season, outlook: Outlook, hangs: Hanging, to: Laid, bearing: Bearing, on: date
) -> tuple[StringClip, ...]:
    """What a lowering on that day closes beside other clips: beside those that hang and would carry too much, then
    beside new ones that may well fail in their first fortnight."""
    lowered_stem = _lowered(season, hangs, to)
    hanging = (clip.beside for clip in _too_much(season, hangs, lowered_stem, bearing) if clip.hangs)
    return (*hanging, *_doubles(season, outlook, hangs, to, lowered_stem, bearing.learned, on))


def too_much(season: Season, hangs: Hanging, to: Laid, bearing: Bearing) -> list[TooMuch]:
    """String clips that the lowering would bring over ``limits.amber_share``; none for a doubled place."""
    return _too_much(season, hangs, _lowered(season, hangs, to), bearing)


def _lowered(season: Season, hangs: Hanging, to: Laid) -> LoadedStem:
    return stem_on(season, as_lowered(season, hangs, to), let_down(hangs.stem, to.let_out_m))


def _too_much(season: Season, hangs: Hanging, lowered_stem: LoadedStem, bearing: Bearing) -> list[TooMuch]:
    amber_share = season.holding.limits.amber_share
    leader, borne = lowered_stem.leader, lowered_stem.borne.clips
    over = []
    for fixing in leader.fixings:
        would = borne.get(fixing.id)
        current = bearing.clips.get(fixing.id)
        over_now = current is not None and current.share >= amber_share
        alike = sum((f.string, f.on) == (fixing.string, fixing.on) for f in leader.fixings)
        if fixing.on != "string" or would is None or over_now or alike > 1:
            continue
        if current is not None:
            strength_n = current.strength_n
        else:
            strength_n = kind_strength(season, bearing.learned, fixing.clip_kind).quantile_n()
        if would.mid_n >= amber_share * strength_n:
            string = season.strings[fixing.string]
            at = StringClip(string.id, string.number, fixing.u_m, fixing.z_m or 0.0, fixing.s_m)
            over.append(TooMuch(_beside(at), hangs=any(f.id == fixing.id for f in hangs.leader.fixings)))
    return over


def _doubles(
    season: Season,
    outlook: Outlook,
    hangs: Hanging,
    to: Laid,
    lowered_stem: LoadedStem,
    learned: Mapping[str, Strength],
    on: date,
) -> tuple[StringClip, ...]:
    """Second clips beside those that the lowering closes, in order along the stem."""
    own = (hangs.own_string,) if hangs.own_string else ()
    new = [clip for clip in (*own, *to.clips) if not _is_doubled(hangs.leader, (*own, *to.clips), clip)]
    if not new:
        return ()
    kind = clip_kind(season, hangs.leader)
    strength = kind_strength(season, learned, kind)
    if strength.failures < KNOWN_FROM:
        last = max((*own, *to.clips), key=lambda clip: clip.s_m)
        cultivar = season.layout.cultivars.get(hangs.leader.cultivar)
        heavy = cultivar is not None and traits(cultivar).truss_kg >= HEAVY_KG
        return (_beside(last),) if heavy and last in new else ()
    at = {(f.string, f.s_m): f.id for f in lowered_stem.leader.fixings if f.on == "string"}
    looks = first_looks(season, outlook, lowered_stem, to.let_out_m, on)
    return tuple(
        _beside(clip)
        for clip in new
        if chance(None, looks.get(at[clip.string, clip.s_m], ()), strength) >= season.holding.limits.double_chance
    )


def first_looks(
    season: Season, outlook: Outlook, lowered_stem: LoadedStem, let_out_m: float, on: date
) -> dict[str, tuple[Look, ...]]:
    """The looks of a fortnight at every clip of a stem just lowered, by id.

    What it grows in the first week is let out again and its hook moved on: until the hook is past the next string
    ever more of the stem hangs on its last clip."""
    id_, borne = lowered_stem.leader.id, lowered_stem.borne.clips
    today, in_a_week, in_two = (
        let_down(outlook.stem(id_, on + timedelta(weeks=weeks)), let_out_m) for weeks in range(3)
    )
    week = stem_on(season, lowered_stem.leader, in_a_week).borne.clips
    grown_m = max(0.0, in_a_week.tip_z_m.mid - today.tip_z_m.mid)
    hangs = hanging(season, lowered_stem.leader, in_a_week)
    again = _lowered(season, hangs, after_let_out(season, hangs, grown_m))
    fortnight = stem_on(season, again.leader, let_down(in_two, grown_m)).borne.clips

    def looks(clip: str) -> tuple[Look, ...]:
        at_end = week.get(clip, borne[clip])
        moved_on = again.borne.clips.get(clip, at_end)
        first = week_of_looks(0.0, borne[clip], at_end)
        return *first, *week_of_looks(1.0, moved_on, fortnight.get(clip, moved_on))

    return {clip: looks(clip) for clip in borne}


def _is_doubled(leader: Leader, new: tuple[StringClip, ...], clip: StringClip) -> bool:
    held = [f.string for f in leader.fixings if f.on == "string"] + [string_clip.string for string_clip in new]
    return held.count(clip.string) > 1


def _beside(clip: StringClip) -> StringClip:
    return StringClip(clip.string, clip.number, clip.u_m, clip.z_m, round(clip.s_m + DOUBLED_M, 2))
