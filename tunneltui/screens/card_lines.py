"""The day card as the lines of a list, for the size there is. Pure: no widget, no terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tunneltui.cells import many
from tunneltui.pages.card import CardLine, WeekDay
from tunneltui.pages.units import localize
from tunneltui.screens.parts import Line, Part
from tunneltui.screens.round_layout import RoundLayout
from tunneltui.screens.round_view import RoundView
from tunneltui.screens.stops import LATER, PassLaid, Stop

LABEL_CELLS, WORDS_CELLS = 11, 32
TWO_COLUMNS_FROM = 78
"""Cells of a list from which places stand beside the words."""
FEW_FROM, WEEK_FROM, ALL_FROM = 16, 24, 30
"""Rows of the terminal from which there are blank lines and the week, its words, and the walk's passes below."""
TOGETHER = frozenset({"Decide", "Not today"})
"""Labels that follow without a blank line."""


def card_shown(view: RoundView, walk: RoundLayout, chosen: str, width: int, rows: int) -> list[Line]:
    """``chosen`` is the key of the pass that is chosen."""
    wide = width >= TWO_COLUMNS_FROM
    narrow = width < 58
    lines: list[Line] = []
    shown = [
        card_line
        for card_line in view.card
        if not narrow or card_line.key.rpartition(" ")[0] in ("First", "Pick", "Evening")  # its part of the card
    ]
    for card_line in shown:
        if card_line.label and lines and card_line.label not in TOGETHER and rows >= WEEK_FROM:
            lines.append(_blank(card_line.key))
        lines += _line(card_line, wide)
    if rows >= ALL_FROM and wide:
        lines += [_blank("passes"), *_passes(walk, chosen, width)]
        return lines
    if not narrow:
        lines += [_blank("walk")] if rows >= WEEK_FROM else []
        lines.append(_walk(walk, chosen, width))
        if view.week and rows >= FEW_FROM:
            lines += [_blank("week")] if rows >= WEEK_FROM else []
            lines += _week(view.week, width, words=rows >= WEEK_FROM)
    return lines


def _blank(key: str) -> Line:
    return Line(f"blank {key}", (Part(""),), heading=True)


def _line(card_line: CardLine, wide: bool) -> Iterator[Line]:
    quiet = card_line.role if card_line.role == "quiet" else ""
    forms = tuple(localize(words) for words in card_line.words)
    beside = tuple(localize(words) for words in card_line.beside)
    label = Part(card_line.label, card_line.role or "bold", LABEL_CELLS)
    if wide:
        yield Line(
            card_line.key,
            (
                label,
                Part(forms[0], quiet or "bold", WORDS_CELLS if beside else 0, forms[1:]),
                *((Part(beside[0], quiet, 0, (*beside[1:], "")),) if beside else ()),
            ),
        )
        return
    yield Line(card_line.key, (label, Part(forms[0], quiet or "bold", 0, forms[1:])))
    if beside:
        yield Line(
            f"{card_line.key} +", (Part("", cells=LABEL_CELLS), Part(beside[0], "quiet", 0, beside[1:])), rest=True
        )


def _walk(walk: RoundLayout, chosen: str, width: int) -> Line:
    """The passes with their minutes."""
    groups: list[list[Part]] = []
    for pass_laid in walk.passes:
        far = walk.left[pass_laid.key]
        if pass_laid.key == LATER:
            continue
        if far.done == far.stops:
            groups.append([Part(f"✓ {pass_laid.words}", "quiet")])
        else:
            groups.append(
                [
                    Part(pass_laid.words, "chosen" if pass_laid.key == chosen else ""),
                    Part(f" {far.minutes:.0f}", "bold"),
                ]
            )
    words = sum(len(part.text) for parts in groups for part in parts)
    gap = Part("   " if LABEL_CELLS + words + 3 * len(groups) <= width else "  ")
    parts = [part for group in groups for part in (gap, *group)][1:]
    return Line("walk", (Part("Walk", "bold", LABEL_CELLS), *parts))


def _passes(walk: RoundLayout, chosen: str, width: int) -> Iterator[Line]:
    """Each pass on a line of its own, with what it holds."""
    passes = [pass_laid for pass_laid in walk.passes if pass_laid.key != LATER]
    # From the cache it is painted before it is laid out.
    title = f"The walk, {many(len(passes), 'pass', 'passes')}" if passes else "The walk"
    yield Line("passes", (Part(title, "bold", width - 6), Part("min", "quiet")), heading=True)
    for pass_laid in passes:
        far = walk.left[pass_laid.key]
        done = far.done == far.stops
        room = width - LABEL_CELLS - 6
        ink = "quiet" if done else "chosen" if pass_laid.key == chosen else "bold"
        holds = _held(pass_laid)
        fitting = next((words for words in holds if len(words) <= room), holds[-1])
        yield Line(
            f"pass {pass_laid.key}",
            (
                Part(
                    f"{'✓ ' if done else ''}{pass_laid.words}",
                    ink,
                    LABEL_CELLS,
                ),
                Part(fitting, "quiet" if done else "", room),
                Part("" if done else f"{far.minutes:.0f}", "bold", 3, right=True),
            ),
        )


def _held(pass_laid: PassLaid) -> list[str]:
    """What a pass holds, in two lengths."""
    if pass_laid.name != "plants":
        chores = [f"{stop.name} {localize(what)}".strip() for stop in pass_laid.stops for _, what in stop.asks]
        names = " ".join(dict.fromkeys(stop.name for stop in pass_laid.stops))
        heads = many(len(pass_laid.stops), "head" if pass_laid.name == "overhead" else "line")
        return ["   ".join(chores), f"{heads}: {names}", heads]
    counted = list(_counted(pass_laid.stops))
    return [", ".join(counted[:most]) for most in range(len(counted), 0, -1)]


def _counted(stops: Sequence[Stop]) -> Iterator[str]:
    heads = [head for stop in stops for head in stop.heads]
    held = {sign: sum(head.endswith(sign) for head in heads) for sign in "+~"}
    strings = sum(bool(on) for stop in stops for on, _ in stop.asks)
    decide = sum(stop.decides for stop in stops)
    yield f"{many(len(stops), 'place')}: {many(len(heads), 'head')}"
    yield from ([f"{held['+']} to clip"] if held["+"] else [])
    yield from ([f"{held['~']} to twist in"] if held["~"] else [])
    leaves = sum(stop.leaves for stop in stops)
    yield from ([many(leaves, "leaf", "leaves")] if leaves else [])
    yield from ([many(strings, "string")] if strings else [])
    yield from ([f"{decide} to decide"] if decide else [])


def _week(week: Sequence[WeekDay], width: int, *, words: bool) -> Iterator[Line]:
    """Three lines: the days, the minutes with a bar each, what fills them."""
    cells = max((width - LABEL_CELLS) // max(len(week), 1), 5)
    cells = min(cells, 9)
    fits = week[: max((width - LABEL_CELLS) // cells, 1)]
    days = [Part(week_day.day, "bold" if n == 0 else "quiet", cells) for n, week_day in enumerate(fits)]
    yield Line("week", (Part("Week", "bold", LABEL_CELLS), *days))
    minutes = []
    for number, week_day in enumerate(fits):
        minutes.append(Part(f"{week_day.minutes}", "", 4 if cells >= 8 else cells))
        if cells >= 8:
            minutes.append(Part(week_day.bar * 2, "chosen" if number == 0 else "string", cells - 4))
    yield Line("week minutes", (Part("", cells=LABEL_CELLS), *minutes), rest=True)
    days_in_words = [
        f"{week_day.day.split(' ')[0]} {localize(week_day.what)}" for week_day in fits[1:] if week_day.what
    ]
    if words and days_in_words:
        yield Line(
            "week words",
            (
                Part("", cells=LABEL_CELLS),
                Part(
                    "   ".join(days_in_words),
                    "quiet",
                    0,
                    tuple("   ".join(days_in_words[:n]) for n in (4, 3, 2, 1)),
                ),
            ),
            rest=True,
        )


BAR_CELLS = 10
EIGHTHS = " ▏▎▍▌▋▊▉"


def week_beside(week: Sequence[WeekDay], width: int) -> Iterator[tuple[str, str, str, str]]:
    """Day, minutes, bar and words of each day, for a side of ``width`` cells."""
    for week_day in week:
        eighths = round(week_day.share * BAR_CELLS * 8)
        bar = "█" * (eighths // 8) + EIGHTHS[eighths % 8].strip()
        what = localize(week_day.what)
        if len(what) > width - 23:
            what = what.partition(",")[0]
        yield week_day.day, str(week_day.minutes), bar, what if len(what) <= width - 23 else ""
