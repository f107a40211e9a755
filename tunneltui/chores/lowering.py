"""Lower: a loop is one job on its work day, or sooner where a head cannot wait for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from math import inf
from typing import NamedTuple

from msgspec import Struct

from tunneltui.cells import Day, cm, day_word, joined, listed, m, many, say
from tunneltui.chores.begun_late import is_unnoted, stems_to_note, unsure_tips
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import STEPS, ChoreKind
from tunneltui.chores.heads import stands_still
from tunneltui.chores.lowering_head import head_of, height_limit, sooner_m
from tunneltui.chores.lowering_move import LoweringMove, move_words
from tunneltui.chores.lowering_plan import REST_DAYS, plan_lowering
from tunneltui.chores.making import PlannedPiece, make_chore, next_weekday, on_the_loop
from tunneltui.chores.minutes import minutes_for
from tunneltui.growth.evidence import FOLDS_CM
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.holding.layout import Loop
from tunneltui.holding.model import Weekday
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, Lowered, Unclipped
from tunneltui.loads.doubles import Bearing, bearing_of
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import next_work_day, sure_work_day

LOWER = ChoreKind(
    "lower",
    "lower",
    "loop",
    "overhead",
    worth=0.03,
    window=True,
    minutes=1.25,
    part="evening",
    reach="loop",
    lasts="facts",
    blank=("tips under the wire, cm", 16),
    cautions=(STEPS,),
)
AHEAD_DAYS = 7
"""Lowerings further ahead than this are not listed yet."""
COME_ALONG_DAYS = 4
"""Heads due so soon come along when the loop is lowered: fewer goes than head by head, and none too early (own
simulation)."""
SOONER_M = 0.10
"""Where a row has no work day of its own, a head may come so much nearer to its limit before it is lowered."""
TOUCHES_M = 0.05
"""A tip this near to its limit is lowered that day."""
WORTH_BY_UNDER_M = ((0.0, 0.12), (0.10, 0.08), (inf, 0.03))
"""Kg a minute by how far the tip is under its limit: over it one tip in a hundred snaps a day, with three weeks of
its fruit (own simulation)."""
OVER_WIRE_M, OVER_WIRE_WORTH = 0.10, 0.2
"""A tip so far over its wire snaps as easily as a loose one, and is loose besides: nothing holds it there (own
simulation)."""

HIGHER_SHARE = 0.15
"""So much of the way from where a tip likely is to the high end of its 90 % it is taken to be higher: over a limit
it may snap, a go too soon costs a minute. Of a tip that is read that is a centimetre or two (own simulation)."""
SPLINT_DAYS = 10
"""A splinted stem waits so long before it is lowered (common practice, no source)."""
SHOOT_SEEN_DAYS = 14
"""Under a snapped tip the shoot that will lead is a hand long after a fortnight, a week before it leads (common
practice, no source)."""
CRACKS_STOP = 2
"""Stems that kinked today in a loop: then it is not lowered before tomorrow."""


class LoweringJob(Struct, frozen=True):
    """One visit to one loop."""

    loop: str
    visit: date
    next_visit: date
    moves: tuple[LoweringMove, ...]
    """In the order of work; those that cannot be done now have nothing to let out."""
    due: dict[str, date]
    """By leader, the day after which its tip is at its limit."""

    @property
    def doable(self) -> tuple[LoweringMove, ...]:
        return tuple(move for move in self.moves if move.let_out_m > 0)

    @property
    def stuck(self) -> tuple[LoweringMove, ...]:
        return tuple(move for move in self.moves if move.let_out_m <= 0)


def lower(season: Season, outlook: Outlook, jobs: Iterable[LoweringJob]) -> Iterator[Chore]:
    """One chore a loop, with the entries of every head that can be lowered."""
    for job in jobs:
        if job.doable:
            yield _lower(season, outlook, job)


def lowering_jobs(season: Season, outlook: Outlook, loads: Loads | None = None) -> list[LoweringJob]:
    """The next visit to every loop that has one within the week, with each head's move."""
    bearing = bearing_of(loads) if loads is not None else None
    jobs = (_job(season, outlook, bearing, loop) for loop in season.layout.loops.values())
    return [job for job in jobs if job is not None]


class _Window(NamedTuple):
    """From when a head may be lowered, and by when it must be."""

    first: date
    due: date
    rested: date
    """No sooner, however late it is."""


def _job(season: Season, outlook: Outlook, bearing: Bearing | None, loop: Loop) -> LoweringJob | None:
    sooner = sooner_m(season, outlook, loop.id)
    windows = _windows(season, outlook, loop, sooner)
    if not windows:
        return None
    work_day = season.layout.rows[loop.stretches[0].row][1].work_day
    soonest = min(window.first for window in windows.values())
    ready = max(season.day, min(window.rested for window in windows.values()))
    visit = _visit(ready, soonest, work_day)
    cracked_today = sum(
        accident.kind == "stem_kinked" and accident.day == season.day
        for leader in season.leaders_of_loop(loop.id)
        for accident in leader.accidents
    )
    if cracked_today >= CRACKS_STOP:
        visit = max(visit, season.day + timedelta(days=1))
    going = _going(season, outlook, windows, visit, work_day, sooner)
    while not going and (visit - season.day).days <= AHEAD_DAYS:
        visit = _next_visit(visit, work_day) if work_day else visit + timedelta(days=1)
        going = _going(season, outlook, windows, visit, work_day, sooner)
    # What was lowered today is not asked for again before tomorrow, however far ahead.
    lowered_today = any(x.lowerings and x.lowerings[-1].day == season.day for x in season.leaders_of_loop(loop.id))
    ahead_days = AHEAD_DAYS - lowered_today
    if (visit - season.day).days > ahead_days:
        return None
    next_visit = _next_visit(visit, work_day)
    unnoted = {leader.id for leader in going if is_unnoted(season, outlook, leader)}
    moves = plan_lowering(
        season, outlook, going, visit, next_visit, bearing=bearing, unnoted=unnoted, sooner=sooner
    )
    # A row with a work day is one job.
    due = {leader.id: visit if work_day else max(visit, windows[leader.id].due) for leader in going}
    return _as_many_as_a_visit(season, LoweringJob(loop.id, visit, next_visit, moves, due))


def _going(
    season: Season,
    outlook: Outlook,
    windows: Mapping[str, _Window],
    visit: date,
    work_day: Weekday | None,
    sooner: float,
) -> list[Leader]:
    """The heads of one visit: those due before the next one, but for those there is next to nothing to let out of
    and that stay clear of their limit till then."""
    next_visit = _next_visit(visit, work_day)
    sure = sure_work_day(season, visit) - timedelta(days=1)
    by = next_visit - timedelta(days=1) if work_day else max(sure, visit + timedelta(days=COME_ALONG_DAYS))
    taken = [
        season.leaders[leader]
        for leader, window in windows.items()
        if (window.due <= by or window.first <= visit) and window.rested <= visit
    ]
    return [
        leader
        for leader in taken
        if is_unnoted(season, outlook, leader)
        or not head_of(season, outlook, leader, visit, next_visit, sooner).can_wait
    ]


def _windows(season: Season, outlook: Outlook, loop: Loop, sooner: float) -> dict[str, _Window]:
    """By leader. A head at rest after its last go waits till it is rested; one with no hook noted hangs over its
    root. Of a loop begun in mid season nobody knows how its unnoted stems hang: they wait for the walk that notes
    it."""
    windows: dict[str, _Window] = {}
    waits = {leader.id for leader in stems_to_note(season, outlook, loop.id)}
    waits |= _waits_for_the_walk(season, outlook, loop)
    weekly = season.layout.rows[loop.stretches[0].row][1].work_day is not None
    before = sure_work_day(season, season.day)
    for leader in season.leaders_of_loop(loop.id):
        if leader.training == "pinched_at_wire" or leader.id not in outlook.leaders or leader.id in waits:
            continue
        if leader.tip_taken_out_on is not None and leader.lowerings:
            # It grows no more, and hangs as it was left.
            continue
        if stands_still(season, leader) and not _leads_out_of_reach(season, outlook, leader):
            continue
        if is_unnoted(season, outlook, leader):
            windows[leader.id] = _Window(season.day, season.day, _rested_on(season, leader, season.day))
            continue
        margin_m = season.holding.limits.tip_margin_m
        first = near_limit_on(season, outlook, leader, sooner + (margin_m if weekly else margin_m - SOONER_M))
        if first is None:
            continue
        due = first if weekly else near_limit_on(season, outlook, leader, sooner + TOUCHES_M)
        if due is None:
            # It grows so slowly that it comes to its limit in none of the days foreseen, or no more.
            continue
        if not weekly and due < before:
            first = season.day
        rested = _rested_on(season, leader, due)
        windows[leader.id] = _Window(max(first, rested), max(due, rested), rested)
    return windows


def _leads_out_of_reach(season: Season, outlook: Outlook, leader: Leader) -> bool:
    """Its tip snapped over its limit, and the shoot that is to lead on from the break can be seen."""
    snapped_on = max(accident.day for accident in leader.accidents if accident.kind == "tip_snapped")
    seen = (season.day - snapped_on).days >= SHOOT_SEEN_DAYS
    return seen and _over_m(season, outlook, leader, season.day) > 0


def _waits_for_the_walk(season: Season, outlook: Outlook, loop: Loop) -> set[str]:
    """Heads never lowered yet whose tips a walk is to tell, but for those taken to be at their limit."""
    return {
        leader.id
        for leader in unsure_tips(season, outlook, loop.id)
        if not leader.lowerings
        and outlook.stem(leader.id, season.day).tip_z_m.mid < height_limit(season, leader)[0] - TOUCHES_M
    }


def lowering_days(season: Season, outlook: Outlook, leader: Leader) -> tuple[date, date] | None:
    """From when it may be lowered next, and by when it must; None: not within the outlook."""
    if leader.training == "pinched_at_wire":
        return None
    first = near_limit_on(season, outlook, leader, season.holding.limits.tip_margin_m - SOONER_M)
    due = near_limit_on(season, outlook, leader, TOUCHES_M)
    if first is None or due is None:
        return None
    rested = _rested_on(season, leader, due)
    return max(first, rested), max(due, rested)


def near_limit_on(season: Season, outlook: Outlook, leader: Leader, margin_m: float) -> date | None:
    """First day of the outlook with the tip within a margin of wire, plastic or reach, or with some likelihood."""
    z_m = height_limit(season, leader)[0] - margin_m
    days = outlook.leaders[leader.id].days
    return next((day for day in sorted(days) if day >= season.day and _high_m(days[day]) >= z_m - 1e-9), None)


def _high_m(stem: StemOn) -> float:
    """How high a tip is taken to stand that must not come over its limit."""
    return stem.tip_z_m.mid + HIGHER_SHARE * (stem.tip_z_m.high - stem.tip_z_m.mid)


def _rested_on(season: Season, leader: Leader, due: date) -> date:
    """After its last go, and after a kink was splinted, a stem waits; after a go for one night only where it would
    be at its limit before the next work day on which it has rested longer."""
    waits = []
    if leader.lowerings:
        last = leader.lowerings[-1].day
        rested = last + timedelta(days=REST_DAYS)
        again = next_work_day(season, rested - timedelta(days=1))
        waits = [last + timedelta(days=1) if due < again != rested else rested]
    waits += [a.day + timedelta(days=SPLINT_DAYS) for a in leader.accidents if a.kind == "stem_kinked"]
    return max(waits, default=leader.since)


def _visit(ready: date, soonest: date, work_day: Weekday | None) -> date:
    """The last work day that is not too late for the first head; where there is none, when that one is due.

    ``ready`` is the first day on which a head may be lowered.
    """
    if work_day is None:
        return soonest
    work = next_weekday(ready, work_day)
    while work + timedelta(days=7) <= soonest:
        work += timedelta(days=7)
    return work if work <= soonest else soonest


def _next_visit(visit: date, work_day: Weekday | None) -> date:
    """A work day soon after a visit that was brought forward is passed over."""
    return next_weekday(visit + timedelta(days=REST_DAYS + 1), work_day) if work_day else visit + timedelta(days=7)


def _is_overhead(season: Season, loop: str) -> bool:
    rows = [season.layout.rows[stretch.row][1] for stretch in season.layout.loops[loop].stretches]
    return any(row.wire_height_m > season.holding.work.reach_m for row in rows)


def _as_many_as_a_visit(season: Season, job: LoweringJob) -> LoweringJob | None:
    """Overhead work is cut to what arms bear; what is left is taken up the next day, hook order intact."""
    if not _is_overhead(season, job.loop):
        return job
    limits = season.holding.limits
    most = min(limits.overhead_heads, int(limits.overhead_minutes / max(minutes_for(season, LOWER), 0.01)))
    today = sum(
        bool(leader.lowerings) and leader.lowerings[-1].day == season.day
        for leader in season.leaders_of_loop(job.loop)
    )
    visit = job.visit
    if visit == season.day and today:
        most -= today
    if most <= 0:
        visit, most = season.day + timedelta(days=1), limits.overhead_heads
    return LoweringJob(job.loop, visit, job.next_visit, job.moves[:most], job.due)


def bodies(season: Season, move: LoweringMove) -> Iterator[Body]:
    """The entries of one head lowered as proposed; the first names the leader, ``Unclipped`` ones follow it."""
    kind = clip_kind(season, season.leaders[move.leader])
    coiled_m = move.let_out_m if move.coiled else 0.0
    yield Lowered(
        move.leader,
        move.let_out_m,
        hook_u_m=round(move.hook_to_u_m, 3),
        as_proposed=True,
        coiled_m=coiled_m,
        aimed_under_wire_m=move.aimed_under_wire_m,
    )
    for clip in (*move.clips, *move.second):
        yield Clipped(move.leader, clip.s_m, "string", clip.string, clip_kind=kind, assumed=True)
    if move.top_clip_s_m is not None:
        yield Clipped(move.leader, move.top_clip_s_m, "head", clip_kind=kind, assumed=True)
    for fixing in move.opens:
        yield Unclipped(fixing)


def _lower(season: Season, outlook: Outlook, job: LoweringJob) -> Chore:
    doable = job.doable
    front = doable[0]
    return make_chore(
        LOWER,
        job.loop,
        on_the_loop(season, job.loop, front.hook_from_u_m),
        when="limp",
        earliest=job.visit,
        # Asked anew on another day it is another chore, though a piece of it was due then too.
        latest=job.visit,
        overhead=_is_overhead(season, job.loop),
        proposal=_proposal(season, job),
        why=_why(season, outlook, job),
        pieces=[
            PlannedPiece(
                move.leader,
                on_the_loop(season, job.loop, move.hook_from_u_m),
                minutes_for(season, LOWER),
                tuple((move.place, body) for body in bodies(season, move)),
                (move.leader,),
                say("{}: {}", move.name, move_words(season, move)),
                latest=job.due[move.leader],
                worth=_worth(season, outlook, move),
            )
            for move in doable
        ],
        waiting=_price_of_waiting(season, outlook, job),
    )


def _worth(season: Season, outlook: Outlook, move: LoweringMove) -> float:
    if outlook.stem(move.leader, season.day).tip_z_m.mid - move.wire_z_m >= OVER_WIRE_M:
        return OVER_WIRE_WORTH
    under_m = -_over_m(season, outlook, season.leaders[move.leader], season.day)
    return next(worth for most_m, worth in WORTH_BY_UNDER_M if under_m <= most_m)


def _over_m(season: Season, outlook: Outlook, leader: Leader, day: date) -> float:
    return outlook.stem(leader.id, day).tip_z_m.mid - height_limit(season, leader)[0]


def _proposal(season: Season, job: LoweringJob) -> str:
    doable = job.doable
    closed = season.layout.loops[job.loop].closed
    first = say("{} first", doable[0].name)
    if closed:
        first = say("{} first, parked on a spare hook one place ahead", doable[0].name)
    passes = [move.name for move in doable if move.passes]
    over = say("; {} past others on the path side", listed(passes)) if passes else ""
    if all(move.unnoted for move in doable):
        return say("note how {} of {} lie and hang", many(len(doable), "stem"), job.loop)
    unsure = [move.name for move in doable if move.may_hang_low and not move.unnoted]
    measure = say("; measure first: {}", listed(unsure)) if unsure else ""
    doubled = sum(len(move.second) for move in doable)
    twice = say("; close {} double", many(doubled, "clip")) if doubled else ""
    return say(
        "lower {} of {}, {}; pick and strip before{}{}{}",
        many(len(doable), "head"),
        job.loop,
        first,
        measure,
        over,
        twice,
    )


def _why(season: Season, outlook: Outlook, job: LoweringJob) -> str:
    noted = [move for move in job.doable if not move.unnoted]
    parts = []
    if noted:
        parts.append(_why_due(season, outlook, job, noted))
    if unnoted := [move for move in job.doable if move.unnoted]:
        parts.append(_why_unnoted(season, outlook, unnoted))
    if job.stuck:
        stuck = joined("; ", (say("{}, {}", move.name, move.limited_by) for move in job.stuck[:3]))
        parts.append(say("Not now: {}", stuck))
    return joined(". ", parts) + "."


def _why_due(season: Season, outlook: Outlook, job: LoweringJob, noted: Sequence[LoweringMove]) -> str:
    worst = max(noted, key=lambda m: (_over_m(season, outlook, season.leaders[m.leader], job.next_visit), m.name))
    leader = season.leaders[worst.leader]
    limit = height_limit(season, leader)[1]
    now_m = _over_m(season, outlook, leader, season.day)
    then_m = _over_m(season, outlook, leader, job.next_visit)
    due = say(
        "{} will be within {} of {} before {}",
        many(len(noted), "head"),
        cm(season.holding.limits.tip_margin_m),
        limit,
        day_word(job.next_visit, season.day),
    )
    if now_m * 100 > FOLDS_CM:
        far = "by what is noted {}'s tip stands {} today: look first, it has folded over or was let out since"
        return say("{}: {}", due, say(far, worst.name, _under(now_m, limit)))
    return say(
        "{}: {}'s tip is {} today and {} by then", due, worst.name, _under(now_m, limit), _under(then_m, limit)
    )


def _under(over_m: float, limit: str) -> str:
    return say("{} under {}", cm(-over_m), limit) if over_m < 0 else say("{} over {}", cm(over_m), limit)


def _why_unnoted(season: Season, outlook: Outlook, unnoted: Sequence[LoweringMove]) -> str:
    longest = max(unnoted, key=lambda move: (move.let_out_m, move.name))
    leader = season.leaders[longest.leader]
    limit_z_m, limit = height_limit(season, leader)
    length_m = outlook.stem(leader.id, season.day).length_m.mid
    stems = "1 stem is" if len(unnoted) == 1 else say("{} stems are", len(unnoted))
    return say(
        "{} longer than the path noted for them and no lowering is noted: {} is {} long under {} at {}, so "
        "about {} of it must lie somewhere",
        stems,
        leader.name,
        m(length_m),
        limit,
        m(limit_z_m),
        m(longest.let_out_m),
    )


def _price_of_waiting(season: Season, outlook: Outlook, job: LoweringJob) -> str:
    """What three days more would do, in tips."""
    later = job.visit + timedelta(days=REST_DAYS)
    over = [
        leader
        for leader in (season.leaders[move.leader] for move in job.doable if not move.unnoted)
        if _over_m(season, outlook, leader, later) >= 0
    ]
    if not over:
        return ""
    limit = (
        height_limit(season, over[0])[1]
        .replace("the wire", "at the wire")
        .replace("the plastic", "on the plastic")
    )
    where = limit if limit != "your reach" else "over your reach"
    return say("lower on {} instead: {} {}", Day(later, season.day), many(len(over), "tip"), where)
