"""What the Next season screen says: plans as lines side by side, one of them in words and from above."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tunneltui.cells import scale
from tunneltui.draw.canvas import Row
from tunneltui.draw.standing_rows import EMPTY_PLACE, standing_rows
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Holding
from tunneltui.holding.setting_out import set_out
from tunneltui.journal.kinds_standing import PlanAdopted
from tunneltui.loads.masses import GRAVITY_M_PER_S2
from tunneltui.pages.units import in_force
from tunneltui.report.plan_text import (
    bears_words,
    dates_words,
    day_words,
    gives_words,
    raising_words,
    record_words,
    wanted_words,
    where_words,
)
from tunneltui.review.plan import Planned
from tunneltui.review.plan_values import Dates, Plan, Wishes
from tunneltui.screens.list_lines import Line, Part

ROWS_SAID = {"as_they_are": "rows as they are", "single": "single rows", "double": "double rows"}
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def title(wishes: Wishes, dates: Dates | None = None) -> str:
    """What was chosen, with the end that follows where the days are worked out."""
    last = dates.last_pick if dates is not None and not dates.assumed_end else wishes.end
    known = dates is not None or wishes.until_frost
    end = f"until {last}, " if last is not None else "until frost, " if known else ""
    leaders = "one leader a plant" if wishes.leaders == 1 else "two leaders a plant"
    return f"Next season: {end}{leaders}, {ROWS_SAID[wishes.rows]}"


def next_lines(planned: Planned, taken: tuple[date, PlanAdopted] | None) -> list[Line]:
    """Plans as a table, what cannot be kept, days, records."""
    mass = scale("kg", in_force()).name
    heads = _cells("plan", f"fruit {mass}", f"string {mass}", f"hook {mass}", f"hangs {mass}")
    lines = [Line("heads", (Part(" " + heads),), heading=True)]
    lines += [_plan_line(plan, taken) for plan in planned.plans]
    lines += [Line(f"kept {n}", (Part(f" ! {says}", "warn"),)) for n, says in enumerate(planned.cannot_be_kept)]
    if taken is not None:
        on, body = taken
        lines.append(Line("taken", (Part(f" adopted on {on}: {body.name}, sow {body.sow}, plant {body.plant}"),)))
    lines.append(Line("days", (Part(" Days"),), heading=True))
    lines += [Line(f"day {n}", (Part(f" {words}"),)) for n, words in enumerate(day_words(planned.dates))]
    lines.append(Line("records", (Part(" Your records"),), heading=True))
    lines += [Line(f"record {r.cultivar}", (Part(f" {record_words(r)}"),)) for r in planned.records.values()]
    return lines


def _plan_line(plan: Plan, taken: tuple[date, PlanAdopted] | None) -> Line:
    peak, mass = plan.peak, scale("kg", in_force()).times
    figures = ["-"] * 3 if peak is None else [
        f"{mass * peak.string_n.high / GRAVITY_M_PER_S2:.1f}" if peak.string else "-",
        f"{mass * peak.hook_n.high / GRAVITY_M_PER_S2:.1f}" if peak.hook else "-",
        f"{mass * sum(peak.hanging_kg.values()):.0f}",
    ]  # fmt: skip
    parts = [Part(" " + _cells(plan.name, kg_words(plan), *figures), "bright")]
    if not all(fit.fits for fit in plan.fits):
        parts.append(Part(" ! too long", "must"))
    if taken is not None and taken[1].name == plan.name and _same(plan, taken[1]):
        parts.append(Part(" adopted", "done"))
    return Line(f"plan {plan.name}", tuple(parts))


def kg_words(plan: Plan) -> str:
    """What the season gives with its band, in the grower's unit of mass."""
    low, mid, high = (sum(getattr(crop.kg, end) for crop in plan.crops) for end in ("low", "mid", "high"))
    low, mid, high = (scale("kg", in_force()).times * value for value in (low, mid, high))
    return f"{mid:.0f} ({low:.0f}-{high:.0f})"


def _same(plan: Plan, body: PlanAdopted) -> bool:
    return (plan.setting.places, plan.setting.cultivars, plan.setting.leaders, plan.setting.partners) == (
        body.places,
        body.cultivars,
        body.leaders,
        body.partners,
    )


def _cells(name: str, kg: str, *figures: str) -> str:
    return f"{name:<13}{kg:>15}" + "".join(f"{figure:>10}" for figure in figures)


def side_words(plan: Plan) -> list[str]:
    """Beside the list: what it gives up, gives and bears before where everything stands; what to buy last."""
    return [
        f"gives up: {plan.gives_up}",
        gives_words(plan),
        *bears_words(plan),
        *(wanted_words(one) for one in plan.buy if one.buy),
        *raising_words(plan),
        *where_words(plan),
    ]


def legend(plan: Plan) -> str:
    """Letters of the picture."""
    letters = _letters(plan)
    said = ", ".join(f"{letter} {cultivar}" for cultivar, letter in letters.items())
    empty = f", {EMPTY_PLACE.glyph} empty" if "" in plan.setting.cultivars else ""
    two = "; a capital has two leaders" if max(plan.setting.leaders, default=1) > 1 else ""
    return f"{said}{empty}{two}"


def _letters(plan: Plan) -> dict[str, str]:
    there = dict.fromkeys(cultivar for cultivar in plan.setting.cultivars if cultivar)
    return {cultivar: LETTERS[n % len(LETTERS)] for n, cultivar in enumerate(there)}


def seen_from_above(holding: Holding, plan: Plan, columns: int) -> list[Row]:
    """Every row of the holding as the plan would have it; a letter at each place says what stands there."""
    letters = _letters(plan)
    leaders = dict(zip(plan.setting.places, plan.setting.leaders, strict=True))
    shown = {
        place: letters[cultivar].upper() if leaders[place] > 1 else letters[cultivar]
        for place, cultivar in plan.cultivar_of.items()
        if cultivar
    }
    return standing_rows(layout(set_out(holding, plan.setting)), shown, columns)


def whole_plan(planned: Planned, plan: Plan) -> Sequence[str]:
    """All of one plan for a page of its own, with what it was worked out from."""
    return [
        *side_words(plan),
        "",
        "In store already or enough of it:",
        *(f"  {wanted_words(one)}" for one in plan.buy if not one.buy),
        "",
        dates_words(planned.dates),
        *planned.cannot_be_kept,
        "",
        *map(record_words, planned.records.values()),
    ]
