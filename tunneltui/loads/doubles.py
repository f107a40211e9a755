"""Which clips of a lowering to close double: the warning that comes before a clip is closed.

Half of the clips that fail do so within two days of being closed, so that a flag the next morning is late (own
simulation). Where a kind's failures are known, its chance in the first week decides; until then the last clip
before the hook of a heavy cultivar is doubled, which with many second clips saves as much (own simulation)."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from tunneltui.growth.outlook import Outlook
from tunneltui.holding.crops import kind_of
from tunneltui.loads.kinds import clip_kind, known
from tunneltui.loads.lowered import DOUBLED_M, Hanging, Laid, StringClip, let_down, lowered
from tunneltui.loads.stem import stem_on
from tunneltui.loads.strength import Strength, chance
from tunneltui.loads.workings import week_of_looks
from tunneltui.season.state import Leader, Season

KNOWN_FROM = 3
"""Failures of a kind from which on its chances decide (assumed)."""
HEAVY_G = 180.0
"""A cultivar with fruit of this mass, or of the beef kind, is a heavy one (assumed)."""


def doubles(
    season: Season, outlook: Outlook, hangs: Hanging, to: Laid, learned: Mapping[str, Strength], on: date
) -> tuple[StringClip, ...]:
    """Second clips beside those that a lowering on that day closes, in order along the stem.

    ``learned``: the strength of each kind of clip, as far as it is known.
    """
    own = (hangs.own_string,) if hangs.own_string else ()
    new = [clip for clip in (*own, *to.clips) if not _is_doubled(hangs.leader, (*own, *to.clips), clip)]
    if not new:
        return ()
    kind = clip_kind(season, hangs.leader)
    strength = known(season, learned, kind)
    if strength.failures < KNOWN_FROM:
        last = max((*own, *to.clips), key=lambda clip: clip.s_m)
        return (_beside(last),) if _is_heavy(season, hangs.leader) and last in new else ()
    leader = lowered(season, hangs, to)
    grown = outlook.stem(leader.id, on + timedelta(days=7))
    now = stem_on(season, leader, let_down(hangs.stem, to.let_out_m)).borne.clips
    later = stem_on(season, leader, let_down(grown, to.let_out_m)).borne.clips
    at = {(f.string, f.s_m): f.id for f in leader.fixings if f.on == "string"}
    return tuple(
        _beside(clip)
        for clip in new
        if (id_ := at[clip.string, clip.s_m]) in now
        and chance(None, week_of_looks(0.0, now[id_], later.get(id_, now[id_])), strength)
        >= season.holding.limits.double_chance
    )


def _is_doubled(leader: Leader, new: tuple[StringClip, ...], clip: StringClip) -> bool:
    held = [f.string for f in leader.fixings if f.on == "string"] + [one.string for one in new]
    return held.count(clip.string) > 1


def _is_heavy(season: Season, leader: Leader) -> bool:
    cultivar = season.layout.cultivars.get(leader.cultivar)
    if cultivar is None:
        return False
    return kind_of(cultivar.crop, cultivar.fruit) == "beef" or (cultivar.fruit_g or 0.0) >= HEAVY_G


def _beside(clip: StringClip) -> StringClip:
    return StringClip(clip.string, clip.number, clip.u_m, clip.z_m, round(clip.s_m + DOUBLED_M, 2))
