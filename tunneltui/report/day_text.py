"""The day in print: its card, then what each pass of the walk holds, place by place; and as one document."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tunneltui.cells import many
from tunneltui.chores.day_card import DayCard, day_card
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning
from tunneltui.chores.passes import PLACE_BY_PLACE, Place
from tunneltui.pages.day import card_lines, week_days
from tunneltui.pages.lowering import stem_name
from tunneltui.pages.units import localize
from tunneltui.report.plain import heading, joined, wrapped
from tunneltui.season.state import Season

LABEL_CELLS = 11
COMMON = frozenset({"side_shoot", "clip_head", "twist_in", "deleaf"})


def day_of(morning: Morning) -> DayCard:
    return day_card(morning.season, morning.outlook, morning.round)


def day_text(morning: Morning) -> str:
    card = day_of(morning)
    lines = [f"{heading(morning.season)}  {card.minutes:.0f} of {card.minutes_there:.0f} min", ""]
    for one in card_lines(morning.season, card):
        beside = f"   {localize(one.beside[0])}" if one.beside else ""
        lines += _under(one.label, f"{localize(one.words[0])}{beside}")
    days = [f"{one.day} {one.minutes} min{f' {one.what}' if one.what else ''}" for one in week_days(card)]
    lines += ["", *_under("Week", "; ".join(days))]
    for made in card.passes:
        title = " ".join(filter(None, (made.name, made.tunnel)))
        lines += ["", f"{title}, {made.minutes:.0f} min"]
        for place in made.places:
            must = "!" if any(chore.must for chore in place.chores) else " "
            lines += wrapped(f"{must} {place.name:<8} {', '.join(_asked(morning.season, place))}", " ", " " * 12)
    return joined(lines)


def _under(label: str, words: str) -> Iterator[str]:
    blank = " " * LABEL_CELLS
    yield from wrapped(f"{label:<{LABEL_CELLS}}{words}" if label else words, "" if label else blank, blank)


def _asked(season: Season, place: Place) -> Iterator[str]:
    """What a place asks for: its heads and leaves, then everything else by its own words."""
    heads = [stem_name(season, head.leader) for head in place.heads]
    if heads:
        yield f"{many(len(heads), 'head')} {' '.join(heads)}"
    if place.leaves:
        yield many(place.leaves, "leaf", "leaves")
    for chore in place.chores:
        if chore.kind in COMMON:
            continue
        if chore.choices or KINDS[chore.kind].walk not in PLACE_BY_PLACE:
            yield chore.proposal
        else:
            yield from (piece.what or chore.proposal for piece in chore.pieces)


def day_document(morning: Morning) -> dict[str, Any]:
    card = day_of(morning)
    return {
        "day": card.day.isoformat(),
        "minutes": round(card.minutes, 1),
        "minutes_there": round(card.minutes_there, 1),
        "first": [
            {"kind": one.kind, "count": one.times, "places": list(one.places), "strings": list(one.strings)}
            for one in card.first
        ],
        "pick": None
        if card.pick is None
        else {"likely_kg": round(card.pick.likely_kg, 2), "least_kg": round(card.pick.least_kg, 2)},
        "carry": {"clips": dict(card.carry.clips), "evening_clips": dict(card.carry.evening_clips)},
        "passes": [
            {
                "name": made.name,
                "tunnel": made.tunnel or None,
                "minutes": round(made.minutes, 1),
                "places": [place.name for place in made.places],
            }
            for made in card.passes
        ],
        "week": [{"day": one.day.isoformat(), "minutes": round(one.minutes, 1)} for one in card.week],
    }
