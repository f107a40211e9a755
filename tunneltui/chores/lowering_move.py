"""The move of one head when its row is lowered: as values, and in growers' words."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tunneltui.cells import cm, say
from tunneltui.chores.wording import hook_place, let_out, turn_m
from tunneltui.growth.evidence import FOLDS_CM
from tunneltui.growth.position import SHORT_CM
from tunneltui.loads.lowered import StringClip
from tunneltui.season.state import Season

THUMB_OFF_M = 0.10
"""A hook that moves this much less than 1.0 or more than 1.2 times the let-out is flagged."""


class LoweringMove(Struct, frozen=True):
    """What one head gets. ``let_out_m`` 0: nothing can be done on this visit, and ``limited_by`` says why."""

    leader: str
    name: str
    place: str
    hook_number: int | None
    tip_z_m: float
    """Before letting out."""
    wire_z_m: float
    let_out_m: float
    hook_from_u_m: float
    hook_to_u_m: float
    bend_z_m: float
    bend_s_m: float
    clips: tuple[StringClip, ...] = ()
    """String clips to close, in order; two of a string are a clip doubled."""
    second: tuple[StringClip, ...] = ()
    """Second clips: beside those that hang and would carry too much, and beside new ones that may well fail in
    their first fortnight."""
    opens: tuple[str, ...] = ()
    """Ids of the head clips that would lie in the bend."""
    top_clip_s_m: float | None = None
    """A new head clip, where all the old ones are opened."""
    passes: tuple[str, ...] = ()
    """Names of heads it goes past, on the path side."""
    limited_by: str = ""
    mind: tuple[str, ...] = ()
    """Warnings about where it comes to hang and lie, each a few words."""
    again_on: date | None = None
    """A second go, where one is not enough."""
    coiled: bool = False
    """No room is left for it along the wire: what is let out lies in a coil on the ground; the hook stays, or is
    hung back along the wire."""
    unnoted: bool = False
    """The stem is longer than its path and no lowering is noted: the notes catch up."""

    round_corner: bool = False
    """It goes round a row's end."""
    first: bool = False
    """Its first go: an upright stem leans over, and the hook moves further than it will later."""

    place_under_m: float | None = None
    """Where under the wire its tip belongs; None: what is let out brings it somewhere else."""
    may_hang_low: bool = False
    """Its tip is so little known that it may hang there already."""

    @property
    def under_after_m(self) -> float:
        """Where its tip is to hang under the wire once enough is let out."""
        if self.place_under_m is not None:
            return self.place_under_m
        return self.wire_z_m - self.tip_z_m + self.let_out_m

    @property
    def falls_short(self) -> bool:
        """All that one go allows leaves its tip well over its place."""
        return self.under_after_m - (self.wire_z_m - self.tip_z_m + self.let_out_m) > SHORT_CM / 100 + 1e-9

    @property
    def aimed_under_wire_m(self) -> float | None:
        """The same as it is noted; None where its tip is not brought to a place."""
        folded = self.tip_z_m - self.let_out_m > self.wire_z_m + FOLDS_CM / 100
        return None if self.unnoted or folded else round(self.under_after_m, 2)

    @property
    def hook_moved_m(self) -> float:
        return self.hook_to_u_m - self.hook_from_u_m

    @property
    def is_off_the_thumb(self) -> bool:
        """Rule of thumb: the hook moves 1.0 to 1.2 times what is let out; off by more than 10 cm is flagged, but
        where it is said already what holds it back."""
        unusual = self.unnoted or self.first or self.coiled or self.let_out_m <= 0 or bool(self.limited_by)
        off_m = max(1.0 * self.let_out_m - self.hook_moved_m, self.hook_moved_m - 1.2 * self.let_out_m, 0.0)
        return not unusual and off_m > THUMB_OFF_M + 1e-9


def move_words(season: Season, move: LoweringMove) -> str:
    """One head's line: ``one turn, hook a hand past string 9``."""
    leader = season.leaders[move.leader]
    if move.let_out_m <= 0:
        return say("not now, {}", move.limited_by)
    place = hook_place(season, leader.loop, move.hook_to_u_m)
    if move.coiled:
        hook = "hook stays" if move.hook_moved_m > -0.01 else say("hook back {}", place)
        return say(
            "{}, {}, coil the stem on the ground under it", let_out(move.let_out_m, turn_m(season, leader)), hook
        )
    if move.unnoted:
        return say("note it as {} let out so far, hook {}", cm(move.let_out_m), place)
    return say("{}, hook {}", let_out(move.let_out_m, turn_m(season, leader)), place)


def closed_on(season: Season, move: LoweringMove) -> list[str]:
    """The strings it is clipped to in order, those with two clips ``doubled``."""
    closed = {clip.string: 0 for clip in move.clips}
    for clip in (*move.clips, *move.second):
        if clip.string in closed:
            closed[clip.string] += 1
    return [f"{season.string_name(string)}{' doubled' if count > 1 else ''}" for string, count in closed.items()]


def beside_old(season: Season, move: LoweringMove) -> list[str]:
    """The strings on which a clip that hangs already gets a second one."""
    closed = {clip.string for clip in move.clips}
    return [season.string_name(clip.string) for clip in move.second if clip.string not in closed]
