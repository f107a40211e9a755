"""What is to come, in words: stems and picks of the fortnight and to the last pick; how well forecasts held."""

from __future__ import annotations

from datetime import date

from tunneltui.cells import Quantity, Range, day_and_month, day_word, kg, say
from tunneltui.growth.backtest import Backtests
from tunneltui.growth.outlook import LeaderOutlook, Outlook
from tunneltui.growth.ripening import GUESS_ABOVE_C
from tunneltui.growth.season_end import season_end
from tunneltui.growth.topping import TipOut, basis_until, last_pick, tip_outs
from tunneltui.pages.text import day_words, heading, printed, wrapped
from tunneltui.pages.units import in_force, localize
from tunneltui.season.state import Season

UNMEASURED_HEAT = (
    f"Days above {GUESS_ABOVE_C:.0f} °C in the mean: how fast fruit ripens then was not measured. Go by its colour"
)


def outlook_text(season: Season, coming: Outlook) -> str:
    """Stems in walking order: length, tip, growth, trusses, the day at the wire; then the next picks."""
    lines = [heading(season)]
    if coming.air_typical:
        lines.append("The air rests in part on typical values: `tunneltui air FILE` reads a logger.")
    holding = season.holding
    if holding.latitude_deg is None and not holding.lit:
        lines.append(
            "Say your latitude (`tunneltui holding edit`): day length makes stem forecasts a tenth better."
        )
    lines += ["", "Stem       length            a week on    growth/week   truss   at the wire"]
    for id_, leader in season.leaders.items():
        if id_ in coming.leaders:
            lines.append(_stem(leader.name, season.day, coming.leaders[id_]))
    heat = [UNMEASURED_HEAT] if coming.unmeasured_heat else []
    left_out = [
        *coming.flagged,
        *heat,
        *(out.sentence for stem in coming.leaders.values() for out in stem.flagged),
    ]
    lines += [line for sentence in left_out for line in wrapped(sentence, "  ", "      ")]
    lines += ["", "Picks"]
    lines += [
        f"  {day_words(pick.day)}  {pick.row:<5} {pick.cultivar:<16.16} "
        + localize(
            say("{}; no pick weighed yet", Range(pick.kg.low, pick.kg.high, "kg"))
            if pick.blind
            else say("{}, likely {}", Range(pick.kg.low, pick.kg.high, "kg"), kg(pick.kg.mid))
        )
        for pick in coming.picks
    ]
    if not coming.picks:
        lines.append("  none within the next days")
    return printed([*lines, *_to_the_end(season)])


def _to_the_end(season: Season) -> list[str]:
    """How long stems get, what is still to be picked and when tips come out, up to the last pick."""
    last = last_pick(season)
    if last is None or last.day < season.day:
        return []
    basis = basis_until(season, last)
    end = season_end(season, basis)
    if end is None:
        return []
    assumed = ", by the typical year's cold" if end.last_pick.assumed else ""
    lines = ["", f"To the last pick, {day_words(end.last_pick.day)}{assumed}"]
    for row in end.rows:
        stems = [
            end.leaders[leader.id].length_m
            for leader in season.leaders_of_row(row.row)
            if leader.cultivar == row.cultivar and leader.id in end.leaders
        ]
        if stems:
            span = Range(min(band.low for band in stems), max(band.high for band in stems), "m")
            to_come = Range(row.kg.low, row.kg.high, "kg")
            sentence = say("{} to come, stems {}", to_come, span)
            lines.append(f"  {row.row:<5} {row.cultivar:<16.16} {localize(sentence)}")
    furthest: dict[str, TipOut] = {}
    for id_, out in tip_outs(season, basis).items():
        cultivar = season.leaders[id_].cultivar
        if cultivar not in furthest or out.last_truss > furthest[cultivar].last_truss:
            furthest[cultivar] = out
    for cultivar, out in sorted(furthest.items()):
        lines += wrapped(say("{}, furthest stem: {}", cultivar, tip_out_words(out)), "  ", "      ")
    return lines


def tip_out_words(out: TipOut) -> str:
    """What follows from its last useful truss."""
    end = day_and_month(out.last_pick.day) + (", taken as the last pick" if out.last_pick.assumed else "")
    after = day_and_month(out.last_flowering)
    return f"truss {out.last_truss} is the last: what flowers after {after} will be green on {end}"


def _stem(name: str, day: date, stem: LeaderOutlook) -> str:
    days = sorted(stem.days)
    today, later = stem.days[min(max(day, days[0]), days[-1])], stem.days[days[min(7, len(days) - 1)]]
    likely = day_word(stem.at_wire[1]) if stem.at_wire[1] else "not in 14 days"
    growth = stem.growth_m_per_week
    if stem.measured_on is None:
        # Never read: a figure, and that it is no more than that.
        about = [Quantity(on.length_m.mid, "m", 1).shown(in_force()) for on in (today, later)]
        lengths = [f"some {figure}" for figure in about]
        grows = f"some {Quantity(growth.mid, 'cm').shown(in_force())}"
    else:
        lengths = [Range(on.length_m.low, on.length_m.high, "m", 2).shown(in_force()) for on in (today, later)]
        grows = Range(growth.low, growth.high, "cm").shown(in_force())
    if growth.high == 0:
        # Its tip is out, or nothing leads on.
        grows = "none"
    return f"{name:<10} {lengths[0]:<16}{lengths[1]:<16}{grows:<15}{today.flowering_truss:5.1f}   {likely}"


_UNITS = {"stem": ("cm", 100.0), "truss": ("trusses", 1.0), "picks": ("kg", 1.0)}


def backtest_text(held: Backtests) -> str:
    """Mean error against carrying the last rate on, and how often the 90 % interval held."""
    lines = [f"Forecasts up to {day_words(held.day)}, each made from the past alone"]
    several = len({backtest.cultivar for backtest in held.backtests}) > 2
    for backtest in held.backtests:
        if backtest.cultivar and not several:
            continue
        unit, factor = _UNITS[backtest.what]
        lines += ["", f"{backtest.what}, {backtest.cultivar or 'all cultivars'}: error in {unit}"]
        for score in backtest.horizons:
            if score.mae is None:
                lines.append(f"  {_ahead(score.days)} on: nothing to score yet")
                continue
            last = "-" if score.mae_persistence is None else f"{score.mae_persistence * factor:.2f}"
            inside = "-" if score.inside_90 is None else f"{score.inside_90:.0%}"
            width = "-" if score.width is None else f"{score.width * factor:.1f}"
            lines.append(
                f"  {_ahead(score.days)} on: {score.mae * factor:.2f} (last rate carried on: {last}), "
                f"{inside} inside 90%, {width} wide, {_off(score.bias or 0.0, factor)}, n {score.n}"
            )
    return printed(lines)


def _off(bias: float, factor: float) -> str:
    """Which way the forecasts lay, in the mean."""
    size = f"{abs(bias) * factor:.2f}"
    return "even" if float(size) == 0 else f"{size} too {'much' if bias > 0 else 'little'}"


def _ahead(days: int) -> str:
    return f"{days:2d} {'day ' if days == 1 else 'days'}"
