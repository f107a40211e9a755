"""Entries about what holds stems up, and about its failures."""

from __future__ import annotations

from typing import Annotated, Literal

from annotated_types import Ge, Le
from msgspec import Struct

OnWhat = Literal["string", "head", "wire"]
"""``string``: a lying stem on a string; ``head``: the hanging head on its own twine; ``wire``: to the wire."""
HowFailed = Literal["popped_open", "broke", "slid", "stem_pulled_out", "knot", "twine", "knocked"]
Finish = Literal["well_under", "as_said", "over"]
"""The finish keys of a lowering: where the tip hung against the proposal."""
RoomWay = Literal["coil", "tier_down", "turn_back", "fewer_tips"]
"""The stem coiled on the ground under its hook; the bare lowest tier let down first; heads hung back along the
same wire; every third tip taken out."""
AlongStem = Annotated[float, Ge(0), Le(60)]
AlongLoop = Annotated[float, Ge(-5), Le(1000)]
Height = Annotated[float, Ge(0), Le(6)]
LET_OUT_MOST_M = 6.0
LetOut = Annotated[float, Ge(-LET_OUT_MOST_M), Le(LET_OUT_MOST_M)]


class Hung(Struct, frozen=True):
    """A leader's hook hung on the wire, or moved along it."""

    leader: str
    hook_u_m: AlongLoop
    spare_m: Annotated[float, Ge(0), Le(100)] | None = None
    """Twine left on the hook."""
    hook_kind: str = ""
    assumed: bool = False


class StringHung(Struct, frozen=True):
    """``about`` is the row."""

    x_m: Annotated[float, Ge(0), Le(500)]
    number: Annotated[int, Ge(0), Le(9999)]
    twine: str = ""


class StringCut(Struct, frozen=True):
    string: str


class Clipped(Struct, frozen=True):
    """A clip closed; ``z_m`` None: at the height the loop's slope gives."""

    leader: str
    s_m: AlongStem
    on: OnWhat = "string"
    string: str = ""
    z_m: Height | None = None
    clip_kind: str = ""
    assumed: bool = False
    """Set by a tick, not seen; never counts as a survivor until seen."""


class Tied(Struct, frozen=True):
    leader: str
    s_m: AlongStem
    on: OnWhat = "string"
    string: str = ""
    z_m: Height | None = None
    assumed: bool = False


class Unclipped(Struct, frozen=True):
    fixing: str


class TwistedIn(Struct, frozen=True):
    """The head wound round its twine up to the tip."""

    leader: str


class Lowered(Struct, frozen=True):
    """Twine let out and the hook moved on. By ``space`` alone it is weak evidence (rule 7)."""

    leader: str
    let_out_m: LetOut | None = None
    turns: Annotated[float, Ge(-20), Le(20)] | None = None
    hook_u_m: AlongLoop | None = None
    tip_under_wire_m: Annotated[float, Ge(-3), Le(6)] | None = None
    """Measured after letting out."""
    finish: Finish | None = None
    as_proposed: bool = False
    """Ticked, not measured."""
    aimed_under_wire_m: Annotated[float, Ge(-3), Le(6)] | None = None
    """Let out until the tip hung so far under the wire; how much was let out is then only about known."""
    coiled_m: Annotated[float, Ge(0), Le(6)] = 0.0
    """So much of what was let out lies in a coil on the ground under the hook, which stayed where it was."""


class RoomDecided(Struct, frozen=True):
    """What is done on a loop whose stems have no room left along the wire; ``about`` is a row of it."""

    way: RoomWay


class Propped(Struct, frozen=True):
    """Something set under a stem or truss."""

    leader: str
    s_m: AlongStem
    z_m: Height = 0.0
    """Top of a prop that stands on the ground and bears the stem; 0 for a splint or a truss's brace."""


class ClipFailed(Struct, frozen=True):
    fixing: str
    how: HowFailed
    dropped: bool = False


class TipSnapped(Struct, frozen=True):
    leader: str
    length_left_m: AlongStem | None = None


class StemKinked(Struct, frozen=True):
    leader: str
    s_m: AlongStem | None = None


class PlantDropped(Struct, frozen=True):
    leader: str


KINDS: dict[str, type] = {
    "hung": Hung,
    "string_hung": StringHung,
    "string_cut": StringCut,
    "clipped": Clipped,
    "tied": Tied,
    "unclipped": Unclipped,
    "twisted_in": TwistedIn,
    "lowered": Lowered,
    "room_decided": RoomDecided,
    "propped": Propped,
    "clip_failed": ClipFailed,
    "tip_snapped": TipSnapped,
    "stem_kinked": StemKinked,
    "plant_dropped": PlantDropped,
}
