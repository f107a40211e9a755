"""The days away as one document, and as a page to leave on the bench."""

from __future__ import annotations

from itertools import groupby
from operator import itemgetter
from typing import Any

from tunneltui.care.water import litres_range
from tunneltui.cells import Range, day_word, say
from tunneltui.chores.chore import Chore
from tunneltui.pages.round import with_place
from tunneltui.pages.text import day_words, printed, wrapped
from tunneltui.review.away import AwayPlan, RowToWater


def away_document(plan: AwayPlan) -> dict[str, Any]:
    return {
        "first": plan.first.isoformat(),
        "last": plan.last.isoformat(),
        "before": [_chore(chore) for chore in plan.before],
        "meanwhile": [_chore(chore) for chore in plan.meanwhile],
        "at_wire": [{"leader": name, "early": day.isoformat()} for name, day in plan.at_wire],
        "picks": [
            {
                "day": pick.day.isoformat(),
                "row": pick.row,
                "cultivar": pick.cultivar,
                "low_kg": round(pick.kg.low, 2) + 0.0,
                "high_kg": round(pick.kg.high, 2) + 0.0,
            }
            for pick in plan.picks
        ],
        "water": [
            {
                "row": row.row,
                "plants": row.plants,
                "low_l_a_day": None if row.low_l is None else round(row.low_l, 1),
                "high_l_a_day": None if row.high_l is None else round(row.high_l, 1),
                "drip_minutes": None if row.drip_minutes is None else [round(m) for m in row.drip_minutes],
            }
            for row in plan.water
        ],
        "foreseen_to": plan.foreseen_to.isoformat() if plan.foreseen_to else None,
    }


def _chore(chore: Chore) -> dict[str, Any]:
    return {
        "id": chore.id,
        "about": chore.about,
        "proposal": chore.proposal,
        "must": chore.must,
        "latest": chore.latest.isoformat(),
    }


def away_text(plan: AwayPlan) -> str:
    lines = [f"Away {day_words(plan.first)} to {day_words(plan.last)}", "", "Before"]
    lines += _chores(plan.before)
    if plan.at_wire:
        by_day = groupby(sorted(plan.at_wire, key=itemgetter(1)), key=itemgetter(1))
        heads = "; ".join(
            f"from {day_word(day)[4:]} {', '.join(name for name, _ in alike)}" for day, alike in by_day
        )
        lines += wrapped(f"Heads that may touch the wire, if not lowered: {heads}", "  ", "    ")
    if plan.meanwhile:
        lines += ["", "Due meanwhile: bring forward or hand over", *_chores(plan.meanwhile)]
    lines += [
        "",
        "For whoever waters and picks",
        "Water, from the air of the last days; look at the soil before you pour",
    ]
    unread = [row.row for row in plan.water if row.low_l is None or row.high_l is None]
    if unread:
        known_not = f"{', '.join(unread)}: no air was read, so the litres are unknown; look at soil and leaves"
        lines += wrapped(known_not, "  ", "    ")
    for row in plan.water:
        if row.low_l is not None and row.high_l is not None:
            lines += wrapped(_water(row, row.low_l, row.high_l), "  ", "    ")
    lines += ["Pick"]
    for pick in plan.picks:
        where = f"row {pick.row}" if pick.row else "all rows"
        sentence = say(
            "{} {}, {}: {}", day_words(pick.day), where, pick.cultivar, Range(pick.kg.low, pick.kg.high, "kg")
        )
        lines += wrapped(sentence, "  ", "    ")
    lines += [] if plan.picks else ["  No pick is foreseen."]
    if plan.foreseen_to is not None:
        lines += [f"Nothing is foreseen after {day_words(plan.foreseen_to)}: ask again then."]
    return printed(lines)


def _chores(chores: list[Chore]) -> list[str]:
    lines = []
    for chore in chores:
        must = "! " if chore.must else ""
        sentence = say("{}{} (by {})", must, with_place(chore.about, chore.proposal), day_word(chore.latest))
        lines += list(wrapped(sentence, "  ", "    "))
    return lines or ["  Nothing."]


def _water(row: RowToWater, low_l: float, high_l: float) -> str:
    drip = ""
    if row.drip_minutes is not None:
        drip = f", drip {row.drip_minutes[0]:.0f} to {row.drip_minutes[1]:.0f} minutes"
    return say("{}: {} a day for {} plants{}", row.row, litres_range(low_l, high_l), row.plants, drip)
