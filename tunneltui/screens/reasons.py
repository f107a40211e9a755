"""The words on a stop: what each chore there is about, its reason and what helps."""

from __future__ import annotations

import re
from collections.abc import Iterator

from textual.content import Content

from tunneltui.cells import day_word as day_words
from tunneltui.cells import joined, many, say
from tunneltui.chores.chore import Chore
from tunneltui.pages.prompts import HEADS_HERE, LEAVES_HERE
from tunneltui.pages.units import localize
from tunneltui.screens.round_layout import RoundLayout
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.stops import COMMON, Stop
from tunneltui.screens.text import plain

_SOURCE = re.compile(r" \([^()]*\)(?=\.?$)")
"""Where a rule is from stands on the page of its own only."""


def reason_words(walk: RoundLayout, stop: Stop | None, *, beside: bool = False) -> Content:
    """As short as the part below the list is; ``beside``: with room for all of it."""
    if stop is None:
        return Content("")
    chores = walk.chores_of(stop)
    apart = [chore for chore in chores if chore.kind not in COMMON]
    lines: list[Content] = []
    if beside:
        lines += [Content.styled(stop.name, "bold"), Content("")]
    for chore in apart or chores[:1]:
        lines.append(_reason(chore, several=len(apart) > 1, beside=beside))
        if beside:
            lines.append(Content(""))
    if beside:
        lines += [plain(line) for line in _common(stop)]
    return Content("\n").join(lines)


def _reason(chore: Chore, *, several: bool, beside: bool) -> Content:
    label = chore.kind.replace("_", " ") if several or beside else ""
    if on_string := re.search(r"string (?:[A-Za-z]+\d+/)?\d+", chore.about):
        label = on_string[0]
    words = _SOURCE.sub("", localize(chore.why))
    if chore.waiting and beside and chore.waiting.casefold() not in words.casefold():
        words += f" If it waits: {localize(chore.waiting)}."
    if chore.choices:
        words += " " + "; ".join(f"{choice.key} {choice.words}" for choice in chore.choices) + "."
    if chore.cautions and beside:
        words += " " + " ".join(chore.cautions)
    return Content.assemble((f"{label}  " if label else "", "bold"), plain(words))


def _common(stop: Stop) -> Iterator[str]:
    """The common work of a place in words."""
    bare = [head.rstrip("+~") for head in stop.heads]
    if bare:
        yield say(HEADS_HERE, ", ".join(bare))
    for sign, words in (("+", "clip"), ("~", "twist in")):
        if signed := [head[:-1] for head in stop.heads if head.endswith(sign)]:
            yield f"{words}: {', '.join(signed)}"
    if stop.leaves:
        yield say(LEAVES_HERE, many(stop.leaves, "leaf", "leaves"))


def stop_page(view: RoundView, walk: RoundLayout, stop: Stop) -> list[str]:
    """Everything about a stop, its stems with their own facts."""
    lines: list[str] = []
    for chore in walk.here(stop):
        number = view.numbers.get(chore.id)
        lines += ["", f"{number}  {chore.proposal}" if number else chore.proposal, chore.why]
        if chore.waiting:
            lines.append(say("If it waits: {}", chore.waiting))
        lines += chore.cautions
        if chore.latest != view.day:
            lines.append(f"At the latest {day_words(chore.latest)}.")
        for leader in view.leaders_of(chore):
            lines += [joined("  ", (leader.name, *leader.facts[:1])), *leader.facts[1:]]
    return lines[1:]
