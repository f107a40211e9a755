"""All rules of the trade, asked in turn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Literal

from tunneltui.chores.accidents import accidents
from tunneltui.chores.caring import caring
from tunneltui.chores.chore import Chore
from tunneltui.chores.clearing import clearing
from tunneltui.chores.clips import second_clip, take_back_clips
from tunneltui.chores.coming import coming_season
from tunneltui.chores.feeding import feed
from tunneltui.chores.fit import will_it_fit
from tunneltui.chores.habit import mark_plants, put_right, read_again
from tunneltui.chores.heads import heads
from tunneltui.chores.heat_of_day import before_the_heat
from tunneltui.chores.leaves import deleaf, side_shoot
from tunneltui.chores.look import look, repair
from tunneltui.chores.lowering import lower, lowering_jobs
from tunneltui.chores.picking import pick
from tunneltui.chores.raising import plant_out, raising
from tunneltui.chores.strings import clip_to_string, cross_wire, hang_strings, more_twine, tiers_full
from tunneltui.chores.tips import tip_out
from tunneltui.chores.trusses import pollinate, prop, truss_prune
from tunneltui.chores.weak import weak_plant
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

Rule = Callable[[Season, Outlook, Loads], Iterable[Chore]]


def along_the_wire(season: Season, outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    """Everything that follows from where the next lowerings bring the heads."""
    jobs = lowering_jobs(season, outlook, loads)
    yield from lower(season, outlook, jobs)
    yield from clip_to_string(season, outlook, jobs)
    yield from cross_wire(season, loads, jobs)
    yield from tiers_full(season, jobs)


RULES: tuple[Rule, ...] = (
    accidents,
    look,
    repair,
    heads,
    second_clip,
    along_the_wire,
    hang_strings,
    more_twine,
    pick,
    side_shoot,
    deleaf,
    truss_prune,
    prop,
    pollinate,
    take_back_clips,
    tip_out,
    weak_plant,
    feed,
    caring,
    will_it_fit,
    mark_plants,
    read_again,
    put_right,
    coming_season,
    raising,
    plant_out,
    clearing,
)

OF_A_STEM: tuple[Rule, ...] = (repair, second_clip, prop, read_again)
"""Rules that look at one stem at a time: they ask for the same of it in a season of that stem alone."""

OF_A_LOOP: tuple[Rule, ...] = (
    *OF_A_STEM,
    accidents,
    heads,
    along_the_wire,
    hang_strings,
    more_twine,
    pick,
    side_shoot,
    deleaf,
    truss_prune,
    pollinate,
    take_back_clips,
    tip_out,
    weak_plant,
)
"""Rules that look at no more than one loop at a time."""

UNTIL_TRUE = frozenset({"repair", "dropped", "tip_snapped", "kinked", "lower", "side_shoot", "deleaf"})
"""Kinds whose rules look at the facts themselves: a tick of today does not hide what happened after it, nor the
heads a pass left out."""


def chores(season: Season, outlook: Outlook, loads: Loads, rules: Iterable[Rule] = RULES) -> list[Chore]:
    """Every chore of the day, or those of some rules, ticked and put-off ones taken off, in no order."""
    found = (chore for rule in rules for chore in rule(season, outlook, loads))
    return unanswered(season, before_the_heat(season, found))


def unanswered(season: Season, chores: Iterable[Chore]) -> list[Chore]:
    """Without those that were ticked or put off."""
    answered = _answered(season)
    return [one for one in chores if not _takes_off(answered.get((one.kind, one.about), ""), one.kind)]


def _answered(season: Season) -> dict[tuple[str, str], Literal["ticked", "put off"]]:
    """What is ticked today or put off beyond it, by (kind, about); a put-off outweighs a tick."""
    found: dict[tuple[str, str], Literal["ticked", "put off"]] = {}
    for done in season.done:
        key = done.answers[:2]
        if done.put_off_until is not None and done.put_off_until > season.day:
            found[key] = "put off"
        elif done.put_off_until is None and done.day == season.day:
            found.setdefault(key, "ticked")
    return found


def _takes_off(answer: str, kind: str) -> bool:
    return answer == "put off" or (answer == "ticked" and kind not in UNTIL_TRUE)
