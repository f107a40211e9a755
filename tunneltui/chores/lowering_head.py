"""A leader as a lowering sees it: how far its tip is, how much it may be let out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from math import ceil, floor

from msgspec import Struct

from tunneltui.chores.wording import turn_m
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.layout import Loop
from tunneltui.loads.lowered import Hanging, hanging
from tunneltui.season.state import Leader, Season

UNDER_WIRE_M = 0.50
"""Where a tip belongs after lowering: 45 to 55 cm under the wire, or under what is lower."""
CLEAR_OF_LIMIT_M = 0.10
"""How far under wire, plastic or reach a tip must still be at the next visit (own simulation)."""
WORTH_A_GO_M = 0.10
"""Less to let out waits for the next visit where it can (assumed)."""
STEP_M = 0.05
"""Let-outs are given to 5 cm where a turn's length is unknown."""


class Head(Struct, frozen=True):
    """A leader on the day of the visit."""

    hangs: Hanging
    stem_next: StemOn
    """At the visit after, if nothing is let out."""
    wire_z_m: float
    limit_z_m: float
    step_m: float
    least_m: float
    """The least worth a go: one turn of the hook, where its length is known."""

    @property
    def leader(self) -> Leader:
        return self.hangs.leader

    @property
    def loop(self) -> Loop:
        return self.hangs.loop

    @property
    def hook_u_m(self) -> float:
        return self.hangs.hook_u_m

    @property
    def tip_z_m(self) -> float:
        return self.hangs.tip_z_m

    @property
    def spare_twine_m(self) -> float | None:
        return self.leader.hook.spare_m if self.leader.hook else None

    @property
    def clear_z_m(self) -> float:
        """How high the tip may hang after the visit to stay clear of the limit until the next one. Where it hangs
        now is seen when it is let down, and one that grows faster than foreseen is asked for again: a few
        days a little over the limit cost less than a go too many."""
        return self.limit_z_m - CLEAR_OF_LIMIT_M - (self.stem_next.tip_z_m.mid - self.hangs.stem.tip_z_m.mid)

    @property
    def place_z_m(self) -> float:
        """Where the tip belongs after the visit: under the wire, or under the plastic or your reach where those
        are lower, and clear of it until the next one."""
        return min(self.limit_z_m - UNDER_WIRE_M, self.clear_z_m)

    @property
    def needed_m(self) -> float:
        """Least let-out that keeps the tip clear of the limit until the next visit."""
        return self.tip_z_m - self.clear_z_m

    @property
    def wanted_m(self) -> float:
        """Let-out that brings the tip to its place, no less than is worth a go."""
        return max(self.tip_z_m - self.place_z_m, self.least_m)

    @property
    def can_wait(self) -> bool:
        """There is nothing to let out yet, and it stays clear of the limit until the next visit."""
        return self.needed_m <= 0 and self.tip_z_m - self.place_z_m < WORTH_A_GO_M - 1e-9

    @property
    def may_hang_low(self) -> bool:
        """Its tip is so little known that it may hang in its place already, or lower."""
        return self.hangs.stem.tip_z_m.low <= self.place_z_m

    def most_m(self, a_visit_m: float) -> float:
        """The most that can be let out on one visit, with the twine there is."""
        spare_m = self.spare_twine_m
        return a_visit_m if spare_m is None else min(a_visit_m, spare_m)

    def let_outs_m(self, a_visit_m: float) -> Iterator[float]:
        """Let-outs in whole steps, the best first: as wanted, then ever less, then ever more."""
        most_m = self.most_m(a_visit_m)
        steps = floor(most_m / self.step_m + 1e-6)
        steps_wanted = max(1, round(self.wanted_m / self.step_m), ceil(self.needed_m / self.step_m - 1e-6))
        best = min(steps_wanted, steps)
        for step in (*range(best, 0, -1), *range(best + 1, steps + 1)):
            yield round(step * self.step_m, 3)


def height_limit(season: Season, leader: Leader) -> tuple[float, str]:
    """The lowest of wire, plastic and reach over a leader, and its name."""
    tunnel, row = season.layout.rows[leader.row]
    limits = [(row.wire_height_m, "the wire"), (season.holding.work.reach_m, "your reach")]
    if tunnel.plastic_height_m is not None:
        limits.append((tunnel.plastic_height_m, "the plastic"))
    return min(limits)


COMES_LATE_DAYS = 28
"""Lowerings of so many days tell whether a loop is lowered late."""
SOONER_MOST_M = 0.25


def sooner_m(season: Season, outlook: Outlook, loop: str) -> float:
    """How much further under its limit a loop is kept whose heads came to their last lowering over it, or hang
    over it now: some of its work days are missed, or some of its lowerings left out, and nothing else tells."""
    over = [
        max(came_m, outlook.stem(leader.id, season.day).tip_z_m.mid - height_limit(season, leader)[0])
        for leader in season.leaders_of_loop(loop)
        if leader.id in outlook.leaders
        and leader.tip_taken_out_on is None
        and (came_m := _came_over_m(season, leader)) is not None
    ]
    return min(SOONER_MOST_M, max(0.0, sum(over) / len(over))) if over else 0.0


def _came_over_m(season: Season, leader: Leader) -> float | None:
    """How far over its limit its tip was before its last lowering; None where none of late tells."""
    last = leader.lowerings[-1] if leader.lowerings else None
    if last is None or last.aimed_under_wire_m is None or last.let_out_m is None:
        return None
    if (season.day - last.day).days > COMES_LATE_DAYS:
        return None
    lower_m = _wire_m(season, leader) - height_limit(season, leader)[0]
    return last.let_out_m + lower_m - last.aimed_under_wire_m


def _wire_m(season: Season, leader: Leader) -> float:
    return season.layout.rows[leader.row][1].wire_height_m


def head_of(
    season: Season, outlook: Outlook, leader: Leader, visit: date, next_visit: date, sooner: float = 0.0
) -> Head:
    """A leader as it will hang on the day of a visit, under a limit so much lower."""
    turn = turn_m(season, leader)
    return Head(
        hanging(season, leader, outlook.stem(leader.id, visit)),
        outlook.stem(leader.id, next_visit),
        _wire_m(season, leader),
        height_limit(season, leader)[0] - sooner,
        turn / 2 if turn else STEP_M,
        turn or STEP_M,
    )
