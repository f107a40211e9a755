"""How many minutes there are, and for which part of the day: the form, and what it asks for."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.chores.chore import DayPart, Round
from tunneltui.screens.forms import Field, Fields
from tunneltui.screens.messages import PlanRequested
from tunneltui.screens.numbers import NotANumber, number

PARTS: dict[str, DayPart] = {"d": "day", "m": "morning", "e": "evening"}


def form(plan: Round | None) -> Fields:
    """``plan``: the round that is shown."""
    fields = [
        Field("minutes", "Minutes there are", f"{plan.minutes_there:.0f}" if plan else ""),
        Field("part", "Part of the day: d the whole day, m morning, e evening", plan.part[0] if plan else "d"),
    ]
    return Fields("How many minutes are there?", fields, _fault)


def plan_requested(values: Mapping[str, str]) -> PlanRequested:
    """What the filled form asks for. Raises ``NotANumber``."""
    return PlanRequested(number(values["minutes"], 0, 1440, "Minutes"), PARTS[_letter(values)])


def _fault(values: Mapping[str, str]) -> str:
    try:
        number(values["minutes"], 0, 1440, "Minutes")
    except NotANumber as not_one:
        return str(not_one)
    return "" if _letter(values) in PARTS else "Part of the day: d, m or e was wanted."


def _letter(values: Mapping[str, str]) -> str:
    return values["part"][:1].lower()
