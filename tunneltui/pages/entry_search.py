"""A search of the journal: by kind, by place, by span of days, by words."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Callable, Iterable
from datetime import date
from difflib import get_close_matches

from msgspec import Struct

from tunneltui.holding.user_error import UserError
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KINDS
from tunneltui.pages.story import ids_at, mentions
from tunneltui.season.names import place_name
from tunneltui.season.state import Season

Fits = Callable[[Entry], bool]
DAYS_HINT = "2026-08-20, 2026-08, or 2026-08-01 to 2026-08-20"


class EntrySearch(Struct, frozen=True):
    """What an entry must be, as it was typed; '' asks for nothing."""

    kind: str = ""
    about: str = ""
    days: str = ""
    words: str = ""

    def __bool__(self) -> bool:
        return any((self.kind, self.about, self.days, self.words))


def fits(season: Season, search: EntrySearch) -> Fits:
    """A test of whether an entry fits the search.

    Raises:
        UserError: no such kind or place, or no such day; with the nearest name.
    """
    tests: list[Fits] = []
    if search.kind.strip():
        kind = kind_named(search.kind)
        tests.append(lambda entry: entry.kind == kind)
    if search.days.strip():
        first, last = span(search.days)
        tests.append(lambda entry: first <= entry.day <= last)
    if search.about.strip():
        tests.append(about_place(season, search.about))
    if search.words.strip():
        tests.append(holds_words(search.words))
    return lambda entry: all(test(entry) for test in tests)


def about_place(season: Season, name: str) -> Fits:
    """About a place, row or tunnel, by an older name of it too, or naming one of its stems, such as a row pass.

    Raises:
        UserError: there is none of that name.
    """
    named = place_name(season, name)
    renamed = season.layout.places.get(named)
    names = {named, *(renamed.place.was if renamed else ())}
    ids = ids_at(season, named)
    return lambda entry: entry.about in names or mentions(entry, ids)


def holds_words(words: str) -> Fits:
    """Every word somewhere in it, whatever the case; ``_`` of names in the journal counts as a space."""
    sought = [_folded(word) for word in words.split()]

    def test(entry: Entry) -> bool:
        text = _folded(f"{entry.kind} {entry.about} {entry.by} {entry.body}")
        return all(word in text for word in sought)

    return test


def _folded(text: str) -> str:
    return text.casefold().replace("_", " ")


def kind_named(text: str) -> str:
    """A kind of entry from its name or its words ("clip failed").

    Raises:
        UserError: there is none; with the nearest.
    """
    name = "_".join(text.strip().lower().split())
    if name in KINDS:
        return name
    near = get_close_matches(name, KINDS, 1, 0.5)
    raise UserError(
        f"There is no kind of entry {text.strip()!r}.",
        f"Did you mean {near[0]}?" if near else "Such as picked, measured, clip_failed, note.",
    )


def span(text: str) -> tuple[date, date]:
    """First and last day of what was typed: a day, a month, or two of them with ``to`` between.

    Raises:
        UserError: it is no day.
    """
    ends = [part.strip() for part in text.strip().split(" to ")]
    try:
        first, last = _day_or_month(ends[0]), _day_or_month(ends[-1])
    except ValueError:
        raise UserError(f"{text.strip()!r} is no day.", f"Write {DAYS_HINT}.") from None
    if len(ends) > 2 or first[0] > last[1]:
        raise UserError(f"{text.strip()!r} ends before it begins.", f"Write {DAYS_HINT}.")
    return first[0], last[1]


def _day_or_month(text: str) -> tuple[date, date]:
    if len(text) == len("2026-08"):
        first = date.fromisoformat(f"{text}-01")
        return first, first.replace(day=monthrange(first.year, first.month)[1])
    day = date.fromisoformat(text)
    return day, day


def filtered(entries: Iterable[Entry], test: Fits, stopped: Callable[[], bool] = lambda: False) -> list[Entry]:
    """Those that fit, in the order given; ends early, with what it has, when ``stopped`` says so."""
    fitting: list[Entry] = []
    for number, entry in enumerate(entries):
        if number % 1024 == 0 and stopped():
            break
        if test(entry):
            fitting.append(entry)
    return fitting
