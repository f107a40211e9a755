"""All rules of the trade, asked in turn."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from tunneltui.chores.after_frost import only_clearing_after_frost
from tunneltui.chores.chore import Chore
from tunneltui.chores.closed_rooms import open_rooms_only
from tunneltui.chores.exceptions import only
from tunneltui.chores.kinds import FAMILIES, KINDS
from tunneltui.chores.minding import with_cautions
from tunneltui.chores.rule import Rule
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

RULES = tuple(asked for family in FAMILIES for asked in family.RULES)
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
