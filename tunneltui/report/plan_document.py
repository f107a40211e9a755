"""Next season's plans as a document: SI units, lists in the order of the holding."""

from __future__ import annotations

from datetime import date

from tunneltui.growth.outlook import Band
from tunneltui.pages.page import rounded
from tunneltui.pages.plan import conflict_words, fit_why, trade_off_words
from tunneltui.report.documents import Document
from tunneltui.review.plan import SeasonPlans
from tunneltui.review.plan_against import PlanOutcome
from tunneltui.review.plan_values import Peak, Plan


def plan_document(planned: SeasonPlans) -> Document:
    return {
        "day": planned.day.isoformat(),
        "cultivars": [
            {
                "cultivar": r.cultivar,
                "vigour_m_per_week": rounded(r.vigour_m_per_week),
                "vigour_band": _band(r.vigour_band),
                "stems": r.stems,
                "yield_kg_per_plant": rounded(r.yield_kg),
                "yield_band": _band(r.yield_band),
                "plants": r.plants,
                "defaults": list(r.defaults),
            }
            for r in planned.records.values()
        ],
        "rows": [
            {"row": row, "share": rounded(taught.mid), "weeks": taught.n} for row, taught in planned.rows.items()
        ],
        "row_ends": {"share": rounded(planned.row_ends.mid), "stems": planned.row_ends.n},
        "dates": {
            "sow": planned.dates.sow.isoformat(),
            "pot_on": planned.dates.pot_on.isoformat(),
            "harden": planned.dates.harden.isoformat(),
            "plant": planned.dates.plant.isoformat(),
            "tip_out": _iso(planned.dates.tip_out),
            "last_pick": _iso(planned.dates.last_pick),
            "until_frost": planned.dates.assumed_end,
            "date_conflicts": list(map(conflict_words, planned.date_conflicts)),
        },
        "short": [
            {
                "cultivar": short.cultivar,
                "length_m": rounded(short.length_m),
                "longest_m": rounded(short.longest_m),
                "stands": list(short.stands),
                "goes_to": list(short.goes_to),
            }
            for short in planned.short
        ],
        "plans": [_plan(plan) for plan in planned.plans],
    }


def plan_held_document(held: PlanOutcome) -> Document:
    """A plan against what came: SI units, hours in hours, days as ISO 8601."""
    return {
        "plan": held.name or None,
        "known_on": held.known_on.isoformat(),
        "over": held.over,
        "figures": [
            {
                "what": figure.what,
                "cultivar": figure.cultivar or None,
                "foreseen": _band(figure.foreseen),
                "came": rounded(figure.came),
                "learned": rounded(figure.learned),
                "inside": figure.inside,
            }
            for figure in held.figures
        ],
        "days": [
            {
                "what": day.what,
                "foreseen": _iso(day.foreseen),
                "came": _iso(day.came),
                "learned": _iso(day.learned),
            }
            for day in held.days
        ],
    }


def _plan(plan: Plan) -> Document:
    setting = plan.setting
    return {
        "name": plan.name,
        "places": [
            {"place": place, "cultivar": cultivar or None, "leaders": leaders if cultivar else 0}
            for place, cultivar, leaders in zip(setting.places, setting.cultivars, setting.leaders, strict=True)
        ],
        "rows": [
            {
                "row": row,
                "training": training,
                "loop_with": partner or None,
                "spacing_m": rounded(plan.spacing_m.get(row)),
            }
            for row, training, partner in zip(setting.rows, setting.trainings, setting.partners, strict=True)
        ],
        "cost_m": rounded(plan.cost_m),
        "loops": [
            {
                "loop": f.loop,
                "longest_m": _band(f.longest_m),
                "holds_m": rounded(f.holds_m),
                "first_clip_m": rounded(f.first_clip_m),
                "slope": rounded(f.slope),
                "tier_gap_m": rounded(f.tier_gap_m),
                "tiers": rounded(f.tiers),
                "head_m": rounded(f.head_m),
                "fits": f.fits,
                "why": fit_why(f),
            }
            for f in plan.fits
        ],
        "peak": None if plan.peak is None else _peak(plan.peak),
        "crops": [{"cultivar": c.cultivar, "row": c.row, "kg": _band(c.kg)} for c in plan.crops],
        "hours": _band(plan.hours.band),
        "hours_published": _band(plan.hours.published),
        "hours_timed": list(plan.hours.timed),
        "spare_twine_m": rounded(plan.spare_m),
        "turns": plan.turns,
        "batches": [
            {
                "tray": b.tray,
                "cultivar": b.cultivar,
                "plants": b.plants,
                "seeds": b.seeds,
                "sow": b.sow.isoformat(),
                "pot_on": b.pot_on.isoformat(),
                "harden": b.harden.isoformat(),
                "plant": b.plant.isoformat(),
            }
            for b in plan.batches
        ],
        "bench": [{"week": w.monday.isoformat(), "pots": w.pots, "room": w.room} for w in plan.bench],
        "buy": [
            {"item": w.item, "kind": w.kind, "wanted": w.needed, "there": w.in_store, "buy": w.buy, "unit": w.unit}
            for w in plan.buy
        ],
        "trade_offs": trade_off_words(plan.trade_offs),
    }


def _peak(peak: Peak) -> Document:
    return {
        "day": peak.day.isoformat(),
        "string": peak.string or None,
        "string_n": _band(peak.string_n),
        "wire": peak.wire or None,
        "wire_n": rounded(peak.wire_n),
        "hoop": peak.hoop or None,
        "hoop_n": rounded(peak.hoop_n),
        "hook": peak.hook or None,
        "hook_n": _band(peak.hook_n),
        "on_soil_kg": rounded(peak.on_soil_kg),
        "held_back_m": rounded(peak.held_back_m),
        "rows": [{"row": row, "hanging_kg": rounded(kg)} for row, kg in peak.hanging_kg.items()],
        "strings": [
            {
                "id": line.id,
                "day": day.isoformat(),
                "low_n": rounded(line.low_n),
                "mid_n": rounded(line.mid_n),
                "high_n": rounded(line.high_n),
                "share": rounded(line.share),
            }
            for day, line in peak.strings
        ],
        "wires": [
            {
                "row": wire.row,
                "span": wire.span,
                "day": day.isoformat(),
                "tension_n": rounded(wire.tension_n),
                "sag_m": rounded(wire.sag_m),
                "end_pull_n": rounded(wire.end_pull_n),
                "share": rounded(wire.share),
            }
            for day, wire in peak.wires
        ],
        "hoops": [
            {
                "tunnel": hoop.tunnel,
                "x_m": rounded(hoop.x_m),
                "day": day.isoformat(),
                "load_n": rounded(hoop.load_n),
                "allowed_n": rounded(hoop.allowed_n),
            }
            for day, hoop in peak.hoops
        ],
    }


def _band(band: Band | None) -> dict[str, float | None] | None:
    return None if band is None else {end: rounded(getattr(band, end)) for end in ("low", "mid", "high")}


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
