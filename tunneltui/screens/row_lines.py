"""Leaders of a loop as the lines of a table. Pure."""

from __future__ import annotations

from tunneltui.draw.leader_facts import row_table
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.screens.parts import Line, Part
from tunneltui.season.state import Season


def stem_lines(season: Season, outlook: Outlook, bearing: Loads, loop: str) -> list[Line]:
    """The loop's leaders in the order of their hooks, every fact of the side view in figures."""
    head = "".join(
        f"{words:<{cells}}" for words, cells in (("Leader", 10), ("Cultivar", 14), ("Length", 8), ("Tip", 20))
    )
    lines = [Line("head", (Part(f"{head}Hook and fullest clip", "bold"),), heading=True)]
    for leader, length, tip, hangs, fullest in row_table(season, outlook, bearing, loop):
        parts = (
            Part(leader.name, "bold", 10),
            Part(leader.cultivar, "", 14),
            Part(length, "", 8),
            Part(tip, "", 20),
            Part(hangs, _warn(season, fullest)),
        )
        lines.append(Line(leader.id, parts))
    return lines


def _warn(season: Season, clip: ClipLoad | None) -> str:
    if clip is None:
        return ""
    limits = season.holding.limits
    if clip.share >= limits.red_share or clip.chance_7d >= limits.red_chance:
        return "must"
    return "near" if clip.share >= limits.amber_share or clip.chance_7d >= limits.amber_chance else ""
