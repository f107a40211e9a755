"""Noting a pick: the form for the kilograms, and what it writes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from tunneltui.cells import UnitName, joined, say
from tunneltui.chores.chore import Chore
from tunneltui.pages.prompts import NOT_WEIGHED
from tunneltui.screens.messages import Act
from tunneltui.screens.numbers import NotANumber, number

if TYPE_CHECKING:
    from tunneltui.screens.forms import Fields
    from tunneltui.season.state import Season


def cultivar_of(chore: Chore) -> str:
    """The cultivar of a pick chore, from what it would write; '' for other chores."""
    from tunneltui.journal.body import parsed

    for draft in chore.writes:
        if draft.kind == "picked":
            return str(parsed(draft).get("cultivar", ""))
    return ""


def pick_chore(chores: Iterable[Chore], row: str, cultivar: str) -> Chore | None:
    """The chore that asks for this pick."""
    for chore in chores:
        if chore.kind == "pick" and chore.row == row and cultivar_of(chore) == cultivar:
            return chore
    return None


def form(about: str, cultivar: str, chore: Chore | None) -> Fields:
    """One field: the kilograms; empty for a pick that was asked for and not weighed."""
    from tunneltui.screens.forms import Field, Fields

    def fault(values: Mapping[str, str]) -> str:
        try:
            act(about, cultivar, values, chore)
        except NotANumber as not_one:
            return str(not_one)
        return ""

    hint = say("empty: not weighed; {}", chore.proposal) if chore is not None else ""
    field = Field("kg", say("Weight, {}", UnitName("kg")), "", hint, "kg")
    return Fields(f"Picked {cultivar} in {about}", [field], fault)


def act(
    about: str, cultivar: str, values: Mapping[str, str], chore: Chore | None, season: Season | None = None
) -> Act:
    """What the filled form writes: the weight, or that all ripe fruit is off and nobody weighed it. In a
    ``season`` a weight that can hardly be is doubted, and written all the same."""
    from tunneltui.screens import acts

    if chore is not None and not values["kg"].strip():
        return acts.done([chore])._replace(sentence=say(NOT_WEIGHED, cultivar, about))
    from tunneltui.holding.expected import limits
    from tunneltui.journal.kinds_crop import Picked

    weighed = number(values["kg"], *limits(Picked, "kg"), "Weight", "kg")
    picked = acts.picked(about, cultivar, weighed, chore)
    if season is None:
        return picked
    from tunneltui.pages.picks import pick_doubt
    from tunneltui.season.doubts import plants_picked

    doubt = pick_doubt(weighed, plants_picked(season, about, cultivar))
    return picked._replace(sentence=joined(". ", (picked.sentence, doubt))) if doubt else picked
