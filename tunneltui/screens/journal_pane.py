"""The journal: every entry newest first, looked through, acts crossed out and restored."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.worker import get_current_worker

from tunneltui.cells import say
from tunneltui.chores.morning import Morning
from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.pages.entry_search import DAYS_HINT, EntrySearch, fits
from tunneltui.pages.journal import (
    WHICH,
    Book,
    EntryLines,
    Listing,
    Which,
    act_lines,
    entry_sentence,
    entry_words,
    listing,
    open_book,
    title,
)
from tunneltui.report.crossing import Word, crossing
from tunneltui.screens.forms import Answer, Field, Fields, FormChoice, Letters, Question, ReadingPage
from tunneltui.screens.lines import Lines, bindings_of
from tunneltui.screens.list_and_detail import Detail, ListAndDetail
from tunneltui.screens.messages import Act, ActRequested, StatusText
from tunneltui.screens.parts import Line
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.text import plain
from tunneltui.store.clock import now_us
from tunneltui.values import replace

DONE: dict[Word, str] = {"cross-out": "Crossed out", "restore-act": "Restored"}


class LongLines(Lines):
    """As ``Lines``, of a list too long to be made whole: each line is made when it comes into view; left and right
    go by groups."""

    def __init__(self, *, id: str | None = None, as_typed: bool = False) -> None:  # noqa: A002
        super().__init__(id=id, as_typed=as_typed)
        self._starts: Sequence[int] = ()

    def show_long(self, lines: Sequence[Line], starts: Sequence[int], cursor: int) -> None:
        """Other lines, of which none is made yet. ``starts`` are the first lines of the groups, rising."""
        self._lines, self._starts = lines, starts
        self._strips.clear()
        self.virtual_size = Size(self.size.width, len(lines))
        self.cursor = max(0, min(cursor, len(lines) - 1))
        self.refresh()
        self._keep_in_view()

    def action_heading_before(self) -> None:
        at = bisect_left(self._starts, self.cursor)
        self.move_to(self._starts[at - 1] if at else 0)

    def action_heading_after(self) -> None:
        at = bisect_right(self._starts, self.cursor)
        self.move_to(self._starts[at] if at < len(self._starts) else len(self._lines) - 1)


class JournalPane(ListAndDetail):
    """Shows what the morning was planned from. Everything that goes through the whole journal is a worker's."""

    TITLE = "Journal"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("journal")

    view: reactive[RoundView | None] = reactive(None, repaint=False)

    class Listed(Message):
        """A worker has looked through the journal of ``morning``."""

        def __init__(self, morning: Morning, listed: Listing, at: int) -> None:
            self.morning = morning
            self.listed = listed
            self.at = at
            super().__init__()

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._lines = LongLines(id="journal-lines", as_typed=True)
        self._detail = Detail(classes="detail", id="journal-detail")
        self._book: tuple[Morning, Book] | None = None
        self._listed: Listing | None = None
        self._search = EntrySearch()
        self._which: Which = "all"

    def compose(self) -> ComposeResult:
        yield self._lines
        yield self._detail

    def watch_view(self) -> None:
        if self.is_mounted:
            self._look()

    # Looking through

    def _look(self) -> None:
        morning = self.view.morning if self.view is not None else None
        if morning is None:
            self.set_head_words("The journal is still being read.")
            return
        self.set_head_words("Looking through the journal…")
        entry = self._entry()
        self._look_through(morning, self._search, self._which, entry.id if entry is not None else "")

    @work(thread=True, exclusive=True, group="journal", exit_on_error=False, description="Reading the journal")
    def _look_through(self, morning: Morning, search: EntrySearch, which: Which, stay: str) -> None:
        worker = get_current_worker()
        kept = self._book
        book = kept[1] if kept is not None and kept[0] is morning else open_book(morning)
        self._book = (morning, book)
        listed = listing(book, search, which, lambda: worker.is_cancelled)
        at = next((index for index, entry in enumerate(listed.entries) if entry.id == stay), 0) if stay else 0
        if not worker.is_cancelled:
            self.post_message(self.Listed(morning, listed, at))

    @on(Listed)
    def _show(self, event: Listed) -> None:
        if self.view is None or event.morning is not self.view.morning:
            return
        self._listed = event.listed
        self.set_head_words(title(event.listed, self._search, self._which))
        self._lines.show_long(EntryLines(event.listed), event.listed.day_starts, event.at)
        self._show_detail()

    def _entry(self) -> Entry | None:
        listed, at = self._listed, self._lines.cursor
        return listed.entries[at] if listed is not None and 0 <= at < len(listed.entries) else None

    @on(Lines.Moved)
    def _show_detail(self) -> None:
        entry, listed = self._entry(), self._listed
        words = entry_words(listed.book, entry) if entry is not None and listed is not None else []
        self._detail.show(plain("\n".join(words) or "No entry is listed."))

    # Filters

    def action_words(self) -> None:
        self._ask("Search the journal", [Field("words", "Words", self._search.words, "every one must be in it")])

    def action_filter(self) -> None:
        search = self._search
        fields = [
            Field("kind", "Kind of entry", search.kind, "such as picked, measured, clip failed"),
            Field("about", "Place, row or tunnel", search.about, "such as W1-07"),
            Field("days", "Days", search.days, DAYS_HINT),
        ]
        self._ask("Only entries that fit", fields)

    def _ask(self, asks: str, fields: Sequence[Field]) -> None:
        listed = self._listed
        if listed is None:
            self.post_message(StatusText("The journal is still being read."))
            return

        def fault(values: Mapping[str, str]) -> str:
            try:
                fits(listed.book.season, replace(self._search, **values))
            except UserError as trouble:
                return str(trouble)
            return ""

        def keep(values: dict[str, str] | None) -> None:
            if values is not None:
                self._search = replace(self._search, **values)
                self._look()

        self.app.push_screen(Fields(asks, fields, fault), keep)

    def action_which(self) -> None:
        self._which = WHICH[(WHICH.index(self._which) + 1) % len(WHICH)]
        self._look()

    def action_clear(self) -> None:
        self._search, self._which = EntrySearch(), "all"
        self._look()

    # One act

    def _act(self) -> tuple[Book, list[Entry]] | None:
        """The act of the entry under the cursor."""
        entry, listed = self._entry(), self._listed
        if entry is None or listed is None:
            self.post_message(StatusText("Go to an entry first."))
            return None
        return listed.book, listed.book.act(entry.act)

    def action_whole_act(self) -> None:
        if (whole_act := self._act()) is not None:
            book, act = whole_act
            self.app.push_screen(ReadingPage(_named(act), act_lines(book, act), as_typed=True))

    def action_cross_out(self) -> None:
        if (act := self._act()) is not None:
            if act[1][0].act in act[0].out:
                self.post_message(StatusText("This act is crossed out already; r restores it."))
            else:
                self._mark(*act, "cross-out")

    def action_restore(self) -> None:
        if (act := self._act()) is not None:
            if act[1][0].act not in act[0].out:
                self.post_message(StatusText("This act is in force: there is nothing to restore."))
            else:
                self._mark(*act, "restore-act")

    def _mark(self, book: Book, act: Sequence[Entry], word: Word) -> None:
        """Asks first: an act may hold a whole import."""
        question = Question(
            f"{'Cross out' if word == 'cross-out' else 'Restore'} {_named(act)}?",
            [
                FormChoice("yes", say("yes: {}", entry_sentence(book, act[0]))),
                FormChoice("no", "no, back to the list"),
            ],
            "Nothing is deleted: an act that is crossed out can be restored.",
        )

        def answered(answers: tuple[Answer, ...] | None) -> None:
            if answers is not None and answers[0].value == "yes":
                others = [mark for mark in book.marks if mark.act != act[0].act]
                marks = crossing([*act, *others], act[0].act, word, now_us=now_us())
                drafts = tuple(draft for _, draft in marks)
                sentence = say("{}: {}", DONE[word], entry_sentence(book, act[0]))
                self.post_message(ActRequested(Act(drafts, sentence, day=marks[0][0])))

        self.app.push_screen(Letters(question), answered)


def _named(act: Sequence[Entry]) -> str:
    return f"{len(act)} {'entry' if len(act) == 1 else 'entries'} of one act"
