"""``tunneltui new``: a few questions, or flags, and the first holding stands."""

from __future__ import annotations

import os
from argparse import ArgumentTypeError
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from msgspec import Struct

from tunneltui.cells import Unit
from tunneltui.holding.check import checked_holding
from tunneltui.holding.layout import layout
from tunneltui.holding.new import Start, starter
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.pages.prompts import ASKS, NOT_SAID, NOT_YET
from tunneltui.pages.units import localize, shown, typed
from tunneltui.report import typed_flags
from tunneltui.report.open_journal import OpenJournal
from tunneltui.store.zone_latitude import latitude_of
from tunneltui.values import replace

Ask = Callable[[str], str]
Say = Callable[[str], None]


class StartQuestion(Struct, frozen=True):
    field: str
    read: Callable[[str], Any]

    @property
    def prompt(self) -> str:
        return ASKS[self.field]


TUNNEL = (
    StartQuestion("name", typed_flags.name),
    StartQuestion("length_m", typed_flags.metres),
    StartQuestion("width_m", typed_flags.metres),
    StartQuestion("zone", typed_flags.zone),
    StartQuestion("latitude_deg", typed_flags.latitude_deg),
    StartQuestion("work_days", typed_flags.weekdays),
)
ROWS = (
    StartQuestion("rows", typed_flags.count),
    StartQuestion("places_per_row", typed_flags.count),
    StartQuestion("spacing_m", typed_flags.metres),
    StartQuestion("wire_height_m", typed_flags.wire_m),
    StartQuestion("training", typed_flags.training),
    StartQuestion("cultivars", typed_flags.names),
)
"""Asked in this order; everything else is edited afterwards."""
PLANTED = StartQuestion("planted", typed_flags.a_day)
"""Asked last, for it is no part of the holding: without an answer nothing stands yet."""


def start_from(given: Mapping[str, Any]) -> Start:
    """The answers given by flags; the rest as usual."""
    flags = {field: value for field, value in given.items() if value is not None}
    zone = flags.get("zone", machine_zone())
    return replace(Start(zone=zone, latitude_deg=latitude_of(zone)), **flags)


def usual(question: StartQuestion, start: Start) -> str:
    """What holds where nothing is answered, in words."""
    value = None if question is PLANTED else getattr(start, question.field)
    if value is None or value == ():
        return NOT_YET if question is PLANTED else NOT_SAID
    return ", ".join(value) if isinstance(value, tuple) else str(value).replace("_", " ")


def value_of_answer(question: StartQuestion, text: str, start: Start) -> Any:
    """The value of an answer; of none, what is usual.

    Raises:
        ArgumentTypeError: the text is no answer to it.
    """
    if text.strip() in ("", usual(question, start)):
        return None if question is PLANTED else getattr(start, question.field)
    return question.read(text.strip())


def ask_start(ask: Ask, say: Say) -> tuple[Start, date | None]:
    """Every question in turn; an empty answer takes what stands in brackets, a wrong one is asked again."""
    start = start_from({})
    for question in (*TUNNEL, *ROWS):
        start = replace(start, **{question.field: _answer(question, start, ask, say)})
        if question.field == "zone":
            start = replace(start, latitude_deg=latitude_of(start.zone))
    return start, _answer(PLANTED, start, ask, say)


def unit_of(question: StartQuestion) -> Unit:
    """The metric unit of its answer; '' where it has none."""
    return "m" if question.field.endswith("_m") else ""


def _answer(question: StartQuestion, start: Start, ask: Ask, say: Say) -> Any:
    while True:
        try:
            unit = unit_of(question)
            given = ask(f"{localize(question.prompt)} [{shown(usual(question, start), unit)}] ")
            return value_of_answer(question, typed(given, unit), start)
        except ArgumentTypeError as fault:
            say(str(fault))


def machine_zone() -> str:
    """The IANA name of this machine's zone; UTC where it does not tell."""
    from_env = os.environ.get("TZ", "").removeprefix(":")
    linked = str(Path("/etc/localtime").resolve()).partition("zoneinfo/")[2]
    for name in (from_env, linked):
        try:
            return ZoneInfo(name).key if name else "UTC"
        except (ValueError, OSError, KeyError):
            continue
    return "UTC"


def first_act(journal: OpenJournal, start: Start, planted: date | None) -> list[tuple[date, Draft]]:
    """The first holding, and a plant at every place where they stand already.

    Raises:
        UserError: there is a holding, or what was said does not fit together.
    """
    if journal.holding is not None:
        raise UserError(f"{journal.where} has a holding already.", "`tunneltui holding edit` changes it.")
    text = starter(start)
    holding = checked_holding(text)
    if planted is not None and planted > journal.today:
        raise UserError(
            f"{planted} is still to come: today is {journal.today}.", "Leave --planted out until they stand."
        )
    act = [(min(planted or journal.day, journal.day), draft("", HoldingSet(text)))]
    if planted is not None:
        places = layout(holding).places.values()
        act += [(planted, draft(x.place.name, Planted(x.place.cultivar, x.place.leaders))) for x in places]
    return act
