"""Every kind of chore there is, in the order in which chores of one place are done."""

from __future__ import annotations

from typing import Literal

from tunneltui.chores import (
    accidents,
    caring,
    clearing,
    clips,
    coming,
    feeding,
    fit,
    habit,
    heads,
    leaves,
    look,
    lowering,
    picking,
    raising,
    strings,
    tips,
    trusses,
    weak,
)
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.season.shelves import LASTING

KINDS: dict[str, ChoreKind] = {
    kind.key: kind
    for kind in (
        accidents.DROPPED,
        accidents.TIP_SNAPPED,
        accidents.KINKED,
        look.LOOK,
        look.REPAIR,
        habit.PUT_RIGHT,
        caring.FLEECE,
        caring.VENTS,
        caring.SHADE,
        caring.WATER,
        heads.CLIP_HEAD,
        heads.TWIST_IN,
        clips.SECOND_CLIP,
        lowering.LOWER,
        strings.STRING,
        strings.CROSS_WIRE,
        strings.TWINE,
        strings.CLIP_TO_STRING,
        picking.PICK,
        leaves.DELEAF,
        leaves.SIDE_SHOOT,
        trusses.TRUSS_PRUNE,
        trusses.PROP,
        trusses.POLLINATE,
        clips.TAKE_BACK_CLIPS,
        tips.TIP_OUT,
        feeding.FEED,
        caring.BLIGHT,
        caring.END_ROT,
        caring.ORDER,
        caring.SCOUT,
        weak.WEAK_PLANT,
        fit.WILL_FIT,
        habit.MARK_PLANTS,
        habit.READ_AGAIN,
        coming.SET_OUT,
        coming.SOW,
        coming.LOOK_WIRE,
        coming.HANG_STRINGS,
        coming.LOAD_HOOKS,
        raising.RAISE,
        raising.PLANT_OUT,
        clearing.STRIP_GREEN,
        clearing.CLEARING,
        clearing.MAKE_BED,
    )
}

if unlike := {key for key, kind in KINDS.items() if kind.lasts == "kept"} ^ LASTING:
    raise TypeError(f"season.shelves keeps other ticks than the kinds say: {sorted(unlike)}")

_ORDER = {kind: number for number, kind in enumerate(KINDS)}


def order_at_a_spot(kind: str) -> int:
    return _ORDER[kind]


def belongs_to(kind: str, part: Literal["day", "morning", "evening"]) -> bool:
    """Whether a chore of that kind is done in that round."""
    return part == "day" or KINDS[kind].part in ("either", part)
