"""A row laid apart: every stem a line of its own, the strings its columns, how full each clip is its figure.

Stairs of stems: from the root (``╰``) along the strings to the hook (``╯``), then how full its fullest head clip.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from tunneltui.cells import Quantity, Role, say
from tunneltui.chores.wording import stem_name
from tunneltui.draw.canvas import CanvasRow, Run, runs_of
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.path import onward_u_m
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.season.state import Leader, Season

ROOT, HOOK, LINE = "╰", "╯", "─"
LEAST_GAP, MOST_GAP = 3, 4
"""Cells from string to string: a figure of three digits fits the least."""
GONE_TO_THE_FIGURES = 6
"""Cells kept after the last string for a hook and the figure of its head."""
MORE_BEFORE, MORE_AFTER = "‹", "›"
A_POINT = 0.01
"""Of its strength: less is no change."""


class Figure(NamedTuple):
    """The fullest of a stem's clips on one string."""

    u_m: float
    share: float
    level: Role
    supposed: bool
    """None of them was seen closed yet."""


class ApartStem(NamedTuple):
    leader: str
    name: str
    root_u_m: float
    hook_u_m: float | None
    figures: tuple[Figure, ...]
    head: Figure | None
    """The fullest clip of its head; its place is the hook's."""
    tip: str
    """How far under the wire its tip hangs."""
    tip_level: Role
    fault: str


class Apart(NamedTuple):
    """The stems of a loop, or of one row of it, in the order of their roots."""

    strings: tuple[tuple[float, str], ...]
    """Place along the loop and number of each that a stem reaches; past a closed loop's end they count on."""
    stems: tuple[ApartStem, ...]


def apart(season: Season, outlook: Outlook, bearing: Loads, loop_id: str, row: str = "") -> Apart:
    """The loop on the day of ``bearing``; ``row``: only the stems rooted there."""
    loads = {clip.id: clip for clip in bearing.clips}
    leaders = [
        leader
        for leader in season.leaders_of_loop(loop_id)
        if leader.id in bearing.paths and row in ("", leader.row)
    ]
    stems = [_stem(season, outlook, bearing, loads, leader) for leader in leaders]
    stems.sort(key=lambda stem: (stem.root_u_m, stem.name))
    loop = season.layout.loops[loop_id]
    first = min((stem.root_u_m for stem in stems), default=0.0)
    last = max((max(stem.hook_u_m or 0.0, stem.root_u_m) for stem in stems), default=0.0)
    rounds = (0.0, loop.length_m) if loop.closed else (0.0,)
    strings = sorted(
        (string.u_m + further, str(string.number))
        for string in season.strings_of_loop(loop_id)
        for further in rounds
        if first - 0.5 <= string.u_m + further <= last + 0.5
    )
    return Apart(tuple(strings), tuple(stems))


def _stem(
    season: Season, outlook: Outlook, bearing: Loads, loads: Mapping[str, ClipLoad], leader: Leader
) -> ApartStem:
    loop = season.layout.loops[leader.loop]
    path = bearing.paths[leader.id]
    by_string: dict[str, list[tuple[ClipLoad, bool]]] = {}
    heads: list[tuple[ClipLoad, bool]] = []
    for fixing in leader.fixings:
        if (load := loads.get(fixing.id)) is not None:
            held = heads if fixing.on == "head" else by_string.setdefault(fixing.string, [])
            held.append((load, fixing.assumed))
    figures = [
        _figure(season, onward_u_m(season.strings[string].u_m, leader.u_m, loop), clips)
        for string, clips in by_string.items()
        if string in season.strings
    ]
    tip, level = _tip(season, outlook, bearing, leader)
    return ApartStem(
        leader.id,
        stem_name(season, leader),
        leader.u_m,
        path.hook_u_m if leader.hook is not None else None,
        tuple(sorted(figures)),
        _figure(season, path.hook_u_m, heads) if heads else None,
        tip,
        level,
        path.fault,
    )


def _figure(season: Season, u_m: float, clips: Sequence[tuple[ClipLoad, bool]]) -> Figure:
    limits = season.holding.limits
    loads = [load for load, _ in clips]
    level: Role = ""
    if any(load.share >= limits.red_share or load.chance_7d >= limits.red_chance for load in loads):
        level = "must"
    elif any(load.share >= limits.amber_share or load.chance_7d >= limits.amber_chance for load in loads):
        level = "near"
    return Figure(u_m, max(load.share for load in loads), level, all(supposed for _, supposed in clips))


def _tip(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> tuple[str, Role]:
    if leader.id not in outlook.leaders:
        return "", ""
    under_m = season.layout.rows[leader.row][1].wire_height_m - outlook.stem(leader.id, bearing.day).tip_z_m.mid
    under = say("{}", Quantity(abs(under_m), "cm"))
    if under_m < 0:
        return say("over {}", Quantity(-under_m, "cm")), "must"
    return under, "near" if under_m < season.holding.limits.tip_margin_m else ""


def levels(shown: Apart) -> tuple[int, int]:
    """Clips over their strength and near it."""
    shown_levels = [
        figure.level for stem in shown.stems for figure in (*stem.figures, *([stem.head] if stem.head else []))
    ]
    return shown_levels.count("must"), shown_levels.count("near")


class Columns(NamedTuple):
    """Where the strings stand on so many cells."""

    ends: tuple[tuple[float, int, str], ...]
    """Place along the loop, the cell where its figures end, its number."""
    cells: int
    before: bool
    after: bool

    def cell(self, u_m: float) -> int:
        """The cell of a place, as far between two strings as it lies; it may lie outside."""
        ends = self.ends
        if len(ends) < 2:
            return ends[0][1] if ends else 0
        (first_m, first, _), (last_m, last, _) = ends[0], ends[-1]
        mean = (last - first) / (last_m - first_m)
        if u_m < first_m:
            return round(first - (first_m - u_m) * mean)
        for (u0, c0, _), (u1, c1, _) in pairwise(ends):
            if u_m <= u1:
                return round(c0 + (u_m - u0) / ((u1 - u0) or 1.0) * (c1 - c0))
        return round(last + (u_m - last_m) * mean)

    def shows(self, u_m: float) -> bool:
        """Whether the string there has a column."""
        return any(abs(end_u_m - u_m) < 0.01 for end_u_m, _, _ in self.ends)


def columns(shown: Apart, cells: int, chosen: str = "") -> Columns:
    """All strings if they fit, else those around the chosen stem."""
    room = max(cells - GONE_TO_THE_FIGURES, LEAST_GAP)
    most = max(room // LEAST_GAP, 1)
    strings = shown.strings
    first = 0
    if len(strings) > most:
        stem = next((apart_stem for apart_stem in shown.stems if apart_stem.leader == chosen), None)
        middle = (stem.root_u_m + (stem.hook_u_m or stem.root_u_m)) / 2 if stem is not None else 0.0
        at = min(range(len(strings)), key=lambda n: abs(strings[n][0] - middle))
        first = max(0, min(at - most // 2, len(strings) - most))
    held = strings[first : first + most]
    gap = min(room / max(len(held), 1), MOST_GAP)
    ends = tuple((u_m, int((n + 1) * gap), number) for n, (u_m, number) in enumerate(held))
    return Columns(ends, cells, first > 0, first + most < len(strings))


def head_row(at: Columns) -> CanvasRow:
    """The numbers of the strings over their columns."""
    cells = [" "] * at.cells
    for _, end, number in at.ends:
        _put(cells, end, number)
    if at.before:
        cells[0] = MORE_BEFORE
    if at.after:
        cells[-1] = MORE_AFTER
    return (Run("".join(cells), "quiet"),)


def stem_row(stem: ApartStem, at: Columns, ink: str = "stem", current: ApartStem | None = None) -> CanvasRow:
    """One stem; ``current``: as it hangs now, where it is shown otherwise, to tell what rose from what fell."""
    cells = [Run(" ", "")] * at.cells
    root = at.cell(stem.root_u_m)
    hook = at.cell(stem.hook_u_m) if stem.hook_u_m is not None else root
    if stem.hook_u_m is not None:
        for cell in range(max(root, 0), min(hook, at.cells)):
            cells[cell] = Run(LINE, ink)
        if root < hook and 0 <= root < at.cells and not any(end == root for _, end, _ in at.ends):
            cells[root] = Run(ROOT, ink)
        if 0 <= hook < at.cells:
            cells[hook] = Run(HOOK, ink)
    for figure in stem.figures:
        if at.shows(figure.u_m):
            _ink(
                cells,
                at.cell(figure.u_m),
                f"{figure.share * 100:.0f}",
                _ink_of(figure, _before(current, figure)),
            )
    if stem.head is not None and 0 <= hook < at.cells:
        text = f"{stem.head.share * 100:.0f}"
        ink_ = _ink_of(stem.head, current.head if current is not None else None) or "quiet"
        _ink(cells, min(hook + 1 + len(text), at.cells - 1), text, ink_)
    return runs_of(cells)


def _before(current: ApartStem | None, figure: Figure) -> Figure | None:
    return (
        next((earlier for earlier in current.figures if abs(earlier.u_m - figure.u_m) < 0.01), None)
        if current is not None
        else None
    )


def _ink_of(figure: Figure, before: Figure | None) -> str:
    if before is not None and abs(figure.share - before.share) >= A_POINT:
        return "must" if figure.share > before.share else "done"
    return figure.level or ("quiet" if figure.supposed else "")


def _put(cells: list[str], end: int, text: str) -> None:
    for number, character in enumerate(reversed(text)):
        if 0 <= end - number < len(cells):
            cells[end - number] = character


def _ink(cells: list[Run], end: int, text: str, ink: str) -> None:
    for number, character in enumerate(reversed(text)):
        if 0 <= end - number < len(cells):
            cells[end - number] = Run(character, ink)


def changed_shares(apart_before: Apart, apart_after: Apart) -> tuple[tuple[str, str, float, float], ...]:
    """Stem, what of it (a string's number or ``head``), its shares before and after; the largest change first."""
    before = {stem.leader: stem for stem in apart_before.stems}
    numbers = {round(u_m, 3): number for u_m, number in (*apart_before.strings, *apart_after.strings)}
    moves = []
    for stem in apart_after.stems:
        before_stem = before.get(stem.leader)
        if before_stem is None:
            continue
        for figure in stem.figures:
            earlier = _before(before_stem, figure)
            if earlier is not None:
                moves.append((stem.name, numbers.get(round(figure.u_m, 3), ""), earlier.share, figure.share))
        if stem.head is not None and before_stem.head is not None:
            moves.append((stem.name, "head", before_stem.head.share, stem.head.share))
    changed = [move for move in moves if abs(move[3] - move[2]) >= A_POINT]
    return tuple(sorted(changed, key=lambda move: -abs(move[3] - move[2])))


def spoken(stem: ApartStem, strings: Iterable[tuple[float, str]]) -> tuple[str, ...]:
    """One stem for a voice: how full each clip is, by string."""
    numbers = {round(u_m, 3): number for u_m, number in strings}
    words = {"must": " over", "near": " near"}
    facts = [
        f"string {numbers.get(round(figure.u_m, 3), '')} {figure.share:.0%}{words.get(figure.level, '')}"
        for figure in stem.figures
    ]
    if stem.head is not None:
        facts.append(f"head {stem.head.share:.0%}{words.get(stem.head.level, '')}")
    return (stem.name, *facts, say("tip {}", stem.tip) if stem.tip else "")
