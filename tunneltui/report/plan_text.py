"""Next season's plans in plain words, as a document, and adopted."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tunneltui.growth.outlook import Band
from tunneltui.holding.check import checked_holding
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import to_toml
from tunneltui.holding.trouble import Trouble
from tunneltui.loads.masses import GRAVITY_M_PER_S2
from tunneltui.report.documents import Document
from tunneltui.review.plan import Planned
from tunneltui.review.plan_buy import Wanted
from tunneltui.review.plan_values import CultivarRecord, Dates, LoopFit, Plan


def plan_text(planned: Planned) -> str:
    lines = [f"Next season, from the records to {planned.day}", "", "Cultivars"]
    lines += [_record(record) for record in planned.records.values()]
    lines += ["", *_dates(planned.dates), *planned.cannot_be_kept]
    for plan in planned.plans:
        lines += ["", *_plan(plan)]
    lines += ["", "To buy, for the plan by vigour", *(_wanted(wanted) for wanted in planned.buy)]
    lines += [
        "",
        "Adopt one with `tunneltui plan --adopt by-vigour`. Loads are forecasts, not a promise that they hold.",
    ]
    return "\n".join(lines) + "\n"


def _record(record: CultivarRecord) -> str:
    band = record.vigour_band
    between = f" ({band.low * 100:.0f} to {band.high * 100:.0f})" if band else ""
    vigour = (
        f"{record.vigour_m_per_week * 100:.0f}{between} cm a week at 20 degC, from {_count(record.stems, 'stem')}"
    )
    if not record.stems:
        vigour = f"{record.vigour_m_per_week * 100:.0f} cm a week, a default: no stem was measured"
    if record.yield_kg is None:
        kg = "no weighed pick, defaults"
    else:
        rows = record.yield_band
        spread = f", rows {rows.low:.1f} to {rows.high:.1f}" if rows else ", no interval from one row"
        kg = f"{record.yield_kg:.1f} kg a plant so far{spread}, {_count(record.plants, 'plant')}"
    return f"  {record.cultivar}: {vigour}; {kg}"


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _dates(dates: Dates) -> list[str]:
    end = f"{dates.last_pick}" if dates.last_pick else "not known"
    chosen = ", until frost takes it" if dates.assumed_end else ""
    tip = f", tips out about {dates.tip_out}" if dates.tip_out else ""
    return [
        f"Sow {dates.sow}, pot on {dates.pot_on}, harden from {dates.harden}, plant {dates.plant} if the soil is",
        f"warm and a truss shows{tip}; last pick {end}{chosen}",
    ]


def _plan(plan: Plan) -> list[str]:
    lines = [f"{plan.name}: spread of lengths costs {plan.cost_m:.0f} m"]
    lines += [f"  {row}: {', '.join(said)}" for row, said in _blocks(plan).items()]
    lines += [f"  {_fit(fit)}" for fit in plan.fits]
    if plan.peak is not None:
        peak = plan.peak
        rows = ", ".join(f"{row} {kg:.0f} kg" for row, kg in peak.hanging_kg.items())
        string = f"fullest string {peak.string} {_kg(peak.string_n)} kg on {peak.day}; " if peak.string else ""
        lines.append(f"  at the peak: {string}wire {peak.wire} pulls {peak.wire_n:.0f} N;")
        lines.append(f"  hoop {peak.hoop} bears {peak.hoop_n / GRAVITY_M_PER_S2:.0f} kg; hanging {rows}")
        if peak.held_back_m > 0.05:
            lines.append(f"  heads ahead hold stems back by {peak.held_back_m:.1f} m in all")
        if peak.faults:
            lines.append(f"  {_count(peak.faults, 'fault or gap')} in stems' paths or wires behind these loads")
    low, mid, high = (sum(getattr(crop.kg, end) for crop in plan.crops) for end in ("low", "mid", "high"))
    hours = f"; hours {plan.hours.low:.0f} to {plan.hours.high:.0f} by published figures" if plan.hours else ""
    lines.append(f"  {mid:.0f} kg expected, {low:.0f} to {high:.0f}{hours}")
    lines.append(f"  gives up: {plan.gives_up}")
    return lines


def _blocks(plan: Plan) -> dict[str, list[str]]:
    """Runs of one cultivar along each row, such as ``01-05 cherry 1``."""
    runs: dict[str, list[tuple[str, str, str]]] = {}
    for place, cultivar in plan.cultivar_of.items():
        row, _, number = place.rpartition("-")
        mine = runs.setdefault(row, [])
        if mine and mine[-1][2] == cultivar:
            mine[-1] = (mine[-1][0], number, cultivar)
        else:
            mine.append((number, number, cultivar))
    return {
        row: [
            f"{first if first == last else f'{first}-{last}'} {cultivar or 'empty'}"
            for first, last, cultivar in mine
        ]
        for row, mine in runs.items()
    }


def _fit(fit: LoopFit) -> str:
    band = fit.longest_m
    longest = f"longest stem, tip left in, {band.mid:.1f} m ({band.low:.1f} to {band.high:.1f})"
    room = f"room for {fit.holds_m:.1f} m, first clip {fit.first_clip_m * 100:.0f} cm, {fit.tiers:.0f} tiers"
    slope = f"rise {fit.slope * 100:.0f} cm a metre"
    return f"loop {fit.loop}: {longest}, {room}, {slope}: {_fits(fit)}"


def _fits(fit: LoopFit) -> str:
    if not fit.fits:
        return f"does not fit: {fit.why}"
    return f"fits, but {fit.why}" if fit.why else "fits"


def _wanted(wanted: Wanted) -> str:
    kind = f" {wanted.kind}" if wanted.kind else ""
    unit = f" {wanted.unit}" if wanted.unit else ""
    note = f" ({wanted.note})" if wanted.note else ""
    there = f", {wanted.there:.0f} there" if wanted.there else ""
    return f"  {wanted.item}{kind}: {wanted.wanted:.0f}{unit} wanted{there}, buy {wanted.buy:.0f}{note}"


def _kg(newton: Band) -> str:
    low, high = (value / GRAVITY_M_PER_S2 for value in (newton.low, newton.high))
    return f"{low:.1f} to {high:.1f}"


def plan_document(planned: Planned) -> Document:
    """SI units; lists in the order of the holding."""
    return {
        "day": planned.day.isoformat(),
        "cultivars": [
            {
                "cultivar": r.cultivar,
                "vigour_m_per_week": _rounded(r.vigour_m_per_week),
                "vigour_band": _band(r.vigour_band),
                "stems": r.stems,
                "yield_kg_per_plant": _rounded(r.yield_kg),
                "yield_band": _band(r.yield_band),
                "plants": r.plants,
                "defaults": list(r.defaults),
            }
            for r in planned.records.values()
        ],
        "dates": {
            "sow": planned.dates.sow.isoformat(),
            "pot_on": planned.dates.pot_on.isoformat(),
            "harden": planned.dates.harden.isoformat(),
            "plant": planned.dates.plant.isoformat(),
            "tip_out": _iso(planned.dates.tip_out),
            "last_pick": _iso(planned.dates.last_pick),
            "until_frost": planned.dates.assumed_end,
            "cannot_be_kept": list(planned.cannot_be_kept),
        },
        "plans": [_plan_document(plan) for plan in planned.plans],
        "buy": [
            {"item": w.item, "kind": w.kind, "wanted": w.wanted, "there": w.there, "buy": w.buy, "unit": w.unit}
            for w in planned.buy
        ],
    }


def _plan_document(plan: Plan) -> Document:
    peak = plan.peak
    return {
        "name": plan.name,
        "places": [{"place": place, "cultivar": cultivar or None} for place, cultivar in plan.cultivar_of.items()],
        "cost_m": _rounded(plan.cost_m),
        "loops": [
            {
                "loop": f.loop,
                "longest_m": _band(f.longest_m),
                "holds_m": _rounded(f.holds_m),
                "first_clip_m": _rounded(f.first_clip_m),
                "slope": _rounded(f.slope),
                "tiers": _rounded(f.tiers),
                "fits": f.fits,
            }
            for f in plan.fits
        ],
        "peak": None
        if peak is None
        else {
            "day": peak.day.isoformat(),
            "string": peak.string or None,
            "string_n": _band(peak.string_n),
            "wire": peak.wire or None,
            "wire_n": _rounded(peak.wire_n),
            "hoop": peak.hoop or None,
            "hoop_n": _rounded(peak.hoop_n),
            "held_back_m": _rounded(peak.held_back_m),
            "rows": [{"row": row, "hanging_kg": _rounded(kg)} for row, kg in peak.hanging_kg.items()],
        },
        "crops": [{"cultivar": c.cultivar, "row": c.row, "kg": _band(c.kg)} for c in plan.crops],
        "hours": _band(plan.hours),
        "gives_up": plan.gives_up,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3) + 0.0


def _band(band: Band | None) -> dict[str, float | None] | None:
    return None if band is None else {end: _rounded(getattr(band, end)) for end in ("low", "mid", "high")}


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def adopted(holding: Holding, planned: Planned, name: str) -> str:
    """The holding's text with a plan's cultivars at its places.

    Raises:
        Trouble: there is no plan of that name.
    """
    plan = next((one for one in planned.plans if one.name == name), None)
    if plan is None:
        names = ", ".join(one.name for one in planned.plans)
        raise Trouble(f"There is no plan called {name!r}.", f"There are: {names}.")
    tunnels = tuple(
        replace(
            tunnel,
            rows=tuple(
                replace(
                    row,
                    places=tuple(
                        replace(p, cultivar=plan.cultivar_of.get(p.name, p.cultivar)) for p in row.places
                    ),
                )
                for row in tunnel.rows
            ),
        )
        for tunnel in holding.tunnels
    )
    text = to_toml(replace(holding, tunnels=tunnels))
    checked_holding(text, "the plan")
    return text
