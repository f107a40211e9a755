"""Strings: clip to those the run has come past, hang what is missing, more twine, a wire over a corner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import pairwise
from math import ceil, hypot

from tunneltui.cells import Day, as_typed, cm, listed, load, m, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import STEPS, WIRE, ChoreKind
from tunneltui.chores.lowering import LoweringJob
from tunneltui.chores.lowering_limits import HEADS_A_CORNER, NOTHING_OVERHEAD
from tunneltui.chores.lowering_move import LoweringMove
from tunneltui.chores.making import at_head, make_chore, on_the_loop, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.chores.wording import stem_name
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import Loop
from tunneltui.journal.kinds_holding_up import Clipped, Hung, StringHung
from tunneltui.journal.kinds_journal import Note
from tunneltui.loads.corner import side_pull_n
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.lines import hook_id
from tunneltui.loads.lowered import CLIP_UNDER_TIP_M, SLACK, Hold, last_hold, next_string, strings_along
from tunneltui.loads.path import hook_u_m, layer_z_m
from tunneltui.loads.result import Loads
from tunneltui.season.state import HungString, Leader, Season

CLIP_TO_STRING = ChoreKind(
    "clip_to_string",
    "clip to the string",
    "stem",
    "plants",
    worth=0.04,
    minutes=1 / 3,
    part="evening",
    reach="loop",
)
STRING = ChoreKind(
    "string", "hang a string", "place", "overhead", worth=0.04, minutes=3.0, part="evening", reach="loop"
)
TWINE = ChoreKind("twine", "more twine", "stem", "overhead", worth=0.08, minutes=3.0, part="evening", reach="loop")
CROSS_WIRE = ChoreKind(
    "cross_wire",
    "put up a cross wire",
    "loop",
    "overhead",
    worth=0.1,
    minutes=30.0,
    reach="loop",
    cautions=(STEPS, WIRE),
)
MORE_TWINE_WEEKS = 8
"""Twine tied on should last so long (common practice, no source)."""


def clip_to_string(season: Season, outlook: Outlook, jobs: Sequence[LoweringJob]) -> Iterator[Chore]:
    """A run that has come two bend radii past a string it should be clipped to, unless it is lowered today; not
    over its tip, nor twice: a stem that is shorter than its run is put right instead."""
    today = {move.leader for job in jobs if job.visit == season.day for move in job.doable}
    for leader in season.leaders.values():
        if leader.training != "tiered" or leader.hook is None or leader.id in today:
            continue
        if leader.id not in outlook.leaders:
            continue
        hold = last_hold(season, leader, outlook.stem(leader.id, season.day))
        if hold is None:
            continue
        loop = season.layout.loops[leader.loop]
        limits = season.holding.limits
        clear_m = hook_u_m(leader, loop) - 2 * limits.bend_radius_m
        string = next_string(strings_along(season, leader, loop), hold.u_m, clear_m, limits.string_span_m)
        if string is None or any(fixing.string == string.id for fixing in leader.fixings):
            continue
        z_m = layer_z_m(leader.u_m, string.u_m, limits)
        s_m = round(hold.s_m + SLACK * hypot(string.u_m - hold.u_m, z_m - hold.z_m), 2)
        if s_m <= outlook.stem(leader.id, season.day).length_m.mid - CLIP_UNDER_TIP_M:
            yield _clip_to_string(season, leader, hold, string, z_m, s_m)


def _clip_to_string(
    season: Season, leader: Leader, hold: Hold, string: HungString, z_m: float, s_m: float
) -> Chore:
    hook_m = hook_u_m(leader, season.layout.loops[leader.loop])
    where = on_the_loop(season, leader.loop, string.u_m)
    return make_chore(
        CLIP_TO_STRING,
        f"{leader.name} {season.string_name(string.id)}",
        where,
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=2),
        overhead=z_m > season.holding.work.reach_m,
        proposal=say("{}: clip to {}, {} up", leader.name, season.string_name(string.id), cm(z_m)),
        why=say(
            "Its run hangs free over {} from its last clip to its hook, and has come {} past {}.",
            cm(hook_m - hold.u_m),
            cm(hook_m - string.u_m),
            season.string_name(string.id),
        ),
        pieces=whole(
            where,
            minutes_for(season, CLIP_TO_STRING),
            (
                leader.place,
                Clipped(leader.id, s_m, "string", string.id, clip_kind=clip_kind(season, leader), assumed=True),
            ),
            leaders=[leader.id],
            what=say("clip to it, stem {}", stem_name(season, leader, where.row)),
        ),
    )


def hang_strings(season: Season, _outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Gaps between strings, and row ends without one, that lying stems already cross."""
    for loop in season.layout.loops.values():
        lying = [
            (leader, leader.u_m, hook_u_m(leader, loop))
            for leader in season.leaders_of_loop(loop.id)
            if leader.training == "tiered" and leader.hook
        ]
        for from_m, to_m in _gaps(season, loop):
            across = [leader.name for leader, root_m, hook_m in lying if root_m < from_m and hook_m > to_m]
            if across:
                yield _hang_string(season, loop, from_m, to_m, across)


def _gaps(season: Season, loop: Loop) -> Iterator[tuple[float, float]]:
    """Stretches of a loop's rows wider than ``limits.string_gap_m`` without a string, as two ``u_m``."""
    for stretch in loop.stretches:
        end_m = stretch.u_start_m + season.layout.rows[stretch.row][1].length_m
        places = sorted(s.u_m for s in season.strings_of_loop(loop.id) if s.row == stretch.row)
        # Behind the last string a stem only needs one where it goes on round the corner.
        goes_on = stretch is not loop.stretches[-1] or loop.closed
        for from_m, to_m in pairwise([*places, end_m] if goes_on else places):
            if to_m - from_m > season.holding.limits.string_gap_m + 1e-9:
                yield from_m, to_m


def _hang_string(season: Season, loop: Loop, from_m: float, to_m: float, across: list[str]) -> Chore:
    # In the middle of the gap, or at the row's end where the gap lies before it.
    ends = [s.u_start_m + season.layout.rows[s.row][1].length_m for s in loop.stretches]
    before_end = any(abs(to_m - end_m) < 1e-9 for end_m in ends)
    where = on_the_loop(season, loop.id, to_m if before_end else (from_m + to_m) / 2)
    of_row = [string for string in season.strings.values() if string.row == where.row]
    number = max((string.number for string in of_row), default=0) + 1
    twine = of_row[0].twine if of_row else ""
    return make_chore(
        STRING,
        f"{where.row} {where.x_m:.2f} m",
        where,
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=7),
        overhead=season.layout.rows[where.row][1].wire_height_m > season.holding.work.reach_m,
        proposal=say("hang string {} at {} on {}", number, m(where.x_m, 2), where.row),
        why=say(
            "{} cross {} there without a string; over {} their clips carry much more.",
            listed(across),
            cm(to_m - from_m),
            cm(season.holding.limits.string_gap_m),
        ),
        pieces=whole(
            where, minutes_for(season, STRING), (where.row, StringHung(round(where.x_m, 2), number, twine))
        ),
    )


def more_twine(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """A hook with less twine than one lowering may need."""
    most_m = season.holding.limits.lower_most_m
    for leader in season.leaders.values():
        if leader.training == "pinched_at_wire" or leader.tip_taken_out_on or leader.id not in outlook.leaders:
            continue
        hook = leader.hook
        if hook is not None and hook.spare_m is not None and hook.spare_m < most_m:
            weekly_m = outlook.leaders[leader.id].growth_m_per_week.mid
            more_m = max(1.0, ceil(2 * MORE_TWINE_WEEKS * weekly_m) / 2)
            where = at_head(season, leader)
            yield make_chore(
                TWINE,
                leader.name,
                where,
                when="any",
                earliest=season.day,
                latest=season.day + timedelta(days=7),
                overhead=season.layout.rows[leader.row][1].wire_height_m > season.holding.work.reach_m,
                proposal=say("{}: tie {} more twine to hook {}", leader.name, as_typed(more_m, "m"), hook.number),
                why=say(
                    "{} of twine are left on it, {} grows {} a week and one lowering takes up to {}.",
                    cm(hook.spare_m),
                    leader.name,
                    cm(weekly_m),
                    cm(most_m),
                ),
                pieces=whole(
                    where,
                    minutes_for(season, TWINE),
                    (leader.place, Hung(leader.id, hook.u_m, round(hook.spare_m + more_m, 2), hook.kind)),
                    leaders=[leader.id],
                ),
            )


def cross_wire(season: Season, loads: Loads, jobs: Sequence[LoweringJob]) -> Iterator[Chore]:
    """Heads have come to a row's end with nothing overhead to hang them from on the way round."""
    for job in jobs:
        waiting = [move for move in job.moves if move.limited_by == NOTHING_OVERHEAD]
        if waiting:
            loop = season.layout.loops[job.loop]
            first = loop.stretches[0]
            end_m = first.u_start_m + season.layout.rows[first.row][1].length_m
            where = on_the_loop(season, job.loop, end_m)
            yield make_chore(
                CROSS_WIRE,
                job.loop,
                where,
                when="any",
                earliest=season.day,
                latest=job.visit,
                must=True,
                overhead=True,
                proposal=say("put up a cross wire over the end of {}, then note it in the holding", first.row),
                why=say(
                    "{} must go round the end of {} by {}, and nothing is overhead there to hang them from. {}",
                    listed([move.name for move in waiting]),
                    first.row,
                    Day(job.visit, season.day),
                    _sideways(season, loads, loop, waiting),
                ),
                pieces=whole(
                    where,
                    minutes_for(season, CROSS_WIRE),
                    (first.row, Note("cross wire put up over the row's end; corner to be set in the holding")),
                ),
            )


def _sideways(season: Season, loads: Loads, loop: Loop, waiting: Sequence[LoweringMove]) -> str:
    """What the heads of one visit will do to the end frame, hung side by side in the middle."""
    first = loop.stretches[0]
    hooks = {line.id: line.mid_n for line in loads.lines}
    heads_n = [hooks.get(hook_id(season.leaders[move.leader]), 0.0) for move in waiting[:HEADS_A_CORNER]]
    across_m = first.length_m - season.layout.rows[first.row][1].length_m
    pull_n = side_pull_n(season.layout, loop, first, [(across_m / 2, newton) for newton in heads_n])
    heads = "that head" if len(heads_n) == 1 else say("{} heads", len(heads_n))
    return say("With {} on it the wire pulls the end frame sideways with about {}.", heads, load(pull_n))


RULES = (
    ChoreRule(hang_strings, (STRING,)),
    ChoreRule(more_twine, (TWINE,)),
)
