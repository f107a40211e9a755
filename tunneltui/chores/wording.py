"""Turns of the hook, neighbours on the wire and stems as growers say them. Numbers and days are in ``cells``."""

from __future__ import annotations

from tunneltui.cells import Sentence, cm, m, say, words
from tunneltui.season.state import Leader, Season

HAND_M = 0.10
"""A hand's breadth on the wire (common practice, no source)."""


def stem_name(season: Season, leader: Leader, row: str = "") -> str:
    """A leader without its letter where one is meant to stand at its place, and without the row it is spoken of
    in. Looks at that leader alone."""
    standing = season.layout.places.get(leader.place)
    alone = standing is not None and standing.place.leaders == 1 and leader.name == f"{leader.place}a"
    name = leader.place if alone else leader.name
    return name.removeprefix(f"{leader.row}-") if row == leader.row else name


def on_what(season: Season, on: str, string: str) -> str:
    """string 8, head, wire: what a fixing is on, as the loads name it too."""
    return season.string_name(string) if on == "string" else on


def turn_m(season: Season, leader: Leader) -> float | None:
    """Twine let out by one turn of the leader's hook, where its kind says."""
    if leader.hook is None:
        return None
    kinds = {kind.key: kind.turn_m for kind in season.holding.hooks}
    return kinds.get(leader.hook.kind)


def let_out(metres: float, one_turn_m: float | None) -> Sentence:
    """``one turn``, ``1½ turns``, or centimetres where a turn's length is unknown."""
    if one_turn_m is None:
        return say("{}", cm(metres))
    halves = round(2 * metres / one_turn_m)
    if halves == 1:
        return words("half a turn")
    if halves == 2:
        return words("one turn")
    return say("{}{} turns", halves // 2, "½" if halves % 2 else "")


def hook_place(season: Season, loop: str, u_m: float) -> Sentence:
    """A place on the wire by its nearest string: ``over string 9``, ``a hand past string W2/9``."""
    strings = season.strings_of_loop(loop)
    if not strings:
        row, x_m = season.layout.loops[loop].row_at(u_m)
        return say("at {} on {}", m(max(x_m, 0)), row)
    nearest = min(strings, key=lambda s: abs(s.u_m - u_m))
    return say("{} {}", _away(u_m - nearest.u_m), season.string_name(nearest.id))


def _away(by_m: float) -> Sentence:
    hands = round(abs(by_m) / HAND_M)
    side = words("past" if by_m > 0 else "short of")
    if hands == 0:
        return words("over")
    if hands == 1:
        return say("a hand {}", side)
    if hands == 2:
        return say("two hands {}", side)
    return say("{} {}", cm(round(abs(by_m) / 0.05) * 0.05), side)
