"""The put-right walk on the screen: one digit a string, one key a hook, every answer written as it is given."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tunneltui.cells import say, without_prefix
from tunneltui.chores.begun_late import KIND
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning
from tunneltui.chores.put_right import HookStep, Step, StringStep, Walk, begin
from tunneltui.chores.put_right_answers import answer_step
from tunneltui.holding.user_error import UserError
from tunneltui.pages.prompts import LAST_ANSWERED
from tunneltui.pages.put_right import how_far, keys_for, step_words
from tunneltui.pages.units import in_force, localize
from tunneltui.screens import acts
from tunneltui.screens.forms import Form
from tunneltui.screens.lines import Choices, Lines
from tunneltui.screens.messages import Act, ActRequested
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.text import plain, to_content
from tunneltui.values import replace

NAME_CELLS = 20
ASKS = " Arrows: another step; u: the last answer back; q: leave, to go on later."


@dataclass(slots=True)
class WalkAnswer:
    """An answer of this walk, to be taken back or given anew."""

    before: Walk
    key: str
    sentence: str
    act: str = ""
    """'' till it is written."""


def after_key(step: Step, typed: str, character: str) -> tuple[str, bool]:
    """What is typed after one more character, and whether that is a whole answer: one digit at a string, the word
    for the tip at a hook."""
    if isinstance(step, StringStep):
        return typed + character, character.isdigit()
    return typed + character, isinstance(step, HookStep) and character.lower() in ("s", "w", "o")


def chore_of(chores: Iterable[Chore], loop: str) -> Chore | None:
    """The chore that asks for a walk of this loop."""
    return next((chore for chore in chores if chore.kind == KIND and chore.about == loop), None)


def where_to_walk(morning: Morning, about: str) -> list[str]:
    """The loop that a row, a loop or a leader belongs to; where it is none of these, every one with stems."""
    season = morning.season
    by_name = {leader.name: leader.loop for leader in season.leaders.values()}
    for loop in season.layout.loops.values():
        if about in (loop.id, *(stretch.row for stretch in loop.stretches)) or by_name.get(about) == loop.id:
            return [loop.id]
    return [id_ for id_ in season.layout.loops if season.leaders_of_loop(id_)]


class PutRight(Form[None]):
    """The steps of one loop as a list, and below it the question of the one under the cursor."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss_nothing", "out", show=False)]
    AUTO_FOCUS = "#steps"
    DEFAULT_CSS = """
    #put-right { width: 100%; }
    #steps { height: 1fr; }
    #put-right-asks { margin-top: 1; }
    """

    def __init__(self, morning: Morning, loop: str, chore: Chore | None, first: str = "") -> None:
        """``first``: the step to begin at by its key; where there is none such, the first that is left."""
        super().__init__()
        self._chore = chore
        self._walk = begin(morning.season, morning.outlook, loop, chore)
        self._steps = self._walk.steps
        self._first = first
        self._given: list[WalkAnswer] = []
        self._typed = ""
        self._typed_at = ""
        self._title = Static("", classes="form-title")
        self._list = Choices(id="steps")
        self._asks = Static("", id="put-right-asks")
        self._fault = Static("", id="form-fault")
        self._keys = Static("", id="put-right-keys", classes="form-hint")

    def compose(self) -> ComposeResult:
        with Vertical(classes="form page", id="put-right"):
            yield self._title
            yield self._list
            yield self._asks
            yield self._fault
            yield self._keys

    def on_mount(self) -> None:
        self._show()
        left = self._walk.left
        begins = self._first if self._walk.step(self._first) is not None else ""
        self._go_to(begins or (left[0].key if left else ""))

    # What is shown

    def _show(self) -> None:
        answers = {given.key: given.sentence for given in self._given}
        self._steps = self._walk.steps
        self._title.update(to_content(how_far(self._walk)))
        self._list.show([self._line(step, answers.get(step.key, "")) for step in self._steps])
        self._show_question()

    def _line(self, step: Step, answer: str) -> Line:
        name, shown = step_words(self._walk, step)
        done = step.key in self._walk.done
        about = str(answer).partition(": ")[0]
        words = without_prefix(answer, f"{about}: ") if answer != about else shown
        mark = Part("✓" if done else "", "done", 2)
        return Line(step.key, (mark, Part(name, "bold", NAME_CELLS), Part(words, "" if done else "quiet")))

    @on(Lines.Moved)
    def _moved(self) -> None:
        # Told late: keys typed since may belong to the step the cursor is on already.
        if (step := self._step()) is None or step.key != self._typed_at:
            self._typed = ""
        self._show_question()

    def _show_question(self) -> None:
        step = self._step()
        if step is None:
            self._asks.update(plain("Nothing is to be walked here."))
            self._keys.update(plain("q leaves."))
            return
        name, shown = step_words(self._walk, step)
        self._asks.update(to_content(say("{}: {}\n> {}_", name, shown, self._typed)))
        self._keys.update(to_content(keys_for(step) + ASKS))

    def _step(self) -> Step | None:
        return self._steps[self._list.cursor] if 0 <= self._list.cursor < len(self._steps) else None

    def _go_to(self, key: str) -> None:
        if key:
            self._list.move_to_key(key)
        self._show_question()

    def _say(self, say: str) -> None:
        self._fault.update(plain(localize(say).replace("\n", " ")))

    # Answering

    def on_key(self, event: events.Key) -> None:
        step = self._step()
        character = event.character or ""
        if event.key == "enter":
            self._answer(self._typed)
        elif event.key == "backspace":
            self._typed = self._typed[:-1]
            self._show_question()
        elif character == "q":
            self.action_dismiss_nothing()
        elif character == "u":
            self._take_back()
        elif step is not None and character.strip() and character.isprintable():
            self._typed_at = step.key
            self._typed, whole = after_key(step, self._typed, character)
            self._show_question()
            if whole:
                self._answer(self._typed)
        else:
            return
        event.stop()
        event.prevent_default()

    def _answer(self, text: str) -> None:
        step = self._step()
        if step is None:
            return
        self._typed = ""
        if any(given.key == step.key and not given.act for given in self._given):
            self._say("What was answered here is still being written.")
            return
        before = self._walk
        try:
            step_answered = answer_step(before, step, text, in_force())
        except UserError as trouble:
            self._say(str(trouble))
            self._show_question()
            return
        # A step answered anew: what was written for it is crossed out first.
        for given in [answer for answer in self._given if answer.key == step.key]:
            self._given.remove(given)
            self.post_message(ActRequested(acts.crossed_out(given.act, given.sentence)))
        given = WalkAnswer(before, step.key, step_answered.sentence)
        self._given.append(given)
        self._walk = step_answered.walk
        self._say("")
        ticked = (self._chore.id,) if self._chore is not None and not step_answered.walk.left else ()
        self.post_message(
            ActRequested(
                Act(
                    step_answered.drafts,
                    step_answered.sentence,
                    ticked,
                    on_written=lambda *end: self._heard(given, *end),
                )
            )
        )
        self._show()
        self._onwards(step.key)

    def _onwards(self, key: str) -> None:
        """To the next step that is left, else to the first one left behind."""
        keys = [step.key for step in self._steps]
        at = keys.index(key) if key in keys else 0
        left = [key_left for key_left in (*keys[at + 1 :], *keys[:at]) if key_left not in self._walk.done]
        if left:
            self._go_to(left[0])
        else:
            self._say(say(LAST_ANSWERED, self._walk.loop.id))

    def _heard(self, given: WalkAnswer, act: str, fault: str) -> None:
        given.act = act
        if fault and given in self._given:
            self._unanswered(given)
            if self.is_attached:
                self._say(say("Not written: {}. {}", given.sentence, fault))
                self._go_to(given.key)

    def _unanswered(self, given: WalkAnswer) -> None:
        """As if it had not been answered; answers given since stay."""
        self._given.remove(given)
        step = given.before.step(given.key)
        leader = step.leader if isinstance(step, HookStep) else ""
        kept = {id_: u_m for id_, u_m in self._walk.hooks.items() if id_ != leader}
        self._walk = replace(self._walk, done=self._walk.done - {given.key}, hooks=kept)
        if self.is_attached:
            self._show()

    def _take_back(self) -> None:
        if self._typed:
            self._typed = ""
            self._show_question()
        elif not self._given:
            self._say("Nothing was answered since this walk was opened.")
        elif not self._given[-1].act:
            self._say("That answer is still being written.")
        else:
            given = self._given[-1]
            self._unanswered(given)
            self.post_message(ActRequested(acts.crossed_out(given.act, given.sentence)))
            self._say(say("Taken back: {}", given.sentence))
            self._go_to(given.key)

    def action_dismiss_nothing(self) -> None:
        self.leave(None)
