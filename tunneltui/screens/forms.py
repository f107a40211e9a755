"""The forms: a lettered list, a few fields, a page to read. Each answers with a typed value or None."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar, NamedTuple, Protocol, TypeVar, runtime_checkable

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from tunneltui.cells import Unit
from tunneltui.pages.units import localize, shown, typed
from tunneltui.screens.lines import Choices, Lines
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.text import plain, to_content

LETTERS = "abcdefghijklmnoprstuvwxyz"
"""Without q, which is the way out of everything."""


class FormChoice(NamedTuple):
    value: str
    words: str


class Question(NamedTuple):
    """What is asked, and what may be answered."""

    title: str
    choices: Sequence[FormChoice]
    hint: str = ""


class Answer(NamedTuple):
    """The value of the choice, and whether its letter was a capital."""

    value: str
    capital: bool = False


Next = Callable[[tuple[Answer, ...]], Question | None]
"""The question after those answered; None when nothing more is to be asked."""


Result = TypeVar("Result")


@runtime_checkable
class TypesOn(Protocol):
    """An app whose forms follow each other: what one was sent too late is the next one's."""

    def type_on(self, text: str) -> None: ...


class Form(ModalScreen[Result]):
    """A form that answers once: keys typed past its end find it closed already."""

    DEFAULT_CSS = """
    .form { width: 76; max-width: 100%; height: auto; max-height: 100%; }
    .form { background: $panel; border: solid $rule; padding: 0 1; }
    .form-title { text-style: bold; }
    .form-hint { color: $quiet; }
    .field-words { margin-top: 0; }
    #form-fault { color: $must; text-style: bold; }
    .form Input { width: 1fr; }
    .page { height: 100%; }
    #page-text { height: 1fr; }
    """

    _left = False

    @property
    def closed(self) -> bool:
        """Whether it has been answered."""
        return self._left

    def pass_on(self, text: str) -> None:
        """Keys that came after the one that closed it."""
        if isinstance(self.app, TypesOn):
            self.app.type_on(text)

    def leave(self, result: Result) -> None:
        # Under another screen (the palette) it cannot close; that key is lost, not the form.
        if self.is_active and not self._left:
            self._left = True
            self.dismiss(result)


class Letters(Form[tuple[Answer, ...] | None]):
    """Chooses by one letter a question. Questions that follow are asked on the same screen, so that letters typed
    fast reach them in their order."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "dismiss_nothing", "out", show=False),
        Binding("enter", "choose", "choose", show=False),
    ]
    AUTO_FOCUS = "#choices"

    def __init__(self, first: Question, next_question: Next | None = None) -> None:
        super().__init__()
        self._question = first
        self._next_question = next_question
        self._answers: tuple[Answer, ...] = ()

    def compose(self) -> ComposeResult:
        with Vertical(classes="form"):
            yield Static("", classes="form-title")
            yield Choices(id="choices")
            yield Static("", classes="form-hint")

    def on_mount(self) -> None:
        self._show()

    def _show(self) -> None:
        question = self._question
        self.query_one(".form-title", Static).update(to_content(question.title))
        self.query_one(".form-hint", Static).update(to_content(question.hint or "A letter chooses, q goes back."))
        lines = self.query_one(Lines)
        lines.show(
            [
                Line(str(index), (Part(_letter(index), "bold", 3), Part(choice.words)))
                for index, choice in enumerate(question.choices)
            ]
        )
        lines.move_to(0)
        lines.styles.height = min(len(question.choices), max(self.app.size.height - 6, 1))

    def on_key(self, event: events.Key) -> None:
        letter = event.character or ""
        if self._left:
            self.pass_on("\n" if event.key == "enter" else letter)
            return
        last = self._question.choices[-1:]
        if letter == "." and last and last[0].value == "..":
            event.stop()
            event.prevent_default()
            self._answer(Answer(last[0].value))
        elif len(letter) == 1 and letter.lower() in LETTERS:
            event.stop()
            event.prevent_default()
            index = LETTERS.index(letter.lower())
            if index < len(self._question.choices):
                self._answer(Answer(self._question.choices[index].value, letter.isupper()))

    def action_choose(self) -> None:
        if self._question.choices:
            self._answer(Answer(self._question.choices[self.query_one(Lines).cursor].value))

    def _answer(self, answer: Answer) -> None:
        self._answers = (*self._answers, answer)
        following = self._next_question(self._answers) if self._next_question is not None else None
        if following is None:
            self.leave(self._answers)
        else:
            self._question = following
            # Before the form is mounted there is nothing to show yet; it will show the question that then holds.
            if self.is_mounted:
                self._show()

    def action_dismiss_nothing(self) -> None:
        self.leave(None)


def _letter(index: int) -> str:
    return LETTERS[index] if index < len(LETTERS) else " "


class Field(NamedTuple):
    """One thing to type."""

    key: str
    words: str
    initial: str = ""
    """What holds where nothing is typed, in the metric unit; shown in the field."""
    hint: str = ""
    unit: Unit = ""
    """Metric unit of the value; it is typed in the grower's own (``pages.units``)."""


Checked = Callable[[Mapping[str, str]], str]
"""What is wrong with the values, as a sentence; '' if nothing."""


class _FieldInput(Input):
    """Leaves every letter to the form, which alone knows where an enter before it led: when the letter comes here,
    another field may have the focus."""

    def on_key(self, event: events.Key) -> None:
        if event.is_printable:
            event.prevent_default()


class Fields(Form[dict[str, str] | None]):
    """A few fields; enter goes on to the next and from the last one away with them."""

    AUTO_FOCUS = ""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss_nothing", "out", show=False),
        Binding("down", "app.focus_next", "next", show=False),
        Binding("up", "app.focus_previous", "previous", show=False),
        Binding("f2,ctrl+s", "keep", "keep", show=False),
    ]

    def __init__(self, title: str, fields: Sequence[Field], check: Checked | None = None) -> None:
        super().__init__()
        self._title = title
        self._fields = tuple(fields)
        self._check = check
        self._early = ""
        """Typed before there was a field to take it."""

    def type_on(self, text: str) -> None:
        """What was typed before it was there to take it."""
        self._early += text
        if self.is_mounted:
            self._type()

    def on_key(self, event: events.Key) -> None:
        """Enter and letters, done in the order typed."""
        typed = "\n" if event.key == "enter" else event.character or ""
        if typed == "\n" or (typed and typed.isprintable()):
            event.stop()
            event.prevent_default()
            self.type_on(typed)

    def on_mount(self) -> None:
        self.set_focus(self._input(0))
        self._type()

    def _type(self) -> None:
        early, self._early = self._early, ""
        for number, character in enumerate(early):
            if self._left:
                self.pass_on(early[number:])
                return
            if character == "\n":
                if self._at() == len(self._fields) - 1:
                    self.action_keep()
                else:
                    # At once, where `Input.focus` would wait its turn behind letters typed meanwhile.
                    self.set_focus(self._input(self._at() + 1))
            else:
                field = self._input(self._at())
                field.replace(character, *field.selection)

    def _input(self, number: int) -> Input:
        return self.query_one(f"#field-{number}", Input)

    def _at(self) -> int:
        """Number of the field that is typed into."""
        return int(self.focused.id.removeprefix("field-")) if self.focused is not None and self.focused.id else 0

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="form", can_focus=False):
            yield Static(to_content(self._title), classes="form-title")
            for number, field in enumerate(self._fields):
                words = Content.assemble(to_content(field.words), "  ", to_content(field.hint).stylize("$quiet"))
                yield Static(words, classes="field-words")
                yield _FieldInput(
                    placeholder=shown(field.initial, field.unit),
                    id=f"field-{number}",
                    compact=True,
                    select_on_focus=False,
                )
            yield Static("", id="form-fault")
            enter = "next, at the last field done" if len(self._fields) > 1 else "done"
            yield Static(plain(f"Enter: {enter}. Escape: back."), classes="form-hint")

    def action_keep(self) -> None:
        values = {
            field.key: typed(self.query_one(f"#field-{number}", Input).value.strip(), field.unit) or field.initial
            for number, field in enumerate(self._fields)
        }
        fault = self._check(values) if self._check else ""
        if fault:
            self.query_one("#form-fault", Static).update(plain(fault))
        else:
            self.leave(values)

    def action_dismiss_nothing(self) -> None:
        self.leave(None)


class ReadingPage(Form[None]):
    """Something to read, longer than the screen."""

    AUTO_FOCUS = "#page-text"

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,v,enter,space,question_mark", "dismiss_nothing", "out", show=False),
    ]

    def __init__(self, title: str, lines: Sequence[str], *, as_typed: bool = False) -> None:
        super().__init__()
        self._title = title
        self._text = "\n".join(lines if as_typed else map(localize, lines))

    def compose(self) -> ComposeResult:
        with Vertical(classes="form page"):
            yield Static(to_content(self._title), classes="form-title")
            with VerticalScroll(id="page-text"):
                yield Static(plain(self._text))
            yield Static(plain("Arrows move, q goes back."), classes="form-hint")

    def action_dismiss_nothing(self) -> None:
        self.leave(None)
