"""A row's lowering on the screen, head by head: what the hands do next, its picture, and a key for how it went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import Static
from textual.worker import get_current_worker

from tunneltui.cells import as_typed, cm, joined, many, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.lowering import CRACKS_STOP, LoweringJob, bodies
from tunneltui.chores.morning import Morning
from tunneltui.draw.canvas import CanvasRow
from tunneltui.draw.lowering_picture import lowering_picture
from tunneltui.draw.row_scene import RowScene, row_scene
from tunneltui.journal import body
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_holding_up import Finish, StemKinked
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.kinds_standing import Measured
from tunneltui.pages import lowering as pages
from tunneltui.pages.prompts import LEFT_HANGING, LOWERED_ALREADY
from tunneltui.pages.units import in_force, typed
from tunneltui.screens import actions, acts, questions
from tunneltui.screens.ahead import lowering_of, view_ahead
from tunneltui.screens.drawing import Drawing
from tunneltui.screens.edges import HeaderLine, KeysLine, TopLine
from tunneltui.screens.forms import Answer, Fields, Form, FormChoice, Letters, Question, ReadingPage
from tunneltui.screens.lines import Choices, bindings_of
from tunneltui.screens.messages import Act, ActRequested
from tunneltui.screens.other_lowering import FIELDS, fault_in, other_move
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import to_content

FINISHED: dict[Finish, str] = {
    "well_under": "tip well under noted as a reading",
    "as_said": "tip as said noted as a reading",
    "over": "tip over noted as a reading",
}
HANGS_LOW = "it hangs so low already"
WHY_LEFT = (
    "stem too stiff or brittle just now",
    "no twine left on its hook",
    "its hook or clips hang otherwise than noted",
    "no time, another day",
)
PICTURE_FROM = (60, 16)
"""Columns and rows from which there is room for the picture."""
LIST_FROM = (100, 32)
"""And for the list of heads under it."""
STEPS_CELLS = 36


@dataclass(slots=True)
class HeadAnswer:
    """The answer given for one head, kept so that it can be taken back."""

    leader: str
    sentence: str
    how: str
    """lowered, left or cracked."""
    over: bool = False
    act: str = ""
    """'' till it is written."""


class LoweringEffects(NamedTuple):
    """What a worker finds out about the whole lowering."""

    relief: pages.Relief
    scene_now: RowScene
    scene_after: RowScene


class LoweringPage(Form[None]):
    """One head at a time, front head first; every answer is written as it is given."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("lowering")
    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    LoweringPage { align: left top; background: $ground; layout: vertical; }
    #lowering-header { height: 1; background: $bar; }
    #lowering-heads, #lowering-status, #lowering-keys { height: 1; }
    #lowering-keys { background: $bar; }
    #lowering-work { height: 1fr; padding-top: 1; }
    #lowering-steps { width: 36; height: 1fr; padding: 0 1; }
    #lowering-steps.wide { width: 41; }
    #lowering-steps.alone { width: 1fr; }
    #lowering-picture.away, #lowering-list.away, #lowering-after.away { display: none; }
    #lowering-list { height: 11; }
    #lowering-after { height: 2; background: $bar; padding: 0 1; }
    """

    class FoundOut(Message):
        """A worker has worked out what the lowering does."""

        def __init__(self, worked_out: LoweringEffects) -> None:
            self.known = worked_out
            super().__init__()

    def __init__(self, view: RoundView, morning: Morning, loop: str, chore: Chore) -> None:
        super().__init__()
        self._view = view
        self._morning = morning
        self._chore = chore
        self._job = next(job for job in morning.lowerings if job.loop == loop)
        self._cards = pages.head_cards(morning.season, self._job)
        self._moves = {move.leader: move for move in self._job.doable}
        self._before = done_before(morning, self._job)
        self._at = -1
        """Number of the head; -1 before the first, past the last one at the end."""
        self._given: list[HeadAnswer] = []
        self._known: LoweringEffects | None = None
        self._typed = ""
        self._roomy = False
        """Whether the picture stands beside the steps."""
        self._header = HeaderLine(id="lowering-header")
        self._heads = Static("", id="lowering-heads")
        self._steps = Static("", id="lowering-steps")
        self._drawing = Drawing(id="lowering-picture")
        self._list = Choices(id="lowering-list")
        self._after = Static("", id="lowering-after")
        self._status = Static("", id="lowering-status")
        self._keys = KeysLine(actions.of("lowering"), id="lowering-keys")

    def compose(self) -> ComposeResult:
        yield self._header
        yield self._heads
        with Horizontal(id="lowering-work"):
            yield self._steps
            yield self._drawing
        yield self._list
        yield self._after
        yield self._status
        yield self._keys

    def on_mount(self) -> None:
        self._list.can_focus = False
        self.watch(self.app, "view", self._newer, init=False)
        self._find_out()
        self._show()

    def on_resize(self, event: events.Resize) -> None:
        columns, rows = event.size
        self._roomy = columns >= PICTURE_FROM[0] and rows >= PICTURE_FROM[1]
        self._steps.set_class(columns >= LIST_FROM[0], "wide")
        self._list.set_class(columns < LIST_FROM[0] or rows < LIST_FROM[1], "away")
        self._after.set_class(rows < PICTURE_FROM[1], "away")
        self.call_after_refresh(self._show)

    @work(thread=True, group="lowering", exit_on_error=False, description="What the lowering does")
    def _find_out(self) -> None:
        morning, loop = self._morning, self._job.loop
        after = view_ahead(morning, loop, 0, lowered=True)
        worked_out = LoweringEffects(
            pages.relief(morning.season, loop, morning.loads, after.loads),
            row_scene(morning.season, morning.outlook, morning.loads, loop),
            row_scene(after.season, after.outlook, after.loads, loop),
        )
        if not get_current_worker().is_cancelled:
            self.post_message(self.FoundOut(worked_out))

    def _newer(self, view: RoundView | None) -> None:
        """What was answered is worked out by now; the heads to come stay as they were planned."""
        if view is not None:
            self._view = view
            if self._at == len(self._cards):
                self._show()

    @on(FoundOut)
    def _found_out(self, event: FoundOut) -> None:
        self._known = event.known
        self._show()

    # What is shown

    @property
    def _card(self) -> pages.HeadCard | None:
        return self._cards[self._at] if 0 <= self._at < len(self._cards) else None

    def _lowered(self) -> set[str]:
        return {given.leader for given in self._given if given.how == "lowered"}

    def _cracks(self) -> int:
        return self._before.cracks + sum(given.how == "cracked" for given in self._given)

    def _answered(self) -> set[str]:
        return {given.leader for given in self._given}

    @on(Drawing.Resized)
    def _show(self) -> None:
        if not self.is_attached:
            return
        self._show_header()
        self._heads.update(self._heads_line())
        pictured = self._roomy and self._card is not None
        self._drawing.set_class(not pictured, "away")
        self._steps.set_class(not pictured, "alone")
        self._steps.update(self._words())
        self._drawing.show(self._picture_rows())
        self._after.update(to_content(joined("\n", self._after_lines())))
        self._show_list()

    def _show_header(self) -> None:
        done, total = len(self._before.names), len(self._before.names) + len(self._cards)
        title = f"Lower, {pages.loop_words(self._morning.season.layout, self._job.loop)}"
        where = {-1: "before the first", len(self._cards): "the end"}.get(
            self._at, f"head {done + self._at + 1} of {total}"
        )
        left = [card for card in self._cards if card.leader not in self._answered()]
        minutes = self._chore.minutes * len(left) / max(len(self._cards), 1)
        cracks = self._cracks()
        cracked = Part(many(cracks, "crack"), "must") if cracks else Part("no cracks")
        left_words = Part(f"about {minutes:.0f} min left", shorter=(f"{minutes:.0f} min",))
        self._header.show(TopLine((title,), (where,), (left_words, cracked)))

    def _heads_line(self) -> Content:
        """The heads in the order of work: a bare line where they are done."""
        lowered, answered = self._lowered(), self._answered()
        card = self._card
        parts: list[tuple[str, str]] = [(" ", "")]
        row = ""
        names = [*((name, "") for name in self._before.names), *((card.name, card.leader) for card in self._cards)]
        first = max(0, len(self._before.names) + self._at - self._room_for_heads() // 2) if self._at > 0 else 0
        if len(names) <= self._room_for_heads():
            first = 0
        for name, leader in names[first : first + self._room_for_heads()]:
            its_row, _, short = name.rpartition("-")
            if its_row != row:
                parts.append((f"{'  ' if row else ''}{its_row} ", "$text-muted"))
                row = its_row
            if not leader or leader in lowered:
                parts.append(("───", "$text-muted"))
            elif card is not None and leader == card.leader:
                parts.append((f"{short} ", "bold $chosen"))
            else:
                parts.append((f"{short} ", "$text-muted" if leader in answered else ""))
        return Content.assemble(*parts)

    def _room_for_heads(self) -> int:
        return max((self.size.width - 12) // 3, 3)

    def _words(self) -> Content:
        card = self._card
        if card is None:
            return to_content(joined("\n", self._opening() if self._at < 0 else self._ending()))
        tip = say(pages.TIP_TYPED, self._typed) if self._typed else ""
        gap = "\n\n" if self.size.height >= 24 and self._roomy else "\n"
        width = max((STEPS_CELLS if self._roomy else self.size.width) - 6, 10)
        lines = [to_content(pages.heading(card)).stylize("bold")]
        for step, words in enumerate(card.steps, 1):
            lines.append(
                Content("\n").join(
                    Content.assemble((f"{step}  " if at == 0 else "   ", "bold $chosen"), part.stylize("bold"))
                    for at, part in enumerate(to_content(words).wrap(width))
                )
            )
        lines.append(to_content(pages.tip_words(card)))
        lines += [to_content(words).stylize("$text-muted") for words in card.aside]
        given = next((answer for answer in reversed(self._given) if answer.leader == card.leader), None)
        if given is not None:
            lines.append(to_content(("✓ " if given.how == "lowered" else "» ") + given.sentence))
        if tip:
            lines.append(to_content(tip).stylize("bold $chosen"))
        return Content(gap).join(lines)

    def _opening(self) -> list[str]:
        front = self._cards[0]
        lines = [
            f"{many(len(self._cards), 'head')}, about {self._chore.minutes:.0f} min; {front.name} first.",
            "",
            *pages.CARE,
            "",
        ]
        lines += (
            pages.relief_words(self._known.relief)
            if self._known is not None
            else ["What it does to the clips is being worked out."]
        )
        return [*lines, *pages.stuck_lines(self._morning.season, self._job), "", "space begins"]

    def _ending(self) -> list[str]:
        lowered = self._lowered()
        done = [*self._before.names, *(card.name for card in self._cards if card.leader in lowered)]
        left = [card.name for card in self._cards if card.leader not in lowered]
        over = [pages.stem_name(self._morning.season, given.leader) for given in self._given if given.over]
        stop = ["Two cracks: stop this row today.", ""] if self._cracks() >= CRACKS_STOP else []
        return [*stop, *pages.last_lines(done, left, over, self._relieved()), "", "space or q goes back"]

    def _relieved(self) -> pages.Relief | None:
        """What it did, by the newest loads there are."""
        newest = self._view.morning
        return (
            pages.relief(newest.season, self._job.loop, self._morning.loads, newest.loads)
            if newest is not None
            else None
        )

    def _after_lines(self) -> list[str]:
        card = self._card
        if card is None:
            return []
        lines = [f"after it  {pages.after_words(card, self._known.relief if self._known is not None else None)}"]
        following = next(
            (head_card for head_card in self._cards[self._at + 1 :] if head_card.leader not in self._answered()),
            None,
        )
        if following is not None:
            lines.append(say("next  {}: {}", following.name, following.in_short))
        return lines

    def _picture_rows(self) -> list[CanvasRow]:
        card, worked_out = self._card, self._known
        if card is None or worked_out is None:
            return []
        columns, rows = self._drawing.size
        return lowering_picture(
            worked_out.scene_now, worked_out.scene_after, self._lowered(), card.leader, columns, rows
        )

    def _show_list(self) -> None:
        if self._list.has_class("away"):
            return
        self._list.show([_head_line(card, self._mark(card)) for card in self._cards])
        self._list.move_to(max(self._at, 0))

    def _mark(self, card: pages.HeadCard) -> str:
        how = next((given.how for given in reversed(self._given) if given.leader == card.leader), "")
        return {"": "", "lowered": "✓", "left": "»", "cracked": "!"}[how]

    def _say(self, say: str) -> None:
        self._status.update(to_content(" " + say))

    # Answering

    def on_key(self, event: events.Key) -> None:
        """Figures of the tip, read after letting out."""
        if event.character and event.character.isdigit() and self._card is not None:
            self._typed = (self._typed + event.character)[:3]
        elif event.key == "backspace" and self._typed:
            self._typed = self._typed[:-1]
        else:
            return
        event.stop()
        event.prevent_default()
        self._show()

    def action_done(self) -> None:
        if self._at < 0:
            self._go_to(0)
        elif self._card is None:
            self.action_leave_page()
        else:
            self._lower()

    def action_as_said(self) -> None:
        self._lower("as_said")

    def action_well_under(self) -> None:
        self._lower("well_under")

    def action_over(self) -> None:
        self._lower("over")

    def action_otherwise(self) -> None:
        if self._typed:
            self._tip_read()
        elif self._card is None:
            self.action_done()
        elif self._may_answer():
            self._ask_otherwise(self._card)

    def _tip_read(self) -> None:
        text, self._typed = self._typed, ""
        under_m = float(typed(text, "cm") or text) / 100
        wire_m = self._moves[self._card.leader].wire_z_m if self._card is not None else 0.0
        if under_m > wire_m:
            self._say(say(pages.TIP_TOO_LOW, cm(under_m), as_typed(wire_m, "m")))
            self._show()
        else:
            self._lower(under_m=under_m)

    def _ask_otherwise(self, card: pages.HeadCard) -> None:
        morning, move = self._morning, self._moves[card.leader]

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                actual = other_move(morning, self._job, move, values)
                drafts = [
                    body.draft(actual.place, entry_body, self._chore.answers, actual.leader)
                    for entry_body in bodies(self._morning.season, actual)
                ]
                self._write(card, drafts, "let out and hung otherwise")

        form = Fields(
            say("{} otherwise than said: {}", card.name, card.in_short),
            FIELDS,
            lambda values: fault_in(morning, self._job, move, values),
        )
        self.app.push_screen(form, keep)

    def _may_answer(self) -> bool:
        card = self._card
        if card is None:
            return False
        if self._view.closed:
            self._say(self._view.closed)
            return False
        if card.leader in self._lowered():
            self._say(say(LOWERED_ALREADY, card.name))
            return False
        return True

    def _lower(self, finish: Finish | None = None, *, under_m: float | None = None) -> None:
        card = self._card
        self._typed = ""
        if card is None or not self._may_answer():
            return
        drafts = _drafts(self._chore, card.leader, finish, under_m)
        how = FINISHED[finish] if finish else ""
        if under_m is not None:
            how = say(pages.TIP_READ, cm(under_m))
        self._write(card, drafts, ", ".join(filter(None, (card.turns, how))), over=finish == "over")

    def _write(self, card: pages.HeadCard, drafts: Sequence[Draft], words: str, *, over: bool = False) -> None:
        given = HeadAnswer(card.leader, f"{card.name} {words}", "lowered", over)
        self._given = [answer for answer in self._given if answer.leader != card.leader or answer.act] + [given]
        all_done = self._lowered() == {head_card.leader for head_card in self._cards}
        self._want(Act(tuple(drafts), given.sentence, (self._chore.id,) if all_done else ()), given)
        self._onwards()

    def _want(self, act: Act, given: HeadAnswer) -> None:
        self._say(say("… {}", given.sentence))
        self.app.post_message(
            ActRequested(act._replace(on_written=lambda written, fault: self._heard(given, written, fault)))
        )

    def _heard(self, given: HeadAnswer, act: str, fault: str) -> None:
        given.act = act
        if fault:
            self._given = [answer for answer in self._given if answer is not given]
        if self.is_attached:
            self._say(
                say("Not written: {}. {}", given.sentence, fault)
                if fault
                else say("✓ {}.  u takes it back", given.sentence)
            )
            if fault:
                self._go_to_leader(given.leader)

    def _onwards(self) -> None:
        if self._cracks() >= CRACKS_STOP:
            self._go_to(len(self._cards))
            return
        answered = self._answered()
        order = [*range(self._at + 1, len(self._cards)), *range(max(self._at, 0))]
        self._go_to(next((at for at in order if self._cards[at].leader not in answered), len(self._cards)))

    def _go_to(self, at: int) -> None:
        self._typed = ""
        self._at = max(-1, min(at, len(self._cards)))
        self._show()

    def _go_to_leader(self, leader: str) -> None:
        self._go_to(next((at for at, card in enumerate(self._cards) if card.leader == leader), self._at))

    def action_up(self) -> None:
        self._go_to(self._at - 1)

    def action_down(self) -> None:
        self._go_to(self._at + 1)

    def action_leave_it(self) -> None:
        card = self._card
        if card is None or not self._may_answer():
            return
        move = self._moves[card.leader]

        def keep(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                why = answers[0].value
                given = HeadAnswer(card.leader, f"{card.name} left: {why}", "left")
                self._given.append(given)
                # That a tip hangs in its place already is a look at it, and no head is asked to be lowered for it.
                looked = Measured(card.leader, tip_under_wire_m=round(move.under_after_m, 2), by="eye")
                left = looked if why == HANGS_LOW else Note(f"not lowered: {why}")
                self._want(Act((body.draft(move.place, left),), given.sentence), given)
                self._onwards()

        why_left = (HANGS_LOW, *WHY_LEFT) if move.may_hang_low else WHY_LEFT
        choices = [FormChoice(words, words) for words in why_left]
        self.app.push_screen(Letters(Question(say(LEFT_HANGING, card.name), choices)), keep)

    def action_crack(self) -> None:
        card = self._card
        if card is None or not self._may_answer():
            return
        given = HeadAnswer(card.leader, f"{card.name} cracked: {pages.SPLINT}", "cracked")
        self._given.append(given)
        draft = body.draft(self._moves[card.leader].place, StemKinked(card.leader))
        self._want(Act((draft,), f"{card.name}: stem cracked"), given)
        self._onwards()

    def action_its_clip_failed(self) -> None:
        card = self._card
        facts = self._view.leaders.get(card.leader) if card is not None else None
        if facts is None or not facts.fixings:
            self._say("No clip or tie is noted here.")
            return
        if self._view.closed:
            self._say(self._view.closed)
            return
        pairs = [(facts, fixing) for fixing in facts.fixings]

        def how(answers: tuple[Answer, ...]) -> Question | None:
            return questions.how_failed(*pairs[int(answers[0].value)]) if len(answers) == 1 else None

        def keep(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                act = acts.failed(facts, pairs[int(answers[0].value)][1], answers[1].value, answers[1].capital)
                self._want(act, HeadAnswer(facts.id, act.sentence, "failed"))

        self.app.push_screen(Letters(questions.which_failed(pairs), how), keep)

    def action_take_back(self) -> None:
        """Takes the last answer back and goes to its head."""
        if self._typed:
            self._typed = ""
            self._show()
        elif not self._given:
            self._say("Nothing was answered since this was opened.")
        elif not self._given[-1].act:
            self._say("That is still being written.")
        else:
            given = self._given.pop()
            self.app.post_message(ActRequested(acts.crossed_out(given.act, given.sentence)))
            self._go_to_leader(given.leader)
            self._say(say("Taken back: {}", given.sentence))

    def action_keys_here(self) -> None:
        self.app.push_screen(ReadingPage("Keys", actions.key_help("lowering", actions.ALL)))

    def action_leave_page(self) -> None:
        self.leave(None)


class Before(NamedTuple):
    """What was done along the loop today before the page was opened."""

    names: tuple[str, ...]
    cracks: int


def done_before(morning: Morning, job: LoweringJob) -> Before:
    season = morning.season
    todo = {move.leader for move in job.doable}
    lowered = [
        leader
        for leader in season.leaders_of_loop(job.loop)
        if leader.id not in todo and leader.lowerings and leader.lowerings[-1].day == season.day
    ]
    lowered.sort(key=lambda leader: -(leader.hook.u_m if leader.hook else leader.u_m))
    cracks = sum(
        accident.kind == "stem_kinked" and accident.day == season.day
        for leader in season.leaders_of_loop(job.loop)
        for accident in leader.accidents
    )
    return Before(tuple(pages.stem_name(season, leader.id) for leader in lowered), cracks)


def page_for(view: RoundView, loop: str) -> LoweringPage | None:
    """The page of a loop's lowering; None where none is proposed."""
    morning = view.morning
    chore = lowering_of(morning, loop) if morning is not None else None
    return LoweringPage(view, morning, loop, chore) if morning is not None and chore is not None else None


def _drafts(chore: Chore, leader: str, finish: Finish | None, under_m: float | None) -> list[Draft]:
    """The entries of one head; with how its tip hung, they are a reading (journal rule 7)."""
    drafts = [draft for piece in chore.pieces if piece.key == leader for draft in piece.writes]
    if finish is None and under_m is None:
        return drafts
    how = {"finish": finish, "tip_under_wire_m": under_m, "as_proposed": None}
    return [body.changed(draft, **how) if draft.kind == "lowered" else draft for draft in drafts]


def _head_line(card: pages.HeadCard, mark: str) -> Line:
    style = "gone" if mark else ""
    spoken = in_force()
    tip_now, tip_after = cm(card.tip_now_m).figure(spoken), cm(card.tip_then_m)
    tip = f"{tip_now:>4} {tip_after.shown(spoken):>6}" if not card.unnoted else ""
    return Line(
        card.leader,
        (
            Part(mark, "done", 3),
            Part(card.name, style or "place", 9),
            Part(card.hook.removeprefix("hook "), style, 6),
            Part(card.turns, style, 14),
            Part(card.to_place, style, 31),
            Part(card.clips, style, 34),
            Part(tip, style),
        ),
    )
