"""Answers of the put-right walk: short typed text in, the entries that make the picture true out.

At a hook: a string's number with ``+`` or ``-`` for each hand past or short of it, then how the tip hangs: ``s``
as said, ``w`` well under, ``o`` over, ``t40`` cm under the wire; ``f`` before it: the head stands free. At a
string: the number of stems clipped to it. Of a crop nobody noted a pick of: trusses hanging on a usual stem,
``l24`` after it its leaves. Nothing typed: all is as shown.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import hypot

from msgspec import Struct

from tunneltui.cells import METRIC, Units, as_typed, capital, cm, joined, listed, m, many, say, scale
from tunneltui.chores.put_right import (
    BEHIND_M,
    MOST_OVER_M,
    CropStep,
    HookStep,
    Lying,
    Step,
    StringStep,
    Walk,
    answers_of,
    layer_m,
    lying_at,
    mark_meant,
    place_words,
    strings_of,
    tip_words,
)
from tunneltui.chores.wording import HAND_M
from tunneltui.growth.defaults import LEAVES_PER_TRUSS
from tunneltui.growth.leaves import LEAVES_ABOVE_TRUSS
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, Hung, TwistedIn, Unclipped
from tunneltui.journal.kinds_journal import Looked, Note
from tunneltui.journal.kinds_standing import Measured, Sighted
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.lowered import SLACK
from tunneltui.loads.path import onward_u_m, saving_m
from tunneltui.season.state import HungString, Leader
from tunneltui.values import replace

WORD_OFF_M = 0.12
"""Well under, or over, what was shown: as at a lowering (assumed)."""
UNSURE_M = 0.30
"""A length known no better than this is read again from the stem's path."""
UPRIGHT_M = 0.10
MOST_STEMS = 40

_HOOK = re.compile(
    r"(?:(?:(?P<row>[^/]+)/)?(?P<number>\d{1,3}))?\s*(?P<hands>(?:[+-]\d{0,2}\s*)*)(?P<free>f)?\s*"
    r"(?:(?P<word>[swo])|t\s*(?P<over>-)?(?P<cm>\d{1,3})(?:\s*cm)?)?",
    re.I | re.A,
)
_CROP = re.compile(r"(?P<count>\d{1,2})?\s*(?:l\s*(?P<leaves>\d{1,3}))?", re.I | re.A)
_COUNT = re.compile(r"(?P<tens>\+*)(?P<count>\d{1,2})?", re.A)


class StepAnswered(Struct, frozen=True):
    """What one answer writes, in words, and the walk after it."""

    walk: Walk
    drafts: tuple[Draft, ...]
    sentence: str


def answer_step(walk: Walk, step: Step, text: str, units: Units = METRIC) -> StepAnswered:
    """What an answer means.

    Raises:
        UserError: the text is no answer to this step, or cannot be.
    """
    if isinstance(step, HookStep):
        return _hook_answered(walk, step, text.strip(), units)
    if isinstance(step, CropStep):
        return _crop_answered(walk, step, text.strip())
    return _string_answered(walk, step, text.strip())


class _Hangs(Struct, frozen=True):
    u_m: float
    under_m: float
    by: Sighted
    free: bool


def _hook_answered(walk: Walk, step: HookStep, text: str, units: Units) -> StepAnswered:
    leader = walk.season.leaders[step.leader]
    hangs = _hangs(walk, step, leader, text, units)
    walk_after = replace(walk, hooks={**walk.hooks, leader.id: hangs.u_m})
    bodies = list(_hung(leader, hangs.u_m))
    bodies.append(_measured(walk_after, leader, hangs))
    heads = tuple(fixing.id for fixing in leader.fixings if fixing.on == "head")
    if hangs.free:
        loose = " its head stands free,"
    else:
        loose = ""
        if heads:
            bodies.append(Looked((leader.id,), heads))
        elif leader.twisted_in_on is None:
            bodies.append(TwistedIn(leader.id))
    place, tip = place_words(walk, hangs.u_m, leader.row), tip_words(hangs.under_m)
    sentence = say("{}: hook {},{} tip {}", leader.name, place, loose, tip)
    return _step_answered(walk_after, step, [(leader.place, body) for body in bodies], sentence)


def _hangs(walk: Walk, step: HookStep, leader: Leader, text: str, units: Units) -> _Hangs:
    match = _HOOK.fullmatch(text)
    if match is None:
        raise UserError(
            f"{text!r} says no place and no tip.",
            f"Such as 9+s: a hand past string 9, the tip as said. w well under, o over, t{cm(0.4).figure(units)} "
            f"{cm(0.4).shown(units)} under the wire. W2/9: string 9 of W2.",
        )
    u_m = (
        mark_meant(walk, leader, int(match["number"]), step.u_m, match["row"] or "")
        if match["number"]
        else step.u_m
    )
    for sign, count in re.findall(r"([+-])(\d{0,2})", match["hands"]):
        u_m += HAND_M * int(count or 1) * (1 if sign == "+" else -1)
    _refuse_place(walk, leader, u_m)
    under_m, by = _tip(step, match, units)
    wire_m = walk.season.layout.rows[leader.row][1].wire_height_m
    if not -MOST_OVER_M <= under_m <= wire_m:
        raise UserError(say("A tip does not hang {} under a wire {} high.", cm(under_m), as_typed(wire_m, "m")))
    return _Hangs(round(u_m, 3), round(under_m, 2), by, bool(match["free"]))


def _tip(step: HookStep, match: re.Match[str], units: Units) -> tuple[float, Sighted]:
    if match["cm"]:
        return int(match["cm"]) / scale("cm", units).times * (-1 if match["over"] else 1), "eye"
    word = (match["word"] or "s").lower()
    if word == "s":
        return step.under_m, "eye"
    return max(-MOST_OVER_M, step.under_m + (WORD_OFF_M if word == "w" else -WORD_OFF_M)), "word"


def _refuse_place(walk: Walk, leader: Leader, u_m: float) -> None:
    behind_m = leader.u_m - u_m
    if behind_m > BEHIND_M:
        where = place_words(walk, u_m, leader.row)
        raise UserError(
            say("{} is {} behind the root of {}: heads travel on.", capital(where), m(behind_m), leader.name)
        )
    end_m = walk.loop.length_m
    if not walk.loop.closed and u_m > end_m + BEHIND_M:
        raise UserError(say("The wire of {} ends {} before that.", walk.loop.id, m(u_m - end_m)))


def _hung(leader: Leader, u_m: float) -> Sequence[Body]:
    hook = leader.hook
    if hook is not None and not hook.assumed and abs(hook.u_m - u_m) < 0.005:
        return ()
    return (Hung(leader.id, u_m),)


def _measured(walk: Walk, leader: Leader, hangs: _Hangs) -> Measured:
    """The tip as it hangs; the length too, by the stem's path, where it was not known or cannot be as noted."""
    stem = walk.outlook.stem(leader.id, walk.season.day)
    wire_m = walk.season.layout.rows[leader.row][1].wire_height_m
    by_path_m = _length_by_path_m(walk, leader, wire_m - hangs.under_m)
    half_m = (stem.length_m.high - stem.length_m.low) / 2
    # A stem coiled on the ground is longer than the way it lies along.
    unsure = half_m > UNSURE_M or abs(by_path_m - stem.length_m.mid) > UNSURE_M + half_m
    length_m = round(by_path_m, 2) if unsure and leader.coiled_m == 0 else None
    return Measured(leader.id, length_m=length_m, tip_under_wire_m=hangs.under_m, by=hangs.by)


def _length_by_path_m(walk: Walk, leader: Leader, tip_z_m: float) -> float:
    """Length of a stem that lies on its layer line to its hook and then stands up to its tip."""
    hook_m = walk.hook_u_m(leader)
    across_m = hook_m - leader.u_m
    if leader.training == "pinched_at_wire" or across_m < UPRIGHT_M:
        return hypot(max(across_m, 0.0), tip_z_m)
    limits = walk.season.limits_of(leader)
    if leader.training == "laid_down":
        return across_m + tip_z_m - saving_m(0.0, min(limits.bend_radius_m, across_m / 2))
    bend_z_m = min(layer_m(walk, leader, hook_m), tip_z_m)
    saved_m = saving_m(limits.run_slope, min(limits.bend_radius_m, across_m / 2))
    return _s_m(walk, leader, hook_m) + tip_z_m - bend_z_m - saved_m


def _s_m(walk: Walk, leader: Leader, u_m: float) -> float:
    """Where along the stem a place on its layer line is: from the clip noted before it, else from the root by the
    first string; never past the clip noted after it."""
    noted = [
        (onward_u_m(fixing.u_m, leader.u_m, walk.loop), fixing.s_m)
        for fixing in leader.fixings
        if fixing.on == "string"
    ]
    before = [hold for hold in noted if hold[0] < u_m - 0.05]
    from_u_m, from_s_m = max(before) if before else _first_hold(walk, leader, u_m)
    here_m = layer_m(walk, leader, u_m)
    s_m = from_s_m + SLACK * hypot(u_m - from_u_m, here_m - layer_m(walk, leader, from_u_m))
    after = [hold for hold in noted if hold[0] > u_m + 0.05]
    if after and s_m >= min(after)[1]:
        to_u_m, to_s_m = min(after)
        s_m = from_s_m + (to_s_m - from_s_m) * (u_m - from_u_m) / (to_u_m - from_u_m)
    return s_m


def _first_hold(walk: Walk, leader: Leader, u_m: float) -> tuple[float, float]:
    """Where a stem comes up to its layer line: at its first string, straight from its root."""
    strings = sorted(onward_u_m(string.u_m, leader.u_m, walk.loop) for string in strings_of(walk))
    first_u_m = next((at for at in strings if leader.u_m - 0.05 <= at <= u_m), u_m)
    return first_u_m, hypot(first_u_m - leader.u_m, layer_m(walk, leader, first_u_m))


def _string_answered(walk: Walk, step: StringStep, text: str) -> StepAnswered:
    string = walk.season.strings[step.string]
    count = _count(step, text)
    lying = lying_at(walk, string)
    if count > len(lying):
        raise UserError(
            f"Only {many(len(lying), 'stem')} can have come to string {step.key}, as their hooks are noted; "
            f"{count} cannot be.",
            "Go back to the hook that hangs farther on, or count again.",
        )
    counted, gone = lying[:count], [stem for stem in lying[count:] if stem.fixings]
    fresh = [stem for stem in counted if not stem.fixings]
    writes: list[tuple[str, Body]] = [
        (stem.leader.place, Unclipped(fixing.id)) for stem in gone for fixing in stem.fixings
    ]
    writes += [(stem.leader.place, _clipped(walk, stem.leader, string)) for stem in fresh]
    seen = [stem for stem in counted if stem.fixings]
    if seen:
        fixings = tuple(fixing.id for stem in seen for fixing in stem.fixings)
        writes.append((string.row, Looked(tuple(stem.leader.id for stem in seen), fixings)))
    if not writes:
        writes.append((string.row, Note(text="")))
    return _step_answered(walk, step, writes, say("String {}: {}", step.key, _string_words(count, fresh, gone)))


def _count(step: StringStep, text: str) -> int:
    match = _COUNT.fullmatch(text)
    if match is None:
        raise UserError(f"{text!r} is no number of stems.", "Such as 5; + before a digit: ten more.")
    if not text:
        return step.count
    count = 10 * len(match["tens"]) + int(match["count"] or 0)
    if count > MOST_STEMS:
        raise UserError(f"{count} stems do not lie on one string.", "Count again.")
    return count


def _clipped(walk: Walk, leader: Leader, string: HungString) -> Clipped:
    u_m = onward_u_m(string.u_m, leader.u_m, walk.loop)
    s_m = round(max(_s_m(walk, leader, u_m), 0.0), 2)
    return Clipped(leader.id, s_m, "string", string.id, clip_kind=clip_kind(walk.season, leader))


def _string_words(count: int, fresh: Sequence[Lying], gone: Sequence[Lying]) -> str:
    parts = [say("{} clipped to it", many(count, "stem"))]
    if fresh:
        parts.append(say("new there: {}", listed([lying.leader.name for lying in fresh])))
    if gone:
        parts.append(say("not there: {}", listed([lying.leader.name for lying in gone])))
    return joined("; ", parts)


def _crop_answered(walk: Walk, step: CropStep, text: str) -> StepAnswered:
    """How many trusses hang; which they are follows from the one in flower, once that is counted."""
    match = _CROP.fullmatch(text)
    if match is None:
        raise UserError(f"{text!r} is no number of trusses.", "Such as 8, or 8l24: 8 trusses and 24 leaves.")
    hanging = int(match["count"]) if match["count"] else step.hanging
    leaves = float(match["leaves"] or LEAVES_PER_TRUSS * hanging + LEAVES_ABOVE_TRUSS)
    writes: list[tuple[str, Body]] = []
    for id_ in step.leaders:
        seen = Measured(id_, trusses_hanging=hanging, leaves=min(leaves, 200.0), by="eye")
        writes.append((walk.season.leaders[id_].place, seen))
    return _step_answered(
        walk,
        step,
        writes,
        say("{} on {}: {} a stem", step.cultivar, step.row, many(hanging, *walk.season.crop(step.cultivar).bears)),
    )


def _step_answered(walk: Walk, step: Step, writes: Sequence[tuple[str, Body]], sentence: str) -> StepAnswered:
    after = replace(walk, done=walk.done | {step.key})
    answers = answers_of(walk, step)
    drafts = [draft(about, body, answers) for about, body in writes]
    if after.chore is not None and not after.left:
        drafts.append(draft(step.row, Note(text=""), after.chore))
    return StepAnswered(after, tuple(drafts), sentence)
