"""Next season: plans side by side, the chosen one from above, its days and shopping list; adopted by a key."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import ClassVar, Literal

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Static
from textual.worker import get_current_worker

from tunneltui.cells import joined, say
from tunneltui.chores.morning import Morning
from tunneltui.holding.user_error import Fault, UserError
from tunneltui.pages.plan import (
    adopted_says,
    adopts_words,
    already_adopted,
    legend,
    next_page,
    progress_words,
    seen_from_above,
    side_words,
    title,
    trade_off_words,
    whole_plan,
)
from tunneltui.pages.units import localize
from tunneltui.review.plan import SeasonPlans, plan
from tunneltui.review.plan_adopted import adoption, adoption_drafts
from tunneltui.review.plan_values import Plan, RowKind, Wishes
from tunneltui.screens.drawing import Drawing
from tunneltui.screens.forms import Answer, Field, Fields, FormChoice, Letters, Question, ReadingPage
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.list_and_detail import ListAndDetail
from tunneltui.screens.messages import Act, ActRequested, StatusText
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import to_content
from tunneltui.season.adopted import adopted_plan
from tunneltui.values import replace

MOST_ROWS = 12
"""Of the picture from above; `whole plan` has the rest in words."""
LEADERS: tuple[Literal[1, 2] | None, ...] = (None, 2, 1)
ROW_KINDS: tuple[RowKind, ...] = ("as_they_are", "single", "double")


class NextPane(ListAndDetail):
    """Plans are worked out by a worker, anew for every choice; the list keeps what was shown till then."""

    TITLE = "Next season"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("next")
    DEFAULT_CSS = """
    #next-drawing { height: 4; }
    #next-words { height: 1fr; padding: 0 1; }
    """

    REASON_ROWS = 11
    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class PlansReady(Message):
        """Plans for one morning and one set of choices, or why there are none."""

        def __init__(
            self, morning: Morning, wishes: Wishes, planned: SeasonPlans | None, trouble: str = ""
        ) -> None:
            self.morning = morning
            self.wishes = wishes
            self.planned = planned
            self.trouble = trouble
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._lines = Lines(id="next-lines")
        self._drawing = Drawing(id="next-drawing")
        self._words = Static("", id="next-words")
        self._wishes = Wishes()
        self._planned: tuple[Morning, SeasonPlans] | None = None

    def compose(self) -> ComposeResult:
        yield self._lines
        yield Container(self._drawing, self._words, classes="detail", id="next-side")

    def watch_view(self) -> None:
        """A pane nobody looks at lets it be: planning takes seconds, and every tick makes a new view."""
        if self.is_mounted and self.display:
            self._plan()

    def on_show(self) -> None:
        self._plan()

    # Working out

    @property
    def _morning(self) -> Morning | None:
        return self.view.morning if self.view is not None else None

    def _plan(self) -> None:
        morning = self._morning
        if morning is None:
            self.set_head_words("Next season is still being worked out.")
            return
        if self._planned is not None and self._planned[0] is morning and self._planned[1].wishes == self._wishes:
            return
        self.set_head_words(f"{title(self._wishes)}: working it out…")
        self._work_out(morning, self._wishes)

    @work(thread=True, exclusive=True, group="next", exit_on_error=False, description="Planning next season")
    def _work_out(self, morning: Morning, wishes: Wishes) -> None:
        worker = get_current_worker()

        def tell(done: int, of: int) -> None:
            if not worker.is_cancelled:
                self.app.call_from_thread(self.set_head_words, f"{title(wishes)}: {progress_words(done, of)}…")

        try:
            planned = plan(morning.entries, morning.season, wishes, tell)
            message = self.PlansReady(morning, wishes, planned)
        except UserError as trouble:
            message = self.PlansReady(morning, wishes, None, str(trouble))
        if not worker.is_cancelled:
            self.post_message(message)

    @on(PlansReady)
    def _show(self, event: PlansReady) -> None:
        if event.morning is not self._morning or event.wishes != self._wishes:
            return
        if event.planned is None:
            self._refused(event.trouble)
            return
        self._planned = (event.morning, event.planned)
        self.set_head_words(title(event.wishes, event.planned.dates))
        first = not self._lines.lines
        self._lines.show_page(next_page(event.planned, adopted_plan(event.morning.season)))
        if first:
            self._lines.move_to_key(f"plan {event.planned.plans[min(1, len(event.planned.plans) - 1)].name}")
        self._show_one()

    def _refused(self, why: str) -> None:
        """Choices that cannot be go back to the last that could."""
        self.set_head_words("nothing could be worked out")
        if self._planned is None:
            self._words.update(to_content(why))
        else:
            self._wishes = self._planned[1].wishes
            self.set_head_words(title(self._wishes, self._planned[1].dates))
            self.post_message(StatusText(localize(why).replace("\n", " ")))

    # The one under the cursor

    def _one(self) -> Plan | None:
        line = self._lines.line
        if self._planned is None or line is None or not line.key.startswith("plan "):
            return None
        name = line.key.removeprefix("plan ")
        return next((offered for offered in self._planned[1].plans if offered.name == name), None)

    @on(Lines.Moved)
    @on(Drawing.Resized)
    def _show_one(self) -> None:
        chosen, morning = self._one(), self._morning
        if chosen is None or morning is None:
            return
        drawn = seen_from_above(morning.season.holding, chosen, max(self._drawing.size.width, 20))
        self._drawing.styles.height = min(len(drawn), MOST_ROWS)
        self._drawing.show(drawn)
        self._words.update(to_content(joined("\n", [legend(chosen), *side_words(chosen)])))

    def action_more(self) -> None:
        chosen = self._one()
        if chosen is None or self._planned is None:
            self.post_message(StatusText("Go to a plan first."))
        else:
            self.app.push_screen(ReadingPage(f"Plan {chosen.name}", whole_plan(self._planned[1], chosen)))

    # Choices

    def _choose(self, wishes: Wishes) -> None:
        self._wishes = wishes
        self._plan()

    def action_leaders(self) -> None:
        self._choose(
            replace(self._wishes, leaders=LEADERS[(LEADERS.index(self._wishes.leaders) + 1) % len(LEADERS)])
        )

    def action_rows(self) -> None:
        after = ROW_KINDS[(ROW_KINDS.index(self._wishes.rows) + 1) % len(ROW_KINDS)]
        self._choose(replace(self._wishes, rows=after))

    def action_end(self) -> None:
        def keep(values: dict[str, str] | None) -> None:
            if values is None:
                return
            typed = values["end"].strip()
            end = None if typed in ("", "frost") else date.fromisoformat(typed)
            self._choose(replace(self._wishes, end=end, until_frost=typed == "frost"))

        initial = "frost" if self._wishes.until_frost else str(self._wishes.end or "")
        fields = [
            Field("end", "Last pick", initial, "a day such as 2027-10-15, or frost; nothing: your holding's")
        ]
        self.app.push_screen(Fields("When does next season end?", fields, _end_fault), keep)

    # Taking one

    def action_adopt(self) -> None:
        chosen = self._one()
        if chosen is None or self._planned is None:
            self.post_message(StatusText("Go to a plan to adopt it."))
            return
        morning, planned = self._planned
        taken = adoption(planned, chosen.name)
        drafts = tuple(adoption_drafts(morning.season, taken))
        if not drafts:
            self.post_message(StatusText(already_adopted(chosen.name)))
            return
        sentences = adopted_says(chosen.name, len(drafts) > 1, str(taken.sow))
        heads = sum(n for n, cultivar in zip(taken.leaders, taken.cultivars, strict=True) if cultivar)
        question = Question(
            f"Adopt {chosen.name}? It writes {' and '.join(draft.kind.replace('_', ' ') for draft in drafts)}.",
            [
                FormChoice("yes", adopts_words(taken, heads)),
                FormChoice("no", "no, back to the plans"),
            ],
            say("Gives up: {}. {}", trade_off_words(chosen.trade_offs), sentences[1]),
        )

        def answered(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None and answers[0].value == "yes":
                self.post_message(ActRequested(Act(drafts, f"Adopted {chosen.name}: {sentences[1]}")))

        self.app.push_screen(Letters(question), answered)


def _end_fault(values: Mapping[str, str]) -> str:
    typed = values["end"].strip()
    if typed in ("", "frost"):
        return ""
    try:
        date.fromisoformat(typed)
    except ValueError:
        return Fault(f"{typed!r} is no day: write it as 2027-10-15, or frost.")
    return ""
