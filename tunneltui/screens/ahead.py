"""A row on another day, or after its lowering: season, outlook and loads as they would be. Run by a worker."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any, NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.body import parsed
from tunneltui.loads.chain import loads
from tunneltui.loads.result import Loads
from tunneltui.loads.whatif import Lower, with_change
from tunneltui.season.state import Fixing, Season
from tunneltui.values import replace

DAYS = 14


class AheadView(NamedTuple):
    """What a side view is drawn from."""

    season: Season
    outlook: Outlook
    loads: Loads


def view_ahead(morning: Morning, loop: str, days: int, *, lowered: bool) -> AheadView:
    """The loop ``days`` ahead, with its proposed lowering done today where that is asked for."""
    season, outlook = morning.season, morning.outlook
    if lowered:
        for change in proposed_moves(morning, loop):
            season, outlook = with_change(season, outlook, morning.day, change)
        season = _with_drafted_clips(morning, season, lowering_of(morning, loop))
    if not days and not lowered:
        return AheadView(season, outlook, morning.loads)
    return AheadView(season, outlook, loads(season, outlook, morning.day + timedelta(days=days)))


def proposed_moves(morning: Morning, loop: str) -> list[Lower]:
    """The moves of the loop's lowering, in its order; [] where none is proposed."""
    chore = lowering_of(morning, loop)
    offered = []
    for draft in chore.writes if chore is not None else ():
        if draft.kind == "lowered":
            body = parsed(draft)
            if body["leader"] in morning.season.leaders and body.get("let_out_m"):
                place = body.get("hook_u_m"), body.get("aimed_under_wire_m")
                offered.append(Lower(body["leader"], body["let_out_m"], *place))
    return offered


def _with_drafted_clips(morning: Morning, lowered: Season, chore: Chore | None) -> Season:
    """The stems that the chore lowers hang by the clips it closes and opens, not by guesses of a what-if."""
    writes = [(draft.kind, parsed(draft)) for draft in chore.writes] if chore is not None else []
    opened = {body["fixing"] for kind, body in writes if kind == "unclipped"}
    closed: dict[str, list[Fixing]] = {}
    for kind, body in writes:
        if kind in ("clipped", "tied") and body.get("on", "string") == "string":
            closed.setdefault(body["leader"], []).append(_drafted(morning, kind, body))
    leaders = dict(lowered.leaders)
    for kind, body in writes:
        if kind == "lowered" and body["leader"] in leaders:
            leader = leaders[body["leader"]]
            held = {fixing.id for fixing in morning.season.leaders[leader.id].fixings} - opened
            fixings = [fixing for fixing in leader.fixings if fixing.id in held] + closed.get(leader.id, [])
            leaders[leader.id] = replace(leader, fixings=tuple(sorted(fixings, key=lambda fixing: fixing.s_m)))
    return replace(lowered, leaders=leaders)


def _drafted(morning: Morning, kind: str, body: Mapping[str, Any]) -> Fixing:
    string = body["string"]
    return Fixing(
        id=f"drafted {string} {body['s_m']} {body['leader']}",
        leader=body["leader"],
        on="string",
        string=string,
        u_m=morning.season.strings[string].u_m,
        z_m=body.get("z_m"),
        s_m=body["s_m"],
        tie=kind == "tied",
        clip_kind=body.get("clip_kind", ""),
        hung_on=morning.day,
        assumed=body.get("assumed", False),
    )


def lowering_of(morning: Morning, loop: str) -> Chore | None:
    """The loop's lowering, today's or one that can wait."""
    rows = {stretch.row for stretch in morning.season.layout.loops[loop].stretches}
    for chore in morning.chores:
        if chore.kind == "lower" and (chore.about == loop or chore.row in rows):
            return chore
    return None
