"""What the chores say and write about clips and ties."""

from __future__ import annotations

from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, Tied
from tunneltui.season.state import Ending, Season


def on_what(season: Season, on: str, string: str) -> str:
    """string 8, head, wire: what a fixing is on, as the loads name it too."""
    if on != "string":
        return on
    return season.string_name(string)


def fixing_again(ending: Ending) -> Body:
    """The clip or tie that stands in for one that ended, where that one was."""
    fixing = ending.fixing
    if fixing.tie:
        return Tied(fixing.leader, fixing.s_m, fixing.on, fixing.string, fixing.z_m, assumed=True)
    return Clipped(fixing.leader, fixing.s_m, fixing.on, fixing.string, fixing.z_m, fixing.clip_kind, assumed=True)
