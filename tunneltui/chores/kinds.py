"""What is known of every kind of chore: how much it matters, when in the day it belongs, its place at a spot.

Weights are a judgement of what waiting costs (common practice, no source): what is falling first, then what will
fall, then fruit, then the weekly work.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

PartOfDay = Literal["morning", "evening", "either"]
Reach = Literal["stem", "loop", "house"]


@dataclass(frozen=True, slots=True)
class ChoreKind:
    says: str
    """What the work is called on a heading."""
    weight: float
    part: PartOfDay = "either"
    """Where two rounds a day are kept (design: morning for looking, fruit and leaves, evening for limp stems)."""
    reach: Reach = "house"
    """How much its rule looks at: one stem at a time, a loop of rows at a time, or all there is (the groups of
    ``rules.py``)."""


KINDS: dict[str, ChoreKind] = {
    "dropped": ChoreKind("rescue a dropped plant", 100, reach="loop"),
    "tip_snapped": ChoreKind("tip snapped", 60, reach="loop"),
    "kinked": ChoreKind("stem kinked", 60, reach="loop"),
    "look": ChoreKind("look for failures", 80, "morning"),
    "repair": ChoreKind("repair", 80, reach="stem"),
    "put_right": ChoreKind("put the picture right", 5),
    "fleece": ChoreKind("fleece", 20),
    "vents": ChoreKind("doors and vents", 30),
    "shade": ChoreKind("shade", 40),
    "water": ChoreKind("water", 70),
    "clip_head": ChoreKind("clip the head", 30, "evening", reach="loop"),
    "twist_in": ChoreKind("twist the head in", 30, "evening", reach="loop"),
    "second_clip": ChoreKind("second clip", 25, "evening", reach="stem"),
    "lower": ChoreKind("lower", 120, "evening", reach="loop"),
    "string": ChoreKind("hang a string", 15, "evening", reach="loop"),
    "cross_wire": ChoreKind("put up a cross wire", 60, reach="loop"),
    "twine": ChoreKind("more twine", 15, "evening", reach="loop"),
    "clip_to_string": ChoreKind("clip to the string", 15, "evening", reach="loop"),
    "pick": ChoreKind("pick", 60, "morning", reach="loop"),
    "deleaf": ChoreKind("take leaves", 15, "morning", reach="loop"),
    "side_shoot": ChoreKind("side shoots", 20, "morning", reach="loop"),
    "truss_prune": ChoreKind("prune trusses", 8, "morning", reach="loop"),
    "prop": ChoreKind("prop trusses", 10, reach="stem"),
    "pollinate": ChoreKind("shake the flowers", 8, reach="loop"),
    "take_back_clips": ChoreKind("take back clips", 2, reach="loop"),
    "tip_out": ChoreKind("take the tip out", 12, "morning", reach="loop"),
    "feed": ChoreKind("feed", 20),
    "blight": ChoreKind("late blight", 100),
    "end_rot": ChoreKind("blossom-end rot", 20),
    "order": ChoreKind("order helpers", 25),
    "scout": ChoreKind("look for sickness", 20, "morning"),
    "weak_plant": ChoreKind("weak one", 4, "morning", reach="loop"),
    "will_fit": ChoreKind("will it fit", 6),
    "mark_plants": ChoreKind("mark plants", 3, "morning"),
    "read_again": ChoreKind("read again", 4, "morning", reach="stem"),
    "set_out": ChoreKind("set the holding out", 5),
    "sow": ChoreKind("sow", 30),
    "look_wire": ChoreKind("look at wire and knots", 10),
    "hang_strings": ChoreKind("hang strings", 10),
    "load_hooks": ChoreKind("load hooks", 10),
    "raise": ChoreKind("raising", 30),
    "plant_out": ChoreKind("plant out", 40),
    "strip_green": ChoreKind("strip green", 12),
    "clearing": ChoreKind("clearing", 10),
    "make_bed": ChoreKind("make the bed", 3),
}
"""In the order in which chores of one spot are done."""

_ORDER = {kind: number for number, kind in enumerate(KINDS)}


def weight(kind: str) -> float:
    """How much a chore of that kind matters, against the others."""
    known = KINDS.get(kind)
    return known.weight if known else 10.0


def order_at_a_spot(kind: str) -> int:
    return _ORDER.get(kind, len(_ORDER))


def belongs_to(kind: str, part: Literal["day", "morning", "evening"]) -> bool:
    """Whether a chore of that kind is done in that round."""
    known = KINDS.get(kind)
    return part == "day" or known is None or known.part in ("either", part)
