"""A leader as a lowering sees it: how far its tip is, what holds its lying stem, how much it may be let out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from math import ceil, floor, hypot

from tunneltui.chores.lowering_move import StringClip
from tunneltui.chores.wording import turn_m
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.layout import Loop
from tunneltui.loads.path import REST_M, fixing_z_m, hold_s_m, hook_u_m, layer_z_m, lying_holds, onward_u_m
from tunneltui.season.state import HungString, Leader, Season

UNDER_WIRE_M = 0.50
"""Where a tip belongs after lowering: 45 to 55 cm under the wire."""
CLEAR_OF_LIMIT_M = 0.10
"""How far under wire, plastic or reach a tip must still be at the next visit (loads-forms.md section 4)."""
STEP_M = 0.05
"""Let-outs are said to 5 cm where a turn's length is unknown."""
OWN_STRING_M = 0.35
"""A string this near past the root holds the stem up into its tier."""
OWN_STRING_BELOW_TIP_M = 0.50
"""Stem there must be above that string before it is clipped to it (assumed)."""


@dataclass(frozen=True, slots=True)
class Hold:
    """The last place at which a lying stem is held."""

    u_m: float
    z_m: float
    s_m: float


@dataclass(frozen=True, slots=True)
class Head:
    """A leader on the day of the visit."""

    leader: Leader
    loop: Loop
    strings: tuple[HungString, ...]
    """Of its loop, as its stem reaches them."""
    stem: StemOn
    stem_next: StemOn
    """At the visit after, if nothing is let out."""
    hook_u_m: float
    hold: Hold
    own_string: StringClip | None
    """To be clipped before the first lowering: support before letting out."""
    wire_z_m: float
    limit_z_m: float
    step_m: float

    @property
    def length_m(self) -> float:
        return self.stem.length_m.mid

    @property
    def tip_z_m(self) -> float:
        return self.stem.tip_z_m.mid

    @property
    def is_upright(self) -> bool:
        """Not held by any string yet."""
        return self.own_string is not None or self.hold.s_m == 0.0

    @property
    def spare_twine_m(self) -> float | None:
        return self.leader.hook.spare_m if self.leader.hook else None

    @property
    def needed_m(self) -> float:
        """Least let-out that keeps the tip clear of the limit until the next visit, at the 90 % high end."""
        return self.stem_next.tip_z_m.high - (self.limit_z_m - CLEAR_OF_LIMIT_M)

    @property
    def wanted_m(self) -> float:
        """Let-out that brings the tip back to its place under the wire, no less than needed."""
        return max(self.tip_z_m - (self.wire_z_m - UNDER_WIRE_M), self.needed_m)

    def most_m(self, a_visit_m: float) -> float:
        """The most that can be let out on one visit, with the twine there is."""
        spare_m = self.spare_twine_m
        return a_visit_m if spare_m is None else min(a_visit_m, spare_m)

    def let_outs_m(self, a_visit_m: float) -> Iterator[float]:
        """Let-outs in whole steps, the best first: as wanted, then ever less, then ever more."""
        most_m = self.most_m(a_visit_m)
        steps = floor(most_m / self.step_m + 1e-6)
        wanted = max(1, round(self.wanted_m / self.step_m), ceil(self.needed_m / self.step_m - 1e-6))
        best = min(wanted, steps)
        for step in (*range(best, 0, -1), *range(best + 1, steps + 1)):
            yield round(step * self.step_m, 3)


def height_limit(season: Season, leader: Leader) -> tuple[float, str]:
    """The lowest of wire, plastic and reach over a leader, and its name."""
    tunnel, row = season.layout.rows[leader.row]
    limits = [(row.wire_height_m, "the wire"), (season.holding.work.reach_m, "your reach")]
    if tunnel.plastic_height_m is not None:
        limits.append((tunnel.plastic_height_m, "the plastic"))
    return min(limits)


def is_unnoted(season: Season, outlook: Outlook, leader: Leader) -> bool:
    """Longer than there is height for, with neither hook, lowering nor lying clip noted."""
    if leader.hook or leader.lowerings or any(fixing.on != "head" for fixing in leader.fixings):
        return False
    return outlook.stem(leader.id, season.day).length_m.mid > height_limit(season, leader)[0]


def head(season: Season, outlook: Outlook, leader: Leader, visit: date, next_visit: date) -> Head:
    """A leader as it will hang on the day of a visit."""
    loop = season.layout.loops[leader.loop]
    strings = strings_along(season, leader, loop)
    stem = outlook.stem(leader.id, visit)
    wire_z_m = season.layout.rows[leader.row][1].wire_height_m
    hold = last_hold(season, leader, stem)
    own = _own_string(season, leader, strings, stem) if hold is None else None
    turn = turn_m(season, leader)
    return Head(
        leader,
        loop,
        strings,
        stem,
        outlook.stem(leader.id, next_visit),
        hook_u_m(leader, loop),
        hold or (Hold(own.u_m, own.z_m, own.s_m) if own else Hold(leader.u_m, 0.0, 0.0)),
        own,
        wire_z_m,
        height_limit(season, leader)[0],
        turn / 2 if turn else STEP_M,
    )


def last_hold(season: Season, leader: Leader, stem: StemOn) -> Hold | None:
    """None for a stem held only by its head."""
    if leader.training == "laid_down":
        return Hold(leader.u_m, REST_M, REST_M)
    lying = lying_holds(leader, stem.length_m.mid)
    if not lying:
        return None
    last = lying[-1]
    wire_z_m = season.layout.rows[leader.row][1].wire_height_m
    u_m = onward_u_m(last[0].u_m, leader.u_m, season.layout.loops[leader.loop])
    z_m = fixing_z_m(last[0], leader, u_m, season.holding.limits, wire_z_m)
    return Hold(u_m, z_m, hold_s_m(last, stem.length_m.mid))


def strings_along(season: Season, leader: Leader, loop: Loop) -> tuple[HungString, ...]:
    """The strings of a leader's loop in the order its stem reaches them."""
    onward = (
        replace(s, u_m=onward_u_m(s.u_m, leader.u_m, loop)) for s in season.strings.values() if s.loop == loop.id
    )
    return tuple(sorted(onward, key=lambda s: s.u_m))


def _own_string(
    season: Season, leader: Leader, strings: tuple[HungString, ...], stem: StemOn
) -> StringClip | None:
    """A first hold in the leader's tier, so that the stem lies in it and not on the soil."""
    if leader.training != "tiered":
        return None
    for string in strings:
        if 0 <= string.u_m - leader.u_m <= OWN_STRING_M:
            z_m = layer_z_m(leader.u_m, string.u_m, season.holding.limits)
            s_m = hypot(string.u_m - leader.u_m, z_m)
            if s_m < stem.length_m.mid - OWN_STRING_BELOW_TIP_M:
                return StringClip(string.id, string.number, string.u_m, z_m, round(s_m, 2))
    return None
