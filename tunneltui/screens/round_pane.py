"""The morning round: the walk as a list, the line's reasons beside it, and a key for everything that happens."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.reactive import reactive

from tunneltui.chores.chore import Chore
from tunneltui.screens import picking
from tunneltui.screens.beside import Beside
from tunneltui.screens.detail import detail_lines
from tunneltui.screens.edges import Head
from tunneltui.screens.lines import bindings_for
from tunneltui.screens.list_lines import Far, round_head
from tunneltui.screens.messages import Act, ActWanted, PlanWanted, Said
from tunneltui.screens.picture import LeaderFacts, Picture, State
from tunneltui.screens.text import told
from tunneltui.screens.walk_list import WalkList
from tunneltui.screens.words_beside import WordsBeside

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning
    from tunneltui.screens.forms import Answer, Question

NOT_YET = "The journal is still being read."


class RoundPane(Beside):
    """Shows one picture; tells upwards what the grower wants written.

    Forms are imported where one is asked for: the first paint shows none.
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings_for("round")

    picture: reactive[Picture | None] = reactive(None)

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._walk = WalkList(id="walk")
        self._detail = WordsBeside(id="detail", classes="detail")
        self._sought = ""

    def compose(self) -> ComposeResult:
        yield self._walk
        yield self._detail

    # What is shown

    def watch_picture(self, picture: Picture | None) -> None:
        if picture is not None and self.is_mounted:
            self._walk.show_round(picture)
            self._show_detail()

    def mark(self, chores: tuple[str, ...], state: State) -> None:
        """Marks chores before the next picture comes; '' takes the mark away."""
        self._walk.mark(chores, state)

    @property
    def far(self) -> Far:
        """How far the round has come."""
        return self._walk.far

    @property
    def row(self) -> str:
        """The row under the cursor."""
        return self._walk.row

    @property
    def head(self) -> Head:
        return round_head(self.picture, self.far) if self.picture is not None else Head(("Round",))

    @property
    def place(self) -> str:
        """The place under the cursor; '' where that is none."""
        return self._walk.place

    def go_to_chore(self, chore: str) -> bool:
        """To the line of a chore; False where it is not on the walk."""
        return self._walk.go_to_chore(chore)

    def go_to_place(self, place: str) -> bool:
        """To the first line of that place."""
        return self._walk.go_to_place(place)

    def on_mount(self) -> None:
        # Watched, not waited for: what a message brings is painted a frame after the cursor.
        self.watch(self._walk, "cursor", self._show_detail, init=False)

    def _show_detail(self) -> None:
        if self.picture is not None:
            # Laid out by its pane and not by what it says: a key paints its own two lines and these.
            self._detail.show(told("\n".join(self._told())))

    def _told(self, *, every: bool = False) -> list[str]:
        """Of the line under the cursor."""
        chore = self._walk.chore
        below = self._walk.below() if chore is None else []
        return detail_lines(self.picture, chore, below, every=every) if self.picture is not None else []

    # Writing

    def _want(self, act: Act) -> None:
        """Marked here and now: the next key may come before the app has taken the act."""
        if self.picture is None or self.picture.closed:
            self._say(self.picture.closed if self.picture is not None else "")
            return
        here = self._walk.chore
        self.mark(act.chores, "writing")
        if act.chores and (here is None or here.id in act.chores):
            self._walk.move_onwards()
        # To the app itself: on its way up through the panes the pen would wait for the mark to be painted.
        self.app.post_message(ActWanted(act))

    def _say(self, say: str) -> None:
        self.post_message(Said(say))

    def _open(self) -> Chore | None:
        """The chore under the cursor if it can be ticked, else a sentence is said."""
        chore = self._walk.chore
        if chore is None:
            self._say("No chore is on this line.")
        elif self.picture is not None and self.picture.closed:
            self._say(self.picture.closed)
        elif not self._walk.is_open(chore):
            state = self._walk.state_of(chore)
            is_so = "no longer needed" if state == "no longer" else f"{state} already"
            self._say(f"This is {is_so}; u crosses out the last thing noted.")
        else:
            return chore
        return None

    def action_done(self) -> None:
        from tunneltui.chores.kinds import KINDS
        from tunneltui.screens import acts

        chore = self._open()
        if chore is None:
            return
        taken = KINDS[chore.kind].taken
        if self._goes_head_by_head(chore):
            self.action_lower()
        elif taken == "walk":
            self.action_put_right()
        elif taken == "amount":
            self.action_pick()
        elif chore.choices:
            self._ask_which(chore)
        else:
            self._want(acts.done([chore]))

    def _ask_which(self, chore: Chore) -> None:
        """What is to be decided is written only by the letter of an answer."""
        from tunneltui.screens import acts
        from tunneltui.screens.forms import Choice, Letters, Question

        def chosen(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                self._want(acts.chosen(chore, chore.choices[int(answers[0].value)]))

        choices = [Choice(str(number), choice.words) for number, choice in enumerate(chore.choices)]
        self.app.push_screen(Letters(Question(chore.proposal, choices)), chosen)

    def action_changes(self) -> None:
        from tunneltui.screens import changes
        from tunneltui.screens.forms import Fields

        chore = self._open()
        if chore is None or self.picture is None:
            return
        if chore.kind == "put_right" or chore.choices:
            self.action_done()
            return
        if self._goes_head_by_head(chore):
            self.action_lower()
            return
        leaders = self.picture.leaders_of(chore)
        form = Fields(
            f"Done with changes: {chore.proposal}",
            changes.fields_of(chore, leaders),
            lambda values: changes.fault_in(chore, leaders, values),
        )

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self._want(changes.act(chore, leaders, values))

        self.app.push_screen(form, keep)

    def _goes_head_by_head(self, chore: Chore) -> bool:
        return chore.kind == "lower" and self.picture is not None and self.picture.morning is not None

    def action_lower(self) -> None:
        """Head by head, with the loop of the line under the cursor."""
        from tunneltui.screens.lowering_page import page_for

        picture = self.picture
        loop = picture.morning.season.layout.loop_of_row.get(self.row) if picture and picture.morning else None
        page = page_for(picture, loop.id) if picture is not None and loop is not None else None
        if page is not None:
            self.app.push_screen(page)
        else:
            self._say(NOT_YET if picture is None or picture.morning is None else "No lowering is proposed here.")

    # Things that happen on the way

    def _leaders_here(self) -> tuple[LeaderFacts, ...]:
        if self.picture is None:
            return ()
        chore = self._walk.chore
        if chore is None:
            return self.picture.leaders_of_row(self.row)
        return self.picture.leaders_of(chore) or self.picture.leaders_of_row(self._walk.row_of(chore))

    def action_failed(self) -> None:
        from tunneltui.screens import acts, questions
        from tunneltui.screens.forms import Letters

        fixings = [(leader, fixing) for leader in self._leaders_here() for fixing in leader.fixings]
        fixings.sort(key=lambda pair: -pair[1].share)
        if not fixings:
            self._say("No clip or tie is noted here.")
            return

        def how(answers: tuple[Answer, ...]) -> Question | None:
            return questions.how_failed(*fixings[int(answers[0].value)]) if len(answers) == 1 else None

        def keep(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                which, failed = answers
                leader, fixing = fixings[int(which.value)]
                self._want(acts.failed(leader, fixing, failed.value, dropped=failed.capital))

        self.app.push_screen(Letters(questions.which_failed(fixings), how), keep)

    def action_accident(self) -> None:
        from tunneltui.screens import acts
        from tunneltui.screens.forms import Choice, Question

        what = [Choice(kind, words) for kind, words in acts.ACCIDENTS]
        self._ask_leader(
            "To which one?",
            lambda leader: Question(f"What happened to {leader.name}?", what),
            lambda leader, kind: self._want(acts.accident(leader, kind)),
        )

    def _ask_leader(
        self,
        title: str,
        question: Callable[[LeaderFacts], Question],
        then: Callable[[LeaderFacts, str], None],
    ) -> None:
        """Asks which leader where there are several, then ``question`` about it; ``then`` gets the answer."""
        from tunneltui.screens.forms import Letters
        from tunneltui.screens.questions import which_leader

        leaders = {leader.id: leader for leader in self._leaders_here()}
        if not leaders:
            self._say("No leader belongs to this line.")
            return
        only = next(iter(leaders.values())) if len(leaders) == 1 else None

        def keep(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                then(only or leaders[answers[0].value], answers[-1].value)

        if only is not None:
            self.app.push_screen(Letters(question(only)), keep)
        else:
            form = Letters(
                which_leader(title, leaders.values()),
                lambda answers: question(leaders[answers[0].value]) if len(answers) == 1 else None,
            )
            self.app.push_screen(form, keep)

    def action_pick(self) -> None:
        from tunneltui.screens.forms import Choice, Letters, Question

        if self.picture is None:
            return
        chore = self._walk.chore
        if chore is not None and chore.kind == "pick" and (cultivar := picking.cultivar_of(chore)):
            self._ask_kg(chore.row, cultivar, chore if self._walk.is_open(chore) else None)
            return
        row = self.row
        facts = self.picture.rows.get(row)
        cultivars = facts.cultivars if facts is not None else ()
        if len(cultivars) == 1:
            self._ask_kg(row, cultivars[0], self._pick_chore(row, cultivars[0]))
        elif cultivars:

            def chosen(answers: tuple[Answer, ...] | None) -> None:
                if answers is not None:
                    self._ask_kg(row, answers[0].value, self._pick_chore(row, answers[0].value))

            choices = [Choice(cultivar, cultivar) for cultivar in cultivars]
            self.app.push_screen(Letters(Question(f"Picked what in {row}?", choices)), chosen)
        else:
            self._say("No cultivar is planted in this row.")

    def _pick_chore(self, row: str, cultivar: str) -> Chore | None:
        return picking.pick_chore(filter(self._walk.is_open, self._walk.chores), row, cultivar)

    def _ask_kg(self, about: str, cultivar: str, chore: Chore | None) -> None:
        morning = self.picture.morning if self.picture is not None else None
        season = morning.season if morning is not None else None

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self._want(picking.act(about, cultivar, values, chore, season))

        self.app.push_screen(picking.form(about, cultivar, chore), keep)

    def action_measure(self) -> None:
        from tunneltui.screens.forms import Letters
        from tunneltui.screens.questions import which_leader

        leaders = {leader.id: leader for leader in self._leaders_here()}
        if not leaders:
            self._say("No leader belongs to this line.")
        elif len(leaders) == 1:
            self._ask_readings(next(iter(leaders.values())))
        else:

            def chosen(answers: tuple[Answer, ...] | None) -> None:
                if answers is not None:
                    self._ask_readings(leaders[answers[0].value])

            self.app.push_screen(Letters(which_leader("Readings of which one?", leaders.values())), chosen)

    def _ask_readings(self, leader: LeaderFacts) -> None:
        from tunneltui.screens import acts, readings
        from tunneltui.screens.forms import Fields

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self._want(acts.measured(leader, readings.read(values)))

        self.app.push_screen(Fields(f"Readings of {leader.name}", readings.FIELDS, readings.fault_in), keep)

    def action_put_off(self) -> None:
        from tunneltui.screens import acts, questions
        from tunneltui.screens.forms import Letters

        chore = self._open()
        if chore is None or self.picture is None:
            return

        def chosen(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                self._want(acts.put_off(chore, date.fromisoformat(answers[0].value)))

        self.app.push_screen(Letters(questions.until_when(self.picture, chore)), chosen)

    def action_note(self) -> None:
        from tunneltui.screens import acts
        from tunneltui.screens.forms import Field, Fields

        chore = self._walk.chore
        about = acts.place_of(chore) if chore is not None else self.row

        def keep(values: dict[str, str] | None) -> None:
            if values is not None and values["text"]:
                self._want(acts.note(about, values["text"]))

        self.app.push_screen(Fields(f"Note about {about or 'the house'}", [Field("text", "Note")]), keep)

    # The put-right walk

    def action_put_right(self) -> None:
        """Along the loop of the line under the cursor; where that tells none, it is asked which."""
        morning = self.picture.morning if self.picture is not None else None
        if self.picture is None or morning is None or self.picture.closed:
            self._say(self.picture.closed if self.picture is not None and morning is not None else NOT_YET)
            return
        from tunneltui.screens.forms import Choice, Letters, Question
        from tunneltui.screens.put_right_form import where_to_walk

        chore = self._walk.chore
        about = chore.about if chore is not None and chore.kind == "put_right" else self.row
        loops = where_to_walk(morning, about)
        if len(loops) == 1:
            self._walk_along(morning, loops[0], about)
        elif loops:

            def chosen(answers: tuple[Answer, ...] | None) -> None:
                if answers is not None:
                    self._walk_along(morning, answers[0].value, "")

            choices = [Choice(loop, loop) for loop in loops]
            self.app.push_screen(Letters(Question("Which row is walked?", choices)), chosen)
        else:
            self._say("No row is planted.")

    def _walk_along(self, morning: Morning, loop: str, about: str) -> None:
        from tunneltui.screens.put_right_form import PutRight, chore_of

        chore = chore_of((one for one in self._walk.chores if self._walk.is_open(one)), loop)
        self.app.push_screen(PutRight(morning, loop, chore, about))

    # Finding, planning, reading

    def action_find(self) -> None:
        from tunneltui.screens.forms import Field, Fields

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self._sought = values["words"] or self._sought
                if not self._walk.find(self._sought):
                    self._say(f"Not found: {self._sought}")

        hint = f"empty: {self._sought} again" if self._sought else ""
        self.app.push_screen(Fields("Find", [Field("words", "A place or a word", "", hint)]), keep)

    def action_minutes(self) -> None:
        from tunneltui.screens import minutes_form

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self.post_message(minutes_form.wanted(values))

        self.app.push_screen(minutes_form.form(self.picture.round if self.picture else None), keep)

    def action_plan_anew(self) -> None:
        self.post_message(PlanWanted())

    def action_more(self) -> None:
        from tunneltui.screens.forms import Page

        if self.picture is not None:
            chore = self._walk.chore
            title = chore.proposal if chore is not None else "This row"
            self.app.push_screen(Page(title, self._told(every=True)))
