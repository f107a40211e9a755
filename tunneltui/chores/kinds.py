"""Every kind of chore there is, in the order in which chores of one place are done."""

from __future__ import annotations

from typing import Literal

from tunneltui.chores import (
    accidents,
    along_the_wire,
    caring,
    clearing,
    clips,
    coming,
    crop_end,
    feeding,
    fit,
    habit,
    heads,
    leaves,
    look,
    low_fruit,
    lowering,
    picking,
    raising,
    room_gone,
    stood_before,
    strings,
    tips,
    trusses,
    weak,
)
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.season.entry_index import LASTING

FAMILIES = (
    accidents,
    look,
    heads,
    along_the_wire,
    strings,
    picking,
    leaves,
    trusses,
    low_fruit,
    clips,
    tips,
    weak,
    feeding,
    caring,
    fit,
    habit,
    coming,
    raising,
    crop_end,
    stood_before,
    clearing,
)
"""Each ends with its ``RULES``: its rules with the kinds each asks for."""

_HANDS_ORDER = (
    accidents.DROPPED,
    accidents.TIP_SNAPPED,
    accidents.KINKED,
    look.LOOK,
    look.LOOK_OVER,
    caring.SCOUT,
    coming.LOOK_WIRE,
    crop_end.FROST_TOOK,
    crop_end.CROP_OVER,
    stood_before.STOOD_BEFORE,
    habit.PUT_RIGHT,
    picking.PICK,
    clearing.STRIP_GREEN,
    leaves.DELEAF,
    leaves.SIDE_SHOOT,
    trusses.TRUSS_PRUNE,
    trusses.POLLINATE,
    heads.HANG,
    heads.CLIP_HEAD,
    heads.TWIST_IN,
    look.REPAIR,
    clips.SECOND_CLIP,
    strings.CLIP_TO_STRING,
    trusses.PROP,
    low_fruit.LOW_FRUIT,
    clips.TAKE_BACK_CLIPS,
    tips.TIP_OUT,
    weak.WEAK_PLANT,
    habit.MARK_PLANTS,
    habit.READ_AGAIN,
    caring.BLIGHT,
    clearing.CLEARING,
    raising.PLANT_OUT,
    caring.FLEECE,
    caring.VENTS,
    caring.SHADE,
    caring.WATER,
    feeding.FEED,
    caring.END_ROT,
    caring.ORDER,
    fit.WILL_FIT,
    coming.SET_OUT,
    coming.SOW,
    raising.RAISE,
    coming.LOAD_HOOKS,
    clearing.MAKE_BED,
    room_gone.ROOM_GONE,
    strings.CROSS_WIRE,
    coming.HANG_STRINGS,
    strings.STRING,
    strings.TWINE,
    lowering.LOWER,
)
"""One not named here comes last."""

_DECLARED = {kind.key: kind for family in FAMILIES for rule in family.RULES for kind in rule.kinds}
KINDS: dict[str, ChoreKind] = {kind.key: kind for kind in (*_HANDS_ORDER, *_DECLARED.values())}

if unlike := {key for key, kind in KINDS.items() if kind.lasts == "kept"} ^ LASTING:
    raise TypeError(f"season.entry_index keeps other ticks than the kinds say: {sorted(unlike)}")

_ORDER = {kind: number for number, kind in enumerate(KINDS)}


def order_at_a_spot(kind: str) -> int:
    return _ORDER[kind]


def belongs_to(kind: str, part: Literal["day", "morning", "evening"]) -> bool:
    """Whether a chore of that kind is done in that round."""
    return part == "day" or KINDS[kind].part in ("either", part)
