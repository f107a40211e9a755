"""All rules of the trade, asked in turn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from tunneltui.chores import (
    accidents,
    after_frost,
    caring,
    clearing,
    clips,
    coming,
    feeding,
    fit,
    habit,
    heads,
    leaves,
    look,
    lowering,
    picking,
    raising,
    room_gone,
    strings,
    tips,
    trusses,
    weak,
)
from tunneltui.chores.after_frost import only_clearing_after_frost
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.closed_rooms import open_rooms_only
from tunneltui.chores.exceptions import only
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.minding import with_cautions
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

Rule = Callable[[Season, Outlook, Loads], Iterable[Chore]]


def along_the_wire(season: Season, outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    """Everything that follows from where the next lowerings bring the heads."""
    jobs = lowering.lowering_jobs(season, outlook, loads)
    yield from lowering.lower(season, outlook, jobs)
    yield from clips.second_clip(season, outlook, loads, jobs)
    yield from strings.clip_to_string(season, outlook, jobs)
    yield from strings.cross_wire(season, loads, jobs)
    yield from room_gone.room_gone(season, jobs)


class AskedBy(NamedTuple):
    """A rule and the kinds it asks for."""

    rule: Rule
    kinds: tuple[ChoreKind, ...]


RULES: tuple[AskedBy, ...] = (
    AskedBy(accidents.accidents, (accidents.DROPPED, accidents.TIP_SNAPPED, accidents.KINKED)),
    AskedBy(look.look, (look.LOOK,)),
    AskedBy(look.look_over, (look.LOOK_OVER,)),
    AskedBy(look.repair, (look.REPAIR,)),
    AskedBy(heads.heads, (heads.HANG, heads.CLIP_HEAD, heads.TWIST_IN)),
    AskedBy(
        along_the_wire,
        (lowering.LOWER, clips.SECOND_CLIP, strings.CLIP_TO_STRING, strings.CROSS_WIRE, room_gone.ROOM_GONE),
    ),
    AskedBy(strings.hang_strings, (strings.STRING,)),
    AskedBy(strings.more_twine, (strings.TWINE,)),
    AskedBy(picking.pick, (picking.PICK,)),
    AskedBy(leaves.side_shoot, (leaves.SIDE_SHOOT,)),
    AskedBy(leaves.deleaf, (leaves.DELEAF,)),
    AskedBy(trusses.truss_prune, (trusses.TRUSS_PRUNE,)),
    AskedBy(trusses.prop, (trusses.PROP,)),
    AskedBy(trusses.pollinate, (trusses.POLLINATE,)),
    AskedBy(clips.take_back_clips, (clips.TAKE_BACK_CLIPS,)),
    AskedBy(tips.tip_out, (tips.TIP_OUT,)),
    AskedBy(weak.weak_plant, (weak.WEAK_PLANT,)),
    AskedBy(feeding.feed, (feeding.FEED,)),
    AskedBy(caring.caring, tuple(caring.ASKED_BY_CARE.values())),
    AskedBy(fit.will_it_fit, (fit.WILL_FIT,)),
    AskedBy(habit.mark_plants, (habit.MARK_PLANTS,)),
    AskedBy(habit.read_again, (habit.READ_AGAIN,)),
    AskedBy(habit.put_right, (habit.PUT_RIGHT,)),
    AskedBy(
        coming.coming_season,
        (coming.SET_OUT, coming.SOW, coming.LOOK_WIRE, coming.HANG_STRINGS, coming.LOAD_HOOKS),
    ),
    AskedBy(raising.raising, (raising.RAISE,)),
    AskedBy(raising.plant_out, (raising.PLANT_OUT,)),
    AskedBy(after_frost.frost_took, (after_frost.FROST_TOOK,)),
    AskedBy(clearing.clearing, (clearing.STRIP_GREEN, clearing.CLEARING, clearing.MAKE_BED)),
)

ALL_RULES = tuple(asked.rule for asked in RULES)
OF_A_STEM = tuple(asked.rule for asked in RULES if {kind.reach for kind in asked.kinds} == {"stem"})
"""Rules that look at one stem at a time: they ask for the same of it in a season of that stem alone."""
OF_A_LOOP = tuple(asked.rule for asked in RULES if "house" not in {kind.reach for kind in asked.kinds})
"""Rules that look at no more than one loop at a time."""


def chores(season: Season, outlook: Outlook, loads: Loads, rules: Iterable[Rule] = ALL_RULES) -> list[Chore]:
    """Every chore of the day, or those of some rules, without what is ticked or put off, in no order."""
    found = (chore for rule in rules for chore in rule(season, outlook, loads))
    asked = with_cautions(season, loads, only_clearing_after_frost(season, found))
    return unanswered(season, open_rooms_only(season, asked))


def unanswered(season: Season, chores: Iterable[Chore]) -> list[Chore]:
    """Without the chores and pieces that were ticked or put off."""
    answered = _answered(season)
    return [left for one in chores if (left := _left(one, answered.get((one.kind, one.about)))) is not None]


class _Answer(NamedTuple):
    """What today's ticks, and what is put off beyond today, say of one (kind, about)."""

    ticked: set[str]
    """Keys of pieces; '' is all of them."""
    put_off: set[str]


def _answered(season: Season) -> dict[tuple[str, str], _Answer]:
    found: dict[tuple[str, str], _Answer] = {}
    for done in season.done:
        answer = found.setdefault(done.answers[:2], _Answer(set(), set()))
        if done.put_off_until is not None and done.put_off_until > season.day:
            answer.put_off.update(done.pieces or ("",))
        elif done.put_off_until is None and done.day == season.day:
            answer.ticked.update(done.pieces or ("",))
    return found


def _left(chore: Chore, answer: _Answer | None) -> Chore | None:
    """A kind whose rule looks at the facts itself is asked again whatever was ticked today: for what happened
    after the tick, and for the heads a pass left out."""
    if answer is None:
        return chore
    off = answer.put_off if KINDS[chore.kind].lasts == "facts" else answer.put_off | answer.ticked
    if "" in off:
        return None
    left = only(chore, {piece.key for piece in chore.pieces} - off)
    return left if left.pieces else None
