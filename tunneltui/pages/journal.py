"""The journal as lines, newest first, each made when it is looked at: a list of a million entries costs no more
than what is in view. Pure."""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import islice, takewhile
from typing import TYPE_CHECKING, Literal, overload
from zoneinfo import ZoneInfo

from msgspec import Struct

from tunneltui.cells import Day, Sentence, day_word, say, words
from tunneltui.journal.body import BodyFault, parsed
from tunneltui.journal.entry import Entry, written_at
from tunneltui.journal.order import CROSSED_OUT, MARKS, RESTORED, act_named, acts_out, one_of_each
from tunneltui.pages.entry_search import EntrySearch, filtered, fits
from tunneltui.pages.lines import Line, Part
from tunneltui.pages.story import sentence
from tunneltui.pages.text import printed, wrapped
from tunneltui.pages.units import localize
from tunneltui.season.state import Season

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning

Which = Literal["all", "counting", "crossed out", "set aside"]
WHICH: tuple[Which, ...] = ("all", "counting", "crossed out", "set aside")
MOST_OF_AN_ACT = 300
"""Entries of one act that are written out."""


class Book(Struct, frozen=True, eq=False):
    """The whole journal up to the day, and what became of each entry."""

    season: Season
    entries: Sequence[Entry]
    """Newest first."""
    out: frozenset[str]
    """Acts that are crossed out."""
    aside: Mapping[str, str]
    """By entry: why it does not count."""
    marked: Mapping[str, Entry]
    """By act that a mark names: its first entry."""
    marks: Sequence[Entry]
    by_act: Sequence[int]
    """Numbers of the entries, those of one act beside each other, its first entry first."""

    def state(self, entry: Entry) -> Which:
        if entry.act in self.out:
            return "crossed out"
        return "set aside" if entry.id in self.aside else "counting"

    def act(self, name: str) -> list[Entry]:
        """Every entry of an act, in their order."""
        at = bisect_left(self.by_act, name, key=lambda number: self.entries[number].act)
        numbers = takewhile(lambda number: self.entries[number].act == name, islice(self.by_act, at, None))
        return [self.entries[number] for number in numbers]


class Listing(Struct, frozen=True, eq=False):
    """The entries of a book that are listed."""

    book: Book
    entries: Sequence[Entry]
    day_starts: Sequence[int]
    """Index of the first line of each day, rising."""


def open_book(morning: Morning) -> Book:
    """The journal a morning was planned from. Takes seconds for a very long one."""
    latest_first = sorted(
        (entry for entry in one_of_each(morning.entries)), key=lambda entry: entry.order, reverse=True
    )
    entries = [entry for entry in latest_first if entry.day <= morning.day]
    marks = [entry for entry in entries if entry.kind in MARKS]
    named = {act for mark in marks if (act := act_named(mark)) is not None}
    first = {entry.act: entry for entry in entries if entry.act in named}
    by_act = array("L", sorted(range(len(entries) - 1, -1, -1), key=lambda number: entries[number].act))
    aside = {set_aside.entry.id: set_aside.why for set_aside in morning.season.set_aside}
    return Book(morning.season, entries, acts_out(marks), aside, first, marks, by_act)


def listing(book: Book, search: EntrySearch, which: Which, stopped: Callable[[], bool] = lambda: False) -> Listing:
    """What the search finds in the book. Raises ``UserError`` where it cannot be, such as an unknown kind."""
    if not search and which == "all":
        return Listing(book, book.entries, day_starts(book.entries))
    test = fits(book.season, search)
    entries = filtered(
        book.entries, lambda entry: (which == "all" or book.state(entry) == which) and test(entry), stopped
    )
    return Listing(book, entries, day_starts(entries))


def day_starts(entries: Sequence[Entry]) -> list[int]:
    starts = []
    before = None
    for index, entry in enumerate(entries):
        if entry.day != before:
            starts.append(index)
            before = entry.day
    return starts


class EntryLines(Sequence[Line]):
    """The lines of a listing, made one by one as they are asked for."""

    def __init__(self, listed: Listing) -> None:
        self._listed = listed

    def __len__(self) -> int:
        return len(self._listed.entries)

    @overload
    def __getitem__(self, index: int) -> Line: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Line]: ...
    def __getitem__(self, index: int | slice) -> Line | Sequence[Line]:
        if isinstance(index, slice):
            return [self[place] for place in range(*index.indices(len(self)))]
        entry = self._listed.entries[index]
        before = self._listed.entries[index - 1].day if index > 0 else None
        return entry_line(self._listed.book, entry, day_word(entry.day) if entry.day != before else "")


def entry_line(book: Book, entry: Entry, day: str) -> Line:
    """One entry; a word stands beside what does not count."""
    state = book.state(entry)
    mark = {"crossed out": "- crossed out", "set aside": "? set aside"}.get(state, "")
    words = entry_sentence(book, entry)
    if state == "set aside":
        words = say("{}: {}", words, book.aside[entry.id])
    return Line(
        entry.id,
        (
            Part(day, "bold", 12),
            Part(entry.about or "the house", "bold", 10),
            *((Part(f"{mark}  ", "near"),) if mark else ()),
            Part(localize(words), "quiet" if mark else ""),
        ),
    )


def entry_sentence(book: Book, entry: Entry) -> Sentence:
    """The entry as a sentence; a mark says what it is about."""
    if entry.kind not in MARKS:
        return sentence(book.season, entry)
    verb = {CROSSED_OUT: "crossed out", RESTORED: "restored"}[entry.kind]
    first = book.marked.get(act_named(entry) or "")
    if first is None:
        return say("{} an act that is not here", verb)
    marks = first.kind in MARKS
    what = first.kind.replace("_", " ") if marks else sentence(book.season, first)
    about = say(" about {}", first.about) if first.about else ""
    return say("{} what was noted on {}{}: {}", words(verb), Day(first.day), about, what)


def entry_words(book: Book, entry: Entry) -> list[str]:
    """Everything about one entry, for beside the list."""
    lines = [
        f"{entry.about or 'The house'}, {day_word(entry.day)} {entry.day.year}",
        localize(entry_sentence(book, entry)),
    ]
    state = book.state(entry)
    if state == "crossed out":
        lines.append("Its act is crossed out and does not count.")
    elif state == "set aside":
        lines.append(f"It does not count: {book.aside[entry.id]}.")
    return [*lines, f"{entry.kind}, {signature(book, entry)}, act {entry.act[:13]}"]


def signature(book: Book, entry: Entry) -> str:
    """When and by whom it was written, in the holding's time."""
    at = written_at(entry).astimezone(ZoneInfo(book.season.holding.zone))
    by = f" by {entry.by}" if entry.by else ""
    return f"written {day_word(at.date())} {at:%H:%M}{by} on machine {entry.device[:8].rstrip()}"


def act_lines(book: Book, act: Sequence[Entry]) -> list[str]:
    """A whole act: every entry as a sentence, with what stands in it."""
    lines: list[str] = []
    for entry in act[:MOST_OF_AN_ACT]:
        lines += [*entry_words(book, entry), f"entry {entry.id}", entry.body, ""]
    if len(act) > MOST_OF_AN_ACT:
        lines.append(f"And {len(act) - MOST_OF_AN_ACT} more; `tunneltui journal show --json` has them all.")
    return lines


def title(listed: Listing, search: EntrySearch, which: Which) -> str:
    """What is listed, in words, above the list."""
    count, every = len(listed.entries), len(listed.book.entries)
    if not search and which == "all":
        return f"{every} {'entry' if every == 1 else 'entries'}, newest first"
    conditions = [f"{word} {text}" for word, text in (("kind", search.kind), ("about", search.about)) if text]
    conditions += [text for text in (search.days, f"holding {search.words}" if search.words else "") if text]
    conditions += [which] if which != "all" else []
    return f"{count} of {every}: {', '.join(conditions)}; c shows all"


def journal_text(entries: Iterable[Entry], aside: Mapping[str, str]) -> str:
    """One line an entry: day, the act's name as far as it is needed, what it is about, kind and body; ``aside``:
    why it does not count, by id."""
    return printed([line for entry in entries for line in _entry(entry, aside.get(entry.id, ""))]) or "No entry.\n"


def _entry(entry: Entry, why: str) -> Iterator[str]:
    yield from wrapped(f"{entry.day} {entry.act[:13]} {entry.about:<7} {entry.kind}  {_body(entry)}", "", "    ")
    if why:
        yield from wrapped(f"does not count: {why}", "    ", "    ")


def _body(entry: Entry) -> str:
    try:
        plain = parsed(entry)
    except BodyFault:
        return entry.body
    if entry.kind == "holding_set":
        return f"{len(str(plain.get('toml', '')).splitlines())} lines of TOML"
    fields = [f"{key}={_value(value)}" for key, value in plain.items() if key not in ("answers", "pieces")]
    return " ".join(fields)


def _value(value: object) -> str:
    if isinstance(value, list):
        return f"{len(value)} of them" if len(value) > 4 else ",".join(str(item) for item in value)
    return str(value)


def written_text(written: Sequence[Entry]) -> str:
    """What was written and how it is undone."""
    if not written:
        return "Nothing new."
    kinds: dict[str, int] = {}
    for entry in written:
        kinds[entry.kind] = kinds.get(entry.kind, 0) + 1
    counted = ", ".join(kind if n == 1 else f"{n} {kind}" for kind, n in kinds.items())
    return f"Written: {counted}. To undo: tunneltui journal cross-out {written[0].act}"
