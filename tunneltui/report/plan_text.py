"""Next season's plans in plain words, at most 80 columns wide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from tunneltui.chores.wording import many
from tunneltui.growth.outlook import Band
from tunneltui.holding.setting_out import SettingOut
from tunneltui.loads.masses import GRAVITY_M_PER_S2
from tunneltui.loads.result import LineLoad, WireLoad
from tunneltui.report.plain import wrapped
from tunneltui.review.plan import Planned
from tunneltui.review.plan_values import CultivarRecord, Dates, LoopFit, Peak, Plan, Wanted


def plan_text(planned: Planned) -> str:
    lines = [f"Next season, from the records to {planned.day}", "", "Cultivars"]
    for record in planned.records.values():
        lines += wrapped(record_words(record), "  ", "    ")
    lines += ["", *wrapped(dates_words(planned.dates), "", "")]
    for says in planned.cannot_be_kept:
        lines += wrapped(f"! {says}", "", "  ")
    for plan in planned.plans:
        lines += ["", *plan_lines(plan)]
    lines += [""]
    lines += wrapped(
        "Adopt one with `tunneltui plan --adopt by-vigour`. Loads are forecasts, not a promise that they hold.",
        "",
        "",
    )
    return "\n".join(lines) + "\n"


def record_words(record: CultivarRecord) -> str:
    """One cultivar's records, and what stands in for those that are not there."""
    band = record.vigour_band
    between = f" ({band.low * 100:.0f} to {band.high * 100:.0f})" if band else ""
    vigour = (
        f"{record.vigour_m_per_week * 100:.0f}{between} cm a week at 20 degC, from {many(record.stems, 'stem')}"
    )
    if not record.stems:
        vigour = f"{record.vigour_m_per_week * 100:.0f} cm a week, a default: no stem was measured"
    if record.yield_kg is None:
        kg = "no weighed pick, defaults"
    else:
        rows = record.yield_band
        spread = f", rows {rows.low:.1f} to {rows.high:.1f}" if rows else ", no interval from one row"
        kg = f"{record.yield_kg:.1f} kg a plant so far{spread}, {many(record.plants, 'plant')}"
    return f"{record.cultivar}: {vigour}; {kg}"


def dates_words(dates: Dates) -> str:
    """Every day of the coming season in one sentence."""
    says = ", ".join(day_words(dates))
    return says[0].upper() + says[1:]


def day_words(dates: Dates) -> list[str]:
    """The days of the coming season, each in a few words."""
    tip = [f"tips out about {dates.tip_out}"] if dates.tip_out else []
    return [
        f"sow {dates.sow}",
        f"pot on {dates.pot_on}",
        f"harden from {dates.harden}",
        f"plant {dates.plant} if the soil is warm and a truss shows",
        *tip,
        _last_pick(dates),
    ]


def _last_pick(dates: Dates) -> str:
    if dates.last_pick is None:
        return "no last pick: the typical year here has no cold that ends a crop, so choose an end"
    return f"last pick {dates.last_pick}{' or when frost takes it' if dates.assumed_end else ''}"


def plan_lines(plan: Plan) -> Iterator[str]:
    """Everything of one plan: what stands where, what it bears and gives, what to buy, what it gives up."""
    yield f"{plan.name}: stems of one loop unequal by {plan.cost_m:.0f} m in all"
    for words in [*where_words(plan), *bears_words(plan), gives_words(plan), *raising_words(plan)]:
        yield from wrapped(words, "  ", "    ")
    yield "  to buy"
    for wanted in plan.buy:
        yield from wrapped(wanted_words(wanted), "    ", "      ")
    yield from wrapped(f"gives up: {plan.gives_up}", "  ", "    ")


def where_words(plan: Plan) -> list[str]:
    """A line for each row: cultivars by place, spacing, leaders, training and partner."""
    kinds = _row_kinds(plan.setting)
    says = []
    for row, blocks in _blocks(plan.cultivar_of).items():
        spacing = f", {plan.spacing_m[row] * 100:.0f} cm apart" if row in plan.spacing_m else ""
        says.append(f"{row}: {', '.join(blocks)}{spacing}; {kinds.get(row, '')}")
    twos = [place for place, n in zip(plan.setting.places, plan.setting.leaders, strict=True) if n > 1]
    twos = [place for place in twos if plan.cultivar_of[place]]
    if twos:
        says.append(f"two leaders on each of {many(len(twos), 'plant')}: {', '.join(twos)}")
    return says


def _row_kinds(setting: SettingOut) -> dict[str, str]:
    said = {"tiered": "tiered", "laid_down": "laid down", "pinched_at_wire": "tip out at the wire"}
    return {
        row: f"{'double row' if partner else 'single row'}, {said[training]}"
        for row, training, partner in zip(setting.rows, setting.trainings, setting.partners, strict=True)
    }


def _blocks(cultivar_of: Mapping[str, str]) -> dict[str, list[str]]:
    """Runs of one cultivar along each row, such as ``01-05 cherry 1``."""
    runs: dict[str, list[tuple[str, str, str]]] = {}
    for place, cultivar in cultivar_of.items():
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


def bears_words(plan: Plan) -> list[str]:
    """Whether stems can be housed, and the greatest loads."""
    says = [_fit(fit) for fit in plan.fits]
    if plan.peak is not None:
        says += _peak(plan.peak)
    return says


def _fit(fit: LoopFit) -> str:
    band = fit.longest_m
    return (
        f"loop {fit.loop}: longest stem, tip left in, {band.mid:.1f} m ({band.low:.1f} to {band.high:.1f}), "
        f"room for {fit.holds_m:.1f} m; first clip {fit.first_clip_m * 100:.0f} cm, rise {fit.slope * 100:.0f} cm "
        f"a metre, tiers {fit.tier_gap_m * 100:.0f} cm apart, {fit.tiers:.0f} of them, last head "
        f"{fit.head_m * 100:.0f} cm: {_fits(fit)}"
    )


def _fits(fit: LoopFit) -> str:
    if not fit.fits:
        return f"does not fit: {fit.why}"
    return f"fits, but {fit.why}" if fit.why else "fits"


def _peak(peak: Peak) -> list[str]:
    rows = ", ".join(f"{row} {kg:.0f} kg" for row, kg in peak.hanging_kg.items())
    says = [f"at the peak hang: {rows}"]
    if peak.string:
        full = [f"{line.id} {line.mid_n / GRAVITY_M_PER_S2:.1f} kg" for _, line in _fullest_of_row(peak)]
        says.append(
            f"fullest string {peak.string} {_kg(peak.string_n)} kg on {peak.day}; by row: {', '.join(full)}"
        )
    says.append("wires pull " + ", ".join(f"{w.row} {_mass(w.tension_n)}" for _, w in _by_row(peak)))
    worst = [max((h for _, h in peak.hoops if h.tunnel == t), key=lambda h: h.load_n) for t in _tunnels(peak)]
    for hoop in worst:
        allowed = (
            "its maker's figure is unknown" if hoop.allowed_n is None else f"of {_mass(hoop.allowed_n)} allowed"
        )
        says.append(f"fullest hoop of {hoop.tunnel}, at {hoop.x_m:.1f} m: {_mass(hoop.load_n)}, {allowed}")
    if peak.hook:
        says.append(f"fullest hook {peak.hook} {_kg(peak.hook_n)} kg")
    if peak.on_soil_kg > 0.05:
        says.append(f"{peak.on_soil_kg:.1f} kg of fruit would hang on the soil in low bends, not taken off below")
    if peak.held_back_m > 0.05:
        says.append(f"heads ahead hold stems back by {peak.held_back_m:.1f} m in all")
    if peak.faults:
        says.append(
            f"{many(peak.faults, 'thing')} behind these loads could not be reckoned: a stem's path or a wire"
        )
    return says


def _fullest_of_row(peak: Peak) -> list[tuple[date, LineLoad]]:
    rows = dict.fromkeys(line.row for _, line in peak.strings)
    return [max((one for one in peak.strings if one[1].row == row), key=lambda one: one[1].mid_n) for row in rows]


def _by_row(peak: Peak) -> list[tuple[date, WireLoad]]:
    rows = dict.fromkeys(wire.row for _, wire in peak.wires)
    return [
        max((one for one in peak.wires if one[1].row == row), key=lambda one: one[1].tension_n) for row in rows
    ]


def _tunnels(peak: Peak) -> dict[str, None]:
    return dict.fromkeys(hoop.tunnel for _, hoop in peak.hoops)


def _mass(newton: float) -> str:
    return f"{newton / GRAVITY_M_PER_S2:.0f} kg"


def gives_words(plan: Plan) -> str:
    """Kilograms and hours with their bands."""
    low, mid, high = (sum(getattr(crop.kg, end) for crop in plan.crops) for end in ("low", "mid", "high"))
    band, published = plan.hours.band, plan.hours.published
    whose = "your timed and the usual minutes" if plan.hours.timed else "the usual minutes"
    return (
        f"{mid:.0f} kg expected, {low:.0f} to {high:.0f} kg; hours {band.low:.0f} to {band.high:.0f}, likely "
        f"{band.mid:.0f} by {whose} of each piece of work, {published.mid:.0f} by published figures"
    )


def raising_words(plan: Plan) -> list[str]:
    """Batches, where there are several, and the fullest week of the bench."""
    says = []
    if len({batch.sow for batch in plan.batches}) > 1:
        says.append("the bench has no room for all at once:")
        says += [
            f"tray {b.tray}: sow {b.seeds} on {b.sow}, pot on {b.pot_on}, plant {b.plant}" for b in plan.batches
        ]
    if plan.bench:
        weeks = ", ".join(f"{week.monday:%d %b} {week.pots}" for week in plan.bench)
        room = plan.bench[0].room
        of = f" of {room} there is room for" if room is not None else "; how many there is room for was never said"
        says.append(f"pots on the bench by week: {weeks}{of}")
    return says


def wanted_words(wanted: Wanted) -> str:
    """One thing to buy."""
    kind = f" {wanted.kind}" if wanted.kind else ""
    unit = f" {wanted.unit}" if wanted.unit else ""
    note = f" ({wanted.note})" if wanted.note else ""
    there = f", {wanted.there:.0f} there" if wanted.there else ""
    return f"{wanted.item}{kind}: {wanted.wanted:.0f}{unit} wanted{there}, buy {wanted.buy:.0f}{note}"


def _kg(newton: Band) -> str:
    low, high = (value / GRAVITY_M_PER_S2 for value in (newton.low, newton.high))
    return f"{low:.1f} to {high:.1f}"
