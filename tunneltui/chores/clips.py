"""Second clips where one carries too much or may fail, and clips taken back where they do nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from itertools import pairwise
from math import ceil

from msgspec import Struct

from tunneltui.cells import Range, capital, cm, day_word, joined, load, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.lowering import LoweringJob
from tunneltui.chores.lowering_move import LoweringMove
from tunneltui.chores.making import PlannedPiece, at_row, make_chore, on_the_loop, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.chores.wording import on_what, stem_name
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, Tied, Unclipped
from tunneltui.loads.clips import PAIR_HIGH, PAIR_LOW, Carried
from tunneltui.loads.doubles import bearing_of
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.lowered import DOUBLED_M
from tunneltui.loads.path import ONE_SUPPORT_M
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.loads.stem import stem_on
from tunneltui.loads.whatif import Lower, PickedRow, with_change
from tunneltui.loads.workings import clips_as
from tunneltui.season.state import Fixing, Leader, Season
from tunneltui.season.work_days import WEEK_DAYS
from tunneltui.values import replace

SECOND_CLIP = ChoreKind(
    "second_clip",
    "second clip",
    "stem",
    "plants",
    worth=0.06,
    window=True,
    minutes=1 / 3,
    part="evening",
    reach="loop",
)
TAKE_BACK_CLIPS = ChoreKind(
    "take_back_clips", "take back clips", "row", "plants", worth=0.002, minutes=1 / 3, reach="loop"
)
A_DAY = 6
"""Second clips asked for in a day beside musts: more is a list nobody works (assumed)."""
MOST_IN_ONE_PLACE = 3
"""Clip, second clip, tie: more does not help there."""
LOADED_N = 5.0
"""A clip that may bear this, half a kilogram, holds something up and stays. Common practice, no source."""
BARE_FREE_M = 1.2
"""Bare stem may lie free over no more than this when clips are taken back; over 1.5 m counts as dropped."""


class _Over(Struct, frozen=True):
    """A clip that carries too much, or may fail, within the week."""

    clip: ClipLoad
    fixing: Fixing
    leader: Leader
    day: date
    """The first on which it does."""
    carried: Carried
    """What it carries on that day."""


def second_clip(
    season: Season, outlook: Outlook, loads: Loads, jobs: Iterable[LoweringJob] = ()
) -> Iterator[Chore]:
    """Share of its strength or chance of failing at its limit, now or within seven days; the likeliest first.

    What today's pick and the lowering of ``jobs`` relieve is not asked for before them. Head clips are asked for
    only once one has failed: which of them bears the head cannot be told.
    """
    by_name = {leader.name: leader for leader in season.leaders.values()}
    moves = {move.leader: move for job in jobs if job.visit == season.day for move in job.doable}
    heads = loads.workings is not None and loads.workings.head_failed
    spoken_for: set[str] = set()
    done: dict[str, dict[str, ClipLoad] | None] = {}
    for clip in sorted(loads.clips, key=lambda clip: (-clip.chance_7d, -clip.share, clip.id)):
        if clip.on == "head" and not heads:
            continue
        leader = by_name.get(clip.leader)
        fixing = next((f for f in leader.fixings if f.id == clip.id), None) if leader else None
        if leader is None or fixing is None or fixing.id in spoken_for:
            continue
        beside = _beside(leader, fixing)
        over = _over(season, outlook, clip, fixing, leader)
        if over is not None and leader.id not in done:
            done[leader.id] = _after_today(season, outlook, loads, leader, moves.get(leader.id))
        if over is not None and len(beside) < MOST_IN_ONE_PLACE and not _relieved(season, over, done[leader.id]):
            # Of several in one place the fullest speaks for all.
            spoken_for |= {other.id for other in beside}
            yield _second_clip(season, over, len(beside))


def _after_today(
    season: Season, outlook: Outlook, loads: Loads, leader: Leader, move: LoweringMove | None
) -> dict[str, ClipLoad] | None:
    """What a leader's clips will bear once today's pick and lowering are done, by id; None where neither comes."""
    picked = leader.picked_clean_on != season.day and any(
        (coming.day, coming.row, coming.cultivar) == (season.day, leader.row, leader.cultivar)
        for coming in outlook.picks
    )
    if loads.workings is None or leader.id not in outlook.leaders or not (picked or move):
        return None
    season_after, coming = season, replace(outlook, leaders={leader.id: outlook.leaders[leader.id]})
    if picked:
        season_after, coming = with_change(season_after, coming, season.day, PickedRow(leader.row))
    if move is not None and not move.coiled:
        lower = Lower(leader.id, move.let_out_m, move.hook_to_u_m, move.aimed_under_wire_m)
        season_after, coming = with_change(season_after, coming, season.day, lower, bearing_of(loads))
    return {clip.id: clip for clip in clips_as(loads.workings, season_after, coming, leader.id)}


def _relieved(season: Season, over: _Over, after: Mapping[str, ClipLoad] | None) -> bool:
    limits = season.holding.limits
    if after is None:
        return False
    clip_after = after.get(over.clip.id)
    return clip_after is None or (
        max(clip_after.mid_n, clip_after.mid_7d_n) < limits.amber_share * clip_after.strength_n
        and clip_after.chance_7d < limits.amber_chance
    )


def a_few_a_day(season: Season, todo: Iterable[Chore]) -> list[Chore]:
    """No more than ``A_DAY`` second clips today beside musts, the likeliest; the others on the days after."""
    ticked = sum(done.answers[0] == SECOND_CLIP.key and done.day == season.day for done in season.done)
    left = max(0, A_DAY - ticked)
    chores: list[Chore] = []
    waiting: list[Chore] = []
    for chore in todo:
        (waiting if chore.kind == SECOND_CLIP.key and not chore.must else chores).append(chore)
    waiting.sort(key=lambda chore: (-max((piece.worth for piece in chore.pieces), default=0.0), chore.id))
    for number, chore in enumerate(waiting):
        days = 0 if number < left else 1 + (number - left) // A_DAY
        chores.append(_not_before(chore, season.day + timedelta(days=days)) if days else chore)
    return chores


def _not_before(chore: Chore, day: date) -> Chore:
    pieces = tuple(
        piece._replace(earliest=max(piece.earliest, day), latest=max(piece.latest, day)) for piece in chore.pieces
    )
    return chore._replace(pieces=pieces, earliest=max(chore.earliest, day))


def _beside(leader: Leader, fixing: Fixing) -> list[Fixing]:
    """Fixings that bear together: on one string within a hand of each other, or on one head."""
    together = [f for f in leader.fixings if (f.on, f.string) == (fixing.on, fixing.string)]
    if fixing.on == "head":
        return together
    return [f for f in together if abs(f.s_m - fixing.s_m) <= ONE_SUPPORT_M + 1e-9]


def _over(season: Season, outlook: Outlook, clip: ClipLoad, fixing: Fixing, leader: Leader) -> _Over | None:
    limits = season.holding.limits
    carried = Carried(clip.low_n, clip.mid_n, clip.high_n, clip.sd_n)
    if clip.share >= limits.amber_share:
        return _Over(clip, fixing, leader, season.day, carried)
    allowed_n = limits.amber_share * clip.strength_n
    if clip.mid_7d_n >= allowed_n:
        days = ceil(WEEK_DAYS * (allowed_n - carried.mid_n) / (clip.mid_7d_n - carried.mid_n) - 1e-9)
        carried_later = _carried_on(season, outlook, leader, clip.id, days) or carried
        return _Over(clip, fixing, leader, season.day + timedelta(days=days), carried_later)
    if clip.chance_7d >= limits.amber_chance:
        return _Over(clip, fixing, leader, season.day, carried)
    return None


def _carried_on(season: Season, outlook: Outlook, leader: Leader, fixing: str, days: int) -> Carried | None:
    if leader.id not in outlook.leaders:
        return None
    grown = outlook.stem(leader.id, season.day + timedelta(days=days))
    return stem_on(season, leader, grown).borne.clips.get(fixing)


def _second_clip(season: Season, over: _Over, in_place: int) -> Chore:
    limits = season.holding.limits
    clip, leader = over.clip, over.leader
    # Which clip of a head bears what cannot be told, so their chance alone does not make a must.
    risky = clip.chance_7d >= limits.red_chance and over.fixing.on != "head"
    red = clip.share >= limits.red_share or risky
    tie = in_place > 1 and over.fixing.on != "head"
    again = "tie" if tie else "second clip" if in_place == 1 else "one more clip"
    where = on_the_loop(season, leader.loop, clip.u_m)
    return make_chore(
        SECOND_CLIP,
        f"{leader.name} {clip.on} at {cm(clip.s_m).shown()}",
        where,
        when="any",
        earliest=season.day,
        latest=over.day,
        must=red,
        overhead=clip.z_m > season.holding.work.reach_m,
        proposal=f"{leader.name}: {again}, {clip.on}",
        why=_why(season, over, in_place),
        pieces=whole(
            where,
            minutes_for(season, SECOND_CLIP),
            (leader.place, _another(season, over, tie)),
            leaders=[leader.id],
            what=say("{}, stem {}", again, stem_name(season, leader, where.row)),
            key=f"{in_place + 1}",
            worth=SECOND_CLIP.worth * clip.chance_7d / limits.red_chance if limits.red_chance else None,
        ),
        waiting=_chance(clip),
    )


def _another(season: Season, over: _Over, tie: bool) -> Body:
    fixing = over.fixing
    s_m = round(fixing.s_m + DOUBLED_M, 2)
    if tie:
        return Tied(
            fixing.leader, round(fixing.s_m + DOUBLED_M / 2, 2), fixing.on, fixing.string, fixing.z_m, assumed=True
        )
    kind = fixing.clip_kind or clip_kind(season, over.leader)
    return Clipped(fixing.leader, s_m, fixing.on, fixing.string, fixing.z_m, kind, assumed=True)


def _why(season: Season, over: _Over, in_place: int) -> str:
    clip = over.clip
    when = day_word(over.day, season.day)
    thing = "clip" if in_place == 1 else "fullest clip"
    sentence = say(
        "{}'s {} on {} carries {} {}; 1 in 20 of these fails by {}",
        over.leader.name,
        thing,
        _the(clip.on),
        Range(over.carried.low_n, over.carried.high_n, "N"),
        when if over.day == season.day else "by " + when,
        load(clip.strength_n),
    )
    if in_place == 1:
        per_clip = Range(PAIR_LOW * over.carried.low_n, PAIR_HIGH * over.carried.high_n, "N")
        sentence += say(". With a second clip {} each", per_clip)
    if clip.chance_7d >= season.holding.limits.amber_chance:
        sentence += ". " + capital(_chance(clip))
    return sentence + "."


def _the(on: str) -> str:
    return on if on.startswith("string ") else say("the {}", on)


def _chance(clip: ClipLoad) -> str:
    """A chance as growers put it: 1 in so many."""
    if clip.chance_7d <= 0.001:
        return ""
    return say("about 1 in {} like it fails within a week", max(1, round(1 / clip.chance_7d)))


def take_back_clips(season: Season, outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    """Head clips that came to lie in the bend, and every clip on bare stem that it can do without."""
    bears_n = {clip.id: clip.high_n for clip in loads.clips}
    for row in season.layout.rows:
        idle = [
            fixing
            for leader in season.leaders_of_row(row)
            if leader.id in outlook.leaders
            for fixing in _idle(leader, outlook.stem(leader.id, season.day), loads)
            # What is not known to bear next to nothing stays where it is.
            if bears_n.get(fixing.id, LOADED_N) < LOADED_N
        ]
        if idle:
            yield _take_back(season, row, idle)


def _idle(leader: Leader, stem: StemOn, loads: Loads) -> list[Fixing]:
    path = loads.paths.get(leader.id)
    bend_s_m = path.bend_s_m if path and path.bend_s_m is not None else 0.0
    heads = [f for f in leader.fixings if f.on == "head"]
    in_the_bend = [f for f in heads if f.s_m < bend_s_m]
    if len(in_the_bend) == len(heads):
        # The last hold of a head is never taken.
        in_the_bend = []
    return [*in_the_bend, *_idle_on_bare_stem(leader, stem)]


def _idle_on_bare_stem(leader: Leader, stem: StemOn) -> list[Fixing]:
    """Lying clips below leaves and fruit, as long as what is left free stays short. The first hold stays."""
    bare_m = min([stem.bare_below_m, *(truss.s_m for truss in stem.trusses)])
    lying = [f for f in leader.fixings if f.on == "string"]
    idle: list[Fixing] = []
    kept_s_m = lying[0].s_m if lying else 0.0
    for fixing, after in pairwise(lying[1:]):
        if after.s_m <= bare_m and after.s_m - kept_s_m <= BARE_FREE_M + 1e-9:
            idle.append(fixing)
        else:
            kept_s_m = fixing.s_m
    return idle


def _take_back(season: Season, row: str, idle: list[Fixing]) -> Chore:
    in_the_bend = sum(fixing.on == "head" for fixing in idle)
    on_bare = len(idle) - in_the_bend
    whys = [
        say("{} of {} came to lie in the bend", many(in_the_bend, "head clip"), row) if in_the_bend else "",
        say(
            "{} of {} {} bare stem that its neighbours can hold",
            many(on_bare, "clip"),
            row,
            "holds" if on_bare == 1 else "hold",
        )
        if on_bare
        else "",
    ]
    return make_chore(
        TAKE_BACK_CLIPS,
        row,
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=season.day + timedelta(days=WEEK_DAYS),
        proposal=say("take {} back to the pocket", many(len(idle), "clip")),
        why=joined(" and ", (part for part in whys if part))
        + ("; it is" if len(idle) == 1 else "; they are")
        + " wanted higher up.",
        pieces=[_taken_back(season, fixing) for fixing in idle],
    )


def _taken_back(season: Season, fixing: Fixing) -> PlannedPiece:
    leader = season.leaders[fixing.leader]
    where = on_the_loop(season, leader.loop, fixing.u_m)
    what = say("{}, {}, {} up the stem", leader.name, on_what(season, fixing.on, fixing.string), cm(fixing.s_m))
    minutes = minutes_for(season, TAKE_BACK_CLIPS)
    return PlannedPiece(fixing.id, where, minutes, ((leader.place, Unclipped(fixing.id)),), (leader.id,), what)


RULES = (ChoreRule(take_back_clips, (TAKE_BACK_CLIPS,)),)
