"""Leaders of a loop in words: one line each for the table, a few lines for the chosen one. Pure."""

from __future__ import annotations

from tunneltui.chores.wording import hook_place, kg, kg_band
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.screens.list_lines import Line, Part
from tunneltui.season.state import Leader, Season


def stem_lines(season: Season, outlook: Outlook, bearing: Loads, loop: str) -> list[Line]:
    """The loop's leaders in the order of their hooks, every fact of the side view in figures."""
    head = "".join(
        f"{words:<{cells}}" for words, cells in (("Leader", 10), ("Cultivar", 14), ("Length", 8), ("Tip", 20))
    )
    lines = [Line("head", (Part(f"{head}Hook and fullest clip", "heading"),), heading=True)]
    leaders = [one for one in season.leaders_of_loop(loop) if one.id in bearing.paths]
    for leader in sorted(leaders, key=lambda one: bearing.paths[one.id].hook_u_m):
        lines.append(_line(season, outlook, bearing, leader))
    return lines


def _line(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> Line:
    stem = outlook.stem(leader.id, bearing.day) if leader.id in outlook.leaders else None
    length = f"{stem.length_m.mid:.1f} m" if stem is not None else "unknown"
    fullest = fullest_clip(leader, bearing)
    place = f"{hook_place(season, leader.loop, bearing.paths[leader.id].hook_u_m)}, " if leader.hook else ""
    clip = f"{kg(fullest.mid_n)} on {fullest.on}, {fullest.share:.0%}" if fullest is not None else "no clip"
    return Line(
        leader.id,
        (
            Part(leader.name, "place", 10),
            Part(leader.cultivar, "", 14),
            Part(length, "", 8),
            Part(tip_words(season, outlook, bearing, leader), "", 20),
            Part(place + clip, _warn(season, fullest)),
        ),
    )


def tip_words(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> str:
    """Where the tip hangs against the wire."""
    if leader.id not in outlook.leaders:
        return ""
    stem = outlook.stem(leader.id, bearing.day)
    under_cm = (season.layout.rows[leader.row][1].wire_height_m - stem.tip_z_m.mid) * 100
    return f"{under_cm:.0f} cm under wire" if under_cm >= 0 else f"{-under_cm:.0f} cm over wire"


def fullest_clip(leader: Leader, bearing: Loads) -> ClipLoad | None:
    """The leader's clip nearest to its strength."""
    own = {fixing.id for fixing in leader.fixings}
    return next((clip for clip in bearing.clips if clip.id in own), None)


def leader_words(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> list[str]:
    """The chosen leader: stem, hook, fullest clip, what is wrong with its path."""
    words = [leader.name, leader.cultivar]
    if leader.id in outlook.leaders:
        stem = outlook.stem(leader.id, bearing.day)
        words += [f"{stem.length_m.mid:.1f} m", f"{len(stem.trusses)} trusses", "tip"]
        words[-1] += " " + tip_words(season, outlook, bearing, leader)
    if leader.hook is not None:
        hook_u_m = bearing.paths[leader.id].hook_u_m if leader.id in bearing.paths else leader.hook.u_m
        words.append(f"hook {leader.hook.number}, {hook_place(season, leader.loop, hook_u_m)}")
    lines = ["  ".join(words)]
    clip = fullest_clip(leader, bearing)
    if clip is not None:
        lines.append(
            f"Its clip on {clip.on} carries {kg_band(clip.low_n, clip.high_n)}; "
            f"1 in 20 of these fails by {kg(clip.strength_n)}. {clip.share:.0%} of that."
        )
    if leader.id in bearing.paths and bearing.paths[leader.id].fault:
        lines.append(bearing.paths[leader.id].fault)
    return lines


def _warn(season: Season, clip: ClipLoad | None) -> str:
    if clip is None:
        return ""
    limits = season.holding.limits
    if clip.share >= limits.red_share or clip.chance_7d >= limits.red_chance:
        return "must"
    return "warn" if clip.share >= limits.amber_share or clip.chance_7d >= limits.amber_chance else ""
