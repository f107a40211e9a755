"""A head that was let out or hung otherwise than said: what may be typed, and the move it then was."""

from __future__ import annotations

import re
from collections.abc import Mapping

from tunneltui.chores.lowering import LoweringJob
from tunneltui.chores.lowering_move import LoweringMove
from tunneltui.chores.lowering_plan import moved_otherwise
from tunneltui.chores.morning import Morning
from tunneltui.chores.put_right import within_reach
from tunneltui.chores.wording import HAND_M, turn_m
from tunneltui.holding.user_error import UserError
from tunneltui.loads.doubles import bearing_of
from tunneltui.screens.forms import Field
from tunneltui.screens.numbers import NotANumber, number

FIELDS = (
    Field("turns", "Turns let out", "", "such as 1, 1.5; or cm: 25 cm; empty: as said"),
    Field("hook", "Hook hangs", "", "9+ a hand past string 9, W2/9-- two short of W2's; empty: as said"),
)
_HOOK = re.compile(r"(?:(?P<row>[^/]+)/)?(?P<number>\d{1,4})\s*(?P<hands>[+-]*)", re.I | re.A)
MOST_M = 3.0


def fault_in(morning: Morning, job: LoweringJob, move: LoweringMove, values: Mapping[str, str]) -> str:
    """What is wrong with what was typed, as a sentence; '' if nothing."""
    try:
        other_move(morning, job, move, values)
    except (NotANumber, UserError) as fault:
        return str(fault)
    return ""


def other_move(morning: Morning, job: LoweringJob, move: LoweringMove, values: Mapping[str, str]) -> LoweringMove:
    """The move as it was done. Raises ``NotANumber`` with a sentence where something cannot be."""
    let_out_m = _let_out_m(morning, move, values.get("turns", ""))
    hook_u_m = _hook_u_m(morning, move, values.get("hook", ""))
    if let_out_m is None and hook_u_m is None:
        return move
    return moved_otherwise(
        morning.season,
        morning.outlook,
        job.visit,
        job.next_visit,
        move,
        move.let_out_m if let_out_m is None else let_out_m,
        hook_u_m,
        bearing_of(morning.loads),
    )


def _let_out_m(morning: Morning, move: LoweringMove, text: str) -> float | None:
    text = text.strip().lower()
    if not text:
        return None
    if text.endswith("cm"):
        return number(text.removesuffix("cm"), 1, 100 * MOST_M, "Centimetres let out") / 100
    one_turn_m = turn_m(morning.season, morning.season.leaders[move.leader])
    if one_turn_m is None:
        return number(text, 1, 100 * MOST_M, "Centimetres let out") / 100
    return round(number(text.removesuffix("turns").removesuffix("turn"), 0.25, 10, "Turns") * one_turn_m, 3)


def _hook_u_m(morning: Morning, move: LoweringMove, text: str) -> float | None:
    text = text.strip()
    if not text:
        return None
    typed = _HOOK.fullmatch(text)
    if typed is None:
        raise NotANumber("Hook: a string's number was wanted, such as 9 or 9+.")
    leader, number_typed, row = morning.season.leaders[move.leader], int(typed["number"]), typed["row"] or ""
    same_number = [
        string for string in morning.season.strings_of_loop(leader.loop) if string.number == number_typed
    ]
    strings = [string for string in same_number if row.lower() in ("", string.row.lower())]
    if not strings:
        raise NotANumber(f"Hook: no string {typed[0]} hangs in this loop.")
    longest_m = morning.outlook.stem(leader.id, morning.day).length_m.high + move.let_out_m
    places = ((string.row, string.u_m) for string in strings)
    u_m = within_reach(places, leader, longest_m, move.hook_to_u_m, "string", number_typed)
    hands = typed["hands"].count("+") - typed["hands"].count("-")
    return round(u_m + hands * HAND_M, 3)
