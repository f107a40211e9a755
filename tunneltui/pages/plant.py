"""One stem's story and one row laid apart, as text and as documents: the twins of the Plant and Row screens."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from tunneltui.cells import day_word
from tunneltui.chores.morning import Morning
from tunneltui.draw.apart import apart, columns, head_row, stem_row
from tunneltui.draw.canvas import row_text as cells_text
from tunneltui.draw.chart import bar
from tunneltui.draw.row_picture import plain_rows
from tunneltui.holding.user_error import UserError
from tunneltui.pages.stem import (
    LEFT_OUT,
    FixingFact,
    fixing_facts,
    leader_notes,
    leader_words,
    left_out,
    row_table,
    side_view,
    stem_chart,
    truss_facts,
)
from tunneltui.pages.text import WIDTH, printed, wrapped
from tunneltui.pages.units import axis, localize
from tunneltui.season.names import place_name
from tunneltui.season.state import Leader, Season

Document = dict[str, Any]


def stems_named(season: Season, name: str) -> list[Leader]:
    """The leader of that name, or every leader at the place of that name.

    Raises:
        UserError: there is no such place, or nothing stands there.
    """
    leader = next((leader for leader in season.leaders.values() if leader.name.lower() == name.lower()), None)
    if leader is not None:
        return [leader]
    place = place_name(season, name)
    leaders = [leader for leader in season.leaders.values() if leader.place == place]
    if not leaders:
        raise UserError(f"No stem stands at {place}.", "`tunneltui row` with a row's name lists those that do.")
    return leaders


def plant_text(morning: Morning, leaders: Sequence[Leader]) -> str:
    return printed([line for leader in leaders for line in [*_plant(morning, leader), ""]][:-1])


def _plant(morning: Morning, leader: Leader) -> list[str]:
    words = leader_words(morning.season, morning.outlook, morning.loads, leader)
    trusses = [
        (f"truss {fact.truss.number}", bar(fact.truss.z, 10), fact.words) for fact in truss_facts(morning, leader)
    ]
    fixings = [(fact.on, bar(fact.share, 10), fact.words) for fact in fixing_facts(morning, leader)]
    history = [(day_word(fact.day), "", fact.words) for fact in leader_notes(leader)]
    chart = plain_rows(stem_chart(morning, leader, WIDTH, axis("m")))
    return [
        *(line for sentence in words for line in wrapped(sentence, "", "  ")),
        *_section("From the side", plain_rows(side_view(morning, leader, WIDTH))),
        *_section("Length of the stem: × measured, then the band it will be in", chart),
        *_section("Trusses, the lowest first", _columns(trusses)),
        *_section("Clips and ties, from the soil up", _columns(fixings)),
        *_section(LEFT_OUT, _columns((day_word(fact.day), "", fact.words) for fact in left_out(morning, leader))),
        *_section("What was noted, the latest first", _columns(history)),
    ]


def _section(title: str, lines: Sequence[str]) -> list[str]:
    return ["", title, *lines] if lines else []


def _columns(facts: Iterable[tuple[str, str, str]]) -> list[str]:
    lines: list[str] = []
    for name, share, words in facts:
        first = f"  {name:<11} {share:<10} " if share else f"  {name:<11} "
        lines += wrapped(words, first, " " * len(first))
    return lines


def plant_document(morning: Morning, leaders: Sequence[Leader]) -> Document:
    """The same facts by leader; what the text draws is given as numbers: metres, days, shares."""
    return {"day": morning.day.isoformat(), "leaders": [_leader(morning, leader) for leader in leaders]}


def _leader(morning: Morning, leader: Leader) -> Document:
    path = morning.loads.paths.get(leader.id)
    coming = morning.outlook.leaders.get(leader.id)
    days = sorted(coming.days.items()) if coming is not None else []
    return {
        "name": leader.name,
        "place": leader.place,
        "cultivar": leader.cultivar,
        "words": leader_words(morning.season, morning.outlook, morning.loads, leader),
        "hook_u_m": round(path.hook_u_m, 3) if path is not None and leader.hook is not None else None,
        "length_measured": [
            {"day": reading.day.isoformat(), "m": reading.length_m}
            for reading in leader.readings
            if reading.length_m is not None
        ],
        "length_to_come": [
            {
                "day": day.isoformat(),
                "low_m": round(on.length_m.low, 3),
                "mid_m": round(on.length_m.mid, 3),
                "high_m": round(on.length_m.high, 3),
            }
            for day, on in days
        ],
        "trusses": [
            {
                "number": fact.truss.number,
                "s_m": round(fact.truss.s_m, 3),
                "ripeness": round(fact.truss.z, 3),
                "fruits": round(fact.truss.fruits, 1),
                "counted": fact.truss.counted,
                "kg": round(fact.truss.kg, 4),
                "ripe_on": fact.truss.ripe_on.isoformat() if fact.truss.ripe_on is not None else None,
                "words": fact.words,
            }
            for fact in truss_facts(morning, leader)
        ],
        "fixings": [_fixing(fact) for fact in fixing_facts(morning, leader)],
        "left_out": [{"day": fact.day.isoformat(), "words": fact.words} for fact in left_out(morning, leader)],
        "noted": [{"day": fact.day.isoformat(), "words": fact.words} for fact in leader_notes(leader)],
    }


def _fixing(fact: FixingFact) -> Document:
    load = fact.load
    return {
        "id": fact.fixing.id,
        "on": fact.on,
        "s_m": round(fact.fixing.s_m, 3),
        "low_n": round(load.low_n, 2) if load is not None else None,
        "mid_n": round(load.mid_n, 2) if load is not None else None,
        "high_n": round(load.high_n, 2) if load is not None else None,
        "share": round(load.share, 3) if load is not None else None,
        "words": fact.words,
    }


def loop_named(season: Season, name: str) -> str:
    """The loop of the row of that name.

    Raises:
        UserError: there is no such row.
    """
    row = next((row for row in season.layout.rows if row.lower() == name.strip().lower()), None)
    if row is None:
        raise UserError(f"There is no row {name}.", f"There are {', '.join(season.layout.rows) or 'none yet'}.")
    return season.layout.loop_of_row[row].id


def row_text(morning: Morning, loop: str) -> str:
    """The loop laid apart, and its table."""
    season = morning.season
    stairs: list[str] = []
    for stretch in season.layout.loops[loop].stretches:
        laid = apart(season, morning.outlook, morning.loads, loop, stretch.row)
        names, tips = max((len(stem.name) for stem in laid.stems), default=0) + 2, 7
        at = columns(laid, WIDTH - names - tips)
        stairs.append(f"{'stem':<{names}}{cells_text(head_row(at))}{'tip':>{tips}}")
        for stem in laid.stems:
            stairs.append(f"{stem.name:<{names}}{cells_text(stem_row(stem, at))}{localize(stem.tip):>{tips}}")
        stairs.append("")
    table = [
        line
        for leader, length, tip, hangs, _ in row_table(season, morning.outlook, morning.loads, loop)
        for line in wrapped(
            hangs,
            f"{leader.name:<9} {leader.cultivar:<12.12} {localize(length):<7} {localize(tip):<17} ",
            " " * 49,
        )
    ]
    head = f"{'Leader':<9} {'Cultivar':<12} {'Length':<7} {'Tip':<17} Hook and fullest clip"
    signs = wrapped(
        "Under a string: how full that clip is, in % of its strength; behind the hook its head's fullest.",
        "",
        "  ",
    )
    return printed([f"{loop}, {day_word(morning.day)}", "", *stairs, *signs, "", head, *table])


def row_document(morning: Morning, loop: str) -> Document:
    """The loop's leaders in the order of their hooks, in the words of the table."""
    facts = row_table(morning.season, morning.outlook, morning.loads, loop)
    return {
        "day": morning.day.isoformat(),
        "loop": loop,
        "rows": [stretch.row for stretch in morning.season.layout.loops[loop].stretches],
        "leaders": [
            {
                "name": fact.leader.name,
                "cultivar": fact.leader.cultivar,
                "length": fact.length,
                "tip": fact.tip,
                "hangs": fact.hangs,
                "fullest_clip": fact.fullest.id if fact.fullest is not None else None,
                "share": round(fact.fullest.share, 3) if fact.fullest is not None else None,
            }
            for fact in facts
        ],
    }
