"""What a plan gives up against what stands now."""

from __future__ import annotations

from tunneltui.holding.setting_out import SettingOut
from tunneltui.review.plan_values import Peak, Plan, TradeOffs


def trade_offs(plan: Plan, beside: Plan | None) -> TradeOffs:
    """Every plan gives something up; ``beside`` is the plan as planted, None for that plan itself."""
    if beside is None:
        return TradeOffs(as_planted=True)
    less_kg = sum(crop.kg.mid for crop in beside.crops) - sum(crop.kg.mid for crop in plan.crops)
    more_hours = plan.hours.band.mid - beside.hours.band.mid
    given = TradeOffs(
        moves=plan.setting.cultivars != beside.setting.cultivars,
        less_kg=less_kg if less_kg > 0.5 else 0.0,
        more_hours=round(more_hours) if more_hours >= 1 else 0,
    )
    if plan.peak is not None and beside.peak is not None:
        given = _loads(given, plan.peak, beside.peak)
    return _ways_of_working(given, plan, beside)


def _loads(given: TradeOffs, peak: Peak, before: Peak) -> TradeOffs:
    heavier = {
        row: hangs - before.hanging_kg[row] for row, hangs in peak.hanging_kg.items() if row in before.hanging_kg
    }
    worst = max(heavier, key=lambda row: heavier[row], default="")
    if worst and heavier[worst] > 0.5:
        given = given._replace(heavier_row=worst, heavier_kg=heavier[worst])
    if peak.held_back_m > before.held_back_m + 0.05:
        given = given._replace(held_back_m=peak.held_back_m - before.held_back_m)
    if peak.string_n.mid > before.string_n.mid + 0.5:
        given = given._replace(string_n=peak.string_n.mid - before.string_n.mid)
    if peak.on_soil_kg > before.on_soil_kg + 0.5:
        given = given._replace(on_soil_kg=peak.on_soil_kg - before.on_soil_kg)
    return given


def _ways_of_working(given: TradeOffs, plan: Plan, beside: Plan) -> TradeOffs:
    partners = zip(plan.setting.rows, beside.setting.partners, plan.setting.partners, strict=True)
    changed = [(row, before, now) for row, before, now in partners if before != now]
    trainings = zip(plan.setting.rows, beside.setting.trainings, plan.setting.trainings, strict=True)
    heads, had = _heads(plan.setting), _heads(beside.setting)
    most = max(heads.values(), default=1)
    return given._replace(
        one_leader=tuple(sorted(name for name in heads if heads[name] == 1 < min(had.get(name, 1), most))),
        more_leaders=max(plan.setting.leaders) > max(beside.setting.leaders),
        parted=tuple(row for row, before, _ in changed if before),
        paired=tuple(row for row, _, now in changed if now),
        laid_down=tuple(row for row, before, now in trainings if before == "tiered" and now == "laid_down"),
    )


def _heads(setting: SettingOut) -> dict[str, int]:
    """The most that a plant of each cultivar has."""
    heads: dict[str, int] = {}
    for cultivar, leaders in zip(setting.cultivars, setting.leaders, strict=True):
        if cultivar:
            heads[cultivar] = max(leaders, heads.get(cultivar, 0))
    return heads
