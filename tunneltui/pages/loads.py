"""Loads in words: every line with its figures, the chain of a clip, and what a change would do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import Literal, NamedTuple, get_args

from tunneltui.cells import Day, Quantity, Range, Role, Sentence, Share, joined, kg, listed, load, say, words
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.chores.wording import stem_name
from tunneltui.journal.body import parsed
from tunneltui.loads.calibration import WarningRecord, in_all, warnings_words
from tunneltui.loads.lowered import DOUBLED_M
from tunneltui.loads.result import ClipLoad, CornerLoad, HoopLoad, LineLoad, Loads, WeakPoint, WireLoad
from tunneltui.season.state import Fixing, Season

Kind = Literal["clips", "strings", "hooks", "wires", "hoops", "if one lets go", "rows"]
KINDS: tuple[Kind, ...] = get_args(Kind)
HEADS: Mapping[Kind, tuple[str, str, str]] = MappingProxyType(
    {
        "clips": ("stem", "string", "fails in 7 days"),
        "strings": ("row", "string", ""),
        "hooks": ("stem", "", ""),
        "wires": ("row", "between", ""),
        "hoops": ("tunnel", "at", ""),
        "if one lets go": ("", "", ""),
        "rows": ("row", "", ""),
    }
)
"""Over the first two columns and the last."""
TITLES: Mapping[Kind, str] = MappingProxyType(
    {
        "clips": "clips, nearest to their strength first",
        "strings": "strings, against their knotted strength",
        "hooks": "hooks and their twine",
        "wires": "wires between their posts",
        "hoops": "hoops, against what their maker allows for a crop",
        "if one lets go": "what drops if one thing lets go",
        "rows": "rows, chances that came true, what is not known",
    }
)
NONE: Mapping[Kind, str] = MappingProxyType(
    {
        "clips": "No clip hangs.",
        "strings": "Nothing is clipped to a string.",
        "hooks": "No head hangs on a hook that is noted.",
        "wires": "Nothing hangs from a wire.",
        "hoops": "Nothing hangs from a hoop.",
        "if one lets go": "Nothing would drop.",
        "rows": "No row bears anything.",
    }
)
RARE = 0.01
PULLS_SHARE = 0.04
"""Share of a stem's weight from which on its root's pull is listed (assumed)."""
Peak = tuple[float, date]
"""The most kg a row gets to bear, and when."""


class LoadLine(NamedTuple):
    """One line: a clip, a string, a hook and so on."""

    key: str
    what: str
    on: str = ""
    folded: int = 1
    """Clips it stands for: a doubled clip, or all at a head; the figures are the fullest one's."""
    band: tuple[float, float, float] | None = None
    """Shares of the strength; None where that is unknown."""
    load: str = ""
    last: str = ""
    level: Role = ""
    """``must`` over, ``near`` near its limit."""
    lengths: tuple[str, ...] = ()
    """In place of figures, the longest first."""


class ClipChange(NamedTuple):
    """What a change would do to a clip."""

    words: str
    before: ClipLoad
    after: ClipLoad | None
    """None: the clip bears nothing any more, or is gone."""
    others: tuple[ClipLoad, ...]
    """Clips that would be over their allowed share."""
    kind: str = ""
    """Of the chore that does it."""


def load_lines(
    morning: Morning, kind: Kind, peaks: Mapping[str, Peak], warnings: Sequence[WarningRecord] = ()
) -> tuple[LoadLine, ...]:
    """The lines of one kind; ``peaks`` are by row, ``warnings`` how many clips
    were said to fail, against how many did."""
    bearing, season = morning.loads, morning.season
    match kind:
        case "clips":
            return tuple(_clips(season, bearing.clips))
        case "strings":
            return tuple(
                _line(season, line, line.row, str(season.strings[line.id].number))
                for line in bearing.lines
                if line.id in season.strings
            )
        case "hooks":
            return tuple(
                _line(season, line, stem_of(season, line.id.removesuffix(" hook")), "")
                for line in bearing.lines
                if line.id not in season.strings
            )
        case "wires":
            corners = (LoadLine(f"corner {c.row}", c.row, lengths=(corner_words(c),)) for c in bearing.corners)
            return (*map(_wire, bearing.wires), *corners)
        case "hoops":
            return tuple(map(_hoop, bearing.hoops))
        case "if one lets go":
            return tuple(
                LoadLine(f"weak {weak.fixing}", point_name(season, bearing, weak), lengths=follows(season, weak))
                for weak in bearing.weak_points
            )
        case "rows":
            rows = (
                LoadLine(
                    f"row {row.row}", row.row, lengths=row_words(row.hanging_kg, peaks.get(row.row), morning.day)
                )
                for row in bearing.rows
            )
            came_true = (
                (LoadLine("told", "clips", lengths=(sentence, f"failures {in_all(warnings)}", in_all(warnings))),)
                if (sentence := warnings_words(warnings))
                else ()
            )
            faults = (LoadLine(f"fault {n}", "", lengths=(fault,)) for n, fault in enumerate(bearing.faults))
            pulls = (
                LoadLine(
                    f"pull {name}",
                    stem_of(season, name),
                    lengths=(say("its root pulls it down by {} more", load(newton)),),
                )
                for name, newton in pulled_down(bearing)
            )
            return (*rows, *came_true, *pulls, *faults)


def pulled_down(bearing: Loads) -> list[tuple[str, float]]:
    """Stems whose root pulls them down, and by how many newtons, the most first: clips and hook then bear more
    than the stem weighs."""
    stems = bearing.workings.stems.values() if bearing.workings is not None else ()
    pulled = [(s.leader.name, -s.borne.root_n) for s in stems if -s.borne.root_n > PULLS_SHARE * s.weights.total_n]
    return sorted(pulled, key=lambda pull: (-pull[1], pull[0]))


def counts(morning: Morning) -> Mapping[Kind, int]:
    """How many there are of the kinds of which there are many."""
    bearing = morning.loads
    strings = sum(line.id in morning.season.strings for line in bearing.lines)
    return {"clips": len(bearing.clips), "strings": strings, "hooks": len(bearing.lines) - strings}


def levels(morning: Morning) -> tuple[int, int]:
    """Clips over their strength and near it, a doubled one counted once."""
    clip_levels = [line.level for line in _clips(morning.season, morning.loads.clips)]
    return clip_levels.count("must"), clip_levels.count("near")


def row_words(hanging_kg: float, peak: Peak | None, today: date) -> tuple[str, ...]:
    hanging = say("{} now", kg(hanging_kg))
    if peak is None:
        return (hanging,)
    if peak[0] <= hanging_kg:
        return (hanging + words(", less from tomorrow on"), hanging)
    return (hanging + say(", most {} on {}", kg(peak[0]), Day(peak[1], today)), hanging)


def _clips(season: Season, clips: Iterable[ClipLoad]) -> Iterator[LoadLine]:
    """Nearest to its strength first: clips side by side on one string are one, and so are all at one head."""
    limits = season.holding.limits
    for group in side_by_side(clips):
        clip = group[0]
        over = any(c.share >= limits.red_share or c.chance_7d >= limits.red_chance for c in group)
        near = any(c.share >= limits.amber_share or c.chance_7d >= limits.amber_chance for c in group)
        yield LoadLine(
            f"clip {clip.id}",
            stem_of(season, clip.leader),
            on_words(season, clip),
            len(group),
            _band(clip.low_n, clip.mid_n, clip.high_n, clip.strength_n),
            say("{}", load(clip.mid_n)),
            chance_words(max(clip_load.chance_7d for clip_load in group)),
            "must" if over else "near" if near else "",
        )


def on_words(season: Season, clip: ClipLoad) -> str:
    """The string's number, with its row where that is not the stem's own."""
    leader = season.leader_named(clip.leader)
    return clip.on.removeprefix("string ").removeprefix(f"{leader.row}/" if leader is not None else "")


def side_by_side(clips: Iterable[ClipLoad]) -> list[list[ClipLoad]]:
    """The fullest first, each with those that bear with it: beside it on one string, or at one head."""
    by_place: dict[tuple[str, str], list[list[ClipLoad]]] = {}
    for clip in clips:
        groups = by_place.setdefault((clip.leader, clip.on), [])
        at_head = clip.on == "head"
        near = (g for g in groups if at_head or any(abs(other.s_m - clip.s_m) <= 2 * DOUBLED_M for other in g))
        beside = next(near, None)
        if beside is None:
            groups.append([clip])
        else:
            beside.append(clip)
    return sorted((group for groups in by_place.values() for group in groups), key=lambda group: -group[0].share)


def corner_words(corner: CornerLoad) -> Sentence:
    """What hangs over a row's end, and how it pulls on the frames there."""
    hangs = say("{}, {}", listed(corner.heads), load(corner.load_n)) if corner.heads else "no head just now"
    if corner.side_pull_n is None:
        return say("End of {}, nothing overhead: {}; on what, is not noted", corner.row, hangs)
    if corner.over == "end_bar":
        bends = "it bends and does not pull the frames sideways"
        return say("End of {}, end bar: {}; {}", corner.row, hangs, words(bends))
    pull = load(corner.side_pull_n)
    return say("End of {}, cross wire: {}; pulls the frames sideways with {}", corner.row, hangs, pull)


def _band(low_n: float, mid_n: float, high_n: float, strength_n: float) -> tuple[float, float, float]:
    return low_n / strength_n, mid_n / strength_n, high_n / strength_n


def chance_words(chance: float) -> str:
    return "under 1 in 100" if chance < RARE else str(say("{}", Share(chance, chance=True)))


def stem_of(season: Season, name: str) -> str:
    """A stem by its place where no other stands there."""
    leader = season.leader_named(name)
    return stem_name(season, leader) if leader is not None else name


def _line(season: Season, line: LineLoad, what: str, on: str) -> LoadLine:
    limits = season.holding.limits
    carries = say("{}", load(line.mid_n))
    if line.share is None:
        band = say("{}; how strong its twine is, is not noted", Range(line.low_n, line.high_n, "N"))
        return LoadLine(
            f"line {line.id}", what, on, lengths=(band, say("{}", Range(line.low_n, line.high_n, "N")))
        )
    strength_n = line.mid_n / line.share if line.share else 1.0
    level: Role = ""
    if line.share >= limits.string_red_share:
        level = "must"
    elif line.share >= limits.string_amber_share:
        level = "near"
    band3 = _band(line.low_n, line.mid_n, line.high_n, strength_n)
    return LoadLine(f"line {line.id}", what, on, band=band3, load=carries, level=level)


def _wire(wire: WireLoad) -> LoadLine:
    hangs = say("hangs {}", Quantity(wire.sag_m, "cm"))
    key = f"wire {wire.row} {wire.span}"
    if wire.share is None:
        sentence = say("pulls {}, {}; how strong it is, is not noted", load(wire.tension_n, 0), hangs)
        return LoadLine(
            key, wire.row, wire.span, lengths=(sentence, say("pulls {}, {}", load(wire.tension_n, 0), hangs))
        )
    level: Role = "must" if wire.share >= 1 else ""
    band = (wire.share, wire.share, wire.share)
    return LoadLine(key, wire.row, wire.span, 1, band, say("{}", load(wire.tension_n, 0)), hangs, level)


def _hoop(hoop: HoopLoad) -> LoadLine:
    key, at = f"hoop {hoop.tunnel} {hoop.x_m}", say("{}", Quantity(hoop.x_m, "m"))
    side = "on one side" if hoop.one_sided else ""
    if hoop.allowed_n is None:
        sentence = say(
            "{}{}; what it may bear is not known: ask its maker", load(hoop.load_n, 0), side and f", {side}"
        )
        return LoadLine(key, hoop.tunnel, at, lengths=(sentence, say("{}, ask its maker", load(hoop.load_n, 0))))
    share = hoop.load_n / hoop.allowed_n
    band = (share, share, share)
    return LoadLine(
        key, hoop.tunnel, at, 1, band, say("{}", load(hoop.load_n, 0)), side, "must" if share > 1 else ""
    )


def point_name(season: Season, bearing: Loads, point: WeakPoint) -> str:
    """What lets go, as growers name it."""
    clip = next((clip for clip in bearing.clips if clip.id == point.fixing), None)
    if clip is not None:
        return f"{stem_of(season, clip.leader)} clip, {clip.on}"
    string = season.strings.get(point.fixing)
    if string is not None:
        name = season.string_name(string.id)
        return name if "/" in name else f"{string.row} {name}"
    name, _, thing = point.fixing.partition(" ")
    return f"{stem_of(season, name)} {thing}".rstrip()


def follows(season: Season, point: WeakPoint) -> tuple[str, ...]:
    """What would happen then, the longest first."""
    drops = [stem_of(season, name) for name in point.drops]
    first, (where, _, name) = "", ("", "", point.first_over)
    if " of " in point.first_over:
        thing, _, rest = point.first_over.partition(" of ")
        name, _, where = rest.partition(" ")
        first = words(f"{stem_of(season, name)} {where if thing == 'clip' else f'{thing} {where}'}")
    first = first or name
    over = say("next {} at {}", first, Share(point.first_over_share)) if first else ""
    if not drops:
        return (over or "nothing drops",)
    some = f"{len(drops)} drop"
    every = f"{', '.join(drops[:-1])} and {drops[-1]} drop" if len(drops) > 1 else f"{drops[0]} drops"
    return (*(joined("; ", filter(None, (drop, over))) for drop in (every, some)), words(some))


# One clip


def chain_words(morning: Morning, clip: ClipLoad) -> list[tuple[str, str]]:
    """From the clip to the hoop, each with what it is; then what follows if it lets go."""
    season, bearing = morning.season, morning.loads
    fixing = _fixing(season, clip)
    kind = (fixing.clip_kind or "tie") if fixing is not None else ""
    seen = ", set by a tick and not seen yet" if clip.assumed else ""
    weeks = f"{clip.weeks_hung:.0f} week{'' if round(clip.weeks_hung) == 1 else 's'}"
    links: list[tuple[str, str]] = [
        ("carries", say("{}, likely {}", Range(clip.low_n, clip.high_n, "N"), load(clip.mid_n))),
        ("holds", say("1 in 20 of these fails by {}", load(clip.strength_n))),
        ("fails", f"{chance_words(clip.chance_7d)} in the next 7 days"),
        ("hangs", say("{}, {} up the stem, {}{}", weeks, Quantity(clip.s_m, "cm"), kind, seen)),
    ]
    for name, line in _held_by(morning, clip):
        share = f", {line.share:.0%} of its knotted strength" if line.share is not None else ""
        links.append((name, say("{}{}", Range(line.low_n, line.high_n, "N"), share)))
    links += _wire_and_hoop(morning, clip)
    point = next((point for point in bearing.weak_points if point.fixing == clip.id), None)
    goes = follows(season, point)[0] if point is not None else "nothing else goes over its strength"
    return [*links, ("if it lets go", goes)]


def _fixing(season: Season, clip: ClipLoad) -> Fixing | None:
    leader = season.leader_named(clip.leader)
    return (
        next((fixing for fixing in leader.fixings if fixing.id == clip.id), None) if leader is not None else None
    )


def clip_title(season: Season, clip: ClipLoad) -> str:
    return f"{stem_of(season, clip.leader)} on {'its head twine' if clip.on == 'head' else clip.on}"


def brief_chain(morning: Morning, clip: ClipLoad) -> list[tuple[str, str]]:
    """The same from the string up, in few words."""
    links: list[tuple[str, str]] = []
    for name, line in _held_by(morning, clip):
        share = f" {line.share:.0%}" if line.share is not None else ""
        links.append((name, say("{}{}", Range(line.low_n, line.high_n, "N"), share)))
    return [*links, *_wire_and_hoop(morning, clip)]


def _held_by(morning: Morning, clip: ClipLoad) -> list[tuple[str, LineLoad]]:
    fixing = _fixing(morning.season, clip)
    if fixing is None:
        return []
    line_id = fixing.string if fixing.on == "string" else f"{clip.leader} hook"
    name = clip.on if fixing.on == "string" else "hook and twine"
    return [(name, line) for line in morning.loads.lines if line.id == line_id]


def _wire_and_hoop(morning: Morning, clip: ClipLoad) -> list[tuple[str, str]]:
    from tunneltui.draw.row_scene import span_ends

    season, bearing = morning.season, morning.loads
    leader = season.leader_named(clip.leader)
    if leader is None:
        return []
    row, x_m = season.layout.loops[leader.loop].row_at(clip.u_m)
    links: list[tuple[str, str]] = []
    for wire in bearing.wires:
        ends = span_ends(wire.span)
        if wire.row == row and ends is not None and ends[0] <= x_m <= ends[1]:
            links.append(("wire", say("{}, hangs {}", load(wire.tension_n, 0), Quantity(wire.sag_m, "cm"))))
            break
    tunnel, standing = season.layout.rows[row]
    hoops = [hoop for hoop in bearing.hoops if hoop.tunnel == tunnel.key]
    if hoops:
        near = min(hoops, key=lambda hoop: abs(hoop.x_m - standing.start_m - x_m))
        if near.allowed_n is None:
            links.append(("hoop", say("{}, ask its maker", load(near.load_n, 0))))
        else:
            links.append(("hoop", say("{}", Range(near.load_n, near.allowed_n, "N", 0, " of "))))
    return links


def if_it_goes(morning: Morning, clip: ClipLoad) -> tuple[str, ...]:
    point = next((point for point in morning.loads.weak_points if point.fixing == clip.id), None)
    return follows(morning.season, point) if point is not None else ("nothing else goes over its strength",)


# What if


def change_of_clip(
    before: Loads, after: Loads, clip_id: str, change_words: str, red_share: float, kind: str
) -> ClipChange | None:
    """One clip before and after; the others only where they go over by the change."""
    clips_before = {clip.id: clip for clip in before.clips}
    if clip_id not in clips_before:
        return None
    others = [
        clip
        for clip in after.clips
        if clip.share >= red_share and (clip.id not in clips_before or clips_before[clip.id].share < red_share)
    ]
    clip_after = next((clip for clip in after.clips if clip.id == clip_id), None)
    return ClipChange(change_words, clips_before[clip_id], clip_after, tuple(others), kind)


def answer_words(season: Season, change: ClipChange) -> tuple[str, ...]:
    """Share and chance before and after, and whom else it would load; the longest first."""
    before, after = change.before, change.after
    if after is None:
        return (f"{before.share:.0%} → nothing; it bears none of it any more",)
    share = f"{before.share:.0%} → {after.share:.0%}"
    # A chance that stays as it is is shown once.
    chance = " → ".join(dict.fromkeys(chance_words(clip.chance_7d) for clip in (before, after)))
    carried = say(
        "{} each" if "second" in change.words or "tie" in change.words else "{}",
        Range(after.low_n, after.high_n, "N"),
    )
    over = listed([f"{stem_of(season, other.leader)} on {other.on} {other.share:.0%}" for other in change.others])
    others = f"then over: {over}" if change.others else "none other goes over"
    fewer = f"then {len(change.others)} over" if change.others else "none over"
    return (
        joined("; ", (joined(", ", (share, chance, carried)), others)),
        joined("; ", (joined(", ", (share, chance)), others)),
        joined("; ", (joined(", ", (share, chance)), fewer)),
        joined(", ", (share, chance)),
        words(share),
    )


def where_on_the_walk(chore: Chore) -> str:
    where = chore.pieces[0].place if chore.pieces else chore.row
    return f"on today's walk, {where}; c says what it would do"


def on_the_walk(morning: Morning, clip: ClipLoad, kind: str = "second_clip") -> Chore | None:
    """The chore of today's walk that makes the change, or the one asked for this clip."""
    leader = morning.season.leader_named(clip.leader)
    if leader is None:
        return None
    fixing = next((hung for hung in leader.fixings if hung.id == clip.id), None)
    chores = [c for spot in morning.round.spots for c in spot.chores if c.kind == kind and leader.id in c.leaders]
    for chore, draft in ((candidate, draft) for candidate in chores for draft in candidate.writes):
        if fixing is not None:
            body = parsed(draft)
            near = abs(body.get("s_m", fixing.s_m) - fixing.s_m) <= 2 * DOUBLED_M
            if body.get("leader") == leader.id and body.get("string", "") == fixing.string and near:
                return chore
    return chores[0] if chores and kind != "second_clip" else None
