"""The day card: what the morning holds, in the order in which it is needed. The same lines everywhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from tunneltui.cells import Quantity, Role, Words, clause, day_word, inked, joined, kg, many, say, words
from tunneltui.chores.day_card import Carry, DayCard, Decision, Overhead, Urgent, day_card
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning
from tunneltui.chores.passes import PLACE_BY_PLACE, PassPlace
from tunneltui.pages.card import CardLine, WeekDay
from tunneltui.pages.lowering import loop_words, stem_name
from tunneltui.pages.text import heading, printed, wrapped
from tunneltui.pages.units import localize
from tunneltui.season.state import Season

LABEL_CELLS = 11
COMMON = frozenset({"side_shoot", "clip_head", "twist_in", "deleaf"})
BAR = "▁▂▃▄▅▆▇█"
"""A day's minutes against the fullest day's."""


def card_lines(season: Season, card: DayCard) -> list[CardLine]:
    """First, Pick, Carry, Evening, Decide, Not today; what is empty is left out."""
    return [
        *_labelled("First", "must", (_urgent(urgent) for urgent in card.first)),
        *_labelled("Pick", "", _pick(card)),
        *_labelled("Carry", "", _carry(card.carry)),
        *_labelled("Evening", "", (_overhead(season, overhead) for overhead in card.overhead)),
        *_labelled("Decide", "near", (_decision(decision) for decision in card.decisions)),
        *_labelled("Not today", "quiet", _not_today(card)),
    ]


def _labelled(label: str, role: Role, lines: Iterable[CardLine]) -> Iterator[CardLine]:
    for number, line in enumerate(lines):
        yield line._replace(key=f"{label} {number}", label=label if number == 0 else "", role=role)


def _urgent(urgent: Urgent) -> CardLine:
    goes = f"chore {urgent.chores[0]}"
    where = joined_by_row(list(dict.fromkeys(urgent.places)))
    if urgent.kind == "repair":
        when = {0: " today", 1: " yesterday"}.get(urgent.days_ago if urgent.days_ago is not None else -1, "")
        label = words(f"{many(urgent.times, 'clip')} let go{when}")
        strings = urgent.strings or ("",) * len(urgent.places)
        where_exactly = "   ".join(
            f"{place} string {number}" if number != "" else place
            for place, number in zip(urgent.places, strings, strict=True)
        )
        return CardLine("", "", (label,), (words(where_exactly), words(where)), goes=goes)
    if urgent.kind == "second_clip":
        label = words(f"{many(urgent.times, 'clip')} may let go this week")
        short = words(f"{many(urgent.times, 'clip')} may let go")
        return CardLine("", "", (label, short), (words(where),), goes=goes)
    kind = KINDS[urgent.kind]
    minutes = (
        say("{}: {}", Words(where), Quantity(urgent.minutes, "min", 0)) if urgent.minutes >= 1 else words(where)
    )
    return CardLine("", "", (words(kind.heading),), (minutes, words(where)), goes=goes)


def joined_by_row(places: Sequence[str]) -> str:
    """Places along the walk, each row said once: ``W2-09  W1-16 15 13 13``."""
    parts: list[str] = []
    row = None
    for place in places:
        its_row, dash, number = place.rpartition("-")
        if dash and its_row == row:
            parts[-1] += f" {number}"
        else:
            parts.append(place)
        row = its_row if dash else None
    return "  ".join(parts)


def _kg(value: float) -> Quantity:
    """One decimal under 10 kg, none above."""
    return kg(value, 1 if value < 10 else 0)


def _pick(card: DayCard) -> Iterator[CardLine]:
    pick = card.pick
    if pick is None:
        return
    minutes = Quantity(pick.minutes, "min", 0)
    if not pick.by_fruit:
        yield CardLine(
            "", "", (say("what is ripe   {}", minutes),), (words("no pick weighed yet"),), goes="pass pick"
        )
        return
    whole = Quantity(pick.likely_kg, "kg", 0)
    safe = Quantity(pick.least_kg, "kg", 0)
    promise = (
        say("{} likely, {} safe   {}", whole, Words(safe.figure()), minutes),
        say("{} likely, {} safe", whole, Words(safe.figure())),
    )
    parts = [say("{} {}", Words(fruit), Words(_kg(value).figure())) for fruit, value in pick.by_fruit]
    if pick.blind:
        parts.append(words(f"{many(pick.blind, 'row')} not weighed yet"))
    yield CardLine(
        "",
        "",
        promise,
        (joined("   ", parts), joined("  ", parts), joined("  ", parts[:2]), parts[0]),
        goes="pass pick",
    )


def _carry(carry: Carry) -> Iterator[CardLine]:
    items, beside = [*_clips_to_take(carry), *_cans(carry)], [*_tools(carry), *_overhead_clips(carry)]
    if not items:
        items, beside = beside, []
    for number in range(max(len(items), len(beside))):
        left = items[number] if number < len(items) else words("")
        right = (beside[number],) if number < len(beside) else ()
        yield CardLine("", "", (left,), right, goes="screen stores")


def _clips_to_take(carry: Carry) -> Iterator[str]:
    count = sum(carry.clips.values())
    if not count:
        return
    kinds = [f"{of_kind} {_clip_word(kind)}" for kind, of_kind in sorted(carry.clips.items(), key=lambda c: -c[1])]
    short = [f"{_clip_word(kind)}: {stock} there" for kind, stock in carry.short.items()]
    if short:
        yield inked("must", words(f"{many(count, 'clip')}, {', '.join(short)}"))
    elif len(kinds) == 1:
        yield words(f"{kinds[0]} {'clip' if count == 1 else 'clips'}")
    else:
        yield words(f"{many(count, 'clip')}: {', '.join(kinds)}")


def _cans(carry: Carry) -> Iterator[str]:
    for tunnel, (low, high) in carry.cans.items():
        much = f"{low} to {high} cans" if low < high else "part of a can"
        yield words(f"{much} of feed for {tunnel}")


def _tools(carry: Carry) -> Iterator[str]:
    crates = "crates for up to {}" if carry.never_weighed else "crates for {}"
    tools = [say(crates, Quantity(carry.kg, "kg", 0))] if carry.kg else []
    tools += [words("knife and wipe")] if carry.knife else []
    if tools:
        yield joined(", ", tools)


def _overhead_clips(carry: Carry) -> Iterator[str]:
    evening = sum(carry.evening_clips.values())
    parts = [f"evening {many(evening, 'clip')}"] if evening else []
    parts += [f"{carry.come_off} come off"] if carry.come_off else []
    parts += [many(carry.hooks, "hook")] if carry.hooks else []
    if parts:
        yield words(", ".join(parts))


def _clip_word(kind: str) -> str:
    return "plain" if kind in ("", "clip") else kind.removesuffix(" clip")


def _overhead(season: Season, overhead: Overhead) -> CardLine:
    label = words(f"lower {many(overhead.heads, 'head')}, {loop_words(season.layout, overhead.loop)}")
    minutes = Quantity(overhead.minutes, "min", 0)
    late = (
        ""
        if overhead.until_hour is None
        else f"by day till {overhead.until_hour}:00"
        if overhead.until_hour > 0
        else "nothing overhead by day"
    )
    beside = say("{} overhead; {}", minutes, Words(late)) if late else say("{} overhead", minutes)
    return CardLine("", "", (label,), (beside, say("{} overhead", minutes)), goes="pass overhead")


def _decision(decision: Decision) -> CardLine:
    kind_words = KINDS[decision.kind].heading
    label = words(
        f"{kind_words}, {decision.about}: {decision.times}"
        if decision.times > 1
        else f"{kind_words}, {decision.about}"
    )
    # The reason's first clause says what it is about; all of it stands with the line.
    return CardLine("", "", (label,), (clause(decision.why, ";", ": ", "."),), goes=f"chore {decision.chore}")


def _not_today(card: DayCard) -> Iterator[CardLine]:
    minutes: dict[str, float] = {}
    for work in card.not_today:
        minutes[work.heading] = minutes.get(work.heading, 0.0) + work.minutes
    by_minutes = sorted(minutes.items(), key=lambda item: -item[1])
    parts = [say("{} {}", Words(kind_words), Quantity(of, "min", 0)) for kind_words, of in by_minutes if of >= 0.5]
    if parts:
        yield CardLine(
            "", "", (joined("   ", parts), joined("   ", parts[:3]), joined("   ", parts[:2])), goes="pass later"
        )


def week_days(card: DayCard) -> list[WeekDay]:
    """The work days to come if each day's work is done, today first."""
    most = max((ahead.minutes for ahead in card.week), default=0.0) or 1.0
    days = []
    for number, ahead in enumerate(card.week):
        share = ahead.minutes / most
        long = day_word(ahead.day).split(" ")
        ends = number in (0, len(card.week) - 1)
        days.append(
            WeekDay(
                f"on {ahead.day.isoformat()}",
                " ".join(long[:2]) if ends else long[0],
                round(ahead.minutes),
                BAR[min(len(BAR) - 1, int(share * len(BAR)))] if ahead.minutes >= 0.5 else " ",
                share,
                joined(", ", _largest(card, number)),
            )
        )
    return days


LEAST_KG = 0.5
"""A pick of less is named without its kilograms: they are said in whole ones."""


def _largest(card: DayCard, number: int) -> list[str]:
    """What fills a day: picks with what they bring, lowerings, else its largest work."""
    ahead = card.week[number]
    named: list[str] = []
    for work in ahead.what:
        if work.kind == "pick" and card.week_kg.get(ahead.day, 0.0) >= LEAST_KG:
            named.append(say("pick {}", kg(card.week_kg[ahead.day], 0)))
        elif work.kind in ("pick", "lower", "feed") or (not named and work.minutes >= 3):
            named.append(KINDS[work.kind].heading)
    return named[:2]


def day_of(morning: Morning) -> DayCard:
    return day_card(morning.season, morning.outlook, morning.round)


def day_text(morning: Morning) -> str:
    card = day_of(morning)
    lines = [f"{heading(morning.season)}  {card.minutes:.0f} of {card.minutes_there:.0f} min", ""]
    for card_line in card_lines(morning.season, card):
        beside = f"   {localize(card_line.beside[0])}" if card_line.beside else ""
        lines += _under(card_line.label, f"{localize(card_line.words[0])}{beside}")
    days = [
        f"{week_day.day} {week_day.minutes} min {localize(week_day.what)}".rstrip() for week_day in week_days(card)
    ]
    lines += ["", *_under("Week", "; ".join(days))]
    for walk_pass in card.passes:
        title = " ".join(filter(None, (walk_pass.name, walk_pass.tunnel)))
        lines += ["", f"{title}, {walk_pass.minutes:.0f} min"]
        for place in walk_pass.places:
            must = "!" if any(chore.must for chore in place.chores) else " "
            lines += wrapped(
                f"{must} {place.name:<8} {', '.join(map(localize, _work_at(morning.season, place)))}",
                " ",
                " " * 12,
            )
    return printed(lines)


def _under(label: str, words: str) -> Iterator[str]:
    blank = " " * LABEL_CELLS
    yield from wrapped(f"{label:<{LABEL_CELLS}}{words}" if label else words, "" if label else blank, blank)


def _work_at(season: Season, place: PassPlace) -> Iterator[str]:
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
            {
                "kind": urgent.kind,
                "count": urgent.times,
                "places": list(urgent.places),
                "strings": list(urgent.strings),
            }
            for urgent in card.first
        ],
        "pick": None
        if card.pick is None
        else {"likely_kg": round(card.pick.likely_kg, 2), "least_kg": round(card.pick.least_kg, 2)},
        "carry": {"clips": dict(card.carry.clips), "evening_clips": dict(card.carry.evening_clips)},
        "passes": [
            {
                "name": walk_pass.name,
                "tunnel": walk_pass.tunnel or None,
                "minutes": round(walk_pass.minutes, 1),
                "places": [place.name for place in walk_pass.places],
            }
            for walk_pass in card.passes
        ],
        "week": [
            {"day": day_ahead.day.isoformat(), "minutes": round(day_ahead.minutes, 1)} for day_ahead in card.week
        ],
    }
