"""Heads held from planting on: a hook over each plant, then twisted round their twine, or clipped to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

from tunneltui.cells import cm, listed, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import PlannedPiece, at_head, at_root, at_row, in_order_of_work, make_chore
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.counts import stood_still
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, Hung, TwistedIn
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.lowered import CLIP_UNDER_TIP_M
from tunneltui.loads.result import Loads
from tunneltui.season.noted_late import may_be_older
from tunneltui.season.state import Leader, Season
from tunneltui.season.work_days import sure_work_day

HANG = ChoreKind(
    "hang", "hang and tie", "row", "plants", worth=0.1, window=True, minutes=1.0, reach="loop", lasts="facts"
)
CLIP_HEAD = ChoreKind(
    "clip_head",
    "clip the head",
    "row",
    "plants",
    worth=0.03,
    window=True,
    minutes=1 / 3,
    part="evening",
    reach="loop",
    lasts="facts",
)
TWIST_IN = ChoreKind(
    "twist_in",
    "twist the head in",
    "row",
    "plants",
    worth=0.03,
    window=True,
    minutes=0.75,
    part="evening",
    reach="loop",
    lasts="facts",
)
TWISTED_BELOW_M = 0.05
"""A head is wound up to this far under its tip."""
YOUNG_M = 0.80
"""A stem longer than this is held by something, noted or not (assumed)."""
SLOWEST_M_A_DAY = 0.001
HANG_DAYS = 7
"""After planting, by when its twine hangs over a plant (common practice, no source)."""
STANDS_M = 0.70
"""No head stands up with more than this unheld: a stem leans over from 0.6 to 0.7 m on (``loads.column``)."""
UNNOTED_DAYS = 6
"""Heads of which nothing was ever noted are gone through within the week."""
HELD_FOR_DAYS = 21
"""A loose head is held again after so long, however slowly it grows (common practice, no source)."""
WORTH_BY_LOOSE_M = ((0.50, 0.2), (0.35, 0.1), (0.0, 0.03))
"""Kg a minute by how far a head is loose: a snapped tip is three weeks of fruit (own simulation)."""


class LooseHead(Struct, frozen=True):
    leader: Leader
    stem: StemOn
    loose_m: float
    due: date
    """On which day it is too loose to wait."""
    over_wire_m: float
    """So much of it stands over its wire, where nothing can hold it until it is lowered."""
    noted: bool = True
    """Whether anything was ever noted that holds it; else how much is loose is no more than a guess."""

    @property
    def clips(self) -> bool:
        """Heads that are clipped stay clipped; the others are twisted in."""
        return is_clipped(self.leader)

    @property
    def worth(self) -> float:
        to_hold_m = max(0.0, self.loose_m - self.over_wire_m)
        return next(worth for least_m, worth in WORTH_BY_LOOSE_M if to_hold_m >= least_m - 1e-9)


def heads(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Row by row: young plants without a hook; heads that hang loose, or will before the next work day."""
    for row in season.layout.rows:
        growing = [
            leader
            for leader in in_order_of_work(season.leaders_of_row(row))
            if is_held_up(season, outlook, leader) and not may_be_older(season, leader)
        ]
        young = [leader for leader in growing if is_to_hang(season, outlook, leader)]
        if young:
            yield _hang(season, row, young)
        hung = {leader.id for leader in young}
        loose = list(_loose_heads(season, outlook, [x for x in growing if x.id not in hung]))
        for clips in (False, True):
            together = [head for head in loose if head.clips is clips]
            if together:
                yield _pass(season, row, together, clips)


def is_held_up(season: Season, outlook: Outlook, leader: Leader) -> bool:
    return leader.id in outlook.leaders and leader.tip_taken_out_on is None and not stands_still(season, leader)


def is_clipped(leader: Leader) -> bool:
    return any(fixing.on == "head" and not fixing.tie for fixing in leader.fixings)


def stands_still(season: Season, leader: Leader) -> bool:
    """Its tip snapped, and no shoot leads yet."""
    return any(season.day.toordinal() < last for _, last in stood_still(leader))


def is_to_hang(season: Season, outlook: Outlook, leader: Leader) -> bool:
    """A young stem that nothing holds yet."""
    held = leader.hook or leader.fixings or leader.lowerings or leader.twisted_in_on
    return not held and outlook.stem(leader.id, season.day).length_m.mid < YOUNG_M


def _hang(season: Season, row: str, young: list[Leader]) -> Chore:
    due = {x.id: max(season.day, x.since + timedelta(days=HANG_DAYS)) for x in young}
    oldest = min(young, key=lambda leader: leader.since)
    several = len(young) > 1
    return make_chore(
        HANG,
        row,
        at_row(season, row),
        when="any",
        earliest=season.day,
        latest=min(due.values()),
        overhead=season.layout.rows[row][1].wire_height_m > season.holding.work.reach_m,
        proposal=say(
            "hang a hook over {}, tie its twine on, wind the head in",
            say("each of {} plants", len(young)) if several else oldest.name,
        ),
        why=say(
            "{} {} ago, and nothing is noted that holds {}: without it {} as {}.",
            "Planted" if oldest.since == oldest.planted_on else "Kept as a further stem",
            many((season.day - oldest.since).days, "day"),
            listed([x.name for x in young]),
            "they fall over" if several else "it falls over",
            "they grow" if several else "it grows",
        ),
        pieces=[
            PlannedPiece(
                x.id,
                at_root(x),
                minutes_for(season, HANG),
                ((x.place, Hung(x.id, round(x.u_m, 2), assumed=True)), (x.place, TwistedIn(x.id))),
                (x.id,),
                say("hang and tie {}", x.name),
                latest=due[x.id],
                worth=0.1,
            )
            for x in young
        ],
    )


def _loose_heads(season: Season, outlook: Outlook, growing: Iterable[Leader]) -> Iterator[LooseHead]:
    """Those loose by ``limits.unheld_head_m``, and those that will be too loose before the next work day."""
    limits = season.holding.limits
    before = sure_work_day(season, season.day)
    ahead = (before - season.day).days
    for leader in growing:
        if held_on(leader) == season.day:
            continue
        stem = outlook.stem(leader.id, season.day)
        over_wire_m = max(0.0, stem.tip_z_m.mid - season.layout.rows[leader.row][1].wire_height_m)
        if is_unnoted_head(leader, stem):
            known_on = leader.hook.hung_on if leader.hook else leader.since
            due = known_on + timedelta(days=UNNOTED_DAYS)
            # What was to be held within the week and was not has grown on since.
            weeks = max(0, (season.day - due).days) / 7
            grown = weeks * outlook.leaders[leader.id].growth_m_per_week.mid
            loose = min(limits.loose_tip_m + grown, max(STANDS_M, limits.loose_tip_m))
            yield LooseHead(leader, stem, loose, max(season.day, due), over_wire_m, noted=False)
            continue
        loose = loose_m(season, outlook, leader)
        due = season.day
        look_ahead_days = max(UNNOTED_DAYS, ahead)
        if loose >= limits.unheld_head_m:
            waits_days = UNNOTED_DAYS - _loose_days(outlook, leader, loose - limits.unheld_head_m)
            left_days = HELD_FOR_DAYS - (season.day - held_on(leader)).days
            look_ahead_days = max(0, min(waits_days, left_days))
        while (due - season.day).days < look_ahead_days and (
            loose + _grown_m(outlook, leader, stem, due) < limits.loose_tip_m
        ):
            due += timedelta(days=1)
        if loose >= limits.unheld_head_m or due < before:
            yield LooseHead(leader, stem, loose, due, over_wire_m)


def _loose_days(outlook: Outlook, leader: Leader, over_m: float) -> int:
    """For how long it has been loose, by how fast it grows: a head that grows slowly is no reason to wait for
    ever."""
    m_a_day = outlook.leaders[leader.id].growth_m_per_week.mid / 7
    return int(max(0.0, over_m) / max(m_a_day, SLOWEST_M_A_DAY))


def held_on(leader: Leader) -> date:
    """The last day on which hands were at its head, and saw it, whatever its forecast says."""
    clipped = [fixing.hung_on for fixing in leader.fixings if fixing.on == "head"]
    return max([leader.since, leader.twisted_in_on or leader.since, *clipped])


def is_unnoted_head(leader: Leader, stem: StemOn) -> bool:
    """A tall stem of which nothing was ever noted that holds its head; letting it out holds nothing."""
    never = leader.twisted_in_on is None and not any(fixing.on == "head" for fixing in leader.fixings)
    return never and stem.length_m.mid >= YOUNG_M


def loose_from_to(season: Season, outlook: Outlook, leader: Leader) -> tuple[date, date] | None:
    """The days on which it will be loose by ``limits.unheld_head_m`` and too loose; None: not within the week."""
    limits = season.holding.limits
    stem, loose = outlook.stem(leader.id, season.day), loose_m(season, outlook, leader)
    days = [season.day + timedelta(days=ahead) for ahead in range(UNNOTED_DAYS + 1)]
    grown = {day: loose + _grown_m(outlook, leader, stem, day) for day in days}
    first = next((day for day in days if grown[day] >= limits.unheld_head_m), None)
    due = next((day for day in days if grown[day] >= limits.loose_tip_m), days[-1])
    return None if first is None else (first, due)


def _grown_m(outlook: Outlook, leader: Leader, stem: StemOn, by: date) -> float:
    return outlook.stem(leader.id, by).length_m.mid - stem.length_m.mid


def loose_m(season: Season, outlook: Outlook, leader: Leader) -> float:
    """Stem above the highest clip of its head, or grown since the head was twisted in, whichever is less. A clip
    may have been set higher than the tip is forecast now: nothing is loose then. What holds the lying stem on its
    strings holds no head."""
    length_m = outlook.stem(leader.id, season.day).length_m.mid
    tops = [fixing.s_m for fixing in leader.fixings if fixing.on == "head"]
    above_clip = max(0.0, length_m - max(tops, default=0.0))
    if leader.twisted_in_on is None:
        return above_clip
    weeks = (season.day - leader.twisted_in_on).days / 7
    return min(above_clip, TWISTED_BELOW_M + weeks * outlook.leaders[leader.id].growth_m_per_week.mid)


def head_hold(season: Season, leader: Leader, stem: StemOn) -> Body:
    """Its head wound in, or clipped where it is clipped already."""
    if not is_clipped(leader):
        return TwistedIn(leader.id)
    top_m = round(stem.length_m.mid - CLIP_UNDER_TIP_M, 2)
    kind = clip_kind(season, leader)
    return Clipped(leader.id, max(top_m, 0.0), "head", clip_kind=kind, assumed=True)


def _pass(season: Season, row: str, loose: list[LooseHead], clips: bool) -> Chore:
    """``loose`` in order of work."""
    kind = CLIP_HEAD if clips else TWIST_IN
    limits = season.holding.limits
    work = "clip" if clips else "twist in"
    by_length = sorted(loose, key=lambda head: (-head.loose_m, head.leader.name))
    longest = by_length[0]
    names = listed([head.leader.name for head in by_length])
    soon = len([head for head in loose if head.loose_m < limits.unheld_head_m])
    before = say("; {} of them will be too loose before the next work day", soon) if soon else ""
    first = say(", {} first", longest.leader.name) if len(loose) > 1 else ""
    return make_chore(
        kind,
        row,
        at_head(season, longest.leader),
        when="limp",
        earliest=season.day,
        # Asked anew on another day it is another pass, though a head of this one was due then too.
        latest=season.day,
        overhead=any(head.stem.tip_z_m.mid - CLIP_UNDER_TIP_M > season.holding.work.reach_m for head in loose),
        proposal=say("{} {}{}: {}", work, many(len(loose), "head"), first, names),
        why=say(
            "{} on {} with {} or more unheld, the longest {}{}.",
            many(len(loose), "head"),
            row,
            cm(min(head.loose_m for head in loose)),
            cm(longest.loose_m),
            before,
        )
        if any(head.noted for head in loose)
        else say(
            "Nothing is noted of what holds {} on {}: {} what hangs loose, and see that the rest is held.",
            many(len(loose), "head"),
            row,
            work,
        ),
        pieces=[
            PlannedPiece(
                head.leader.id,
                at_head(season, head.leader),
                minutes_for(season, kind),
                ((head.leader.place, head_hold(season, head.leader, head.stem)),),
                (head.leader.id,),
                say("{} {}, {} loose", work, head.leader.name, cm(head.loose_m))
                if head.noted
                else say("{} {}", work, head.leader.name),
                latest=head.due,
                worth=head.worth,
            )
            for head in loose
        ],
        waiting=say("over {} they kink at a touch", cm(limits.loose_tip_m)),
    )


RULES = (ChoreRule(heads, (HANG, CLIP_HEAD, TWIST_IN)),)
