"""The whole-row lowering worked out head by head, front head first, by one fixed slope of the lying stems.

Stems of one slope from their roots are parallel lines and cannot cross, so every head has its own answer: how much
twine to let out, and where its hook then belongs (own simulation). The order of the hooks is kept where
a smaller let-out keeps it, or more let out of the slow one ahead; else the heads passed are named.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from math import floor

from msgspec import Struct

from tunneltui.cells import cm, say
from tunneltui.chores.lowering_head import STEP_M, UNDER_WIRE_M, Head, head_of
from tunneltui.chores.lowering_limits import NO_ROOM, broken_limit, corners_passed, room_way
from tunneltui.chores.lowering_move import LoweringMove
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Limits
from tunneltui.journal.kinds_holding_up import LET_OUT_MOST_M
from tunneltui.loads.doubles import Bearing, second_clips, too_much
from tunneltui.loads.lowered import CLIP_UNDER_TIP_M, Laid, StringClip, after_let_out, half_bend_m
from tunneltui.loads.path import REST_M, hook_u_m, layer_z_m
from tunneltui.season.state import Leader, Season
from tunneltui.values import replace

HOOKS_APART_M = 0.06
SAME_PLACE_M = 0.02
NUDGED_M, NUDGED_SHARE = 0.08, 0.4
"""A hook is hung at most so far beside its place to be clear of others, and no further than so much of the height
between the stems of neighbouring places: a bend moves up or down by 1.0 to 1.2 times that, and two neighbours may
come towards each other."""
OFF_LAYER_M = 0.05
"""A bend that comes to lie further than this from its stem's layer is mentioned."""
MORE_M = 0.20
"""A clip that would go over is worth so much more let-out, which brings the hook past the next string."""
ON_ITS_WAY_M = 0.30
"""A hook so far from its root was moved on before, noted or not (assumed)."""
THUMB, GUESSED_LENGTH_M = 1.2, 0.75
"""A hook moves so many times what is let out at most (common practice); a length no better known is a guess."""
REST_DAYS = 3
"""Days between two goes at one head."""


class _Visit(Struct, frozen=True):
    season: Season
    outlook: Outlook
    bearing: Bearing | None
    day: date
    hooks: dict[str, float]
    """Where every hook of the loop hangs, as the visit goes on."""
    crossed: dict[int, int]
    """Heads taken round each corner."""
    overtaken: Mapping[str, float]
    """Leaders that would be passed, and the farthest hook that would pass them."""

    def others(self, head: Head) -> dict[str, float]:
        return {leader: u_m for leader, u_m in self.hooks.items() if leader != head.leader.id}


def plan_lowering(
    season: Season,
    outlook: Outlook,
    leaders: Iterable[Leader],
    visit: date,
    next_visit: date,
    *,
    bearing: Bearing | None = None,
    unnoted: Collection[str] = (),
    sooner: float = 0.0,
) -> tuple[LoweringMove, ...]:
    """The moves of one visit to a loop, in the order of work.

    ``leaders`` are those of one loop to be lowered; its others keep their hooks and are kept clear of.
    ``unnoted`` are ids of those whose lowerings were never noted. Without ``bearing`` no clip is looked at.
    ``sooner``: metres by which the loop is kept further under its limit.
    """
    heads = front_first([head_of(season, outlook, leader, visit, next_visit, sooner) for leader in leaders])
    if not heads:
        return ()
    moves = _in_turn(season, outlook, heads, visit, bearing, unnoted, {})
    if overtaken := _overtaken(moves):
        again = _in_turn(season, outlook, heads, visit, bearing, unnoted, overtaken)
        if sum(len(move.passes) for move in again) < sum(len(move.passes) for move in moves):
            return again
    return moves


def _in_turn(
    season: Season,
    outlook: Outlook,
    heads: Sequence[Head],
    visit: date,
    bearing: Bearing | None,
    unnoted: Collection[str],
    overtaken: Mapping[str, float],
) -> tuple[LoweringMove, ...]:
    loop = heads[0].loop
    hooks = {leader.id: hook_u_m(leader, loop) for leader in season.leaders_of_loop(loop.id)}
    going = _Visit(season, outlook, bearing, visit, hooks, {}, overtaken)
    moves = []
    for head in heads:
        move = _catching_up(head) if head.leader.id in unnoted else _move(going, head)
        corners = corners_passed(season, loop, head.hook_u_m, move.hook_to_u_m)
        for corner in corners:
            going.crossed[corner] = going.crossed.get(corner, 0) + 1
        going.hooks[head.leader.id] = move.hook_to_u_m
        moves.append(replace(move, round_corner=bool(corners) and not move.unnoted))
    return tuple(_with_cautions(season, head, move, going.hooks) for head, move in zip(heads, moves, strict=True))


def _overtaken(moves: Sequence[LoweringMove]) -> dict[str, float]:
    """Heads lowered on this visit that another goes past, and how far the farthest of those comes."""
    passed: dict[str, float] = {}
    ids = {move.name: move.leader for move in moves if move.let_out_m > 0 and not move.unnoted}
    for move in moves:
        for name in move.passes:
            if name in ids:
                passed[ids[name]] = max(passed.get(ids[name], 0.0), move.hook_to_u_m)
    return passed


def moved_otherwise(
    season: Season,
    outlook: Outlook,
    visit: date,
    next_visit: date,
    move: LoweringMove,
    let_out_m: float,
    at_u_m: float | None,
    bearing: Bearing | None = None,
) -> LoweringMove:
    """A head's move as it was done by hand: so much let out, its hook there; ``None``: where that let-out brings
    it. Its clips follow from that."""
    head = head_of(season, outlook, season.leaders[move.leader], visit, next_visit)
    hooks = {leader.id: hook_u_m(leader, head.loop) for leader in season.leaders_of_loop(head.loop.id)}
    going = _Visit(season, outlook, bearing, visit, hooks, {}, {})
    return _as_move(going, head, after_let_out(season, head.hangs, let_out_m, at_u_m=at_u_m), "")


def front_first(heads: Sequence[Head]) -> list[Head]:
    """Against the way round. On a closed loop the head with most room ahead begins."""
    ordered = sorted(heads, key=lambda head: (-head.hook_u_m, head.leader.name))
    if len(ordered) < 2 or not ordered[0].loop.closed:
        return ordered
    length_m = ordered[0].loop.length_m
    room_m = [(ordered[n - 1].hook_u_m - head.hook_u_m) % length_m or length_m for n, head in enumerate(ordered)]
    first = room_m.index(max(room_m))
    return ordered[first:] + ordered[:first]


def _move(going: _Visit, head: Head) -> LoweringMove:
    legal = list(_legal(going, head))
    least_m = min(head.wanted_m, head.needed_m, head.most_m(going.season.holding.limits.lower_most_m))
    if max((to.let_out_m for to in legal), default=0.0) < least_m - 1e-9:
        why = _why_not(going, head)
        if why in NO_ROOM:
            return _coiled(going, head, why)
    if not legal:
        return _not_now(head, _why_not(going, head))
    best = legal[0]
    others = going.others(head).values()
    if (ahead := _ahead(going, head, legal)) is not None:
        return _for_its_clips(going, head, legal, ahead)
    enough = [to for to in legal if to.let_out_m >= min(best.let_out_m, head.needed_m) - 1e-9]
    in_order = next((to for to in enough if _keeps_order(head, to.hook_u_m, others)), None)
    if in_order is not None and in_order.let_out_m < best.let_out_m - 1e-9:
        return _as_move(going, head, in_order, _in_front(going, head, best.hook_u_m))
    passing = in_order or next((to for to in enough if _is_clear(to.hook_u_m, others)), None)
    if passing is not None:
        return _for_its_clips(going, head, legal, passing)
    # Off its line a stem comes near the next one's, so a hook goes beside its place only as a last resort.
    at_m = _most_room(best.hook_u_m, others, _nudged_m(going.season, head.loop))
    beside = after_let_out(going.season, head.hangs, best.let_out_m, at_u_m=at_m)
    if broken_limit(going.season, head, beside, going.crossed):
        beside = best
    crowded = "" if _is_clear(at_m, others) else "crowded hooks: hang it close beside the next"
    return _as_move(going, head, beside, crowded)


def _ahead(going: _Visit, head: Head, legal: Sequence[Laid]) -> Laid | None:
    """Up to 20 cm more let out of a slow head, where that keeps it in front of one that would pass it."""
    behind_m = going.overtaken.get(head.leader.id)
    if behind_m is None:
        return None
    others = going.others(head).values()
    least_m, most_m = legal[0].let_out_m, legal[0].let_out_m + MORE_M
    enough = [
        to
        for to in legal
        if least_m - 1e-9 <= to.let_out_m <= most_m + 1e-9
        and to.hook_u_m >= behind_m + HOOKS_APART_M
        and _keeps_order(head, to.hook_u_m, others)
    ]
    return min(enough, key=lambda to: to.let_out_m, default=None)


def _for_its_clips(going: _Visit, head: Head, legal: Sequence[Laid], to: Laid) -> LoweringMove:
    """Up to 20 cm more let out where a clip would carry too much, if that spares it; else a second clip."""
    if going.bearing is None:
        return _as_move(going, head, to, "")
    if too_much(going.season, head.hangs, to, going.bearing):
        more = [m for m in legal if to.let_out_m + 1e-9 < m.let_out_m <= to.let_out_m + MORE_M + 1e-9]
        others = going.others(head).values()
        behind = _keeps_order(head, to.hook_u_m, others)
        for farther in sorted(more, key=lambda tried: tried.let_out_m):
            keeps = _keeps_order(head, farther.hook_u_m, others) if behind else _is_clear(farther.hook_u_m, others)
            if keeps and not too_much(going.season, head.hangs, farther, going.bearing):
                return _as_move(going, head, farther, "")
    return _as_move(going, head, to, "")


def _legal(going: _Visit, head: Head) -> Iterator[Laid]:
    """Let-outs that break no limit, the best first; by the centimetre where no whole step will do."""
    a_visit_m = going.season.holding.limits.lower_most_m
    any_legal = False
    for let_out_m in head.let_outs_m(a_visit_m):
        to = _to(going, head, let_out_m)
        if not broken_limit(going.season, head, to, going.crossed):
            any_legal = True
            yield to
    if any_legal:
        return
    for let_out_cm in range(floor(head.most_m(a_visit_m) * 100 + 1e-6), 0, -1):
        to = _to(going, head, let_out_cm / 100)
        if not broken_limit(going.season, head, to, going.crossed):
            yield to


def _to(going: _Visit, head: Head, let_out_m: float) -> Laid:
    """On its line; a stem on its way whose length is a guess is hung on by the rule of thumb: to the line of a far
    longer stem its head would be hauled down by its hook. How its bend lies is told as on its line: of a guess
    nobody knows it better."""
    on_line = after_let_out(going.season, head.hangs, let_out_m)
    length_m, thumb_u_m = head.hangs.stem.length_m, head.hook_u_m + THUMB * let_out_m
    on_its_way = head.hook_u_m > head.leader.u_m + ON_ITS_WAY_M
    guessed = length_m.high - length_m.low > 2 * GUESSED_LENGTH_M
    if on_its_way and guessed and on_line.hook_u_m > thumb_u_m:
        passed = tuple(clip for clip in on_line.clips if clip.u_m <= thumb_u_m)
        return replace(on_line, hook_u_m=round(thumb_u_m, 3), clips=passed)
    return on_line


def _coiled(going: _Visit, head: Head, why: str) -> LoweringMove:
    """Let out as wanted where lawful moves fall short: a tip over the wire snaps, stem on the ground does not."""
    let_out_m = next(head.let_outs_m(going.season.holding.limits.lower_most_m), 0.0)
    if let_out_m <= 0:
        return _not_now(head, _why_not(going, head))
    hook_m = head.hook_u_m
    if room_way(going.season, head.loop.id) == "turn_back":
        hook_m = _most_room(
            max(head.hook_u_m - let_out_m, 0.0), going.others(head).values(), _nudged_m(going.season, head.loop)
        )
    return replace(_let_down(going, _not_now(head, why), head, let_out_m), hook_to_u_m=hook_m, coiled=True)


def _why_not(going: _Visit, head: Head) -> str:
    most_m = head.most_m(going.season.holding.limits.lower_most_m)
    if most_m < 0.01:
        return "the twine: none is left on its hook"
    tried = (after_let_out(going.season, head.hangs, m) for m in (most_m, min(most_m, max(head.wanted_m, 0.01))))
    return next(filter(None, (broken_limit(going.season, head, to, going.crossed) for to in tried)), "")


def _keeps_order(head: Head, hook_m: float, others: Iterable[float]) -> bool:
    """Still behind, and clear of, every hook that was ahead."""
    return all(hook_m <= u_m - HOOKS_APART_M + 1e-9 for u_m in others if u_m > head.hook_u_m)


def _is_clear(hook_m: float, others: Iterable[float]) -> bool:
    return all(abs(hook_m - u_m) >= HOOKS_APART_M - 1e-9 for u_m in others)


def _in_front(going: _Visit, head: Head, hook_m: float) -> str:
    """The nearest head that a hook there would come past or too near."""
    near = [
        (u_m, leader) for leader, u_m in going.others(head).items() if head.hook_u_m < u_m < hook_m + HOOKS_APART_M
    ]
    return say("{} in front of it", going.season.leaders[min(near)[1]].name) if near else ""


def _most_room(hook_m: float, others: Iterable[float], nudged_m: float) -> float:
    """The nearest place clear of all other hooks, else the one with most room, within ``nudged_m``."""
    taken = list(others)
    beside = range(int(nudged_m * 100 + 1e-6) + 1)
    places = [hook_m + side * shift_cm / 100 for shift_cm in beside for side in (-1, 1)]
    return max(places, key=lambda place_m: min([HOOKS_APART_M, *(abs(place_m - u_m) for u_m in taken)]))


def _nudged_m(season: Season, loop: Loop) -> float:
    """How far beside its place a hook may hang without its stem coming to lie across a neighbour's."""
    roots = sorted({leader.u_m for leader in season.leaders_of_loop(loop.id)})
    apart_m = min((b - a for a, b in pairwise(roots) if b - a > SAME_PLACE_M), default=NUDGED_M)
    return min(NUDGED_M, NUDGED_SHARE * season.holding.limits.run_slope * apart_m)


def _with_cautions(season: Season, head: Head, move: LoweringMove, hooks: Mapping[str, float]) -> LoweringMove:
    """What the hand must know of where hook and bend come to be."""
    if move.let_out_m <= 0 or move.unnoted or move.coiled:
        return move
    cautions = []
    loop = head.loop
    apart_m = {
        leader: abs((u_m - move.hook_to_u_m + loop.length_m / 2) % loop.length_m - loop.length_m / 2)
        if loop.closed
        else abs(u_m - move.hook_to_u_m)
        for leader, u_m in hooks.items()
        if leader != move.leader
    }
    near = min(apart_m, key=lambda leader: apart_m[leader], default=None)
    if near is not None and apart_m[near] < HOOKS_APART_M - 1e-6:
        cautions.append(say("its hook comes within {} of {}'s", cm(apart_m[near]), season.leaders[near].name))
    layer_z_m_here = layer_z_m(head.leader.u_m, move.hook_to_u_m, season.holding.limits)
    off_m = move.bend_z_m - layer_z_m_here
    if head.leader.training == "tiered" and abs(off_m) > OFF_LAYER_M:
        cautions.append(say("its bend will lie {} {} its layer", cm(abs(off_m)), "over" if off_m > 0 else "under"))
    return replace(move, mind=tuple(cautions))


def _as_move(going: _Visit, head: Head, to: Laid, held_back: str) -> LoweringMove:
    limits = going.season.limits_of(head.leader)
    head_clips = [fixing for fixing in head.leader.fixings if fixing.on == "head"]
    opens = [fixing.id for fixing in head_clips if fixing.s_m < to.bend_s_m + half_bend_m(limits)]
    bare = bool(head_clips) and len(opens) == len(head_clips)
    short = to.let_out_m < head.needed_m - 1e-9
    held_back = held_back or (_limited(head, limits) if short else "")
    passed = sorted((u, x) for x, u in going.others(head).items() if head.hook_u_m < u < to.hook_u_m)
    own = (head.hangs.own_string,) if head.hangs.own_string else ()
    second: tuple[StringClip, ...] = ()
    if going.bearing is not None:
        second = second_clips(going.season, going.outlook, head.hangs, to, going.bearing, going.day)
    return replace(
        _let_down(going, _not_now(head, held_back), head, to.let_out_m),
        hook_to_u_m=to.hook_u_m,
        bend_z_m=to.bend_z_m,
        bend_s_m=to.bend_s_m,
        clips=(*own, *to.clips),
        second=second,
        first=head.hangs.is_upright,
        opens=tuple(opens),
        top_clip_s_m=round(head.hangs.length_m - CLIP_UNDER_TIP_M, 2) if bare else None,
        passes=tuple(going.season.leaders[leader].name for _, leader in passed),
        again_on=going.day + timedelta(days=REST_DAYS) if short and not is_out_of_twine(head, limits) else None,
    )


def is_out_of_twine(head: Head, limits: Limits) -> bool:
    """Less twine left than a visit may let out."""
    return head.most_m(limits.lower_most_m) < limits.lower_most_m


def _limited(head: Head, limits: Limits) -> str:
    if is_out_of_twine(head, limits):
        return say("the twine: {} are left on its hook", cm(head.most_m(limits.lower_most_m)))
    return say("{} a visit", cm(limits.lower_most_m))


def _let_down(going: _Visit, move: LoweringMove, head: Head, let_out_m: float) -> LoweringMove:
    """So much let out of it, said as its place where that is as much as whole steps of the hook come to, or all
    that one go allows: its tip may be guessed too high."""
    off_m = let_out_m - (head.tip_z_m - head.place_z_m)
    a_go_m = going.season.holding.limits.lower_most_m
    all_of_it = let_out_m > a_go_m - head.step_m + 1e-9 and head.most_m(a_go_m) == a_go_m
    by_place = abs(off_m) <= max(head.step_m / 2, STEP_M) + 1e-9 or (off_m < 0 and all_of_it)
    place_m = round(head.wire_z_m - head.place_z_m, 2) if by_place else None
    return replace(move, let_out_m=let_out_m, place_under_m=place_m, may_hang_low=head.may_hang_low)


def _not_now(head: Head, why: str) -> LoweringMove:
    """A head that stays as it is."""
    return LoweringMove(
        leader=head.leader.id,
        name=head.leader.name,
        place=head.leader.place,
        hook_number=head.leader.hook.number if head.leader.hook else None,
        tip_z_m=head.tip_z_m,
        wire_z_m=head.wire_z_m,
        let_out_m=0.0,
        hook_from_u_m=head.hook_u_m,
        hook_to_u_m=head.hook_u_m,
        bend_z_m=head.hangs.hold.z_m,
        bend_s_m=head.hangs.hold.s_m,
        limited_by=why,
    )


def _catching_up(head: Head) -> LoweringMove:
    """Nothing was noted of a stem that must have been lowered: all at once, what has no height lying down, as far
    as one note may say."""
    lying_m = max(0.0, head.hangs.length_m - (min(head.limit_z_m, head.wire_z_m) - UNDER_WIRE_M))
    lying_m = min(lying_m, LET_OUT_MOST_M)
    hook_m = head.leader.u_m + lying_m
    if not head.loop.closed:
        hook_m = min(hook_m, max(head.loop.length_m, head.leader.u_m))
    return replace(
        _not_now(head, ""),
        let_out_m=round(lying_m, 2),
        hook_to_u_m=round(hook_m, 2),
        bend_z_m=REST_M,
        bend_s_m=round(lying_m, 2),
        unnoted=True,
    )
