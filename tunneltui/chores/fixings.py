"""What the chores say and write about clips and ties."""

from __future__ import annotations

from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, Tied
from tunneltui.season.state import Ending, Leader, Season


def on_what(season: Season, on: str, string: str) -> str:
    """string 8, head, wire: what a fixing is on, as the loads name it too."""
    if on != "string":
        return on
    hung = season.strings.get(string)
    return f"string {hung.number}" if hung else "string"


def clip_kind(season: Season, leader: Leader) -> str:
    """The kind of the clip closed last on the leader, else the first of the holding."""
    clips = [fixing for fixing in leader.fixings if not fixing.tie and fixing.clip_kind]
    if clips:
        return max(clips, key=lambda fixing: (fixing.hung_on, fixing.s_m)).clip_kind
    return season.holding.clips[0].key if season.holding.clips else ""


def fixing_again(ending: Ending) -> Body:
    """The clip or tie that stands in for one that ended, where that one was."""
    was = ending.fixing
    if was.tie:
        return Tied(was.leader, was.s_m, was.on, was.string, was.z_m, assumed=True)
    return Clipped(was.leader, was.s_m, was.on, was.string, was.z_m, was.clip_kind, assumed=True)
