"""Messages to the app about what happened. Each carries all that its handler needs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import NamedTuple

from textual.message import Message

from tunneltui.chores.chore import DayPart
from tunneltui.journal.entry import Draft
from tunneltui.screens.round_view import RoundView


class MorningPlanned(Message):
    """A worker has read the journal and planned."""

    def __init__(self, view: RoundView) -> None:
        self.view = view
        super().__init__()


class PlanningFailed(Message):
    """The journal could not be read or planned; ``problem`` is for the grower."""

    def __init__(self, problem: str) -> None:
        self.problem = problem
        super().__init__()


class Act(NamedTuple):
    """What one key press means to write."""

    drafts: tuple[Draft, ...]
    sentence: str
    """Shown when it is written."""
    chores: tuple[str, ...] = ()
    """Ids of the chores it ticks off or puts off."""
    parts: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """Of those, each chore's id with the keys of the pieces it ticks; none: all of them."""
    put_off: bool = False
    crosses_out: str = ""
    """The act it crosses out, if that is what it does."""
    day: date | None = None
    """The day it is written on; None: the one that is shown."""
    on_written: Callable[[str, str], None] | None = None
    """Told the act's id when it is written, or '' and what kept it from being written."""


class ActRequested(Message):
    """The grower pressed a key that writes."""

    def __init__(self, act: Act) -> None:
        self.act = act
        super().__init__()


class ActWritten(Message):
    """The commit returned."""

    def __init__(self, act: Act, act_id: str) -> None:
        self.act = act
        self.act_id = act_id
        super().__init__()


class ActFailed(Message):
    """Nothing was written; ``problem`` says why and what to do."""

    def __init__(self, act: Act, problem: str) -> None:
        self.act = act
        self.problem = problem
        super().__init__()


class OthersWrote(Message):
    """There are entries in the journal that this program did not write."""


class ServerAway(Message):
    """The server of a shared journal stopped answering; ``hint`` is what to go on with."""

    def __init__(self, problem: str, hint: str) -> None:
        self.problem = problem
        self.hint = hint
        super().__init__()


class WalkRequested(Message):
    """Go to a chore on the walk, else to a place; ``why`` says why only to the place."""

    def __init__(self, chore: str, place: str, why: str = "") -> None:
        self.chore = chore
        self.place = place
        self.why = why
        super().__init__()


class HeadChanged(Message):
    """A pane's words in the first line of the screen have changed."""


class StatusText(Message):
    """A sentence for the status line."""

    def __init__(self, sentence: str) -> None:
        self.sentence = sentence
        super().__init__()


class PlanRequested(Message):
    """Plan anew, with other minutes or for another part of the day where given."""

    def __init__(self, minutes: float | None = None, part: DayPart | None = None) -> None:
        self.minutes = minutes
        self.part = part
        super().__init__()
