"""The first run: from nothing to a first round of one's own tunnel, or the made-up one, in three screens."""

from __future__ import annotations

from argparse import ArgumentTypeError
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from textual import events
from textual.app import ComposeResult
from textual.widgets import Static

from tunneltui.holding.new import Start, starter
from tunneltui.holding.user_error import Fault, UserError
from tunneltui.pages.units import localize
from tunneltui.report.beginning import (
    PLANTED,
    ROWS,
    TUNNEL,
    StartQuestion,
    start_from,
    unit_of,
    usual,
    value_of_answer,
)
from tunneltui.screens import forms
from tunneltui.screens.forms import Answer, Field, Fields, FormChoice, Letters
from tunneltui.screens.themed_app import Looks, ThemedApp
from tunneltui.values import replace

WELCOME = "There is no journal yet at {path}. What shall it be?"
CHOICES = (
    FormChoice("own", "begin with my own tunnel: two short pages of questions"),
    FormChoice("demo", "look round a made-up tunnel first; nothing there is mine"),
)
HINT = "A letter chooses, q leaves. Whatever is answered can be changed later."
MID_SEASON = "such as 2026-05-10, in mid season too"


class OwnTunnel(NamedTuple):
    """One's own tunnel as answered; ``planted`` None: nothing stands yet."""

    start: Start
    planted: date | None


class Demo(NamedTuple):
    """The made-up tunnel is wanted."""


class FirstRun(ThemedApp[OwnTunnel | Demo]):
    """Asks, and ends with what was answered; None where nothing is wanted. Writes nothing."""

    ENABLE_COMMAND_PALETTE = False

    def __init__(self, path: Path, looks: Looks, now: datetime | None = None) -> None:
        super().__init__(looks)
        self._path = path
        self._now = now
        self._start = start_from({})
        self._ahead = ""
        """Typed while one form had closed and the next was not there yet."""
        self._form: Fields | None = None
        self._typed: dict[str, str] = {}
        """What was answered so far: a page gone back to still shows it."""

    def compose(self) -> ComposeResult:
        yield Static("")

    def on_mount(self) -> None:
        self.read_aloud()
        self._welcome()

    def on_key(self, event: events.Key) -> None:
        """Keys that no form took, for there was none between two of them."""
        typed = "\n" if event.key == "enter" else event.character or ""
        if len(self.screen_stack) == 1 and (typed == "\n" or typed.isprintable()):
            self._ahead += typed

    def type_on(self, text: str) -> None:
        if self._form is not None and not self._form.closed:
            self._form.type_on(text)
        else:
            self._ahead += text

    def _push(self, form: Fields, on_answer: Callable[[dict[str, str] | None], None]) -> None:
        self._form = form
        form.type_on(self._ahead)
        self._ahead = ""
        self.push_screen(form, on_answer)

    def _welcome(self) -> None:
        question = forms.Question(WELCOME.format(path=self._path), CHOICES, HINT)
        self.push_screen(Letters(question), self._chosen)

    def _chosen(self, answers: tuple[Answer, ...] | None) -> None:
        if answers is None:
            self.exit()
        elif answers[0].value == "demo":
            self.exit(Demo())
        else:
            self._ask_tunnel()

    def _ask_tunnel(self) -> None:
        form = Fields("Your tunnel. Enter takes what is shown.", self._fields(TUNNEL), self._fault_of_tunnel)
        self._push(form, self._tunnel_answered)

    def _tunnel_answered(self, values: dict[str, str] | None) -> None:
        if values is None:
            self._welcome()
        else:
            fields = [*self._fields(ROWS), *self._fields((PLANTED,), MID_SEASON)]
            form = Fields("Your rows. Enter takes what is shown.", fields, self._fault_of_rows)
            self._push(form, self._rows_answered)

    def _rows_answered(self, values: dict[str, str] | None) -> None:
        if values is None:
            self._ask_tunnel()
        else:
            self.exit(OwnTunnel(self._start, self._read((PLANTED,), values)[PLANTED.field]))

    def _fields(self, questions: Sequence[StartQuestion], hint: str = "") -> list[Field]:
        return [
            Field(
                question.field,
                question.prompt,
                self._typed.get(question.field) or usual(question, self._start),
                hint,
                unit_of(question),
            )
            for question in questions
        ]

    def _read(self, questions: Sequence[StartQuestion], values: Mapping[str, str]) -> dict[str, Any]:
        """Raises ``UserError`` where an answer is none to its question."""
        read = {}
        for question in questions:
            try:
                read[question.field] = value_of_answer(question, values[question.field], self._start)
            except ArgumentTypeError as fault:
                raise UserError(f"{localize(question.prompt)} {fault}.") from None
        return read

    def _fault_of_tunnel(self, values: Mapping[str, str]) -> str:
        return self._fault(TUNNEL, values)

    def _fault_of_rows(self, values: Mapping[str, str]) -> str:
        if fault := self._fault(ROWS, values):
            return fault
        try:
            starter(self._start)
            planted = self._read((PLANTED,), values)[PLANTED.field]
        except UserError as trouble:
            return f"{trouble}".replace("\n", " ")
        today = (self._now or datetime.now(UTC)).astimezone(ZoneInfo(self._start.zone)).date()
        if planted is not None and planted > today:
            return Fault(f"{planted} is still to come: today is {today}. Leave it empty until they stand.")
        return ""

    def _fault(self, questions: Sequence[StartQuestion], values: Mapping[str, str]) -> str:
        self._typed.update(values)
        try:
            self._start = replace(self._start, **self._read(questions, values))
        except UserError as trouble:
            return str(trouble)
        return ""


def ask(path: Path, looks: Looks, *, mouse: bool = True) -> OwnTunnel | Demo | None:
    """Opens the first run on the terminal."""
    return FirstRun(path, looks).run(mouse=mouse)
