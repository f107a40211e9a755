"""The walk: one line a place, pass by pass, its reasons beside it, and a key for everything that happens."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive

from tunneltui.cells import many, say
from tunneltui.chores.chore import Chore, Piece
from tunneltui.pages.prompts import COMMON_WORK, COMMON_WORK_DONE, DECISIONS_LEFT, SETTLED, STILL_READ
from tunneltui.screens import picking
from tunneltui.screens.edges import TopLine
from tunneltui.screens.layout import FEW_ROWS, FRAME_ROWS, PaneSizes
from tunneltui.screens.lines import bindings_of
from tunneltui.screens.list_and_detail import Detail, ListAndDetail
from tunneltui.screens.messages import Act, ActRequested, HeadChanged, PlanRequested, StatusText
from tunneltui.screens.parts import Part
from tunneltui.screens.pass_line import ColumnHeads, PassLine
from tunneltui.screens.reasons import reason_words, stop_page
from tunneltui.screens.round_view import FixingChoice, LeaderFacts, RoundView, State
from tunneltui.screens.stops import COMMON, LATER, Stop, done_words
from tunneltui.screens.walk_list import WalkList

if TYPE_CHECKING:
    from tunneltui.chores.chore_kind import Taken
    from tunneltui.chores.morning import Morning
    from tunneltui.screens.forms import Answer, Question
    from tunneltui.season.state import Season

OVER_THE_LIST = 2
"""Rows of the passes and the heads of the columns."""


class _ListAndReasons(ListAndDetail):
    """The list of one pass, and the reasons of its line."""

    def pane_sizes(self, size: Size) -> PaneSizes:
        over = OVER_THE_LIST if size.height + FRAME_ROWS + OVER_THE_LIST >= FEW_ROWS else 0
        sizes = super().pane_sizes(Size(size.width, size.height + over))
        side_rows = sizes.side_rows - over if sizes.beside else sizes.side_rows
        return sizes._replace(list_rows=max(sizes.list_rows - over, 0), side_rows=max(side_rows, 0))


class WalkPane(Container):
    """Shows one view; posts to the app what the grower wants written.

    Forms are imported where one is asked for: the first paint shows none.
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("round")
    DEFAULT_CSS = """
    WalkPane { layout: vertical; }
    #passes, #column-heads { height: 1; width: 1fr; }
    WalkPane.flat #passes, WalkPane.flat #column-heads { display: none; }
    """

    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class Ticked(Message):
        """Something was written from the walk."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._passes = PassLine(id="passes")
        self._heads = ColumnHeads(id="column-heads")
        self._walk = WalkList(id="walk")
        self._detail = Detail(id="detail", classes="detail")
        self._sought = ""
        self._typed = ""
        """Figures of a weight, typed into the line."""
        self._armed = ""
        """The pass whose common work the next S writes."""

    def compose(self) -> ComposeResult:
        yield self._passes
        yield self._heads
        yield _ListAndReasons(self._walk, self._detail, id="walk-and-reasons")

    # What is shown

    def watch_view(self, view: RoundView | None) -> None:
        if view is not None and self.is_mounted:
            self._walk.show_round(view)
            self._show()

    def on_mount(self) -> None:
        if self.view is not None:
            self._walk.show_round(self.view)
            self._show()
        # Watched, not waited for: what a message brings is painted a frame after the cursor.
        self.watch(self._walk, "cursor", self._moved, init=False)

    def on_resize(self, event: events.Resize) -> None:
        self.set_class(event.size.height + FRAME_ROWS < FEW_ROWS, "flat")

    @property
    def walk(self) -> WalkList:
        return self._walk

    @property
    def head(self) -> TopLine:
        laid, view = self._walk.shown, self.view
        if laid is None or view is None:
            return TopLine(("Walk",))
        far = self._walk.walk.far
        number = self._walk.number
        at = f"{'place' if laid.name == 'plants' else 'line'} {number} of {len(laid.stops)}" if number else ""
        minutes_for_it = (
            f" of {view.round.minutes_there:.0f}" if far.minutes > view.round.minutes_there + 0.5 else ""
        )
        right = [] if view.confirmed else [Part("not yet confirmed", "quiet")]
        right.append(Part(f"{far.minutes:.0f}{minutes_for_it} min left"))
        if far.musts:
            right.append(Part(many(far.musts, "must"), "must"))
        return TopLine((laid.title, laid.words.capitalize()), (at,) if at else (), tuple(right))

    @property
    def row(self) -> str:
        """The row under the cursor."""
        return self._walk.stop.row if self._walk.stop is not None else ""

    @property
    def place(self) -> str:
        """The place under the cursor; '' where that is none."""
        return self._walk.stop.place if self._walk.stop is not None else ""

    @property
    def takes_figures(self) -> bool:
        """Whether digits are a weight here, and no other screen's key."""
        stop = self._walk.stop
        return stop is not None and self._pick_of(stop) is not None and self._walk.is_open(stop)

    def _moved(self) -> None:
        if self._typed:
            self._type("")
        self._armed = ""
        self._show_reasons()

    def _show(self) -> None:
        walk, shown = self._walk.walk, self._walk.shown
        self._passes.show(walk, shown.key if shown is not None else "")
        self._heads.show(shown)
        self._show_reasons()

    def _show_reasons(self) -> None:
        if self.view is not None:
            beside = self._detail.region.x > 0
            self._detail.show(reason_words(self._walk.walk, self._walk.stop, beside=beside))

    def show_pass(self, key: str) -> bool:
        shown = self._walk.show_pass(key)
        self.refresh_pass()
        return shown

    def refresh_pass(self) -> None:
        """After the list came to another pass."""
        self._show()
        self.post_message(HeadChanged())

    def go_to_chore(self, chore: str) -> bool:
        """To the first line at which something of a chore is left."""
        is_there = self._walk.go_to_chore(chore)
        self.refresh_pass()
        return is_there

    def go_to_place(self, place: str) -> bool:
        """To what is to do at a place of the wire."""
        is_there = self._walk.go_to_place(place)
        self._show()
        return is_there

    @on(PassLine.PassClicked)
    def _pass_clicked(self, event: PassLine.PassClicked) -> None:
        self.show_pass(event.key)

    def _pass_by(self, step: int) -> None:
        is_there = self._walk.pass_by(step)
        if is_there is not None:
            self.show_pass(is_there.key)

    def action_pass_before(self) -> None:
        self._pass_by(-1)

    def action_pass_after(self) -> None:
        self._pass_by(1)

    # Writing

    def mark(self, act: Act, state: State) -> None:
        """Marks what an act writes before the next view comes; '' takes the mark away."""
        from tunneltui.screens import acts

        chores = self._walk.walk.chores
        whole = acts.parts_of([chores[id_] for id_ in act.chores if id_ in chores])
        self._walk.mark(act.parts or whole, state)

    def _want(self, act: Act) -> None:
        """Marked here and now: the next key may come before the app has taken the act."""
        if self.view is None or self.view.closed:
            self._say(self.view.closed if self.view is not None else "")
            return
        self.mark(act, "writing")
        stop = self._walk.stop
        if stop is not None and not self._walk.is_open(stop):
            shown = self._walk.shown
            self._walk.move_onwards()
            if self._walk.shown is not shown:
                self.refresh_pass()
        self._armed = ""
        # To the app itself: on its way up through the panes the pen would wait for the mark to be painted.
        self.app.post_message(ActRequested(act))

    def _say(self, say: str) -> None:
        self.post_message(StatusText(say))

    def _open(self) -> Stop | None:
        """The stop under the cursor if anything of it is left; else None, and the status line says why."""
        stop = self._walk.stop
        if stop is None:
            self._say("Nothing is to do on this line.")
        elif self.view is not None and self.view.closed:
            self._say(self.view.closed)
        elif not self._walk.is_open(stop):
            state = self._walk.state_of(stop)
            is_so = {"no longer": "no longer needed", "writing": "being written"}.get(state, f"{state} already")
            self._say(say(SETTLED, is_so))
        else:
            return stop
        return None

    def _left_at(self, stop: Stop) -> list[Chore]:
        """The chores of a stop with those of their pieces that are left there."""
        from tunneltui.chores.exceptions import only

        view = self.view
        if view is None:
            return []
        left_chores = []
        for chore in self._walk.walk.here(stop):
            left = [piece.key for piece in chore.pieces if not self._walk.state_of_piece(chore.id, piece.key)]
            if left:
                left_chores.append(only(chore, left))
        return left_chores

    def action_done(self) -> None:
        """Ticks all of the line that a tick can answer; then asks what is to be decided, weighed or walked."""
        from tunneltui.screens import acts

        if self._typed:
            self._weighed()
            return
        stop = self._open()
        if stop is None:
            return
        chores = self._left_at(stop)
        ticked = [chore for chore in chores if self._a_tick_is_enough(chore)]
        laid = self._walk.shown
        if laid is not None and laid.key == LATER and any(len(chore.pieces) > 1 for chore in ticked):
            # What waits is one line a chore, which names its first pieces only: here all of them are shown.
            self.action_changes()
            return
        if ticked:
            words = done_words(stop.name, [(chore, piece) for chore in ticked for piece in chore.pieces])
            self._want(acts.done(ticked)._replace(sentence=words))
            if len(ticked) < len(chores):
                self._say(say(DECISIONS_LEFT, words))
        elif chores:
            self._ask(chores[0], stop)

    def _a_tick_is_enough(self, chore: Chore) -> bool:
        return _taken(chore) in ("fact", "look") and not chore.choices and not self._goes_head_by_head(chore)

    def _ask(self, chore: Chore, stop: Stop) -> None:
        """Asks what a tick cannot answer."""
        taken = _taken(chore)
        if self._goes_head_by_head(chore):
            self.action_lower()
        elif taken == "walk":
            self.action_put_right()
        elif taken == "amount":
            self.action_pick()
        elif chore.choices:
            self._ask_which(chore, stop)

    def _ask_which(self, chore: Chore, stop: Stop) -> None:
        """What is to be decided is written only by the letter of an answer; a capital decides alike all along."""
        from tunneltui.screens.decide import Decide

        whole = self._walk.walk.chores[chore.id]
        others = len([key for key in self._walk.walk.of_chore.get(chore.id, ()) if key != stop.key])

        def chosen(act: Act | None) -> None:
            if act is not None:
                self._want(act)

        self.app.push_screen(Decide(chore, whole if others else None, stop), chosen)

    def action_changes(self) -> None:
        """Piece by piece: a letter leaves one out."""
        from tunneltui.screens import acts
        from tunneltui.screens.pieces_form import PieceByPiece

        if self._typed:
            self._weighed()
            return
        stop = self._open()
        if stop is None:
            return
        chores = self._left_at(stop)
        ticked = [chore for chore in chores if self._a_tick_is_enough(chore)]
        if not ticked:
            if chores:
                self._ask(chores[0], stop)
            return

        def keep(kept: Sequence[tuple[Chore, Piece]] | None) -> None:
            if kept:
                from tunneltui.chores.exceptions import only

                keys = {chore.id: {piece.key for c, piece in kept if c.id == chore.id} for chore, _ in kept}
                parts = [only(chore, keys[chore.id]) for chore in ticked if chore.id in keys]
                self._want(acts.done(parts)._replace(sentence=done_words(stop.name, kept)))

        self.app.push_screen(PieceByPiece(stop.name, ticked), keep)

    def action_amounts(self) -> None:
        """Other figures than the proposed ones, or a note with it."""
        from tunneltui.screens import changes
        from tunneltui.screens.forms import Fields, FormChoice, Letters, Question

        stop = self._open()
        if stop is None or self.view is None:
            return
        ticked = [chore for chore in self._left_at(stop) if self._a_tick_is_enough(chore)]

        def ask(chore: Chore) -> None:
            leaders = self.view.leaders_of(chore) if self.view is not None else ()

            def keep(values: dict[str, str] | None) -> None:
                if values is not None:
                    self._want(changes.act(chore, leaders, values))

            title = say("Done otherwise: {}", chore.proposal)
            form = Fields(
                title, changes.fields_of(chore, leaders), lambda values: changes.fault_in(chore, leaders, values)
            )
            self.app.push_screen(form, keep)

        def chosen(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                ask(ticked[int(answers[0].value)])

        if len(ticked) == 1:
            ask(ticked[0])
        elif ticked:
            choices = [FormChoice(str(number), chore.proposal) for number, chore in enumerate(ticked)]
            self.app.push_screen(Letters(Question("Which of these was done otherwise?", choices)), chosen)
        else:
            self._say("No figures are said here.")

    def action_common(self) -> None:
        """All shoots, heads and leaves of the pass, after a count."""
        from tunneltui.screens import acts

        laid, view = self._walk.shown, self.view
        if laid is None or view is None or view.closed:
            self._say(view.closed if view is not None else STILL_READ)
            return
        by_name: dict[str, list[Chore]] = {}
        for stop in laid.stops:
            if self._walk.is_open(stop):
                by_name[stop.key] = [
                    chore for chore in self._left_at(stop) if chore.kind in COMMON and not chore.must
                ]
        places = [key for key, chores in by_name.items() if chores]
        chores = [chore for key in places for chore in by_name[key]]
        pieces = sum(len(chore.pieces) for chore in chores)
        if not chores:
            self._say("No common work is left on this pass; musts and decisions are done one by one.")
        elif self._armed != laid.key:
            self._armed = laid.key
            self._say(say(COMMON_WORK, many(len(places), "place"), many(pieces, "piece")))
        else:
            sentence = say(COMMON_WORK_DONE, laid.words, many(pieces, "piece"), many(len(places), "place"))
            self._want(acts.done(chores)._replace(sentence=sentence))

    # A weight typed in place

    def on_key(self, event: events.Key) -> None:
        typed = event.character or ""
        if not self.takes_figures:
            return
        if typed.isdigit() or (typed in (".", ",") and self._typed):
            self._type(self._typed + typed)
        elif event.key == "backspace" and self._typed:
            self._type(self._typed[:-1])
        else:
            return
        event.stop()
        event.prevent_default()

    def _type(self, text: str) -> None:
        self._typed = text[:8]
        self._walk.show_typed(self._typed)

    def _pick_of(self, stop: Stop) -> Chore | None:
        chores = self._walk.walk.chores_of(stop)
        return next((chore for chore in chores if chore.kind == "pick"), None)

    @property
    def _season(self) -> Season | None:
        morning = self.view.morning if self.view is not None else None
        return morning.season if morning is not None else None

    def _weighed(self) -> None:
        from tunneltui.pages.units import typed
        from tunneltui.screens.numbers import NotANumber

        stop, text = self._walk.stop, self._typed
        chore = self._pick_of(stop) if stop is not None else None
        if stop is None or chore is None:
            return
        try:
            values = {"kg": typed(text, "kg")}
            act = picking.act(chore.row, picking.cultivar_of(chore), values, chore, self._season)
        except NotANumber as fault:
            self._say(str(fault))
            return
        self._type("")
        self._want(act)

    def _goes_head_by_head(self, chore: Chore) -> bool:
        return chore.kind == "lower" and self.view is not None and self.view.morning is not None

    def action_lower(self) -> None:
        """Head by head, with the loop of the line under the cursor."""
        from tunneltui.screens.lowering_page import page_for

        view = self.view
        loop = view.morning.season.layout.loop_of_row.get(self.row) if view and view.morning else None
        page = page_for(view, loop.id) if view is not None and loop is not None else None
        if page is not None:
            self.app.push_screen(page)
        else:
            self._say(STILL_READ if view is None or view.morning is None else "No lowering is proposed here.")

    # Things that happen on the way

    def _leaders_here(self) -> tuple[LeaderFacts, ...]:
        stop = self._walk.stop
        if self.view is None or stop is None:
            return ()
        handled = dict.fromkeys(leader for chore in self._walk.walk.here(stop) for leader in chore.leaders)
        at_hand = [self.view.leaders[id_] for id_ in handled if id_ in self.view.leaders]
        at_hand += [
            leader for leader in self.view.leaders.values() if leader.place == stop.place and leader not in at_hand
        ]
        return tuple(at_hand) or self.view.leaders_of_row(stop.row)

    def action_failed(self) -> None:
        from tunneltui.screens import acts, questions
        from tunneltui.screens.forms import Letters

        every = self._fixings(self.view.leaders_of_row(self.row) if self.view is not None else ())
        at_hand = [pair for pair in every if self._is_here(*pair)] or self._fixings(self._leaders_here())
        if not at_hand and not every:
            self._say("No clip or tie is noted here.")
            return
        listed = [*at_hand, *(pair for pair in every if pair not in at_hand)]

        def following(answers: tuple[Answer, ...]) -> Question | None:
            last = answers[-1].value
            if last == questions.ALL_OF_THE_ROW:
                return questions.which_failed(listed)
            is_which = len(answers) == 1 or answers[-2].value == questions.ALL_OF_THE_ROW
            return questions.how_failed(*listed[int(last)]) if is_which else None

        def keep(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                which, failed = answers[-2:]
                leader, fixing = listed[int(which.value)]
                self._want(acts.failed(leader, fixing, failed.value, dropped=failed.capital))

        first = questions.which_failed(at_hand or every, others=bool(at_hand) and len(listed) > len(at_hand))
        self.app.push_screen(Letters(first, following), keep)

    def _fixings(self, leaders: Sequence[LeaderFacts]) -> list[tuple[LeaderFacts, FixingChoice]]:
        """The likeliest to fail first."""
        pairs = [(leader, fixing) for leader in leaders for fixing in leader.fixings]
        return sorted(pairs, key=lambda pair: -pair[1].share)

    def _is_here(self, leader: LeaderFacts, fixing: FixingChoice) -> bool:
        """Whether it is closed at the place under the cursor."""
        from tunneltui.chores.making import on_the_loop

        season = self.view.morning.season if self.view is not None and self.view.morning else None
        standing = season.leaders.get(leader.id) if season is not None else None
        if season is None or standing is None or not self.place:
            return False
        u_m = next((held.u_m for held in standing.fixings if held.id == fixing.id), None)
        return u_m is not None and on_the_loop(season, standing.loop, u_m).place == self.place

    def action_accident(self) -> None:
        from tunneltui.screens import acts
        from tunneltui.screens.forms import FormChoice, Question

        what = [FormChoice(kind, words) for kind, words in acts.ACCIDENTS]
        self._ask_leader(
            "To which one?",
            lambda leader: Question(f"What happened to {leader.name}?", what),
            lambda leader, kind: self._want(acts.accident(leader, kind)),
        )

    def _ask_leader(
        self,
        title: str,
        question: Callable[[LeaderFacts], Question],
        on_answer: Callable[[LeaderFacts, str], None],
    ) -> None:
        """Asks which leader where there are several, then ``question`` about it; ``on_answer`` gets the answer."""
        from tunneltui.screens.forms import Letters
        from tunneltui.screens.questions import which_leader

        leaders = {leader.id: leader for leader in self._leaders_here()}
        if not leaders:
            self._say("No leader belongs to this line.")
            return
        only = next(iter(leaders.values())) if len(leaders) == 1 else None

        def keep(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                on_answer(only or leaders[answers[0].value], answers[-1].value)

        if only is not None:
            self.app.push_screen(Letters(question(only)), keep)
        else:
            form = Letters(
                which_leader(title, leaders.values()),
                lambda answers: question(leaders[answers[0].value]) if len(answers) == 1 else None,
            )
            self.app.push_screen(form, keep)

    def action_pick(self) -> None:
        from tunneltui.screens.forms import FormChoice, Letters, Question

        if self.view is None:
            return
        stop = self._walk.stop
        chore = self._pick_of(stop) if stop is not None else None
        if stop is not None and chore is not None and (cultivar := picking.cultivar_of(chore)):
            self._ask_kg(chore.row, cultivar, chore if self._walk.is_open(stop) else None)
            return
        row = self.row
        facts = self.view.rows.get(row)
        cultivars = facts.cultivars if facts is not None else ()
        if len(cultivars) == 1:
            self._ask_kg(row, cultivars[0], self._pick_chore(row, cultivars[0]))
        elif cultivars:

            def chosen(answers: tuple[Answer, ...] | None) -> None:
                if answers is not None:
                    self._ask_kg(row, answers[0].value, self._pick_chore(row, answers[0].value))

            choices = [FormChoice(cultivar, cultivar) for cultivar in cultivars]
            self.app.push_screen(Letters(Question(f"Picked what in {row}?", choices)), chosen)
        else:
            self._say("No cultivar is planted in this row.")

    def _pick_chore(self, row: str, cultivar: str) -> Chore | None:
        view = self.view
        chores = self._walk.walk.chores.values()
        return picking.pick_chore((chore for chore in chores if view and view.is_open(chore)), row, cultivar)

    def _ask_kg(self, about: str, cultivar: str, chore: Chore | None) -> None:
        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self._want(picking.act(about, cultivar, values, chore, self._season))

        self.app.push_screen(picking.form(about, cultivar, chore), keep)

    def action_measure(self) -> None:
        """Plant after plant along the marked ones; where none is marked, what can be read of one."""
        from tunneltui.screens.forms import Letters
        from tunneltui.screens.questions import which_leader

        at_hand = {leader.id: leader for leader in self._leaders_here()}
        if self._measures_along(at_hand):
            return
        if not at_hand:
            self._say("No leader belongs to this line.")
        elif len(at_hand) == 1:
            self._ask_readings(next(iter(at_hand.values())))
        else:

            def chosen(answers: tuple[Answer, ...] | None) -> None:
                if answers is not None:
                    self._ask_readings(at_hand[answers[0].value])

            self.app.push_screen(Letters(which_leader("Readings of which one?", at_hand.values())), chosen)

    def _measures_along(self, at_hand: Mapping[str, LeaderFacts]) -> bool:
        """Whether there are marked ones along this row's loop."""
        from tunneltui.screens.measure_walk import MeasureWalk, along_the_marked

        view = self.view
        if view is None or view.morning is None or view.closed:
            return False
        at_place = [id_ for id_, leader in at_hand.items() if self.place and leader.place == self.place]
        ids = along_the_marked(view.morning, self.row, at_place)
        leaders = [view.leaders[id_] for id_ in ids if id_ in view.leaders]
        if not any(view.morning.season.leaders[leader.id].marked_on for leader in leaders):
            return False
        self.app.push_screen(MeasureWalk(leaders, next(iter(at_place), ""), self._ask_readings))
        return True

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

        stop = self._open()
        if stop is None or self.view is None:
            return
        chores = self._left_at(stop)

        def chosen(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None:
                self._want(acts.put_off(stop.name, chores, date.fromisoformat(answers[0].value)))

        self.app.push_screen(Letters(questions.until_when(self.view, stop.name, chores)), chosen)

    def action_note(self) -> None:
        from tunneltui.screens import acts
        from tunneltui.screens.forms import Field, Fields

        stop = self._walk.stop
        chores = self._walk.walk.here(stop) if stop is not None else []
        about = self.place or (acts.place_of(chores[0]) if chores else self.row)

        def keep(values: dict[str, str] | None) -> None:
            if values is not None and values["text"]:
                self._want(acts.note(about, values["text"]))

        self.app.push_screen(Fields(f"Note about {about or 'the house'}", [Field("text", "Note")]), keep)

    # The put-right walk

    def action_put_right(self) -> None:
        """Along the loop of the line under the cursor; where that tells none, it is asked which."""
        morning = self.view.morning if self.view is not None else None
        if self.view is None or morning is None or self.view.closed:
            self._say(self.view.closed if self.view is not None and morning is not None else STILL_READ)
            return
        from tunneltui.screens.forms import FormChoice, Letters, Question
        from tunneltui.screens.put_right_form import where_to_walk

        stop = self._walk.stop
        chores = self._walk.walk.here(stop) if stop is not None else []
        about = next((chore.about for chore in chores if chore.kind == "put_right"), self.row)
        loops = where_to_walk(morning, about)
        if len(loops) == 1:
            self._walk_along(morning, loops[0], about)
        elif loops:

            def chosen(answers: tuple[Answer, ...] | None) -> None:
                if answers is not None:
                    self._walk_along(morning, answers[0].value, "")

            choices = [FormChoice(loop, loop) for loop in loops]
            self.app.push_screen(Letters(Question("Which row is walked?", choices)), chosen)
        else:
            self._say("No row is planted.")

    def _walk_along(self, morning: Morning, loop: str, about: str) -> None:
        from tunneltui.screens.put_right_form import PutRight, chore_of

        view = self.view
        chore = chore_of(
            (open_chore for open_chore in self._walk.walk.chores.values() if view and view.is_open(open_chore)),
            loop,
        )
        self.app.push_screen(PutRight(morning, loop, chore, about))

    # Finding, planning, reading

    def action_find(self) -> None:
        from tunneltui.screens.forms import Field, Fields

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self._sought = values["words"] or self._sought
                if self._walk.find(self._sought):
                    self._show()
                else:
                    self._say(f"Not found: {self._sought}")

        hint = f"empty: {self._sought} again" if self._sought else ""
        self.app.push_screen(Fields("Find", [Field("words", "A place or a word", "", hint)]), keep)

    def action_minutes(self) -> None:
        from tunneltui.screens import minutes_form

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self.post_message(minutes_form.plan_requested(values))

        self.app.push_screen(minutes_form.form(self.view.round if self.view else None), keep)

    def action_plan_anew(self) -> None:
        self.post_message(PlanRequested())

    def action_evening(self) -> None:
        """The evening's round, and back to the day's."""
        evening = self.view is not None and self.view.round.part == "evening"
        self.post_message(PlanRequested(part="day" if evening else "evening"))

    def action_more(self) -> None:
        from tunneltui.screens.forms import ReadingPage

        stop = self._walk.stop
        if self.view is not None and stop is not None:
            self.app.push_screen(ReadingPage(stop.name, stop_page(self.view, self._walk.walk, stop)))


def _taken(chore: Chore) -> Taken:
    """How the answers of its kind are given. Looked up late: what a kind is stands beside its rule."""
    from tunneltui.chores.kinds import KINDS

    return KINDS[chore.kind].taken
