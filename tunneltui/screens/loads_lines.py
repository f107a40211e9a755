"""What bears how much, nearest to the limit first, and the chain from a clip to its hoop in words. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import NamedTuple

from tunneltui.chores.morning import Morning
from tunneltui.chores.wording import chance_words, corner_words, day_word, kg, kg_band, listed
from tunneltui.draw.chart import bar
from tunneltui.loads.result import ClipLoad, HoopLoad, LineLoad, Loads, RowLoad, WeakPoint, WireLoad
from tunneltui.screens.parts import Line, Part
from tunneltui.season.state import Season

BAR_CELLS = 10
Peak = tuple[float, date]
"""The most kg a row gets to bear, and when."""
NO_PEAKS: Mapping[str, Peak] = MappingProxyType({})


class Changed(NamedTuple):
    """What a change would do to a clip."""

    words: str
    before: ClipLoad
    after: ClipLoad | None
    """None: the clip bears nothing any more, or is gone."""
    others: tuple[ClipLoad, ...]
    """Clips that would be over their allowed share."""


def loads_lines(morning: Morning, *, figures: bool, peaks: Mapping[str, Peak] = NO_PEAKS) -> list[Line]:
    """Everything, under headings; ``figures`` puts the band in place of the bar, ``peaks`` are by row."""
    bearing, season = morning.loads, morning.season
    lines = [_heading("Clips and ties, nearest to their limit first")]
    lines += [_clip(season, clip, figures=figures) for clip in bearing.clips]
    if bearing.weak_points:
        lines.append(_heading("If one thing lets go"))
        lines += [_weak(season, bearing, point) for point in bearing.weak_points]
    lines.append(_heading("Rows: all that hangs on them"))
    lines += [_row(row, peaks.get(row.row), morning.day) for row in bearing.rows]
    lines.append(_heading("Strings and hooks"))
    lines += [_line(season, line, figures=figures) for line in bearing.lines]
    lines.append(_heading("Wires"))
    lines += [_wire(wire) for wire in bearing.wires]
    lines += [Line(f"corner {c.row}", (Part(c.row, "bold", 10), Part(corner_words(c)))) for c in bearing.corners]
    lines.append(_heading("Hoops, against what their maker allows for a crop"))
    lines += [_hoop(hoop) for hoop in bearing.hoops]
    if bearing.faults:
        lines.append(_heading("Could not be worked out"))
        lines += [Line(f"fault {number}", (Part(fault, "near"),)) for number, fault in enumerate(bearing.faults)]
    return lines


def _heading(words: str) -> Line:
    return Line(words, (Part(f" {words}", "bold"),), heading=True)


def _row(row: RowLoad, peak: Peak | None, today: date) -> Line:
    most = f", most {peak[0]:.0f} kg {day_word(peak[1], today)}" if peak is not None else ""
    return Line(f"row {row.row}", (Part(row.row, "bold", 10), Part(f"{row.hanging_kg:.0f} kg now{most}")))


def _clip(season: Season, clip: ClipLoad, *, figures: bool) -> Line:
    limits = season.holding.limits
    red = clip.share >= limits.red_share or clip.chance_7d >= limits.red_chance
    amber = clip.share >= limits.amber_share or clip.chance_7d >= limits.amber_chance
    word, style = ("! over", "must") if red else ("! near", "near") if amber else ("", "")
    return Line(
        f"clip {clip.id}",
        (
            Part(clip.leader, "bold", 10),
            Part(clip.on, "", 12),
            *_share(clip.low_n, clip.mid_n, clip.high_n, clip.share, figures=figures),
            Part(word, style, 7),
            Part(f"{chance_words(clip.chance_7d)} in 7 days" + (", assumed" if clip.assumed else "")),
        ),
    )


def _share(low_n: float, mid_n: float, high_n: float, share: float | None, *, figures: bool) -> tuple[Part, ...]:
    told = "unknown" if share is None else f"{share:.0%}"
    if figures:
        return (Part(kg_band(low_n, high_n), "", 15), Part(told, "", 9))
    return (
        Part(bar(share or 0.0, BAR_CELLS), "near" if (share or 0) >= 1 else "", BAR_CELLS + 1),
        Part(kg(mid_n), "", 8),
        Part(told, "", 9),
    )


def _line(season: Season, line: LineLoad, *, figures: bool) -> Line:
    limits = season.holding.limits
    share = line.share or 0.0
    over, near = share >= limits.string_red_share, share >= limits.string_amber_share
    word, style = ("! over", "must") if over else ("! near", "near") if near else ("", "")
    parts = _share(line.low_n, line.mid_n, line.high_n, line.share, figures=figures)
    return Line(f"line {line.id}", (Part(line.id, "bold", 22), *parts, Part(word, style)))


def _wire(wire: WireLoad) -> Line:
    share = "strength unknown" if wire.share is None else f"{wire.share:.0%} of its strength"
    words = f"{wire.span}: pulls {kg(wire.tension_n)}, hangs {wire.sag_m * 100:.0f} cm, {share}"
    return Line(f"wire {wire.row} {wire.span}", (Part(wire.row, "bold", 10), Part(words)))


def _hoop(hoop: HoopLoad) -> Line:
    allowed = "an unknown figure: ask the maker" if hoop.allowed_n is None else kg(hoop.allowed_n)
    side = ", on one side" if hoop.one_sided else ""
    over = hoop.allowed_n is not None and hoop.load_n > hoop.allowed_n
    parts = (
        Part(f"{hoop.tunnel} {hoop.x_m:.1f} m", "bold", 12),
        Part("! over" if over else "", "must", 7),
        Part(f"{kg(hoop.load_n)} of {allowed}{side}"),
    )
    return Line(f"hoop {hoop.tunnel} {hoop.x_m}", parts)


def _weak(season: Season, bearing: Loads, point: WeakPoint) -> Line:
    name = point_name(season, bearing, point)
    return Line(f"weak {point.fixing}", (Part(name, "bold", 26), Part(follows(point))))


def point_name(season: Season, bearing: Loads, point: WeakPoint) -> str:
    """What lets go, as growers name it."""
    clip = next((clip for clip in bearing.clips if clip.id == point.fixing), None)
    if clip is not None:
        return f"{clip.leader}, clip on {clip.on}"
    string = season.strings.get(point.fixing)
    return f"{string.row}, {season.string_name(string.id)}" if string is not None else point.fixing


def follows(point: WeakPoint) -> str:
    """What would happen then."""
    said = []
    if point.drops:
        said.append(f"{listed(point.drops)} would drop")
    if point.first_over:
        said.append(f"next over its strength: {point.first_over}, {point.first_over_share:.0%}")
    return "; ".join(said) or "nothing drops"


def chain_words(morning: Morning, clip: ClipLoad) -> list[str]:
    """From the clip to the hoop, then what follows if it lets go."""
    season, bearing = morning.season, morning.loads
    words = [
        f"{clip.leader}, {clip.on}, {clip.s_m * 100:.0f} cm up the stem, hung {clip.weeks_hung:.0f} weeks"
        + (", assumed, not seen yet" if clip.assumed else ""),
        f"carries {kg_band(clip.low_n, clip.high_n)}, likely {kg(clip.mid_n)}; 1 in 20 of these fails by "
        f"{kg(clip.strength_n)}. Chance that it fails in 7 days: {chance_words(clip.chance_7d)}.",
    ]
    leader = season.leader_named(clip.leader)
    if leader is None:
        return words
    row, x_m = season.layout.loops[leader.loop].row_at(clip.u_m)
    words += [f"{name}: {_line_words(line)}" for name, line in _held_by(morning, clip)]
    words += [
        f"wire of {row}, {wire.span}: pulls {kg(wire.tension_n)}, hangs {wire.sag_m * 100:.0f} cm"
        for wire in _spans(bearing, row, x_m)
    ]
    tunnel, standing = season.layout.rows[row]
    hoops = [hoop for hoop in bearing.hoops if hoop.tunnel == tunnel.key]
    if hoops:
        nearest = min(hoops, key=lambda hoop: abs(hoop.x_m - standing.start_m - x_m))
        allowed = "unknown, ask its maker" if nearest.allowed_n is None else kg(nearest.allowed_n)
        words.append(f"hoop at {nearest.x_m:.1f} m: {kg(nearest.load_n)}, allowed {allowed}")
    point = next((point for point in bearing.weak_points if point.fixing == clip.id), None)
    words.append(
        f"If it lets go: {follows(point)}." if point is not None else "If it lets go nothing else goes over."
    )
    return words


def _held_by(morning: Morning, clip: ClipLoad) -> list[tuple[str, LineLoad]]:
    fixing = next((f for one in morning.season.leaders.values() for f in one.fixings if f.id == clip.id), None)
    if fixing is None:
        return []
    wanted = fixing.string if fixing.on == "string" else f"{clip.leader} hook"
    name = clip.on if fixing.on == "string" else "its hook and twine"
    return [(name, line) for line in morning.loads.lines if line.id == wanted]


def _line_words(line: LineLoad) -> str:
    share = "strength unknown" if line.share is None else f"{line.share:.0%} of its knotted strength"
    return f"carries {kg_band(line.low_n, line.high_n)}, {share}"


def _spans(bearing: Loads, row: str, x_m: float) -> list[WireLoad]:
    from tunneltui.draw.row_scene import span_ends

    return [
        wire
        for wire in bearing.wires
        if wire.row == row and (ends := span_ends(wire.span)) is not None and ends[0] <= x_m <= ends[1]
    ][:1]


def changed_words(made: Changed) -> list[str]:
    """Before and after, and whom else it would load."""
    before = f"{made.words}: {kg_band(made.before.low_n, made.before.high_n)} before, {made.before.share:.0%}"
    if made.after is None:
        return [f"{before}; nothing after."]
    after = f"{kg_band(made.after.low_n, made.after.high_n)} after, {made.after.share:.0%}"
    others = [f"{clip.leader} on {clip.on} {clip.share:.0%}" for clip in made.others]
    return [f"{before}; {after}.", f"Then over: {listed(others)}." if others else "No other clip goes over by it."]


def compared(before: Loads, after: Loads, clip_id: str, words: str, red_share: float) -> Changed | None:
    """One clip before and after; the others only where they go over by the change."""
    was = {clip.id: clip for clip in before.clips}
    then: Sequence[ClipLoad] = after.clips
    if clip_id not in was:
        return None
    others = [
        clip for clip in then if clip.share >= red_share and (clip.id not in was or was[clip.id].share < red_share)
    ]
    return Changed(words, was[clip_id], next((clip for clip in then if clip.id == clip_id), None), tuple(others))
