"""The stops of one pass as the lines of a list, for the width there is. Pure: no widget, no terminal."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from typing import NamedTuple

from tunneltui.cells import many
from tunneltui.pages.units import localize
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.round_view import State
from tunneltui.screens.stops import CLOSED, PassLaid, Stop

SIGNS: dict[State, tuple[str, str]] = {
    "writing": ("…", "quiet"),
    "done": ("✓", "done"),
    "put off": ("»", "done"),
    "no longer": ("-", "quiet"),
    "partly": ("½", "near"),
}
"""A sign for every state, so that none rests on colour."""
WORDS: dict[State, str] = {"put off": "put off", "no longer": "no need"}
SIGN_CELLS, NAME_CELLS, LEAVES_CELLS, STRING_CELLS = 2, 8, 2, 6
HEADS_CELLS = 30
"""From 80 columns; half of it from 60. Below that heads are shown only where nothing else is asked."""
WHOLE_FROM, SOME_FROM = 78, 58
"""Cells of a list from which its columns are all there, and from which there are some."""


class Room(NamedTuple):
    """Cells of the columns."""

    heads: int
    columns: bool


def room_of(width: int) -> Room:
    if width >= WHOLE_FROM:
        return Room(HEADS_CELLS, True)
    return Room(HEADS_CELLS // 2, True) if width >= SOME_FROM else Room(0, False)


def column_heads(laid: PassLaid, width: int) -> tuple[Part, ...]:
    """What stands over the columns of a pass plant by plant; nothing where there is no room."""
    if laid.name != "plants" or width < WHOLE_FROM:
        return ()
    signs = {head[-1:] for stop in laid.stops for head in stop.heads}
    held = [words for sign, words in (("+", "+ clip"), ("~", "~ twist in")) if sign in signs]
    heads = [", ".join([shoots, *held]) for shoots in ("heads: shoots out", "heads: shoots", "shoots")]
    fits = next((head for head in heads if len(head) < HEADS_CELLS - 1), heads[-1])
    return (
        Part(" ", cells=1 + SIGN_CELLS),
        Part("place", "quiet", NAME_CELLS),
        Part(fits, "quiet", HEADS_CELLS - 1),
        Part("leaves", "quiet", LEAVES_CELLS + 6),
        Part("string", "quiet"),
    )


def sign_of(stop: Stop, state: State) -> tuple[str, str]:
    """The sign of its state; what is left of a must or a decision is one still."""
    if state in ("", "partly") and (stop.must or stop.decides):
        return ("!", "must") if stop.must else ("?", "near")
    return SIGNS.get(state, ("", ""))


def stop_lines(stop: Stop, state: State, width: int, typed: str = "", common_done: bool = False) -> list[Line]:
    """The lines of one stop; its further strings stand below the first and are chosen with it. ``common_done``:
    of what is left there its columns are done."""
    gone = state in CLOSED or state == "writing"
    sign = sign_of(stop, state)
    room = room_of(width)
    if not room.columns:
        return _narrow(stop, sign, gone, typed)
    heads = _wrapped(stop.heads, room.heads - 1) if stop.heads else []
    has_columns = bool(stop.heads or stop.leaves or any(on for on, _ in stop.asks))
    quiet = "quiet" if gone else ""
    common = "quiet" if common_done else quiet
    lines = []
    for number, (head, ask) in enumerate(zip_longest(heads or [""], stop.asks or (("", ""),), fillvalue=None)):
        on, what = ask or ("", "")
        first = number == 0
        parts = [
            Part(sign[0] if first else "", sign[1], SIGN_CELLS),
            Part(stop.name if first else "", quiet or "bold", NAME_CELLS),
        ]
        if has_columns:
            leaves = str(stop.leaves) if first and stop.leaves else ""
            parts += [
                Part(head or "", common, room.heads),
                Part(leaves, common, LEAVES_CELLS, right=True),
                Part(on, quiet or "bold", STRING_CELLS, right=True),
                Part("  "),
            ]
        parts.append(Part(what, quiet, shorter=_shorter(localize(what))))
        if first and (word := WORDS.get(state)):
            parts.append(Part(f"  {word}", "quiet"))
        if first and typed:
            parts.append(Part(f"  {typed}_ kg", "chosen"))
        lines.append(Line(stop.key if first else f"{stop.key} {number}", tuple(parts), rest=not first))
    return lines


def _narrow(stop: Stop, sign: tuple[str, str], gone: bool, typed: str) -> list[Line]:
    """Place, sign, what: strings' numbers go into the words."""
    quiet = "quiet" if gone else ""
    lines_of_words = [f"string {on}: {what}" if on else what for on, what in stop.asks]
    common = [f"heads {' '.join(stop.heads)}"] if stop.heads else []
    common += [many(stop.leaves, "leaf", "leaves")] if stop.leaves else []
    if common:
        lines_of_words.append(", ".join(common))
    lines = []
    for number, what in enumerate(lines_of_words or [""]):
        first = number == 0
        parts = [
            Part(sign[0] if first else "", sign[1], SIGN_CELLS),
            Part(stop.name if first else "", quiet or "bold", NAME_CELLS),
            Part(what, quiet, shorter=_shorter(localize(what))),
        ]
        if first and typed:
            parts.append(Part(f"  {typed}_ kg", "chosen"))
        lines.append(Line(stop.key if first else f"{stop.key} {number}", tuple(parts), rest=not first))
    return lines


def _shorter(what: str) -> tuple[str, ...]:
    """Without what stands between its first and its last words."""
    parts = what.split(", ")
    return (f"{parts[0]}, {parts[-1]}", parts[0]) if len(parts) > 2 else (parts[0],) if len(parts) > 1 else ()


def _wrapped(words: Sequence[str], width: int) -> list[str]:
    rows = [""]
    for word in words:
        joined = f"{rows[-1]} {word}".strip()
        if len(joined) > width and rows[-1]:
            rows.append(word)
        else:
            rows[-1] = joined
    return rows


def idle_line(key: str, places: str) -> Line:
    """Places where nothing is to do today."""
    return Line(
        f"idle {key}",
        (Part("", cells=SIGN_CELLS), Part(places, "quiet"), Part("   nothing today", "quiet")),
        heading=True,
    )
