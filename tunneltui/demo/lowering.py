"""The growers' whole-loop lowering: twine let out, the hook moved on, clips at the coming bend opened, the run
clipped to the strings it has come past."""

from __future__ import annotations

from datetime import date
from math import floor

from tunneltui.demo.house import EVENING, House, due, near
from tunneltui.demo.stems_work import clip_head, close_clip
from tunneltui.demo.trellis import (
    TrainedStem,
    bend,
    hook_place_u_m,
    place_on_string,
    strings_to_clip,
)
from tunneltui.holding.layout import StandingString
from tunneltui.journal.kinds_holding_up import Lowered, Propped, StemKinked, Tied, Unclipped

TIP_UNDER_WIRE_M = 0.50
"""Where the growers want a tip after lowering."""
TIP_LOWEST_UNDER_WIRE_M = 0.90
TIP_ROOM_M = 0.30
TURN_M, MOST_M, LEAST_M = 0.30, 0.40, 0.20
HOOKS_APART_M = 0.06
_KINKS, _TICKED = 0.008, 0.06


def lower_loop(house: House, loop: str, day: date) -> int:
    """The whole loop as one job, front head first; the number of heads lowered."""
    house.diary.at(day, 18.6, EVENING)
    strings = house.layout.strings_of_loop(house.layout.loops[loop])
    front_first = house.in_loop(loop)
    let_out = _plan(house, front_first)
    lowered, ahead_u_m = 0, 1e9
    for stem in front_first:
        out_m = _fitting(house, stem, let_out.get(stem.id, 0.0), ahead_u_m)
        if out_m:
            _lower(house, stem, out_m, ahead_u_m, strings, day)
            lowered += 1
        if stem.training == "tiered":
            clip_head(house, stem, day)
        # A weak one does not travel; heads behind it are lifted past its hook.
        if not stem.weak:
            ahead_u_m = stem.hook_u_m
    return lowered


def _plan(house: House, front_first: list[TrainedStem]) -> dict[str, float]:
    """What is let out of each, in metres. A slow one in front is let out more, so that those behind keep their
    order without being squeezed; it pays with a lower tip."""
    let_out: dict[str, float] = {}
    needed_u_m = 0.0
    for stem in reversed(front_first):
        if stem.training == "pinched_at_wire":
            continue
        out_m = _wanted_m(stem)
        if not stem.weak:
            could_m = floor(10 * (stem.tip_z_m - stem.limit_z_m + TIP_LOWEST_UNDER_WIRE_M)) / 10
            while out_m + 0.1 <= min(MOST_M, could_m) and _hook_after(stem, house, out_m) < needed_u_m:
                out_m = round(max(out_m + 0.1, LEAST_M), 2)
            needed_u_m = _hook_after(stem, house, out_m) + HOOKS_APART_M
        if out_m:
            let_out[stem.id] = out_m
    return let_out


def _wanted_m(stem: TrainedStem) -> float:
    """What brings the tip back to its place: tiered heads by the turn, laid-down ones by tens of cm."""
    want_m = stem.tip_z_m - (stem.limit_z_m - TIP_UNDER_WIRE_M)
    if want_m < 0.12:
        return 0.0
    if want_m >= 0.36:
        return MOST_M
    return LEAST_M if stem.training == "laid_down" and want_m < 0.25 else TURN_M


def _fitting(house: House, stem: TrainedStem, let_out_m: float, ahead_u_m: float) -> float:
    """Less is let out of a head that has no room behind the one ahead, as long as its tip has room above."""
    while (
        let_out_m > LEAST_M
        and _hook_after(stem, house, let_out_m) > ahead_u_m - HOOKS_APART_M
        and stem.tip_z_m - let_out_m + 0.1 < stem.limit_z_m - TIP_ROOM_M
    ):
        let_out_m = round(let_out_m - 0.1, 2)
    return let_out_m


def _hook_after(stem: TrainedStem, house: House, let_out_m: float) -> float:
    if not let_out_m:
        return stem.hook_u_m
    return hook_place_u_m(stem, house.layout.holding.limits, let_out_m)


def _lower(
    house: House, stem: TrainedStem, let_out_m: float, ahead_u_m: float, strings: list[StandingString], day: date
) -> None:
    limits, luck = house.layout.holding.limits, house.luck
    tick = due("lower", stem.loop, day)
    house.diary.act()
    truly_m = let_out_m + luck.gauss(0, 0.012)
    planned_u_m = hook_place_u_m(stem, limits, truly_m) + luck.gauss(0, 0.015)
    stem.hook_u_m = near(max(stem.hook_u_m + 0.02, min(planned_u_m, ahead_u_m - HOOKS_APART_M)), 0.01)
    stem.tip_z_m -= truly_m
    stem.let_out_m += truly_m
    free_to_m = bend(stem).s_m + 0.15
    for clip in [clip for clip in stem.head if clip.s_m < free_to_m]:
        house.diary.write(Unclipped(clip.id), stem.place)
        stem.head.remove(clip)
    house.diary.write(_noted(house, stem, let_out_m), stem.place, tick)
    for string in strings_to_clip(stem, strings):
        z_m, s_m = place_on_string(stem, string, limits, luck)
        clip = close_clip(house, stem, day, s_m, string.id, ("lower", stem.loop))
        clip.u_m, clip.z_m = string.u_m, z_m
        stem.run.append(clip)
    if luck.random() < _KINKS:
        # A crack at the bend, tied up at once; the stem goes on.
        at_m = round(bend(stem).s_m + 0.05, 2)
        house.diary.alone(StemKinked(stem.id, at_m), stem.place)
        house.diary.write(Tied(stem.id, at_m, "head"), stem.place)
    if stem.training == "laid_down" and stem.let_out_m > 0.5 and luck.random() < 0.3:
        house.diary.write(Propped(stem.id, round(bend(stem).s_m * 0.6, 2), 0.05), stem.place, tick)


def _noted(house: House, stem: TrainedStem, let_out_m: float) -> Lowered:
    """What is written of a lowering: mostly turns and where the tip hangs by eye, now and then a bare tick."""
    luck = house.luck
    in_turns = let_out_m == TURN_M and stem.training == "tiered"
    ticked = luck.random() < _TICKED
    under_m = near(stem.limit_z_m - stem.tip_z_m + luck.gauss(0, 0.02), 0.05)
    return Lowered(
        stem.id,
        let_out_m=None if in_turns else let_out_m,
        turns=1.0 if in_turns else None,
        hook_u_m=stem.hook_u_m,
        tip_under_wire_m=None if ticked else under_m,
        finish="as_said" if not ticked and luck.random() < 0.3 else None,
        as_proposed=ticked,
    )
