"""The loads, and what a change would do, as the commands print them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tunneltui.cells import Sentence, cm, listed, load, m, say, words
from tunneltui.loads.calibration import warning_records, warnings_words
from tunneltui.loads.masses import GRAVITY_M_PER_S2
from tunneltui.loads.result import ClipLoad, KindStrength, Loads, WeakPoint
from tunneltui.pages.loads import corner_words, pulled_down, row_words, side_by_side
from tunneltui.pages.text import day_words, heading, printed, wrapped
from tunneltui.pages.units import in_force, localize

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.loads.whatif import LoadComparison

MOST_CLIPS = 12
MOST_LINES = 8
MOST_WEAK = 5
MOVED_WIDE = 24
"""Columns for the names of what a change moves, and more where one is longer."""


def loads_text(morning: Morning) -> str:
    """The day, then all loads."""
    return f"{heading(morning.season)}\n\n{bearing_text(morning.loads)}"


def bearing_text(bearing: Loads) -> str:
    """Rows, the fullest clips, strings, wires and hoops, then what could not be worked out."""
    lines = ["Rows: all that hangs"]
    for row in bearing.rows:
        peak = None if row.peak_kg is None or row.peak_day is None else (row.peak_kg, row.peak_day)
        lines.append(localize(say("  {} {}", f"{row.row:<6}", row_words(row.hanging_kg, peak, bearing.day)[0])))
    lines += _clip_lines(bearing)
    lines += ["", "Fullest strings and hooks"]
    lines += [
        f"  {line.id:<12.12} {_kg(line.mid_n)} ({_kg(line.low_n)} to {_kg(line.high_n)}), {_share(line.share)}"
        for line in bearing.lines[:MOST_LINES]
    ]
    lines += _left_out(len(bearing.lines) - MOST_LINES, "that carry less")
    lines += ["", "Wires"]
    for wire in bearing.wires[:MOST_LINES]:
        pull, end = _kg(wire.tension_n), _kg(wire.end_pull_n)
        sentence = say(
            "{} {}: pulls {}, hangs {}, end frame {}, {}",
            wire.row,
            wire.span,
            pull,
            cm(wire.sag_m),
            end,
            _share(wire.share),
        )
        lines += wrapped(sentence, "  ", "      ")
    lines += _left_out(len(bearing.wires) - MOST_LINES, "stretches that pull less")
    for corner in bearing.corners:
        lines += wrapped(corner_words(corner), "  ", "      ")
    lines += ["", "Hoops: against what their maker allows for a crop"]
    lines += [
        localize(say("  {} at {}: {}", hoop.tunnel, m(hoop.x_m), _kg(hoop.load_n)))
        + (
            f" of {_kg(hoop.allowed_n)}"
            if hoop.allowed_n is not None
            else "; what it may bear is unknown: ask its maker"
        )
        for hoop in bearing.hoops[:MOST_LINES]
    ]
    lines += _left_out(len(bearing.hoops) - MOST_LINES, "that carry less")
    if bearing.weak_points:
        lines += ["", "If one thing lets go"]
        called = {clip.id: f"clip of {clip.leader} on {clip.on}" for clip in bearing.clips}
        # Two clips in one place have the same consequence: listed once.
        follows = list(dict.fromkeys(_weak(called, weak) for weak in bearing.weak_points))
        lines += [line for sentence in follows[:MOST_WEAK] for line in wrapped(sentence, "  ", "      ")]
        lines += _left_out(len(follows) - MOST_WEAK, "after which less drops")
    lines += _pulled_down(bearing)
    if bearing.faults:
        lines += ["", "Could not be worked out"]
        lines += [line for fault in bearing.faults for line in wrapped(fault, "  ", "      ")]
    return printed(lines)


def strength_words(strength: KindStrength) -> Sentence:
    """What a kind of clip is taken to bear, and what that rests on."""
    fails_by = say("1 in 20 is taken to fail by {}.", load(strength.strength_n))
    tested = f" and {strength.tested} bucket tests" if strength.tested else ""
    if strength.failures:
        seen = strength.failures + strength.held
        evidence = f"{strength.failures} of {seen} seen failed by itself{tested}"
    elif strength.held:
        evidence = f"none has failed by itself yet, {strength.held} were seen holding{tested}"
    elif strength.tested:
        evidence = f"not yet seen on plants, only {strength.tested} bucket tests"
    else:
        evidence = "nothing seen yet, so its strength is an assumption"
    return say("{}: {}; {}", strength.kind or "unnamed clip", words(evidence), fails_by)


def _clip_lines(bearing: Loads) -> list[str]:
    """Nothing of kinds of clip where none hangs."""
    if not bearing.clips:
        return ["", "No clip holds a stem."]
    places = side_by_side(bearing.clips)
    lines = ["", "Fullest clips: likely load (least to most), share of strength, chance in 7 days"]
    lines += [_clips(clips) for clips in places[:MOST_CLIPS]]
    lines += _left_out(sum(map(len, places[MOST_CLIPS:])), "clips that carry less")
    for kind in bearing.strengths:
        lines += wrapped(strength_words(kind), "  ", "      ")
    if bearing.workings is not None and (warnings := warnings_words(warning_records(bearing.workings))):
        lines += wrapped(warnings, "  ", "      ")
    return lines


def _clips(clips: Sequence[ClipLoad]) -> str:
    """The clips of one place on one line: the load of the fullest."""
    clip = clips[0]
    band = f"{_kg(clip.mid_n)} ({_kg(clip.low_n)} to {_kg(clip.high_n)})"
    assumed = ", assumed" if clip.assumed else ""
    several = f", fullest of {len(clips)}" if len(clips) > 1 else ""
    chance = _chance(max(beside.chance_7d for beside in clips))
    return f"  {clip.leader:<8} {clip.on:<12.12} {band:<26} {clip.share:4.0%}  {chance:>9}{several}{assumed}"


def _weak(called: Mapping[str, str], weak: WeakPoint) -> str:
    """What follows if one thing lets go; ``called``: clips by id."""
    drops = f"{listed(weak.drops)} would drop" if weak.drops else "nothing drops"
    next_over = f", next over its strength: {weak.first_over}" if weak.first_over else ""
    return f"{called.get(weak.fixing, weak.fixing)}: {drops}{next_over}"


def _left_out(count: int, which: str) -> list[str]:
    return [f"  and {count} {which}; --json lists all"] if count > 0 else []


def what_if_text(compared: LoadComparison, changes: Sequence[str]) -> str:
    """What of clips, strings, hooks, wires and hoops would change by a tenth of a kilogram or more."""
    before, after = _items(compared.before), _items(compared.after)
    clips = (_clips_named(compared.before), _clips_named(compared.after))
    moved = {
        name for name in before | after if abs(before.get(name, 0) - after.get(name, 0)) >= GRAVITY_M_PER_S2 / 10
    }
    wide = max([MOVED_WIDE, *map(len, moved)])
    lines = [
        f"If {', and '.join(changes)}, on {day_words(compared.before.day)}",
        "",
        f"{'':<{wide}} {'now':>8} {'then':>8}  {'full':<11} fails, 7 days",
    ]
    for name in sorted(moved, key=lambda name: -max(before.get(name, 0), after.get(name, 0))):
        load_before, load_after = (
            load(side[name]).shown(in_force()) if name in side else "-" for side in (before, after)
        )
        full = _from_to(*(of.get(name) for of in clips))
        lines.append(f"{name:<{wide}} {load_before:>8} {load_after:>8}  {full}".rstrip())
    if not moved:
        lines.append("Nothing changes by so much that it could be seen.")
    new_faults = [fault for fault in compared.after.faults if fault not in compared.before.faults]
    lines += [line for fault in new_faults for line in wrapped(fault, "", "    ")]
    lines.append("Likely loads; --json has their bands.")
    return printed(lines)


def _pulled_down(bearing: Loads) -> list[str]:
    """Stems whose root pulls them down: what hangs is then more than the stem weighs."""
    pulled = pulled_down(bearing)
    if not pulled:
        return []
    lines = ["", "Roots that pull their stem down: clips and hook bear that on top of its weight"]
    lines += [localize(say("  {} {}", f"{name:<8}", load(newton))) for name, newton in pulled[:MOST_WEAK]]
    return [*lines, *_left_out(len(pulled) - MOST_WEAK, "that pull less")]


def _from_to(before: ClipLoad | None, after: ClipLoad | None) -> str:
    """How full a clip is and its chance, before and after; nothing of what is no clip."""
    if before is None and after is None:
        return ""
    shares = (f"{clip.share:.0%}" if clip is not None else "-" for clip in (before, after))
    chances = (_chance(clip.chance_7d) if clip is not None else "-" for clip in (before, after))
    # A figure that stays as it is is shown once.
    return f"{' to '.join(dict.fromkeys(shares)):<11} {' to '.join(dict.fromkeys(chances))}"


def _clips_named(bearing: Loads) -> dict[str, ClipLoad]:
    return {localize(say("{} {}, {}", clip.leader, clip.on, m(clip.s_m, 2))): clip for clip in bearing.clips}


def _items(bearing: Loads) -> dict[str, float]:
    """Likely newtons by a name that stays the same from one picture to the next."""
    clips = {name: clip.mid_n for name, clip in _clips_named(bearing).items()}
    lines = {line.id if "hook" in line.id else f"string {line.id}": line.mid_n for line in bearing.lines}
    wires = {localize(say("wire {} {}", wire.row, wire.span)): wire.tension_n for wire in bearing.wires}
    hoops = {localize(say("hoop {} {}", hoop.tunnel, m(hoop.x_m))): hoop.load_n for hoop in bearing.hoops}
    return clips | lines | wires | hoops


def _kg(newton: float) -> str:
    return load(newton, 0 if newton >= 10 * GRAVITY_M_PER_S2 else 1).shown(in_force())


def _share(share: float | None) -> str:
    return "strength unknown" if share is None else f"{share:.0%} of its strength"


def _chance(chance: float) -> str:
    """Whole percent; what rounds to 0 % is shown as less than 1 %."""
    return "under 1%" if chance < 0.005 else f"{chance:.0%}"
