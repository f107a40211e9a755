"""The round and its week in words: the walk with its reasons, what the week holds more than there is time for."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from tunneltui.cells import Quantity, Sentence, as_typed, day_word, joined, many, say
from tunneltui.chores.chore import Choice, Chore, Round, WorkOfAKind
from tunneltui.chores.kinds import KINDS
from tunneltui.pages.text import heading, printed, wrapped

if TYPE_CHECKING:
    from tunneltui.chores.morning import Morning

LEAST_MINUTES = 0.5
MOST_NAMED = 4
USUALLY_DONE = 0.9
"""Who does so much of what is asked for reads nothing about it."""


def round_text(morning: Morning, numbers: Mapping[str, int]) -> str:
    """The walk: a heading, the spots row by row with each chore's number and reason, and what is left for later.

    ``numbers``: of the lines, by the chore's id; ``done`` speaks of them.
    """
    walk = morning.round
    spots = many(len(walk.spots), "spot")
    summary = f"{spots}, {walk.minutes_planned:.0f} of {walk.minutes_there:.0f} minutes."
    lines = [heading(morning.season), *wrapped(f"{summary} {gives_way(walk)}".strip(), "", "")]
    lines += [line for caution in cautions(walk) for line in wrapped(caution, "! ", "  ")]
    row = None
    for spot in walk.spots:
        if spot.row != row:
            row = spot.row
            lines += ["", f"Row {row}" if row else "The house"]
        for chore in spot.chores:
            lines += _chore(spot.place, chore, numbers[chore.id])
    if not walk.spots:
        lines += ["", "Nothing is due."]
    if not morning.season.leaders:
        lines += ["No plant stands on that day: `tunneltui add planted cultivar=NAME --about PLACE`."]
    if walk.later:
        lines += ["", "Later"]
        lines += [line for chore in walk.later for line in _later(chore, walk.day)]
    return printed(lines)


def cautions(walk: Round) -> list[str]:
    """What to mind today, each once."""
    return list(
        dict.fromkeys(caution for spot in walk.spots for chore in spot.chores for caution in chore.cautions)
    )


def _chore(place: str, chore: Chore, number: int) -> Iterator[str]:
    marks = ("must  " if chore.must else "") + ("overhead  " if chore.overhead else "")
    yield from wrapped(
        say("{}  {}", f"{number:>3}", with_place(place, chore.proposal)),
        " ",
        "      ",
        keep=f"{marks}{minutes_words(chore.minutes)}",
    )
    yield from wrapped(chore.why, "      ", "      ")
    if chore.choices:
        yield from wrapped(f"Decide: {answers_words(chore, number)}.", "      ", "      ")


def answers_words(chore: Chore, number: int) -> str:
    """How each answer to what is to be decided is typed, and what it says."""
    short = (
        next((word for word in _in_order(choice.words) if word not in _SMALL | others), choice.key)
        for choice, others in _each_and_the_others(chore)
    )
    answers = zip(short, chore.choices, strict=True)
    return "; ".join(f"{number} {word} ({choice.words})" for word, choice in answers)


def _each_and_the_others(chore: Chore) -> Iterator[tuple[Choice, frozenset[str]]]:
    """Every answer with the words that stand in any of the others."""
    for choice in chore.choices:
        yield choice, frozenset().union(*(words_of(other.words) for other in chore.choices if other is not choice))


def words_of(text: str) -> frozenset[str]:
    """Its words in small letters, without figures."""
    return frozenset(_in_order(text))


def _in_order(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.lower())


_SMALL = frozenset(("a", "as", "go", "it", "its", "let", "no", "of", "out", "take", "that", "the", "this", "to"))
"""Words that do not tell answers apart."""


def with_place(place: str, proposal: str) -> str:
    """A proposal with its place before it, unless it names that itself."""
    # A clip is told apart by its place along the stem, which its proposal says by the string.
    return proposal if not place or place.split()[0] in proposal else say("{}  {}", place, proposal)


def _later(chore: Chore, day: date) -> Iterator[str]:
    by = "" if chore.latest <= day else f", by {day_word(chore.latest)}"
    yield from wrapped(
        say("{}{}", with_place(chore.about, chore.proposal), by), "  ", "      ", keep=minutes_words(chore.minutes)
    )


# What a typed line does to the lines of the sheet


def done_words(number: int, chore: Chore, pieces: int) -> Sentence:
    """A line of which so many pieces are ticked off."""
    part = "" if pieces == len(chore.pieces) else f", {pieces} of {len(chore.pieces)}"
    weighed = ", not weighed" if KINDS[chore.kind].taken == "amount" else ""
    return say("line {}, done{}{}: {}", number, part, weighed, chore.proposal)


def done_before(number: int) -> str:
    return f"line {number} was done already"


def answered_before(number: int) -> str:
    return f"line {number} was answered already"


def left_open(lines: Sequence[str]) -> str:
    return f"left open, for you to answer by its number: line{'s' if len(lines) > 1 else ''} {', '.join(lines)}"


def tip_words(leader: str, under_wire_m: float) -> Sentence:
    return say("{}: tip {} under the wire", leader, as_typed(under_wire_m, "cm"))


def minutes_words(minutes: float) -> str:
    return f"{minutes:.0f} min" if minutes >= 1 else f"{max(5, round(minutes * 12) * 5)} s"


def gives_way(walk: Round) -> Sentence:
    """By how much the week is over-full, else the day, and what waits for it; empty where all fits."""
    if walk.short_minutes >= LEAST_MINUTES:
        return say(
            "The week holds {} more than there is time for: {} can wait longest.",
            _minutes(walk.short_minutes),
            _named(walk.gives),
        )
    waits = sum(work.minutes for work in walk.waits)
    if waits < LEAST_MINUTES:
        return Sentence()
    return say("{} of what is due today go to the next days: {}.", _minutes(waits), _named(walk.waits))


def _named(works: Sequence[WorkOfAKind]) -> Sentence:
    """The largest with their minutes."""
    named = [say("{} {}", work.heading, _minutes(work.minutes)) for work in works[:MOST_NAMED]]
    more = works[MOST_NAMED:]
    if more:
        named.append(say("other work {}", _minutes(sum(work.minutes for work in more))))
    return joined(", ", named)


def week_lines(walk: Round) -> list[str]:
    """Each work day of the week with its work, the most minutes first, and what the week has no room for."""
    lines: list[str] = ["As it would be if each day's work is done; each morning plans it anew."]
    if walk.done_share < USUALLY_DONE:
        tenths = round(10 * walk.done_share)
        done = say("Of what was asked for lately about {} in 10 was done: the days ahead hold that much.", tenths)
        lines.append(done)
    lines.append("")
    for ahead in walk.week:
        lines.append(
            say("{}  {} of {}", day_word(ahead.day), _minutes(ahead.minutes), _minutes(ahead.minutes_there))
        )
        long = [work for work in ahead.what if work.minutes >= LEAST_MINUTES]
        lines += [say("  {} {}", _minutes(work.minutes), work.heading) for work in long]
        if short := [work.heading for work in ahead.what if work.minutes < LEAST_MINUTES]:
            lines.append(say("  under a minute: {}", joined(", ", short)))
        elif not long:
            lines.append("  nothing")
        lines.append("")
    gives = gives_way(walk)
    return [*lines, gives] if gives else lines[:-1]


def _minutes(minutes: float) -> Quantity:
    return Quantity(minutes, "min", 0)
