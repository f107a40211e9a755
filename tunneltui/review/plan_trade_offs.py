"""What a plan gives up against what stands now, in plain words."""

from __future__ import annotations

from tunneltui.cells import joined, kg, load, m, many, say
from tunneltui.review.plan_values import Peak, Plan


def trade_offs(made: Plan, beside: Plan | None) -> str:
    """Every plan gives something up; ``beside`` is the plan as planted, None for that plan itself."""
    if beside is None:
        return "nothing moves: the dearer order and its loads stay"
    says = _fruit(made, beside)
    more_h = made.hours.band.mid - beside.hours.band.mid
    says += [f"{many(round(more_h), 'more hour')} of work"] if more_h >= 1 else []
    if made.peak is not None and beside.peak is not None:
        says += _loads(made.peak, beside.peak)
    says += _ways_of_working(made, beside)
    if not says and made.setting.cultivars == beside.setting.cultivars:
        return "nothing: what is planted stands by vigour already"
    return joined("; ", says) or "cultivars stand in blocks and are compared less fairly"


def _fruit(made: Plan, beside: Plan) -> list[str]:
    more_kg = sum(c.kg.mid for c in made.crops) - sum(c.kg.mid for c in beside.crops)
    return [say("{} of fruit", kg(-more_kg, 0))] if more_kg < -0.5 else []


def _loads(peak: Peak, was: Peak) -> list[str]:
    says: list[str] = []
    heavier = {row: hangs - was.hanging_kg[row] for row, hangs in peak.hanging_kg.items() if row in was.hanging_kg}
    worst = max(heavier, key=lambda row: heavier[row], default="")
    if worst and heavier[worst] > 0.5:
        says.append(say("row {} hangs {} more at its peak", worst, kg(heavier[worst], 0)))
    if peak.held_back_m > was.held_back_m + 0.05:
        says.append(say("heads hold stems back by {} more", m(peak.held_back_m - was.held_back_m)))
    if peak.string_n.mid > was.string_n.mid + 0.5:
        more_n = peak.string_n.mid - was.string_n.mid
        says.append(say("its fullest string bears {} more", load(more_n)))
    if peak.on_soil_kg > was.on_soil_kg + 0.5:
        says.append(say("{} more fruit hangs on the soil in low bends", kg(peak.on_soil_kg - was.on_soil_kg, 0)))
    return says


def _ways_of_working(made: Plan, beside: Plan) -> list[str]:
    says = []
    if max(made.setting.leaders) > max(beside.setting.leaders):
        # Common practice, no source; the forecast takes each of two leaders as one of a plant of its own.
        says.append("a lost plant loses two heads, and two leaders start about a week later than reckoned here")
    changed = zip(made.setting.rows, beside.setting.partners, made.setting.partners, strict=True)
    rows = [(row, was, now) for row, was, now in changed if was != now]
    if parted := [row for row, was, _ in rows if was]:
        says.append(f"heads of {_and(parted)} have only their own row to travel")
    if paired := [row for row, _, now in rows if now]:
        says.append(f"heads turn the corner between {_and(paired)}")
    lies = [
        row
        for row, was, now in zip(made.setting.rows, beside.setting.trainings, made.setting.trainings, strict=True)
        if was == "tiered" and now == "laid_down"
    ]
    if lies:
        says.append(f"lower stems of {_and(lies)} lie on rests along the wire, more bending for the hands")
    return says


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
