"""All rules of the trade, asked in turn; each is shown what its kinds reach and asked again once that changed."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import Reach
from tunneltui.chores.closed_rooms import open_rooms_only
from tunneltui.chores.crop_end import only_clearing_at_the_end
from tunneltui.chores.exceptions import only
from tunneltui.chores.kinds import FAMILIES, KINDS
from tunneltui.chores.minding import with_cautions
from tunneltui.chores.reach import RuleInputs, loops_shown
from tunneltui.chores.rule import ChoreRule
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.memo import Stages
from tunneltui.season.state import Done, Season

RULES = tuple(rule for family in FAMILIES for rule in family.RULES)
_REACHING: dict[Reach, list[tuple[int, ChoreRule]]] = {"stem": [], "loop": [], "house": []}
for _number, _rule in enumerate(RULES):
    _REACHING[_rule.reach].append((_number, _rule))


def chores(season: Season, outlook: Outlook, loads: Loads) -> list[Chore]:
    """Every chore of the day, without what is ticked or put off, in no order."""
    return plan_chores(Stages(), season, outlook, loads)


def plan_chores(stages: Stages, season: Season, outlook: Outlook, loads: Loads) -> list[Chore]:
    """The chores as a part of a plan. At a stem's depth what is to do to each stem of the season by itself; what
    looks at the whole house waits for its plan, or for an answer to such a chore that came or went."""
    if stages.depth == "stem":
        by_rule = [*_chores_by_rule("stem", season, outlook, loads).values()]
    else:
        shown = loops_shown(stages, season, outlook, loads)
        along = [stages.of(_along, loop, *given) for loop, given in shown.items()]
        answers = tuple(done for done in season.done if _reaches_house(done))
        house = stages.anew("house", _chores_by_rule, answers, "house", season, outlook, loads)
        by_rule = [of.get(number, []) for number in range(len(RULES)) for of in (*along, house)]
    return finished(stages, season, loads, chain.from_iterable(by_rule))


def finished(stages: Stages, season: Season, loads: Loads, chores: Iterable[Chore]) -> list[Chore]:
    """With what is to be minded, and without what cannot be done today or is answered."""
    cautioned = with_cautions(stages, season, loads, only_clearing_at_the_end(season, chores))
    return unanswered(season, open_rooms_only(season, cautioned))


def _along(*shown: tuple[object, ...]) -> dict[int, list[Chore]]:
    """What rules ask for that look at no more than a loop."""
    season, outlook, loads = RuleInputs(*shown).opened()
    return _chores_by_rule("stem", season, outlook, loads) | _chores_by_rule("loop", season, outlook, loads)


def _chores_by_rule(reach: Reach, season: Season, outlook: Outlook, loads: Loads) -> dict[int, list[Chore]]:
    """By the number of the rule."""
    return {number: list(entry.rule(season, outlook, loads)) for number, entry in _REACHING[reach]}


def _reaches_house(done: Done) -> bool:
    kind = done.answers[0]
    return kind not in KINDS or KINDS[kind].reach == "house"


def unanswered(season: Season, chores: Iterable[Chore]) -> list[Chore]:
    """Without the chores and pieces that were ticked or put off."""
    answered = _answered(season)
    return [
        left for chore in chores if (left := _left(chore, answered.get((chore.kind, chore.about)))) is not None
    ]


class _Answer(NamedTuple):
    """The answer to one (kind, about) by today's ticks and by what is put off beyond today."""

    ticked: set[str]
    """Keys of pieces; '' is all of them."""
    put_off: set[str]


def _answered(season: Season) -> dict[tuple[str, str], _Answer]:
    answered: dict[tuple[str, str], _Answer] = {}
    for done in season.done:
        answer = answered.setdefault(done.answers[:2], _Answer(set(), set()))
        if done.put_off_until is not None and done.put_off_until > season.day:
            answer.put_off.update(done.pieces or ("",))
        elif done.put_off_until is None and done.day == season.day:
            answer.ticked.update(done.pieces or ("",))
    return answered


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
