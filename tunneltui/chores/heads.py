"""Heads that hang loose: twisted round their twine, or clipped to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import Bit, at_head, in_order_of_work, make_chore, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.wording import cm, listed, many
from tunneltui.growth.outlook import Outlook, StemOn
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Clipped, TwistedIn
from tunneltui.loads.kinds import clip_kind
from tunneltui.loads.result import Loads
from tunneltui.season.state import Leader, Season

CLIP_HEAD = ChoreKind(
    "clip_head", "clip the head", "row", "plants", weight=30, minutes=1 / 3, part="evening", reach="loop"
)
TWIST_IN = ChoreKind(
    "twist_in", "twist the head in", "row", "plants", weight=30, minutes=0.75, part="evening", reach="loop"
)
CLIP_UNDER_TIP_M = 0.15
"""A head clip goes under a strong leaf about this far below the growing point (agronomy.md 4.7, 4.20)."""


@dataclass(frozen=True, slots=True)
class LooseHead:
    leader: Leader
    stem: StemOn
    loose_m: float

    @property
    def clips(self) -> bool:
        """Heads that are clipped stay clipped; the others are twisted in."""
        return any(fixing.on == "head" for fixing in self.leader.fixings)


def heads(season: Season, outlook: Outlook, _loads: Loads) -> Iterator[Chore]:
    """Very loose tips one by one, first of all; the other loose heads as a pass of their row."""
    limits = season.holding.limits
    for row in season.layout.rows:
        loose = [x for x in _loose_heads(season, outlook, row) if x.loose_m >= limits.unheld_head_m]
        first = [x for x in loose if x.loose_m > limits.loose_tip_m]
        yield from (_at_once(season, head) for head in first)
        for clips in (False, True):
            rest = [x for x in loose if x.loose_m <= limits.loose_tip_m and x.clips is clips]
            if rest:
                yield _pass(season, row, rest, clips)


def _loose_heads(season: Season, outlook: Outlook, row: str) -> list[LooseHead]:
    held = [x for x in season.leaders_of_row(row) if x.hook and not x.tip_taken_out_on and x.id in outlook.leaders]
    return [
        LooseHead(leader, outlook.stem(leader.id, season.day), loose_m(season, outlook, leader))
        for leader in in_order_of_work(held)
    ]


def loose_m(season: Season, outlook: Outlook, leader: Leader) -> float:
    """Stem above the highest clip, or grown since the head was twisted in, whichever is less."""
    length_m = outlook.stem(leader.id, season.day).length_m.mid
    above_clip = length_m - max((fixing.s_m for fixing in leader.fixings), default=0.0)
    if leader.twisted_in_on is None:
        return above_clip
    weeks = (season.day - leader.twisted_in_on).days / 7
    return min(above_clip, weeks * outlook.leaders[leader.id].growth_m_per_week.mid)


def _held(season: Season, head: LooseHead, clips: bool) -> Body:
    if not clips:
        return TwistedIn(head.leader.id)
    top_m = round(head.stem.length_m.mid - CLIP_UNDER_TIP_M, 2)
    kind = clip_kind(season, head.leader)
    return Clipped(head.leader.id, max(top_m, 0.0), "head", clip_kind=kind, assumed=True)


def _overhead(season: Season, head: LooseHead) -> bool:
    return head.stem.tip_z_m.mid - CLIP_UNDER_TIP_M > season.holding.work.reach_m


def _at_once(season: Season, head: LooseHead) -> Chore:
    kind = CLIP_HEAD if head.clips else TWIST_IN
    where = at_head(season, head.leader)
    work = f"clip the head {cm(CLIP_UNDER_TIP_M)} under the tip" if head.clips else "twist the head in"
    return make_chore(
        kind,
        head.leader.name,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        must=True,
        overhead=_overhead(season, head),
        proposal=f"{head.leader.name}: {work}",
        why=f"{cm(head.loose_m)} of its tip stands loose, over {cm(season.holding.limits.loose_tip_m)}: "
        "it kinks or snaps at a touch.",
        bits=whole(
            where,
            minutes_for(season, kind),
            (head.leader.place, _held(season, head, head.clips)),
            leaders=[head.leader.id],
        ),
    )


def _pass(season: Season, row: str, loose: list[LooseHead], clips: bool) -> Chore:
    kind = CLIP_HEAD if clips else TWIST_IN
    longest = max(head.loose_m for head in loose)
    work = "clip" if clips else "twist in"
    names = listed([head.leader.name for head in loose])
    return make_chore(
        kind,
        row,
        at_head(season, loose[0].leader),
        when="limp",
        earliest=season.day,
        latest=season.day,
        overhead=any(_overhead(season, head) for head in loose),
        proposal=f"{work} {many(len(loose), 'head')}: {names}",
        why=f"{many(len(loose), 'head')} on {row} with {cm(season.holding.limits.unheld_head_m)} or more unheld, "
        f"the longest {cm(longest)}.",
        bits=[
            Bit(
                head.leader.id,
                at_head(season, head.leader),
                minutes_for(season, kind),
                ((head.leader.place, _held(season, head, clips)),),
                (head.leader.id,),
                f"{work} {head.leader.name}, {cm(head.loose_m)} loose",
            )
            for head in loose
        ],
        waiting=f"over {cm(season.holding.limits.loose_tip_m)} they kink at a touch",
    )
