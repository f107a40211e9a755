"""A row: words on the chosen stem, on another day and on the lowering, each in up to three lengths."""

from __future__ import annotations

from collections.abc import Sequence

from tunneltui.cells import Quantity, Range, joined, load, many, say, words
from tunneltui.chores.morning import Morning
from tunneltui.chores.wording import hook_place
from tunneltui.chores.wording import stem_name as stem_name
from tunneltui.draw.apart import Apart, changed_shares
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import Layout
from tunneltui.loads.result import Loads
from tunneltui.pages.loads import on_the_walk
from tunneltui.pages.lowering import loop_words
from tunneltui.pages.stem import fullest_clip
from tunneltui.season.state import Leader, Season

TITLE = ("how full each clip is, in % of its strength", "clips, % of strength", "% full")
MOST_MOVED = 4


def where_words(layout: Layout, loop: str, row: str) -> tuple[str, ...]:
    """The row, or the loop where all of it is shown."""
    if row:
        return (f"Row {row}",)
    called = loop_words(layout, loop)
    return (called[:1].upper() + called[1:],)


def stem_words(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> tuple[str, ...]:
    """What it is and how it hangs, after its name."""
    full = [words(leader.cultivar)]
    short = [words(leader.cultivar)]
    if leader.id in outlook.leaders:
        stem = outlook.stem(leader.id, bearing.day)
        length = say("{}", Quantity(stem.length_m.mid, "m", 1))
        full += [length, words(many(len(stem.trusses), *season.crop_of(leader).bears))]
        short.append(length)
    if leader.hook is not None:
        hook_u_m = bearing.paths[leader.id].hook_u_m if leader.id in bearing.paths else leader.hook.u_m
        place = hook_place(season, leader.loop, hook_u_m)
        full.append(say("hook {}, {}", leader.hook.number, place))
        short.append(say("hook {}", leader.hook.number))
    return (joined("  ", full), joined("  ", short), short[0])


def clip_words(morning: Morning, bearing: Loads, leader: Leader) -> tuple[str, ...]:
    """Its fullest clip: its load, where such clips fail, and what is done about it today."""
    clip = fullest_clip(leader, bearing)
    if clip is None:
        return ("no clip on a string",)
    bears = say("{}: {}", clip.on, Range(clip.low_n, clip.high_n, "N"))
    fails = say("1 in 20 of these fails by {}", load(clip.strength_n))
    helps = "; second clip on today's walk" if on_the_walk(morning, clip) is not None else ""
    return (
        joined(", ", (bears, fails)) + helps,
        joined(", ", (bears, fails)),
        bears + f", {clip.share:.0%}",
        bears,
    )


def fault_words(bearing: Loads, leader: Leader) -> str:
    """Why its path cannot be as noted; '' where it can."""
    return bearing.paths[leader.id].fault if leader.id in bearing.paths else ""


def moved_words(before: Apart, after: Apart) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What rises and what falls, the largest change first; each in up to three lengths."""
    changed = changed_shares(before, after)
    rose = [_moved(*move) for move in changed if move[3] > move[2]]
    fell = [_moved(*move) for move in changed if move[3] < move[2]]
    return _some(rose, "nothing rises"), _some(fell, "nothing falls")


def every_move(before: Apart, after: Apart) -> list[str]:
    """All that rises or falls, the largest change first."""
    return [_moved(*move) for move in changed_shares(before, after)]


def _moved(stem: str, on: str, before: float, after: float) -> str:
    return f"{stem} {on if on == 'head' else f'on {on}'} {before * 100:.0f} → {after:.0%}"


def _some(moves: Sequence[str], none: str) -> tuple[str, ...]:
    if not moves:
        return (none,)
    forms = []
    for most in (MOST_MOVED, 2, 1):
        rest = len(moves) - most
        forms.append(", ".join(moves[:most]) + (f", {rest} more" if rest > 0 else ""))
    return tuple(dict.fromkeys(forms))


def fullest_words(bearing: Loads, leader: Leader) -> str:
    """For the head of the side view: ``135% on string 10``."""
    clip = fullest_clip(leader, bearing)
    return f"{clip.share:.0%} on {clip.on}" if clip is not None else ""
