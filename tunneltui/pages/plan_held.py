"""The last season's plan held against what came, figure by figure."""

from __future__ import annotations

from tunneltui.cells import Quantity, Range, Unit, inked, many, say, words
from tunneltui.pages.page import Column, Item, Page, Section
from tunneltui.review.plan_against import HeldFigure, PlanOutcome

_SAID: dict[str, tuple[str, Unit, int]] = {
    "kg_per_plant": ("Kilograms a plant", "kg", 1),
    "m_per_week": ("Growth in a warm week", "cm", 0),
    "stem_m": ("Stems at the end", "m", 1),
    "hours": ("Hours; those that came are the timed ones", "", 0),
}


def held_page(held: PlanOutcome) -> Page:
    """What was foreseen, what came, what next year's plans go by."""
    by = (
        f"by plan {held.name}, adopted on {held.known_on}"
        if held.name
        else f"by what was known on {held.known_on}"
    )
    sections = [_section(what, [figure for figure in held.figures if figure.what == what]) for what in _SAID]
    inside = [figure.inside for figure in held.figures if figure.inside is not None and figure.what != "hours"]
    notes = [words("Nothing was weighed or measured yet.")]
    if inside:
        notes = [say("{} of {} came inside what was foreseen.", sum(inside), many(len(inside), "figure"))]
    if not held.over:
        notes.append(words("The season is not over: what came is so far."))
    return Page(words(f"The last season: foreseen {by}, came, learned"), (*sections, _days(held)), tuple(notes))


def _section(what: str, figures: list[HeldFigure]) -> Section:
    title, unit, decimals = _SAID[what]
    came = any(figure.came is not None for figure in figures)
    columns = [
        Column(""),
        Column("foreseen", unit=unit, right=True),
        *([Column("came", unit=unit, right=True)] if came else []),
        Column("learned", unit=unit, right=True),
    ]
    items = []
    for figure in figures:
        band = figure.foreseen
        foreseen = say(
            "{} ({})", Quantity(band.mid, unit, decimals), Range(band.low, band.high, unit, decimals, between="-")
        )
        cells: list[str] = [figure.cultivar or "all", foreseen]
        if came:
            cells.append("-" if figure.came is None else say("{}", Quantity(figure.came, unit, decimals)))
        cells.append(say("{}", Quantity(figure.learned, unit, decimals)))
        outside = (inked("near", words("! outside what was foreseen")),) if figure.inside is False else ()
        items.append(Item(f"{what} {figure.cultivar}", tuple(cells), outside))
    return Section(what, words(title), tuple(columns), tuple(items))


def _days(held: PlanOutcome) -> Section:
    columns = (Column(""), Column("foreseen"), Column("came"), Column("learned"))
    items = tuple(
        Item(
            f"day {held_day.what}",
            (
                held_day.what,
                *(f"{day}" if day else "-" for day in (held_day.foreseen, held_day.came, held_day.learned)),
            ),
        )
        for held_day in held.days
    )
    return Section("days", words("Days"), columns, items)
